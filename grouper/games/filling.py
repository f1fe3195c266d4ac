"""The rest of a day of games as a problem: which games are left, who is there, and how well a filling of slots does."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from grouper.games.pairing import Pair, Slots
from grouper.games.waits import longest_wait


@dataclass(frozen=True)
class Rest:
    """Games that are left to be put into slots.

    Parameters
    ----------
    teams : sequence of int
        Who is there.
    left : tuple of pairs
        The games not yet played, in the order in which they were planned.
    at_once : int
        Most games in a slot.
    slots : int or None
        Most slots, ``None`` for as many as it takes.
    before : list of list of pairs
        The slots that are over.
    """

    teams: tuple[int, ...]
    left: tuple[Pair, ...]
    at_once: int
    slots: int | None
    before: Slots

    def games_before(self) -> Counter[int]:
        """How many games each team has played."""
        return played_in(self.before)

    def games_left(self) -> Counter[int]:
        """How many games each team still has."""
        return played_in([list(self.left)])

    def most_games(self) -> int:
        """A bound above the games that can still be played."""
        if self.slots is None:
            return len(self.left)
        reach = sum(min(self.slots, self.games_left()[team]) for team in self.teams) // 2
        return min(len(self.left), self.at_once * self.slots, reach)

    def fewest_slots(self) -> int:
        """A bound below the slots that all games left take, or those there are."""
        busiest = max(self.games_left().values(), default=0)
        needed = max(-(-len(self.left) // self.at_once), busiest)
        return needed if self.slots is None else min(needed, self.slots)

    def least_difference(self) -> int:
        """A bound below the difference in games between two teams at the end of the day."""
        before, left = self.games_before(), self.games_left()
        most = self.fewest_slots() if self.slots is None else self.slots
        total = sum(before[team] for team in self.teams) + 2 * self.most_games()
        if self.most_games() == len(self.left):
            counts = [before[team] + left[team] for team in self.teams]
            return max(counts) - min(counts)
        ceiling = max(max(before[team] for team in self.teams), -(-total // len(self.teams)))
        floor = min(total // len(self.teams), *(before[t] + min(left[t], most) for t in self.teams))
        return max(0, ceiling - floor)

    def merit(self, slots: Slots) -> tuple[int, int, int, int]:
        """What a filling is judged by, lowest first: games left out, slots, difference in games, longest wait."""
        day = [*self.before, *slots]
        played = sum(map(len, slots))
        return (len(self.left) - played, len(slots), self.difference(slots), longest_wait(day, self.teams))

    def difference(self, slots: Slots) -> int:
        """The difference in games over the whole day between the teams that are there."""
        counts = played_in([*self.before, *slots])
        return max(counts[team] for team in self.teams) - min(counts[team] for team in self.teams)

    def at_its_best(self, slots: Slots) -> bool:
        """Whether no filling can have more games, fewer slots or a smaller difference."""
        missing, used, difference, _ = self.merit(slots)
        full = len(self.left) - missing == self.most_games()
        return full and used <= self.fewest_slots() and difference <= self.least_difference()


def played_in(slots: Sequence[Sequence[Pair]]) -> Counter[int]:
    """How many games each team has in the slots."""
    return Counter(team for games in slots for pair in games for team in pair)
