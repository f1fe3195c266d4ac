"""Results, standings and progress, worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grouper.errors import InputError
from grouper.games.standings import Side, progress, sides_of, standings, top_of
from grouper.model.play import Assignment, Event, Points, Score


def result(home: int, away: int, home_score: int, away_score: int, lesson: int = 1, **beside: float) -> list[Side]:
    """A game with its result, as both teams see it."""
    event = Event("games", ("1", "2", "3", "4", "5"), ("",), assignments=(Assignment(1, 1, (home, away)),))
    return sides_of([replace(event.assignments[0], score=Score(home_score, away_score, **beside))], lesson)


def together(results: list[list[Side]]) -> list[Side]:
    """Results in a row."""
    return [side for sides in results for side in sides]


def ranks(results: list[list[Side]], teams: int, *order: str) -> list[tuple[int, int]]:
    """(rank, team) from the top."""
    return [(row.rank, row.team) for row in standings(together(results), teams, Points(order=order))]


# Four teams, by hand. Points 3-1-0: team 1 has 6, 2 has 6, 3 has 6, 4 has 0. Among 1, 2, 3 everyone won once (3 points
# each), so the difference decides: 1: +1 -1 +1 = +1; 2: -1 +3 +2 = +4; 3: +1 -3 +5 = +3.
CIRCLE = [
    result(1, 2, 2, 1),
    result(2, 3, 4, 1),
    result(3, 1, 2, 1),
    result(1, 4, 1, 0),
    result(2, 4, 3, 1),
    result(3, 4, 5, 0),
]


def test_a_circle_of_winners_is_parted_by_difference() -> None:
    """Head to head cannot part three who beat each other in a circle; the difference of all games does."""
    assert ranks(CIRCLE, 4, "points", "head to head", "difference") == [(1, 2), (2, 3), (3, 1), (4, 4)]


def test_without_a_tie_break_they_share_the_rank() -> None:
    """Nothing else chosen: three share rank 1, and the next has rank 4."""
    assert ranks(CIRCLE, 4, "points") == [(1, 1), (1, 2), (1, 3), (4, 4)]


def test_head_to_head_comes_before_or_after_difference_as_chosen() -> None:
    """Teams 1 and 2 have 3 points each; 1 won their game, 2 has the better difference: the chosen order decides."""
    results = [result(1, 2, 1, 0), result(2, 3, 9, 0)]
    assert ranks(results, 3, "points", "head to head", "difference") == [(1, 1), (2, 2), (3, 3)]
    assert ranks(results, 3, "points", "difference", "head to head") == [(1, 2), (2, 1), (3, 3)]


def test_bonus_and_penalty_points_count() -> None:
    """A draw with a fair-play point for one and a late-start penalty for the other: 1 + 1 and 1 - 2."""
    table = standings(together([result(1, 2, 3, 3, home_bonus=1, away_penalty=2)]), 2)
    assert [(row.team, row.points) for row in table] == [(1, 2.0), (2, -1.0)]


def test_the_worth_of_games_can_be_set() -> None:
    """With 2-1-0 a win and a draw are 3 points."""
    table = standings(together([result(1, 2, 1, 0), result(1, 2, 1, 1)]), 2, Points(2, 1, 0))
    assert [(row.team, row.points) for row in table] == [(1, 3.0), (2, 1.0)]


def test_lessons_add_up_and_progress_has_no_rank() -> None:
    """Points of each lesson, in order of team number whatever the table says."""
    results = [result(1, 2, 0, 1, lesson=1), result(1, 2, 0, 0, lesson=2), result(1, 2, 0, 4, lesson=3)]
    rows = progress(together(results), 2)
    assert [(row.team, row.by_lesson) for row in rows] == [(1, (0.0, 1.0, 0.0)), (2, (3.0, 1.0, 3.0))]
    assert [row.points for row in standings(together(results), 2)] == [rows[1].total, rows[0].total]
    assert not hasattr(rows[0], "rank")


def test_the_top_takes_in_those_who_share_its_last_rank() -> None:
    """Of three who share rank 1 and one with rank 4 the top three are three, and the top one too."""
    table = standings(together(CIRCLE), 4, Points(order=("points",)))
    assert [row.team for row in top_of(table, 1)] == [1, 2, 3]
    assert [row.team for row in top_of(table, 3)] == [1, 2, 3]


scores = st.builds(
    lambda pair, h, a, lesson: result(pair[0], pair[1], h, a, lesson=lesson),
    st.sampled_from([(a, b) for a in range(1, 6) for b in range(1, 6) if a != b]),
    st.integers(0, 9),
    st.integers(0, 9),
    st.integers(1, 4),
)


@given(st.lists(scores, max_size=20))
def test_every_game_is_counted_twice(results: list[list[Side]]) -> None:
    """Wins equal losses, scored equals conceded, games add up, and ranks follow points."""
    table = standings(together(results), 5)
    assert sum(row.won for row in table) == sum(row.lost for row in table)
    assert sum(row.scored for row in table) == sum(row.conceded for row in table)
    assert sum(row.played for row in table) == 2 * len(results)
    assert [row.points for row in table] == sorted((row.points for row in table), reverse=True)
    assert sum(row.points for row in table) == sum(2 if r[0].scored == r[0].conceded else 3 for r in results)


@given(st.lists(scores, max_size=20), st.randoms())
def test_the_order_of_entry_plays_no_part(results: list[list[Side]], random: object) -> None:
    """The same results in any order make the same table."""
    mixed = list(results)
    random.shuffle(mixed)  # type: ignore[attr-defined]
    assert standings(together(mixed), 5) == standings(together(results), 5)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: result(1, 1, 0, 0),
        lambda: result(0, 1, 0, 0),
        lambda: result(1, 2, 0, 0, away_bonus=-1),
        lambda: result(1, 2, 0, 0, home_penalty=-1),
        lambda: Points(1, 2, 0),
        lambda: standings([], 2, Points(order=("coin",))),
        lambda: standings([], 2, Points(order=("points", "points"))),
        lambda: standings(together([result(1, 3, 0, 0)]), 2),
    ],
)
def test_nonsense_is_refused(wrong: object) -> None:
    """Impossible results and unknown tie-breaks are input errors."""
    with pytest.raises(InputError):
        wrong()  # type: ignore[operator]
