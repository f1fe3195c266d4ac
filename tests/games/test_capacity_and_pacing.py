"""Capacity lines and slots in minutes, worked out by hand."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grouper.errors import InputError
from grouper.games.capacity import CapacityTask, capacity_lines
from grouper.games.days.plan import slots_given, timing_given
from grouper.games.draws import plan_games
from grouper.model.play import Timing

from . import checks


def test_twenty_eight_on_two_courts() -> None:
    """5 v 5 on 2 courts plays 20 of 28; 7 v 7 plays all; half courts with 3 a side play 24."""
    lines = {line.choice: line for line in capacity_lines(CapacityTask(28, 2, 5))}
    assert (lines["as asked"].playing, lines["as asked"].waiting) == (20, 8)
    assert (lines["larger sides"].side, lines["larger sides"].playing, lines["larger sides"].waiting) == (7, 28, 0)
    assert (lines["half courts"].games, lines["half courts"].side, lines["half courts"].playing) == (4, 3, 24)
    assert lines["as asked"].active_share == pytest.approx(20 / 28)


@given(st.integers(2, 12), st.integers(2, 6), st.integers(1, 6), st.sampled_from(("none", "spare")))
@settings(max_examples=40)
def test_as_asked_is_what_the_first_slot_shows(teams: int, size: int, courts: int, duty: str) -> None:
    """Who plays, is on duty and waits as asked are those of a slot as planned, team by team."""
    games = [game for game in plan_games(checks.games(teams, courts, duty=duty)).assignments if game.slot == 1]
    on_duty = sum(game.duty is not None for game in games)
    first, *others = capacity_lines(CapacityTask(teams * size, courts, size, teams, duty != "none"))
    assert (first.playing, first.on_duty) == (2 * size * len(games), size * on_duty)
    assert first.waiting == size * (teams - 2 * len(games) - on_duty)
    assert first.active_share == pytest.approx((2 * len(games) + on_duty) / teams)
    assert ("duty" in [line.choice for line in others]) == (duty == "none")


def test_three_teams_have_one_game_at_a_time() -> None:
    """28 in 3 teams on 2 courts, 4 on court: one game of 8, and to fill both courts it takes 4 teams of 7."""
    lines = {line.choice: line for line in capacity_lines(CapacityTask(28, 2, 4, teams=3))}
    assert (lines["as asked"].games, lines["as asked"].playing) == (1, 8)
    assert lines["larger sides"].change == "make sides of 7 instead of 4, in 4 teams instead of 3"


def test_too_few_for_the_side_asked_for() -> None:
    """8 students cannot play 6 v 6; sides of 4 let all play."""
    lines = {line.choice: line for line in capacity_lines(CapacityTask(8, 1, 6))}
    assert lines["as asked"].playing == 0
    assert (lines["smaller sides"].side, lines["smaller sides"].playing) == (4, 8)


@given(st.integers(2, 60), st.integers(1, 8), st.integers(1, 15))
def test_everybody_is_counted_once(students: int, courts: int, side: int) -> None:
    """Playing, on duty and waiting make up the class, on courts that exist, and someone can always be active."""
    lines = capacity_lines(CapacityTask(students, courts, side))
    for line in lines:
        assert line.playing + line.on_duty + line.waiting == students
        assert min(line.playing, line.on_duty, line.waiting) >= 0
        assert line.playing == 2 * line.side * line.games
        assert line.games <= 2 * courts
    assert any(line.playing for line in lines)


@given(st.integers(2, 60), st.integers(1, 8), st.integers(1, 15))
def test_those_offered_for_nobody_to_wait_hold(students: int, courts: int, side: int) -> None:
    """What is offered as 'nobody waits' leaves nobody waiting."""
    for line in capacity_lines(CapacityTask(students, courts, side)):
        assert (line.waiting == 0) == (2 * line.side * line.games + line.on_duty == students)


@pytest.mark.parametrize("wrong", [(1, 2, 5), (20, 0, 5), (20, 2, 0)])
def test_no_class_or_court_is_refused(wrong: tuple[int, int, int]) -> None:
    """Nobody, nowhere, no side: an input error."""
    with pytest.raises(InputError):
        CapacityTask(*wrong)


def test_slots_in_minutes() -> None:
    """6 minutes and 2 to change: 8 slots take 62 minutes, so 61 hold 7; the fourth starts after 24."""
    pacing = Timing(6, 2)
    assert (pacing.slots_in(62), pacing.slots_in(61), pacing.minutes_for(8), pacing.start_of(4)) == (8, 7, 62, 24)


@given(st.integers(1, 20), st.integers(0, 5), st.integers(1, 200))
def test_slots_fit_and_one_more_would_not(play: int, change: int, minutes: int) -> None:
    """As many as fit."""
    pacing = Timing(play, change)
    slots = pacing.slots_in(minutes)
    assert pacing.minutes_for(slots) <= minutes < pacing.minutes_for(slots + 1)


def test_the_longest_play_fills_the_time() -> None:
    """40 minutes, 6 stations, 2 minutes to change: 5 minutes each."""
    assert timing_given(Timing(None, 2), 40, slots=6) == Timing(5, 2)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Timing(0),
        lambda: Timing(-5),
        lambda: Timing(5, -1),
        lambda: slots_given(Timing(5), -10),
        lambda: timing_given(Timing(None, 2), 10, slots=6),
        lambda: Timing(float("nan")),
    ],
)
def test_negative_minutes_are_refused(wrong: object) -> None:
    """No time, or less, is an input error that says what to give."""
    with pytest.raises(InputError, match="give"):
        wrong()  # type: ignore[operator]
