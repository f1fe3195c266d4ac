"""What has begun stays as it was, by itself: whatever is planned, mended, changed or read anew."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from builders import apart, class_of_eight, key, pairs, roster_of, with_plan

from grouper.errors import InputError
from grouper.model.held import with_what_has_begun
from grouper.model.noted import Absence, TaskResult
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Unit
from grouper.planning.adjust import in_other_groups, with_other_groups
from grouper.planning.admit import NewList, admit_roster, admit_unit
from grouper.planning.attend import absent, join, leave, present, usual_round
from grouper.planning.noting import seen
from grouper.planning.plan import improve_lesson, improve_rest, parted, plan_unit
from grouper.planning.repair import repair
from grouper.words import Remedy

ONE = "ana ben | cem dia | eva fin | gil hana"
BEGUN = (key(1), key(1, 1, 2))


def running() -> ClassRecord:
    """Two lessons of four rounds in pairs, all of them the same, and the second round of the first is running."""
    record = with_plan(class_of_eight(pairs(4), lessons=2), *[ONE] * 8)
    return replace(record, begun={1: 2})


NEW = Student("new", "New")

VERBS: dict[str, Callable[[ClassRecord], ClassRecord]] = {
    "plan": lambda record: plan_unit(record, seed=5, effort="quick").record,
    "plan with a request": lambda record: plan_unit(
        replace(record, requests=(apart("ana", "ben", 2),)), effort="quick"
    ).record,
    "best of the lesson": lambda record: improve_lesson(record, 1).record,
    "better rest": lambda record: improve_rest(record, 0).record,
    "absent": lambda record: absent(record, 1, ("ana",), usual_round(record, 1)).record,
    "back": lambda record: present(absent(record, 1, ("ana",), 3).record, 1, ("ana",), 3).record,
    "a newcomer": lambda record: join(record, NEW, 1).record,
    "a leaver": lambda record: leave(record, "hana", 1).record,
    "import": lambda record: repair(
        admit_roster(record, NewList(Roster((*record.roster.students[:-1], NEW), record.roster.strands))).record
    ).record,
    "fewer groups": lambda record: in_other_groups(record, 1, "Passing", 2).record,
    "two apart": lambda record: parted(record, 1, "ana", "ben", 1),
    "another size": lambda record: admit_unit(record, unit_of(record, Activity("Passing", size=4, rounds=4))),
    "another name": lambda record: admit_unit(record, unit_of(record, pairs(3, name="Catching"))),
    "unavailable": lambda record: repair(
        replace(record, roster=record.roster.with_student(replace(record.roster.by_id["ana"], availability="away")))
    ).record,
}


def unit_of(record: ClassRecord, *activities: Activity) -> Unit:
    """The unit with other activities in the first lesson."""
    return Unit((replace(record.lesson(1), activities=activities), record.lesson(2)))


@pytest.mark.parametrize("verb", VERBS)
def test_rounds_that_have_begun_keep_their_groups(verb: str) -> None:
    """No pin was set; where nothing has begun all but two of these verbs change those very rounds."""
    before, after = running(), VERBS[verb](running())
    assert [after.plan.by_key[at].groups for at in BEGUN] == [before.plan.by_key[at].groups for at in BEGUN]
    assert not any(before.plan.by_key[at].pinned for at in BEGUN)
    free = VERBS[verb](replace(running(), begun={})).plan.by_key
    changes = [at not in free or free[at].groups != before.plan.by_key[at].groups for at in BEGUN]
    assert changes == [verb not in ("another name", "back")] * 2


def test_who_comes_when_it_has_begun_was_not_there_before() -> None:
    """A newcomer belongs to the lesson and is away from what has begun; they are in a group from then on."""
    record = join(running(), NEW, 1).record
    assert record.absences == (Absence(1, "new", "away", 1, "", 2),)
    assert ["new" in round_.students for round_ in record.plan.of_lesson(1)] == [False, False, True, True]


def listed(record: ClassRecord, *students: Student) -> ClassRecord:
    """The class after a roster with these students was read, with groups mended."""
    return repair(admit_roster(record, NewList(Roster(students, record.roster.strands))).record).record


def test_who_leaves_when_it_has_begun_was_there_before() -> None:
    """Hana belongs to the lesson of which she was in two rounds, by a word or by the office's list, and is away after
    them; where nothing has begun she left before it. Back on the same day she has missed what came between."""
    record = running()
    everybody = record.roster.students
    for left in (leave(record, "hana", 1).record, listed(record, *everybody[:-1])):
        assert left.roster.by_id["hana"].last_lesson == 1
        assert left.absences == (Absence(1, "hana", "away", 3),)
        assert [record.state(left.roster.by_id["hana"], key(1, 1, n)) for n in (1, 2)] == ["", ""]
    assert leave(replace(record, begun={}), "hana", 1).record.roster.by_id["hana"].last_lesson == 0
    for back in (listed(left, *everybody), join(left, replace(everybody[-1], last_lesson=None), 1).record):
        assert back.roster.by_id["hana"] == everybody[-1]
        assert back.absences == ()
        assert "hana" in back.plan.by_key[key(1, 1, 3)].students
    later = replace(left, begun={1: 3})
    assert listed(later, *everybody).absences == (Absence(1, "hana", "away", 3, "", 3),)


def test_who_is_said_to_have_been_out_is_taken_out_and_nobody_moves() -> None:
    """The teacher says that ana was away all along: in what has begun ben is alone, as he was."""
    record = absent(running(), 1, ("ana",), 1).record
    assert [group.members for group in record.plan.by_key[key(1)].groups] == [
        ("ben",), ("cem", "dia"), ("eva", "fin"), ("gil", "hana"),
    ]  # fmt: skip


def test_the_usual_round_is_the_next() -> None:
    """The first where none has begun, the last where all have, and none counts in a lesson that has been taught."""
    assert [usual_round(replace(running(), begun={1: last}), 1) for last in (0, 1, 2, 4)] == [1, 2, 3, 4]
    assert usual_round(replace(running(), taught=frozenset({1})), 1) == 1


@pytest.mark.parametrize("activities", [(Activity("Game", groups=2),), (pairs(1),), (pairs(1, name="New"), pairs(4))])
def test_a_lesson_that_would_lose_what_has_begun_is_refused(activities: tuple[Activity, ...]) -> None:
    """With the round, and what to do."""
    record = running()
    if activities[0].name == "New":
        activities = (Activity("New", size=4), pairs(4))
    with pytest.raises(InputError, match=r"round [12] of lesson 1, 'Passing', has begun") as caught:
        admit_unit(record, unit_of(record, *activities))
    assert caught.value.said.remedy is Remedy.CLOSE_LESSON and caught.value.facts["last"] == 2
    with pytest.raises(InputError, match="has begun"):
        admit_unit(record, Unit((record.lesson(2),)))


def test_a_plan_that_was_long_in_the_making_leaves_what_has_begun_meanwhile() -> None:
    """It was asked for before the lesson; two rounds begun since stand as they stood, with what was noted of them."""
    before = with_plan(class_of_eight(pairs(4), Activity("On", aim="stay"), lessons=2), *[ONE] * 10)
    made = plan_unit(before, seed=3, effort="quick").record
    stands = replace(seen(before, TaskResult(key(1, 1, 2), "1", "hard")), begun={1: 2})
    saved = with_what_has_begun(made, stands)
    assert [saved.plan.by_key[at] for at in BEGUN] == [stands.plan.by_key[at] for at in BEGUN]
    assert saved.plan.by_key[key(1, 1, 3)] == made.plan.by_key[key(1, 1, 3)]
    assert saved.results == stands.results
    led = with_what_has_begun(made, replace(before, begun={1: 4}))
    assert led.plan.by_key[key(1, 2, 1)] == before.plan.by_key[key(1, 2, 1)], "groups stay with what has begun"


def test_fewer_groups_are_numbered_without_a_gap() -> None:
    """Twelve pairs made six, then four: they are called 1 to 4, and who had such a number keeps it."""
    record = plan_unit(
        ClassRecord(roster_of(24), Unit((replace(running().lesson(1), activities=(Activity("Game", groups=6),)),))),
        effort="quick",
    ).record
    mended = in_other_groups(record, 1, "Game", 4)
    labels = sorted(group.label for group in mended.record.plan.by_key[key(1)].groups)
    assert labels == ["1", "2", "3", "4"]
    kept = repair(with_other_groups(record, 1, "Game", 4, None)).record.plan.by_key[key(1)]
    now = {group.label: set(group.members) for group in mended.record.plan.by_key[key(1)].groups}
    assert all(now[group.label] == set(group.members) for group in kept.groups if group.label in labels)


@pytest.mark.parametrize("kept", [{"taught": frozenset({1})}, {"plan": None}])
def test_what_was_taught_or_is_pinned_is_not_made_better(kept: dict[str, object]) -> None:
    """The same pairs in every round would be better as others; they stay where they are done, or decided."""
    record = replace(running(), begun={})
    pinned = record.plan.__class__(tuple(replace(each, pinned=True) for each in record.plan.rounds))
    record = replace(record, **({"plan": pinned} if "plan" in kept else kept))  # type: ignore[arg-type]
    after = improve_lesson(record, 1)
    assert after.record.plan.of_lesson(1) == record.plan.of_lesson(1) and after.changes == ()
