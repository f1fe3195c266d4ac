"""Which rounds were held: where a lesson ended early, what came after lies aside and counts nowhere.

The record's lesson, its rounds and all that was noted of them are then those that were held, so that whoever counts,
plans or shows anything needs to know nothing of this. What lies aside can be put back, or planned in another lesson.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from operator import attrgetter
from typing import TypeVar

from grouper.errors import InputError, InUseError
from grouper.model.noted import Absence, ChosenTask, TaskResult
from grouper.model.record import ClassRecord, Unheld, split
from grouper.model.unit import Activity, Lesson, RoundKey, Unit

Noted = TypeVar("Noted")
OfGroup = TypeVar("OfGroup", TaskResult, ChosenTask)


def held_up_to(record: ClassRecord, lesson: int, after: int, rest_in: int | None = None) -> ClassRecord:
    """The record in which a lesson ended after its round ``after``, counted over its activities from 1.

    Raises
    ------
    InputError
        There is no such lesson or round.
    """
    record = whole(record, lesson)
    all_of_it = record.lesson(lesson)
    if not 1 <= after <= len(all_of_it.keys):
        none = "; where no round was held, give the lesson another date, or leave it out" if after == 0 else ""
        what, count = "lesson {lesson} has rounds 1 to {count}, not {after}{none}", len(all_of_it.keys)
        raise InputError(what, lesson=lesson, count=count, after=after, none=none)
    if after == len(all_of_it.keys):
        return record
    unheld = _unheld(record, all_of_it, after, rest_in)
    held = tuple(replace(activity, rounds=count) for activity, count, _ in split(unheld.planned, after) if count)
    gone = set(unheld.rounds)
    return replace(
        record,
        unit=_with_activities(record.unit, lesson, held),
        plan=replace(record.plan, rounds=tuple(round_ for round_ in record.plan.rounds if round_ not in gone)),
        results=_without(record.results, unheld.results),
        chosen_tasks=_without(record.chosen_tasks, unheld.chosen_tasks),
        events=_without(record.events, unheld.events),
        notes=_without(record.notes, unheld.notes),
        absences=tuple(
            clipped
            for absence in record.absences
            if (clipped := _clipped(absence, after) if absence.lesson == lesson else absence)
        ),
        unheld=tuple(sorted((*record.unheld, unheld), key=lambda one: one.lesson)),
    )


def _unheld(record: ClassRecord, lesson: Lesson, after: int, rest_in: int | None) -> Unheld:
    keys = set(lesson.keys[after:])
    number = lesson.number
    return Unheld(
        number,
        after,
        lesson.activities,
        tuple(round_ for round_ in record.plan.rounds if round_.key in keys),
        tuple(result for result in record.results if result.key in keys),
        tuple(chosen for chosen in record.chosen_tasks if chosen.key in keys),
        tuple(one for one in record.events if record.key_of(one) in keys),
        tuple(note for note in record.notes if note.lesson == number and note.place > after),
        tuple(a for a in record.absences if a.lesson == number and _clipped(a, after) != a),
        rest_in,
    )


def _clipped(absence: Absence, last: int) -> Absence | None:
    """An absence in a lesson whose last round is this one."""
    if absence.since > last:
        return None
    return replace(absence, until=None) if absence.until is not None and absence.until >= last else absence


def _without(noted: tuple[Noted, ...], gone: tuple[Noted, ...]) -> tuple[Noted, ...]:
    return tuple(one for one in noted if one not in gone) if gone else noted


def _with_activities(unit: Unit, number: int, activities: tuple[Activity, ...]) -> Unit:
    lessons = (replace(each, activities=activities) if each.number == number else each for each in unit.lessons)
    return Unit(tuple(lessons))


def whole(record: ClassRecord, lesson: int | None = None) -> ClassRecord:
    """The record with all that was not held of a lesson put back, or of every lesson."""
    for unheld in record.unheld:
        if lesson in (None, unheld.lesson):
            by_group = attrgetter("key", "label")
            record = replace(
                record,
                unit=_with_activities(record.unit, unheld.lesson, unheld.planned),
                plan=record.plan.with_rounds({round_.key: round_ for round_ in unheld.rounds}),
                results=tuple(sorted((*record.results, *unheld.results), key=by_group)),
                chosen_tasks=tuple(sorted((*record.chosen_tasks, *unheld.chosen_tasks), key=by_group)),
                events=tuple(sorted((*record.events, *unheld.events), key=attrgetter("key"))),
                notes=tuple(sorted((*record.notes, *unheld.notes))),
                absences=_absences_put_back(record.absences, unheld),
                unheld=tuple(one for one in record.unheld if one != unheld),
            )
    return record


def _absences_put_back(absences: tuple[Absence, ...], unheld: Unheld) -> tuple[Absence, ...]:
    """As they were said; what was said since of the rounds that were held goes first."""
    as_said = {_clipped(one, unheld.after): one for one in unheld.absences if one.since <= unheld.after}
    back = [as_said.get(absence, absence) for absence in absences]
    gone_for_good = {one.student for one in back if one.lesson == unheld.lesson and one.until is None}
    later = [one for one in unheld.absences if one.since > unheld.after and one.student not in gone_for_good]
    if not unheld.absences:
        return absences
    return tuple(sorted([*back, *later], key=lambda one: (one.lesson, one.student, one.since)))


def throughout(record: ClassRecord, change: Callable[[ClassRecord], ClassRecord]) -> ClassRecord:
    """The record with a change made to all of it, what was not held included."""
    changed = change(whole(record))
    for unheld in record.unheld:
        changed = held_up_to(changed, unheld.lesson, unheld.after, unheld.rest_in)
    return changed


def with_what_has_begun(record: ClassRecord, stands: ClassRecord) -> ClassRecord:
    """The record, which took long to make, with the rounds as they stand that have begun meanwhile.

    Rounds whose groups are to be the same as in one of them stand with it, as does what was noted of all of these.

    Raises
    ------
    InUseError
        The record has such a round no more, or another in its place.
    """
    if record.past != stands.past:
        return record  # another unit: its lessons go by the same numbers and are others
    known = {lesson.number: lesson for lesson in record.unit.lessons}
    keys = {key for key in stands.unit.keys if stands.has_begun(key) and not record.has_begun(key)}
    keys = {key for key in keys if key.lesson not in record.taught}
    for number in sorted({key.lesson for key in keys}):
        if known.get(number) != stands.lesson(number):
            raise InUseError(
                "lesson {number} has begun meanwhile, and nothing was changed", "run this again", number=number
            )
    leader: RoundKey | None = None
    for key in record.unit.keys:
        stays = record.unit.activity(key).aim == "stay"
        leader = leader if stays else key
        keys |= {key} if stays and leader in keys else set()
    rounds = {key: stands.plan.by_key[key] for key in keys if key in stands.plan.by_key}
    return replace(
        record,
        plan=record.plan.with_rounds(rounds) if rounds else record.plan,
        results=_of_these(record.results, stands.results, keys),
        chosen_tasks=_of_these(record.chosen_tasks, stands.chosen_tasks, keys),
    )


def _of_these(noted: tuple[OfGroup, ...], stands: tuple[OfGroup, ...], keys: set[RoundKey]) -> tuple[OfGroup, ...]:
    """What was noted, with that of these rounds as it stands."""
    found = [one for one in noted if one.key not in keys]
    found += [one for one in stands if one.key in keys]
    return tuple(sorted(found, key=lambda one: one.spot))
