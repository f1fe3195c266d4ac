"""Colours of pairs such that nobody has two pairs of one colour, and exchanges of two colours.

Two colours together form paths and rings; exchanging them along one keeps both in order. With such exchanges a pair
finds a colour that is free for both (V. G. Vizing 1964; always where there are two sides, D. Koenig 1916), and large
colours give pairs to small ones (D. de Werra 1971; C. J. H. McDiarmid 1972: where the colours suffice, equal sizes
exist).
"""

from __future__ import annotations

from itertools import product

from grouper.games.rounds import Pair, Slots


class Colours:
    """For each colour, team by team, the game that it plays there."""

    def __init__(self, count: int) -> None:
        self.games: dict[int, Pair] = {}
        self.at: list[dict[int, int]] = [{} for _ in range(count)]

    def size(self, colour: int) -> int:
        return len(self.at[colour]) // 2

    def add(self, number: int, pair: Pair) -> bool:
        """Give a game a colour, the smallest that both teams have free, or one made free by an exchange."""
        self.games[number] = pair
        common = [c for c in range(len(self.at)) if not (pair[0] in self.at[c] or pair[1] in self.at[c])]
        colour = min(common, key=self.size) if common else self._made_free(pair)
        if colour is None:
            return False
        self._put(number, colour)
        return True

    def _put(self, number: int, colour: int) -> None:
        for team in self.games[number]:
            self.at[colour][team] = number

    def _made_free(self, pair: Pair) -> int | None:
        one, two = pair
        free_for_one = [c for c, row in enumerate(self.at) if one not in row]
        free_for_two = [c for c, row in enumerate(self.at) if two not in row]
        for a, b in product(free_for_one, free_for_two):
            path = self.path(two, a, b)
            if all(one not in self.games[number] for number in path):
                self.turn_all(path, a, b)
                return a
        return None

    def path(self, team: int, a: int, b: int) -> list[int]:
        """The games of colours a and b in turn, from a team, that of colour a first; once round where they
        form a ring."""
        path: list[int] = []
        colour = a
        # A ring comes back to its first game, and to no other.
        while (number := self.at[colour].get(team)) is not None and number not in path[:1]:
            path.append(number)
            one, two = self.games[number]
            team, colour = (two if team == one else one), (b if colour == a else a)
        return path


    def turn(self, team: int, a: int, b: int) -> list[int]:
        """Exchange two colours in the whole path or ring that a team is on; the same games again turn it back."""
        ahead = self.path(team, a, b)
        ring = len(ahead) > 1 and team in self.games[ahead[-1]]
        games = ahead if ring else [*reversed(self.path(team, b, a)), *ahead]
        self.turn_all(games, a, b)
        return games

    def turn_all(self, games: list[int], a: int, b: int) -> None:
        """Give each of the games the other one of two colours."""
        was = [a if self.at[a].get(self.games[number][0]) == number else b for number in games]
        for number, colour in zip(games, was, strict=True):
            for team in self.games[number]:
                del self.at[colour][team]
        for number, colour in zip(games, was, strict=True):
            self._put(number, b if colour == a else a)

    def balance(self) -> None:
        """Move games from the largest to the smallest colour until sizes differ by at most one."""
        colours = range(len(self.at))
        while (
            colours
            and self.size(big := max(colours, key=self.size)) > self.size(small := min(colours, key=self.size)) + 1
        ):
            starts = sorted(team for team in self.at[big] if team not in self.at[small])
            paths = (self.path(team, big, small) for team in starts)
            self.turn_all(next(path for path in paths if len(path) % 2), big, small)

    def slots(self) -> Slots:
        return [[self.games[number] for number in sorted(set(row.values()))] for row in self.at]
