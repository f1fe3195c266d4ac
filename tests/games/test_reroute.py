"""A station closes: nobody waits, and the rest is as good as any that there is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from grouper.errors import OurBugError
from grouper.games import circuit_rest
from grouper.games.circuit_rest import RestOfCircuit, missed_by
from grouper.games.circuits import REPLANNED, plan_circuit, sound, unevenness
from grouper.games.measure import measure_circuit
from grouper.model.play import Assignment, Event

from . import checks
from .rests import cheapest, even_slots, rest_cost

pytestmark = pytest.mark.whole_search


def test_what_a_way_costs_on_paper() -> None:
    """Group 1 was at station 1. Back there and on to 2: early once, 3 missed, a second time and stayed."""
    rest = RestOfCircuit(3, (1, 2, 3), 2, (Assignment(1, 1, (1,)),))
    assert rest.cost(1, (1, 2)) == (1, 1, 2)
    assert rest.cost(1, (2, 3)) == (0, 0, 0)


def numbers_at(schedule: Event, slot: int) -> list[int]:
    """How many groups are at each open station in a slot, the fewest first."""
    at = {one.place: len(one.teams) for one in schedule.in_slot(slot)}
    return sorted(at.get(station, 0) for station in schedule.open_places)


def seven_at_four() -> Event:
    """Seven groups at four stations, of which the fourth closes after a slot."""
    return checks.closed_after(plan_circuit(checks.stations(7, 4)), 1, (4,))


def test_seven_groups_work_at_the_three_stations_left() -> None:
    """2, 2 and 3 at a time in each of the slots 2 to 4; all three stations are done by all, as in three slots they
    can be; and six visits are left over (3 x 7 less the 15 that are lacking, counted by hand)."""
    schedule = seven_at_four()
    assert [numbers_at(schedule, slot) for slot in (2, 3, 4)] == [[2, 2, 3]] * 3
    assert rest_cost(schedule)[:2] == (0, 0)
    measures = checks.by_key(measure_circuit(schedule))
    assert {key: (measures[key].reached, measures[key].bound) for key in ("visits", "waiting", "again", "early")} == {
        "visits": (22, 22),
        "waiting": (0, 0),
        "again": (6, 6),
        "early": (0, 0),
    }


def test_seven_groups_meet_again_no_more_often_than_they_must() -> None:
    """An exact model made here from nothing but the rules says that one meeting again is the least."""
    schedule = seven_at_four()
    model, groups, slots = cp_model.CpModel(), range(1, 8), (2, 3, 4)
    first = {visit.group: visit.station for visit in checks.visits(schedule) if visit.slot == 1}
    at = {place: model.new_bool_var("") for place in product(slots, groups, (1, 2, 3))}
    for slot in slots:
        for group in groups:
            model.add_exactly_one(at[slot, group, s] for s in (1, 2, 3))
        for s in (1, 2, 3):
            model.add_linear_constraint(sum(at[slot, group, s] for group in groups), 2, 3)
    for group in groups:
        lacking = {1, 2, 3} - {first[group]}
        for s in lacking:
            model.add_exactly_one(at[slot, group, s] for slot in slots[: len(lacking)])
    over = []
    for one, two in combinations(groups, 2):
        together = [model.new_bool_var("") for _ in product(slots, (1, 2, 3))]
        for here, (slot, s) in zip(together, product(slots, (1, 2, 3)), strict=True):
            model.add(here >= at[slot, one, s] + at[slot, two, s] - 1)
        over.append(model.new_int_var(0, 3, ""))
        model.add(over[-1] >= sum(together) - 1 + (first[one] == first[two]))
    model.minimize(sum(over))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    assert rest_cost(schedule) == (0, 0, solver.objective_value)


def small_rests() -> list[tuple[int, int, int, tuple[int, ...], int]]:
    """Groups, stations, slots over, closed stations, slots left: every small closure that can be tried out."""
    every = [
        (groups, stations, played, closed, left)
        for groups, stations, left in product((2, 3, 4), (2, 3, 4), (1, 2, 3, 4))
        for played in range(1, stations)
        for number in (1, 2)
        for closed in combinations(range(1, stations + 1), number)
        if number < stations
    ]
    return every[::3]


@contextmanager
def few_exchanges() -> Iterator[None]:
    """An eighth of the exchanges: enough for small rests, and what holds for every rest holds for these too."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(circuit_rest, "EXCHANGES", circuit_rest.EXCHANGES // 8)
        yield


@pytest.mark.parametrize("groups", [2, 3, 4])
@few_exchanges()
def test_small_rests_are_the_best_of_all(groups: int) -> None:
    """Every third small closure: no even rest of as many slots has fewer visits again too early, then fewer stations
    left out, then fewer meetings again, as trying all of them shows."""
    compared = 0
    for _, stations, played, closed, left in (rest for rest in small_rests() if rest[0] == groups):
        schedule = checks.closed_after(plan_circuit(checks.stations(groups, stations)), played, closed, left)
        slots = max(0, schedule.slots - played)
        if len(even_slots(groups, schedule.open_places)) ** slots <= 3000:
            assert rest_cost(schedule) == cheapest(schedule, slots), (stations, played, closed, left)
            compared += 1
    assert compared > 30


@settings(max_examples=30, deadline=None)
@given(groups=st.integers(1, 12), stations=st.integers(2, 7), data=st.data())
@few_exchanges()
def test_nobody_ever_waits_whatever_closes_and_opens(groups: int, stations: int, data: st.DataObject) -> None:
    """Closed, opened and closed again, with any time: what is over stays; all work in every slot, evenly spread; the
    measures keep their bounds; and the stations left out are those that the slots cannot hold."""
    schedule = plan_circuit(checks.stations(groups, stations))
    for _ in range(2):
        played = data.draw(st.integers(schedule.played, schedule.slots))
        closed = data.draw(st.sets(st.integers(1, stations), max_size=stations - 1))
        left = data.draw(st.none() | st.integers(0, 6))
        now = checks.closed_after(schedule, played, tuple(closed), left)
        assert now.up_to(played) == schedule.up_to(played)
        small, larger = divmod(groups, stations - len(closed))
        for slot in range(played + 1, now.slots + 1):
            assert sum(numbers_at(now, slot)) == groups
            assert set(numbers_at(now, slot)) <= {small, small + bool(larger)}
        for measure in measure_circuit(now):
            assert measure.reached >= measure.bound if measure.better == "low" else measure.reached <= measure.bound
        assert left is None or now.slots - played <= left
        _stations_left_out_are_those_that_must(now)
        schedule = now


def _stations_left_out_are_those_that_must(schedule: Event) -> None:
    """By counting: a group does at most a station a slot, a station takes at most its share a slot."""
    slots, groups = schedule.slots - schedule.played, range(1, len(schedule.teams) + 1)
    over = {(v.group, v.station) for v in checks.visits(schedule) if v.slot <= schedule.played}
    lacking = [place for place in product(groups, schedule.open_places) if place not in over]
    share = -(-len(groups) // len(schedule.open_places))
    by_group = sum(max(0, number - slots) for number in Counter(group for group, _ in lacking).values())
    by_station = sum(max(0, number - slots * share) for number in Counter(s for _, s in lacking).values())
    early, missed, _ = rest_cost(schedule)
    assert missed >= max(by_group, by_station)
    if not early:
        done = schedule.up_to(schedule.played)
        assert missed <= missed_by(RestOfCircuit(len(groups), schedule.open_places, slots, done))


@pytest.mark.parametrize(
    ("groups", "stations", "played", "closed"),
    [(8, 7, 5, (3,)), (14, 6, 5, (5,)), (13, 5, 3, (4,)), (15, 8, 1, (6,)), (4, 5, 1, (3,))],
)
def test_larger_rests_come_back_to_nothing_too_early(
    groups: int, stations: int, played: int, closed: tuple[int, ...]
) -> None:
    """With a station less than slots were planned for, everyone still gets everywhere, and nowhere again before."""
    assert rest_cost(checks.closed_after(plan_circuit(checks.stations(groups, stations)), played, closed))[:2] == (0, 0)


def test_more_time_is_used_for_what_is_lacking_and_no_longer() -> None:
    """Five groups at three stations; station 3 is closed for all three slots, then opens with time for nine: two at a
    time take three slots to get there, and the day ends."""
    shut = checks.closed_after(plan_circuit(checks.stations(5, 3)), 0, (3,))
    schedule = checks.closed_after(shut, 3, (), 9)
    assert schedule.slots == 6 and rest_cost(schedule)[1] == 0
    assert checks.closed_after(schedule, 6, (1,), 0).slots == 6


@pytest.mark.parametrize("slot_of_two", [(checks.Visit(2, 2, 1),), (checks.Visit(2, 1, 2), checks.Visit(2, 1, 1))])
def test_a_rest_in_which_somebody_waits_is_told(slot_of_two: tuple[checks.Visit, ...]) -> None:
    """One of two groups without a place, and both at one of two stations: each is found."""
    visits = checks.of_visits([checks.Visit(1, 1, 1), checks.Visit(1, 2, 2), *slot_of_two])
    assert list(unevenness(replace(checks.stations(2, 2), assignments=visits, method=REPLANNED, played=1)))


def test_a_first_plan_still_has_nobody_twice_at_a_station() -> None:
    """Only a rest planned anew may; anything else is a bug of ours."""
    with pytest.raises(OurBugError, match="2 times at station 1"):
        visits = checks.of_visits([checks.Visit(1, 1, 1), checks.Visit(2, 1, 1)])
        sound(replace(checks.stations(1, 2), assignments=visits, method="rotation"))


@pytest.mark.parametrize(("groups", "most"), [(13, 6), (14, 6), (15, 11), (16, 13), (18, 21), (20, 18)])
def test_a_searched_first_plan_is_even_and_meets_no_more_than_before(groups: int, most: int) -> None:
    """At 6 stations, for which there are no orthogonal squares: every slot evenly full, and no more meetings again than
    the exchanges reached that went before these."""
    schedule = plan_circuit(checks.stations(groups, 6))
    assert schedule.method == "searched circuit" and not list(unevenness(schedule))
    assert checks.by_key(measure_circuit(schedule))["repeats"].reached <= most
