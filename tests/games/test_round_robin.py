"""Round robins on any number of courts, checked by counting."""

from __future__ import annotations

import subprocess
import sys
from math import ceil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grouper.errors import InputError
from grouper.games.draws import DRAWS, at_once, plan_games
from grouper.games.measure import measure_games

from . import checks

SIZES = [(teams, courts) for teams in range(3, 13) for courts in range(1, 7)]
LARGE = [(19, 4), (20, 10), (25, 6), (33, 16), (39, 3), (40, 7), (40, 20)]


@pytest.mark.parametrize(("teams", "courts"), SIZES + LARGE)
def test_everyone_meets_once_in_the_fewest_slots(teams: int, courts: int) -> None:
    """Every two teams meet once, nobody is in two places, in ceil(games / games at once) slots."""
    schedule = checks.planned(teams, courts)
    checks.assert_nobody_in_two_places(schedule.assignments)
    assert set(checks.meetings(schedule.assignments).values()) == {1}
    assert len(schedule.assignments) == teams * (teams - 1) // 2
    assert schedule.slots == ceil(len(schedule.assignments) / min(courts, teams // 2))


@pytest.mark.parametrize(("teams", "courts", "slots"), [(6, 2, 8), (7, 2, 11), (8, 3, 10), (9, 3, 12), (10, 4, 12)])
def test_slots_known_from_practice(teams: int, courts: int, slots: int) -> None:
    """Slot counts known from practice (common practice, no source; they are the bound ceil(games / courts))."""
    assert checks.planned(teams, courts).slots == slots


@pytest.mark.parametrize(("teams", "courts"), SIZES + LARGE)
def test_waits_are_as_short_as_can_be(teams: int, courts: int) -> None:
    """Nobody waits longer than the bound on the longest wait, or one slot more on very uneven numbers (40 on 7)."""
    schedule = checks.planned(teams, courts)
    longest = max(checks.longest_wait(list(schedule.assignments), team) for team in range(1, teams + 1))
    measure = checks.by_key(measure_games(schedule))["longest_wait"]
    assert longest == measure.reached
    assert longest <= measure.bound + ((teams, courts) == (40, 7))


@pytest.mark.parametrize(("teams", "courts"), SIZES + LARGE)
def test_homes_are_even_to_one(teams: int, courts: int) -> None:
    """Everyone is at home as often as away, or once more or less."""
    schedule = checks.planned(teams, courts)
    assert max(map(abs, checks.home_differences(schedule.assignments, range(1, teams + 1)))) <= 1


@pytest.mark.parametrize(("teams", "courts"), [(t, c) for t, c in SIZES if c <= t // 2])
def test_games_are_even_to_one_after_every_slot(teams: int, courts: int) -> None:
    """Whenever the bell rings, no two teams differ by more than one game."""
    schedule = checks.planned(teams, courts)
    for last in range(1, schedule.slots + 1):
        each = checks.games_each([g for g in schedule.assignments if g.slot <= last], range(1, teams + 1))
        assert max(each) - min(each) <= 1


@pytest.mark.parametrize("teams", range(4, 41, 2))
def test_breaks_are_fewest(teams: int) -> None:
    """With courts for all there are n - 2 breaks, the fewest there can be (de Werra 1981), and none for odd n."""
    even = checks.planned(teams, teams // 2)
    odd = checks.planned(teams - 1, teams // 2)
    assert checks.breaks(even.assignments, range(1, teams + 1)) == teams - 2
    assert checks.breaks(odd.assignments, range(1, teams)) == 0


@settings(max_examples=60, deadline=None)
@given(
    teams=st.integers(2, 14),
    courts=st.integers(1, 8),
    slots=st.integers(1, 12),
    legs=st.sampled_from([1, 2, None]),
    duty=st.sampled_from(["none", "spare"]),
)
def test_short_times_hold_the_best_part(teams: int, courts: int, slots: int, legs: int | None, duty: str) -> None:
    """In a few slots as many games as fit are played, even to one in games and homes, by nobody twice in a slot."""
    schedule = plan_games(checks.games(teams, courts, legs, slots, duty=duty))  # type: ignore[arg-type]
    checks.assert_nobody_in_two_places(schedule.assignments)
    at_once, everyone = min(courts, teams // 2), range(1, teams + 1)
    wanted = slots * at_once if legs is None else min(slots * at_once, legs * teams * (teams - 1) // 2)
    assert len(schedule.assignments) == wanted
    assert schedule.slots <= slots
    each = checks.games_each(schedule.assignments, everyone)
    assert max(each) - min(each) <= 1
    assert max(map(abs, checks.home_differences(schedule.assignments, everyone))) <= 1


@pytest.mark.parametrize("teams", range(3, 13))
def test_twice_means_once_at_each_home(teams: int) -> None:
    """In two legs every two teams meet twice, once at home and once away."""
    schedule = plan_games(checks.games(teams, 3, legs=2))
    assert {(g.home, g.away) for g in schedule.assignments} == {
        (a, b) for a in range(1, teams + 1) for b in range(1, teams + 1) if a != b
    }
    assert len(schedule.assignments) == teams * (teams - 1)


@settings(max_examples=40, deadline=None)
@given(teams=st.integers(2, 13), courts=st.integers(1, 8), order=st.sampled_from(["breaks", "berger", "carry-over"]))
def test_no_measure_beats_its_bound(teams: int, courts: int, order: str) -> None:
    """A bound is a bound: what is reached is never better."""
    for measure in measure_games(plan_games(checks.games(teams, courts, order=order))):  # type: ignore[arg-type]
        better = measure.reached < measure.bound if measure.better == "low" else measure.reached > measure.bound + 1e-9
        assert not better, measure


@settings(max_examples=40, deadline=None)
@given(
    teams=st.integers(2, 12),
    courts=st.integers(1, 6),
    order=st.sampled_from(["breaks", "berger", "carry-over"]),
    duty=st.sampled_from(["none", "spare"]),
    slots=st.sampled_from([None, 3]),
)
def test_every_draw_that_fits_keeps_the_rules(
    teams: int, courts: int, order: str, duty: str, slots: int | None
) -> None:
    """Each construction that says it fits gives games within courts and slots, nobody twice at once, no pair twice."""
    task = checks.games(teams, courts, 1, slots, order, duty)  # type: ignore[arg-type]
    fitting = [draw for draw in DRAWS if draw.fits(task)]
    assert fitting
    for draw in fitting:
        drawn = draw.draw(task)
        assert slots is None or len(drawn.slots) <= slots
        pairs = [frozenset(pair) for games in drawn.slots for pair in games]
        assert len(pairs) == len(set(pairs))
        for games in drawn.slots:
            busy = [team for pair in games for team in pair]
            assert len(busy) == len(set(busy))
            assert len(games) <= at_once(task)


@pytest.mark.parametrize(
    "wrong",
    [
        {"teams": 1},
        {"teams": 0},
        {"teams": 65},
        {"courts": 0},
        {"courts": -1},
        {"slots": 0},
        {"legs": 0},
        {"legs": None},
        {"order": "alphabet"},
        {"duty": "sometimes"},
    ],
)
def test_what_cannot_be_played_is_refused(wrong: dict[str, object]) -> None:
    """One team, no court, no slot, unknown words: a clear error with what to try."""
    with pytest.raises(InputError, match=r"[;,]"):
        plan_games(checks.games(**({"teams": 6, "courts": 2} | wrong)))  # type: ignore[arg-type]


def test_the_same_task_gives_the_same_games_in_any_process() -> None:
    """Hash order plays no part: two processes with different hash seeds plan the same."""
    code = (
        "from grouper.games.draws import plan_games\nfrom grouper.games.rest_of_games import replan_games\n"
        "from grouper.model.play import Event, Setback\n"
        "s = plan_games(Event('games', tuple('ABCDEFGHIJK'), ('',) * 4)); print(s.assignments)\n"
        "print(replan_games(s, 4, Setback((2,), (5,), (1,))).assignments)"
    )
    runs = [
        subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": ":".join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert runs[0] == runs[1]
