"""Stations: Howell designs, Latin squares and closed stations."""

from __future__ import annotations

from collections import Counter
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grouper.errors import InputError
from grouper.games.circuits import plan_circuit
from grouper.games.measure import measure_circuit
from grouper.games.squares import howell_design
from grouper.model.play import Event

from . import checks

pytestmark = pytest.mark.whole_search


def meetings(schedule: Event) -> Counter[frozenset[int]]:
    """How often every two groups are at a station together, counted visit against visit."""
    return Counter(
        frozenset((one.group, two.group))
        for one, two in combinations(checks.visits(schedule), 2)
        if (one.slot, one.station) == (two.slot, two.station)
    )


@pytest.mark.parametrize("stations", range(3, 13))
def test_howell_designs(stations: int) -> None:
    """2n groups at n stations, n = 3 to 12: two everywhere, everyone everywhere once, nobody together twice.

    All n but 2 have one (Stinson 1982 for odd n; Anderson, Schellenberg & Stinson 1984 for even n).
    """
    schedule = plan_circuit(checks.stations(2 * stations, stations))
    assert schedule.method == "Howell design"
    assert set(Counter((v.slot, v.station) for v in checks.visits(schedule)).values()) == {2}
    assert set(Counter((v.group, v.station) for v in checks.visits(schedule)).values()) == {1}
    assert len(checks.visits(schedule)) == 2 * stations * stations
    assert set(meetings(schedule).values()) == {1}


def test_two_stations_are_refused_with_the_reason() -> None:
    """There is no Howell design for 4 groups at 2 stations, and the error says why."""
    with pytest.raises(InputError, match="stay together"):
        howell_design(2)


@pytest.mark.parametrize(("groups", "repeats"), [(4, 2), (3, 1)])
def test_two_stations_repeat_as_little_as_can_be(groups: int, repeats: int) -> None:
    """At 2 stations those of the first slot swap as they are: on paper 2 meetings again for 4 groups, 1 for 3."""
    schedule = plan_circuit(checks.stations(groups, 2))
    measure = checks.by_key(measure_circuit(schedule))["repeats"]
    assert (measure.reached, measure.bound) == (repeats, repeats)


@pytest.mark.parametrize(("groups", "repeats"), [(9, 6), (12, 12)])
def test_many_groups_at_three_stations_repeat_as_little_as_can_be(groups: int, repeats: int) -> None:
    """Three at each of 3 stations come from 2 others, so a pair of each repeats in each later slot: 3 x 2 on
    paper; four
    come two and two: 3 x 2 x 2."""
    measure = checks.by_key(measure_circuit(plan_circuit(checks.stations(groups, 3))))["repeats"]
    assert (measure.reached, measure.bound) == (repeats, repeats)


@pytest.mark.parametrize("stations", range(2, 17, 2))
def test_even_numbers_of_stations_are_in_balanced_order(stations: int) -> None:
    """Every station follows every other exactly once over all groups (Williams 1949)."""
    schedule = plan_circuit(checks.stations(stations, stations))
    steps = Counter(step for group in range(1, stations + 1) for step in pairwise(schedule.way_of(group)))
    assert set(steps.values()) == {1}
    assert len(steps) == stations * (stations - 1)


@pytest.mark.parametrize("stations", range(3, 16, 2))
def test_odd_numbers_of_stations_are_balanced_with_two_groups_each(stations: int) -> None:
    """With twice as many groups every station follows every other exactly twice (Williams 1949: two squares)."""
    schedule = plan_circuit(checks.stations(2 * stations, stations))
    steps = Counter(step for group in range(1, 2 * stations + 1) for step in pairwise(schedule.way_of(group)))
    assert set(steps.values()) == {2}
    assert len(steps) == stations * (stations - 1)


@pytest.mark.parametrize(("groups", "stations"), [(12, 4), (15, 5), (20, 5), (24, 8), (21, 7)])
def test_three_and_more_at_a_station_never_meet_again(groups: int, stations: int) -> None:
    """Where there are enough orthogonal squares (a field has size - 1) no two groups meet twice."""
    assert set(meetings(plan_circuit(checks.stations(groups, stations))).values()) == {1}


@settings(max_examples=50, deadline=None)
@given(groups=st.integers(1, 20), stations=st.integers(2, 9), slots=st.sampled_from([None, 1, 3]))
def test_any_circuit_holds_together(groups: int, stations: int, slots: int | None) -> None:
    """Everyone is somewhere in every slot, nowhere twice, evenly spread, and no measure beats its bound."""
    schedule = plan_circuit(checks.stations(groups, stations, slots))
    length = min(stations, slots or stations)
    assert Counter(v.group for v in checks.visits(schedule)) == dict.fromkeys(range(1, groups + 1), length)
    assert max(Counter((v.group, v.station) for v in checks.visits(schedule)).values()) == 1
    assert max(Counter((v.slot, v.station) for v in checks.visits(schedule)).values()) <= -(-groups // stations)
    for measure in measure_circuit(schedule):
        assert measure.reached >= measure.bound if measure.better == "low" else measure.reached <= measure.bound


@settings(max_examples=50, deadline=None)
@given(groups=st.integers(1, 12), stations=st.integers(2, 7), data=st.data())
def test_a_closed_station_is_left_out_and_the_past_untouched(groups: int, stations: int, data: st.DataObject) -> None:
    """After a closure: worked slots as they were, nobody at the closed station, everybody somewhere in every slot, and
    nobody twice anywhere before they have been at all stations that are open."""
    schedule = plan_circuit(checks.stations(groups, stations))
    played = data.draw(st.integers(0, stations))
    closed = data.draw(st.integers(1, stations))
    changed = checks.closed_after(schedule, played, (closed,))
    assert changed.up_to(played) == schedule.up_to(played)
    assert all(v.station != closed for v in checks.visits(changed) if v.slot > played)
    assert max(v.slot for v in checks.visits(changed)) <= stations
    assert Counter(v.group for v in checks.visits(changed)) == dict.fromkeys(range(1, groups + 1), stations)
    assert max(Counter((v.slot, v.group) for v in checks.visits(changed)).values()) == 1
    for group in range(1, groups + 1):
        way = changed.way_of(group)
        for slot, station in enumerate(way):
            assert station not in way[:slot] or set(way[:slot]) | {closed} == set(range(1, stations + 1))


@pytest.mark.parametrize(("groups", "stations", "played"), [(4, 4, 2), (8, 4, 2), (6, 6, 3), (10, 5, 1)])
def test_after_a_closure_everyone_still_gets_to_every_open_station(groups: int, stations: int, played: int) -> None:
    """One slot a station was planned and one station is gone, so all visits to the others still fit."""
    changed = checks.closed_after(plan_circuit(checks.stations(groups, stations)), played, (stations,))
    for group in range(1, groups + 1):
        assert set(changed.way_of(group)) >= set(range(1, stations))


@pytest.mark.parametrize("wrong", [{"groups": 0}, {"groups": 65}, {"stations": 1}, {"slots": 0}, {"order": "by name"}])
def test_what_cannot_be_worked_is_refused(wrong: dict[str, object]) -> None:
    """Nobody, nowhere, no time: a clear error with what to try."""
    with pytest.raises(InputError, match=r"[;,]"):
        plan_circuit(checks.stations(**({"groups": 8, "stations": 4} | wrong)))  # type: ignore[arg-type]


@pytest.mark.parametrize(("played", "closed"), [(5, (1,)), (-1, (1,)), (1, (5,)), (1, (1, 2, 3, 4))])
def test_a_closure_that_makes_no_sense_is_refused(played: int, closed: tuple[int, ...]) -> None:
    """Slots that are not there, unknown stations, or all stations closed."""
    with pytest.raises(InputError):
        checks.closed_after(plan_circuit(checks.stations(4, 4)), played, closed)


@pytest.mark.parametrize(("groups", "stations"), [(4, 4), (3, 5), (8, 4), (7, 3), (13, 6), (20, 4)])
def test_in_one_direction_everyone_moves_to_the_next_station(groups: int, stations: int) -> None:
    """The cyclic rotation, written down here: group g is at station g + t, counted round, in slot t; no station has
    more than its share, however many groups there are."""
    event = plan_circuit(checks.stations(groups, stations, order="rotation"))
    for group in range(1, groups + 1):
        assert event.way_of(group) == tuple((group - 1 + slot) % stations + 1 for slot in range(stations))
    assert max(len(one.teams) for one in event.assignments) == -(-groups // stations)


@settings(max_examples=60, deadline=None)
@given(groups=st.integers(1, 12), stations=st.integers(2, 7), data=st.data())
def test_one_direction_goes_on_after_a_closure(groups: int, stations: int, data: st.DataObject) -> None:
    """What is over stays; then everyone goes round the open stations in their order, evenly spread, as often as
    something closes or opens; and no measure beats its bound."""
    event = plan_circuit(checks.stations(groups, stations, order="rotation"))
    for _ in range(2):
        played = data.draw(st.integers(event.played, event.slots))
        closed = data.draw(st.sets(st.integers(1, stations), max_size=stations - 1))
        now = checks.closed_after(event, played, tuple(closed), data.draw(st.none() | st.integers(0, 9)))
        assert now.up_to(played) == event.up_to(played)
        around = [station for station in range(1, stations + 1) if station not in closed]
        for group in range(1, groups + 1):
            later = now.way_of(group)[played:]
            assert all(around[(around.index(a) + 1) % len(around)] == b for a, b in pairwise(later))
        small, larger = divmod(groups, len(around))
        for slot in range(played + 1, now.slots + 1):
            at = {one.place: len(one.teams) for one in now.in_slot(slot)}
            assert sum(at.values()) == groups and {at.get(s, 0) for s in around} <= {small, small + bool(larger)}
        for measure in measure_circuit(now):
            assert measure.reached >= measure.bound if measure.better == "low" else measure.reached <= measure.bound
        event = now


def test_with_a_station_closed_each_group_goes_to_the_next_that_is_open() -> None:
    """Six at six, station 3 closes after slot 2: on paper those at 2 and 3 both come to 4, five others go one on."""
    before = plan_circuit(checks.stations(6, 6, order="rotation"))
    now = checks.closed_after(before, 2, (3,))
    was = {group: before.way_of(group)[1] for group in range(1, 7)}
    assert {group: now.way_of(group)[2] for group in range(1, 7)} == {
        group: {1: 2, 2: 4, 3: 4, 4: 5, 5: 6, 6: 1}[station] for group, station in was.items()
    }
