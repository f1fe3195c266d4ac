"""How long teams wait between games, and how a row of games is cut into slots so that they wait least."""

from __future__ import annotations

from collections.abc import Sequence

from grouper.games.pairing import Pair, Slots


def longest_wait(slots: Sequence[Sequence[Pair]], teams: Sequence[int]) -> int:
    """The most slots running in which one of the teams has no game, before its first and after its last included."""
    last = dict.fromkeys(teams, -1)
    longest = 0
    for place, games in enumerate(slots):
        for team in (team for pair in games for team in pair if team in last):
            longest = max(longest, place - last[team] - 1)
            last[team] = place
    return max([longest, *(len(slots) - place - 1 for place in last.values())])


def cut_in_slots(row: Sequence[Pair], at_once: int) -> Slots:
    """The fewest slots for a row whose games may go on at once when no more than ``at_once`` apart.

    The places that stay empty are at the end, unless waits are shorter with them at the start or spread out.
    """
    teams = sorted({team for pair in row for team in pair})
    cuts = [_cut(row, sizes) for sizes in _ways_to_size(len(row), at_once)]
    return min(cuts, key=lambda slots: longest_wait(slots, teams))


def _ways_to_size(games: int, at_once: int) -> list[list[int]]:
    slots = -(-games // at_once)
    empty = slots * at_once - games
    at_the_end = [at_once] * (slots - 1) + [at_once - empty]
    spread = [games * (k + 1) // slots - games * k // slots for k in range(slots)]
    return [at_the_end, at_the_end[::-1], spread, spread[::-1]]


def _cut(row: Sequence[Pair], sizes: Sequence[int]) -> Slots:
    slots, start = [], 0
    for size in sizes:
        slots.append(list(row[start : start + size]))
        start += size
    return slots
