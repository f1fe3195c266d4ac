"""The rest of a day planned anew: played games stay, and the whole day is as even as it can be."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grouper.errors import InputError
from grouper.games.draws import plan_games
from grouper.games.measure import measure_games
from grouper.games.rest_of_games import FILLERS, Rest, filled, replan_games, rest_of_day
from grouper.model.play import Event, Setback

from . import checks


@st.composite
def disturbed_days(draw: st.DrawFn) -> tuple[Event, int, Setback]:
    """A day of games, how far it has got, and what goes wrong then."""
    teams, courts = draw(st.integers(3, 12)), draw(st.integers(1, 6))
    task = checks.games(teams, courts, draw(st.sampled_from([1, 2])), duty=draw(st.sampled_from(["none", "spare"])))
    closed = draw(st.sets(st.integers(1, courts), max_size=courts - 1))
    out = draw(st.sets(st.integers(1, teams), max_size=teams - 2))
    short = draw(st.sets(st.integers(1, teams), max_size=1))
    left = draw(st.one_of(st.none(), st.integers(0, 8)))
    change = Setback(tuple(sorted(closed)), tuple(sorted(out)), tuple(sorted(short - out)), left)
    return task, draw(st.integers(0, plan_games(task).slots)), change


@settings(max_examples=80, deadline=None)
@given(disturbed_days())
def test_whatever_happens_the_past_stays_and_nobody_is_in_two_places(day: tuple[Event, int, Setback]) -> None:
    """Played games are untouched; the rest keeps to open courts, present teams and slots left; no pair meets
    too often."""
    task, played, change = day
    before = plan_games(task)
    after = replan_games(before, played, change)
    later = [g for g in after.assignments if g.slot > played]
    assert [g for g in after.assignments if g.slot <= played] == [g for g in before.assignments if g.slot <= played]
    assert [(g.slot, g.duty) for g in after.assignments if g.slot <= played] == [
        (g.slot, g.duty) for g in before.assignments if g.slot <= played
    ]
    checks.assert_nobody_in_two_places(after.assignments)
    assert not {g.place for g in later} & set(change.closed)
    assert not {team for g in later for team in (g.home, g.away, g.duty)} & set(change.out)
    assert change.slots_left is None or after.slots <= played + change.slots_left
    assert max(checks.meetings(after.assignments).values(), default=0) <= (task.asked.legs or 0)


@settings(max_examples=80, deadline=None)
@given(disturbed_days())
def test_the_bounds_of_the_rest_are_reached_or_honest(day: tuple[Event, int, Setback]) -> None:
    """As many games as the bound allows in every case tried here, and no measure better than its bound."""
    task, played, change = day
    after = replan_games(plan_games(task), played, change)
    measures = checks.by_key(measure_games(after))
    assert measures["games"].is_best
    for measure in measures.values():
        better = measure.reached < measure.bound if measure.better == "low" else measure.reached > measure.bound + 1e-9
        assert not better, measure


@settings(max_examples=40, deadline=None)
@given(disturbed_days())
def test_lenders_are_free(day: tuple[Event, int, Setback]) -> None:
    """Whoever lends players to a short team neither plays nor is on duty then; a short team's game has a lender as long
    as three teams are there."""
    task, played, change = day
    after = replan_games(plan_games(task), played, change)
    for slot, _, lender in after.loans:
        busy = {team for g in after.in_slot(slot) for team in (g.home, g.away, g.duty)}
        assert lender not in busy
    if len(task.teams) - len(change.out) >= 3:
        needed = {
            (g.slot, t) for g in after.assignments if g.slot > played for t in (g.home, g.away) if t in change.short
        }
        assert {(slot, short) for slot, short, _ in after.loans} == needed


def test_a_court_closes_after_three_slots_of_eight() -> None:
    """Six teams on two courts: 6 games are played, 9 are left for one court, so the day takes 3 + 9 slots."""
    after = replan_games(plan_games(checks.games(6, 2)), 3, Setback(closed=(2,)))
    assert after.slots == 12
    assert set(checks.meetings(after.assignments).values()) == {1}
    assert max(map(abs, checks.home_differences(after.assignments, range(1, 7)))) <= 1


def test_minutes_are_lost() -> None:
    """Eight teams on four courts, two slots played and three left: everyone has five games."""
    after = replan_games(plan_games(checks.games(8, 4)), 2, Setback(slots_left=3))
    assert checks.games_each(after.assignments, range(1, 9)) == [5] * 8


def test_a_team_comes_back() -> None:
    """A team out for a while gets the games that it missed when it is back."""
    day = replan_games(plan_games(checks.games(6, 3)), 1, Setback(out=(4,)))
    assert checks.games_each(day.assignments, [4]) == [1]
    back = replan_games(day, 3, Setback())
    assert set(checks.meetings(back.assignments).values()) == {1}
    assert len(back.assignments) == 15


@settings(max_examples=40, deadline=None)
@given(disturbed_days())
def test_every_filler_keeps_the_rules(day: tuple[Event, int, Setback]) -> None:
    """Each way to fill slots stays within courts and slots, plays only what is left, and nobody twice at once."""
    task, played, change = day
    rest = rest_of_day(replace(plan_games(task), played=played, setback=change))
    for filler in FILLERS:
        slots = filler.fill(rest) if filler.fits(rest) else None
        for games in slots or []:
            busy = [team for pair in games for team in pair]
            assert len(busy) == len(set(busy))
            assert len(games) <= rest.at_once
        left = list(rest.left)
        for pair in (pair for games in slots or [] for pair in games):
            left.remove(pair)
        assert rest.slots is None or len(slots or []) <= rest.slots


def fewest_slots_by_hand(games: list[tuple[int, int]], at_once: int) -> int:
    """The fewest slots by trying all ways to spread a few games."""
    for count in range(1, len(games) + 1):
        for way in product(range(count), repeat=len(games)):
            used = [[g for g, slot in zip(games, way, strict=True) if slot == s] for s in range(count)]
            if all(len(s) <= at_once and len({t for g in s for t in g}) == 2 * len(s) for s in used):
                return count
    raise AssertionError("each game in its own slot always works")


@settings(max_examples=30, deadline=None)
@given(
    st.lists(
        st.sampled_from([(a, b) for a in range(1, 5) for b in range(a + 1, 6)]), unique=True, min_size=1, max_size=6
    ),
    st.integers(1, 2),
)
def test_a_small_rest_takes_the_fewest_slots(games: list[tuple[int, int]], at_once: int) -> None:
    """Against trying everything: any few games are filled into the fewest slots there can be."""
    rest = Rest((1, 2, 3, 4, 5), tuple(games), at_once, None, [])
    assert len(filled(rest)[1]) == fewest_slots_by_hand(games, at_once)


@pytest.mark.parametrize(
    ("played", "change"),
    [
        (-1, Setback()),
        (9, Setback()),
        (1, Setback(closed=(1, 2))),
        (1, Setback(closed=(3,))),
        (1, Setback(out=(1, 2, 3, 4, 5))),
        (1, Setback(out=(7,))),
    ],
)
def test_a_change_that_makes_no_sense_is_refused(played: int, change: Setback) -> None:
    """Unknown courts and teams, nothing left to play with, or slots that the day does not have."""
    with pytest.raises(InputError):
        replan_games(plan_games(checks.games(6, 2)), played, change)


def test_less_than_no_time_is_refused() -> None:
    """A negative number of slots left is an input error."""
    with pytest.raises(InputError, match="give 0 or more"):
        replan_games(plan_games(checks.games(6, 2)), 0, Setback(slots_left=-1))
