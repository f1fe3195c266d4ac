"""A child who is not to be at a station: the rotation goes round it, and so does what is planned anew."""

from __future__ import annotations

from collections import Counter

import pytest
from builders import class_of

from grouper.games.circuits import plan_circuit, replan_circuit
from grouper.games.days.groups import of_class
from grouper.games.days.plan import planned_in
from grouper.model.levers import Adaptation
from grouper.model.play import STATIONS, Asked, Event, Setback
from grouper.model.unit import Activity
from grouper.planning.adjust import swapped
from grouper.planning.plan import plan_unit
from grouper.tasks.adapt import adapted, rotations_kept, visits_kept_from


def circuit(groups: int, stations: int, slots: int | None = None, order: str = "balanced") -> Event:
    teams = tuple(map(str, range(1, groups + 1)))
    return Event(STATIONS, teams, ("",) * stations, asked=Asked(slots=slots, order=order))


def visits(event: Event) -> Counter[tuple[int, int]]:
    return Counter((group, one.place) for one in event.assignments for group in one.teams)


def nobody_waits(event: Event, first: int = 1) -> bool:
    """Every group is somewhere in each slot, and stations differ by a group at most."""
    for slot in range(first, event.slots + 1):
        crowd = [len(one.teams) for one in event.in_slot(slot)]
        crowd += [0] * (len(event.open_places) - len(crowd))
        if sum(crowd) != len(event.teams) or max(crowd) - min(crowd) > 1:
            return False
    return True


@pytest.mark.parametrize(("groups", "stations", "slots"), [(4, 4, 3), (6, 6, 4), (5, 6, 6), (8, 4, 3), (3, 4, 4)])
@pytest.mark.parametrize("at", [1, 2, 4])
def test_a_group_is_not_where_it_is_not_to_be(groups: int, stations: int, slots: int, at: int) -> None:
    """It goes to all others as far as slots allow; everybody works in every slot, and nobody else is worse off for it
    where there are fewer slots than stations."""
    event = plan_circuit(circuit(groups, stations, slots), frozenset({(2, at)}))
    been = visits(event)
    assert (2, at) not in been and nobody_waits(event) and event.slots == slots
    if slots < stations:
        assert all(times == 1 for times in been.values())


def test_where_all_stations_are_done_one_is_done_again_in_its_place() -> None:
    """Four groups at four stations in four slots: nothing else can be, and one visit again is all that it takes."""
    event = plan_circuit(circuit(4, 4), frozenset({(3, 4)}))
    been = visits(event)
    assert (3, 4) not in been and nobody_waits(event)
    again = sum(times - 1 for times in been.values())
    assert again == 2, "group 3 is somewhere twice, and another one at station 4"


def test_two_are_kept_from_two_stations() -> None:
    """Each from its own."""
    event = plan_circuit(circuit(6, 6, 5), frozenset({(1, 3), (4, 6)}))
    assert not {(1, 3), (4, 6)} & set(visits(event)) and nobody_waits(event)


@pytest.mark.parametrize("played", [1, 2])
def test_a_closed_station_changes_nothing_of_it(played: int) -> None:
    """What is planned anew after a setback goes round it too."""
    kept = frozenset({(2, 4)})
    before = plan_circuit(circuit(6, 6), kept)
    after = replan_circuit(before, played, Setback((1,)), kept)
    assert (2, 4) not in visits(after) and nobody_waits(after, played + 1)


def test_without_anybody_kept_nothing_is_other() -> None:
    """The same circuits as ever."""
    for groups, stations in ((4, 4), (8, 4), (5, 6)):
        assert plan_circuit(circuit(groups, stations), frozenset()) == plan_circuit(circuit(groups, stations))


def test_moving_on_in_one_direction_enters_where_the_station_is_left_out() -> None:
    """Four of six stations: somebody leaves out each, and the one who is kept from it does."""
    event = plan_circuit(circuit(6, 6, 4, order="rotation"), frozenset({(5, 2)}))
    assert (5, 2) not in visits(event) and nobody_waits(event)


def test_the_child_of_a_class_is_kept_from_the_station() -> None:
    """By what is kept for the child, wherever the child is grouped; the class file says nothing of it in the event."""
    record = plan_unit(class_of(16, Activity("Circuit", size=4)), effort="quick").record
    record = adapted(record, [Adaptation("s05", "not at", "4"), Adaptation("s09", "not at", "rope")])
    wish = Event(STATIONS, (), ("Bench", "Rope", "Ball", ""), asked=Asked(order="balanced"))
    wish = of_class(record, wish, 1, None)
    kept = visits_kept_from(record, wish)
    record, event = planned_in(record, wish, kept_from=kept)
    (round_,) = record.plan.rounds
    for student, place in (("s05", 4), ("s09", 2)):
        group = round_.group_of(student)
        assert group and (event.teams.index(group.label) + 1, place) not in visits(event)
    assert len(kept) == 2


def test_a_repair_that_moves_the_child_plans_the_rotation_round_the_station_again() -> None:
    """Kim is swapped into another group: the rotation of a lesson to come is planned anew, so that Kim is not there."""
    record = plan_unit(class_of(16, Activity("Circuit", size=4)), effort="quick").record
    record = adapted(record, [Adaptation("s05", "not at", "4")])
    wish = of_class(record, Event(STATIONS, (), ("",) * 4, asked=Asked(order="balanced", slots=3)), 1, None)
    record, _ = planned_in(record, wish, kept_from=visits_kept_from(record, wish))
    own = record.plan.rounds[0].group_of("s05")
    assert own
    for other in sorted(set(record.roster.by_id) - set(own.members)):
        after = swapped(record, 1, "s05", other, None).record
        kept = rotations_kept(after, record)
        (event,) = kept.events
        assert not visits_kept_from(kept, event) & set(visits(event))
    assert rotations_kept(record, record) is record
