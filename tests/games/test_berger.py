"""Berger order against the tables of the FIDE Handbook, C.05, Annex 1.

The tables, number at home first, are written out from memory and by the rule that is known to reproduce the annex; the
annex itself was not at hand, so they are no copy of the published page and deserve a look beside it.
"""

from __future__ import annotations

import pytest

from grouper.games.draws import plan_games
from grouper.games.rounds import berger_rounds

from . import checks

FIDE_TABLES = {
    4: """
        1-4 2-3
        4-3 1-2
        2-4 3-1
    """,
    6: """
        1-6 2-5 3-4
        6-4 5-3 1-2
        2-6 3-1 4-5
        6-5 1-4 2-3
        3-6 4-2 5-1
    """,
    8: """
        1-8 2-7 3-6 4-5
        8-5 6-4 7-3 1-2
        2-8 3-1 4-7 5-6
        8-6 7-5 1-4 2-3
        3-8 4-2 5-1 6-7
        8-7 1-6 2-5 3-4
        4-8 5-3 6-2 7-1
    """,
    10: """
        1-10 2-9 3-8 4-7 5-6
        10-6 7-5 8-4 9-3 1-2
        2-10 3-1 4-9 5-8 6-7
        10-7 8-6 9-5 1-4 2-3
        3-10 4-2 5-1 6-9 7-8
        10-8 9-7 1-6 2-5 3-4
        4-10 5-3 6-2 7-1 8-9
        10-9 1-8 2-7 3-6 4-5
        5-10 6-4 7-3 8-2 9-1
    """,
    12: """
        1-12 2-11 3-10 4-9 5-8 6-7
        12-7 8-6 9-5 10-4 11-3 1-2
        2-12 3-1 4-11 5-10 6-9 7-8
        12-8 9-7 10-6 11-5 1-4 2-3
        3-12 4-2 5-1 6-11 7-10 8-9
        12-9 10-8 11-7 1-6 2-5 3-4
        4-12 5-3 6-2 7-1 8-11 9-10
        12-10 11-9 1-8 2-7 3-6 4-5
        5-12 6-4 7-3 8-2 9-1 10-11
        12-11 1-10 2-9 3-8 4-7 5-6
        6-12 7-5 8-4 9-3 10-2 11-1
    """,
}


def table(entries: int) -> list[list[tuple[int, int]]]:
    """A published table as rounds of (home, away)."""
    rows = FIDE_TABLES[entries].split("\n")
    return [[(int(h), int(a)) for h, a in (game.split("-") for game in row.split())] for row in rows if row.strip()]


@pytest.mark.parametrize("teams", range(4, 13))
def test_the_rounds_are_those_published(teams: int) -> None:
    """For 4 to 12 entries every round is the published one; with an odd number the highest number sits out."""
    published = table(teams + teams % 2)
    expected = [[pair for pair in games if max(pair) <= teams] for games in published]
    assert berger_rounds(teams) == expected


@pytest.mark.parametrize("teams", range(4, 13))
def test_the_schedule_keeps_rounds_and_homes(teams: int) -> None:
    """With courts for all, slot r of the schedule is round r of the table, homes included."""
    schedule = plan_games(checks.games(teams, teams // 2, order="berger"))
    published = table(teams + teams % 2)
    for number, games in enumerate(published, 1):
        expected = {pair for pair in games if max(pair) <= teams}
        assert {(game.home, game.away) for game in schedule.in_slot(number)} == expected
