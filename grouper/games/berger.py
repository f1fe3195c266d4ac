"""The Berger tables: FIDE Handbook C.05, Annex 1 (order of play and colours, here home and away)."""

from __future__ import annotations

from grouper.games.pairing import Pair, Slots


def berger_rounds(teams: int) -> Slots:
    """The rounds of the Berger table; with an odd number of teams the highest number of the table sits out.

    >>> berger_rounds(4)
    [[(1, 4), (2, 3)], [(4, 3), (1, 2)], [(2, 4), (3, 1)]]
    """
    entries = teams + teams % 2
    rounds = [_berger_round(entries, number) for number in range(entries - 1)]
    return [[pair for pair in games if max(pair) <= teams] for games in rounds]


def _berger_round(entries: int, number: int) -> list[Pair]:
    m, half = entries - 1, entries // 2
    k = (number + 1) // 2 + half if number % 2 else number // 2 + 1
    first = (entries, k) if number % 2 else (k, entries)
    return [first, *(((k - 1 + j) % m + 1, (k - 1 - j) % m + 1) for j in range(1, half))]
