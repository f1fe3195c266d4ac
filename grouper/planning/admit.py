"""Take a roster, a unit and requests into a class: what is known stays, who is gone is archived, who is new joins."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from grouper.errors import InputError, require
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student, are_one_name, is_part_of, kept_name, may_be_one
from grouper.model.tags import as_called_in, free_id, with_ids
from grouper.model.unit import Unit
from grouper.planning.attend import first_open_lesson, gone_from, not_there_before, with_the_rest
from grouper.planning.plan import refuse_impossible
from grouper.planning.recognise import NOBODY_SAID, Told, recognised, refuse_doubts
from grouper.planning.repair import Repair, repair
from grouper.planning.requests import refuse_contradictions
from grouper.planning.reshape import reshaped
from grouper.words import Remedy, Said

MOST_COMPARED = 2500
"""Where so many went and came that there are more pairs of them it is another class, and nobody is mistyped."""


@dataclass(frozen=True)
class NewList:
    """A roster read anew, and what can be told from the file.

    Parameters
    ----------
    roster
        The students on it.
    ids_made
        Whether the file has no ids, so that those who are known keep theirs.
    columns
        Which of ``size_band`` and ``availability`` it has; of the others what is known stays.
    """

    roster: Roster
    ids_made: bool = False
    columns: frozenset[str] = frozenset({"size_band", "availability"})


@dataclass(frozen=True)
class Admission:
    """A record with the new roster, who joined, came back or was archived, by name, and a word on who was recognised
    though id or name is another one, and on who is new and has, or nearly has, the name of another."""

    record: ClassRecord
    joined: tuple[str, ...] = ()
    archived: tuple[str, ...] = ()
    said: tuple[Said, ...] = ()


def admit_roster(record: ClassRecord, new: NewList, told: Told = NOBODY_SAID) -> Admission:
    """The class with a roster read anew, from the first lesson on that has not been taught.

    The same people are the same people, by name where the ids are others: all that is theirs follows them. Students who
    are no longer on it are archived and keep their history; strands that it lacks keep their ratings.

    Raises
    ------
    InputError
        It is not sure who is who, or what was told of it makes no sense.
    """
    found = recognised(record.roster, new.roster, told)
    refuse_doubts(found.doubts)
    known = found.known
    listed = new.roster.students
    if new.ids_made:
        listed = tuple(replace(student, id=known.get(student.id, student.id)) for student in listed)
        # From here on those who are known go by the ids that they have had, as the file has none.
        known = {id_: id_ for id_ in known.values()}
    called = with_ids(record, _new_ids(record.roster, listed, known))
    fresh = {student.id: student for student in listed}
    start = first_open_lesson(record)
    students = tuple(
        _updated(student, fresh[student.id], start, new.columns) if student.id in fresh else student
        for student in called.roster.students
    )
    joined = [replace(s, first_lesson=start if record.taught else 1) for s in listed if s.id not in known]
    strands = tuple(dict.fromkeys((*new.roster.strands, *record.roster.strands)))
    pairs = tuple(zip(record.roster.students, students, strict=True))
    gone = [now for now in students if now.id not in fresh and not now.archived]
    back = [now for was, now in pairs if was.archived and not now.archived]
    merged = replace(called, roster=Roster((*students, *joined), strands))
    merged = gone_from(merged, [student.id for student in gone], start)
    merged = not_there_before(merged, [s.id for s in (*joined, *back)], start, called)
    said = (*_recognised(pairs), *_alike(gone, joined), *_namesakes(merged.roster, joined))
    return Admission(merged, tuple(s.name for s in (*joined, *back)), tuple(s.name for s in gone), said)


def _new_ids(before: Roster, listed: tuple[Student, ...], known: Mapping[str, str]) -> dict[str, str]:
    """Old ids to new ones; one that belongs to somebody else now is left to them."""
    ids = {was: now for now, was in known.items()}
    # An id of somebody who has left may come again for a newcomer: the past is not to become theirs.
    taken = {student.id for student in listed} | before.by_id.keys()
    for student in before.students:
        if student.id not in ids and any(student.id == other.id for other in listed):
            ids[student.id] = free_id(student.id, taken)
            taken.add(ids[student.id])
    return ids


def _updated(known: Student, fresh: Student, start: int, columns: frozenset[str]) -> Student:
    return replace(
        known.back_from(start),
        name=kept_name(known.name, fresh.name),
        ratings={**known.ratings, **fresh.ratings},
        size_band=fresh.size_band if "size_band" in columns else known.size_band,
        availability=fresh.availability if "availability" in columns else known.availability,
    )


def _recognised(pairs: tuple[tuple[Student, Student], ...]) -> Iterator[Said]:
    for was, now in pairs:
        ids = f" (id {was.id}, now {now.id})" if was.id != now.id else ""
        if was.name != now.name:
            yield Said("{was}{ids} is now called {now}", facts={"was": was.name, "now": now.name, "ids": ids})
        elif ids and not now.archived:
            yield Said("{now} is the same student under another id{ids}", facts={"now": now.name, "ids": ids})


def _alike(gone: list[Student], joined: list[Student]) -> Iterator[Said]:
    """Who went and who came with names that are nearly one: perhaps one student, mistyped."""
    if len(gone) * len(joined) > MOST_COMPARED:
        return
    for was in gone:
        for now in joined:
            if may_be_one(was.name, now.name) or is_part_of(was.name, now.name):
                yield Said(
                    "{was} is archived and {now} is new",
                    Remedy.SAME_STUDENT,
                    {"was": was.name, "now": now.name, "old": was.id, "new": now.id},
                )


def _namesakes(roster: Roster, joined: list[Student]) -> Iterator[Said]:
    for student in joined:
        others = [o for o in roster.students if o.id != student.id and are_one_name(o.name, student.name)]
        if others:
            ids = ", ".join(f"{other.id}{', who has left' if other.archived else ''}" for other in others)
            yield Said(
                "{name} ({id}) is new and has the name of another student ({ids})",
                facts={"name": student.name, "id": student.id, "ids": ids},
            )


def admit_unit(record: ClassRecord, unit: Unit) -> ClassRecord:
    """The class with a unit read anew: taught lessons stay as they were taught.

    Lessons that the new unit no longer has lose their groups; of those that it has with other activities, each activity
    keeps them that still is for the same people in the same way (see ``reshape``).

    Raises
    ------
    InputError
        The new unit lacks a lesson that has been taught, or a round that has begun.
    """
    taught = record.taught
    lessons = tuple(record.lesson(one.number) if one.number in taught else one for one in unit.lessons)
    missing = record.taught - {lesson.number for lesson in lessons}
    if missing:
        raise InputError(
            "lesson {min} has been taught and is missing", "leave taught lessons in the table", min=min(missing)
        )
    return reshaped(record, Unit(lessons))


def with_rest(record: ClassRecord, lesson: int, target: int) -> ClassRecord:
    """What was left of a lesson that ended early stands at the beginning of another, to be planned.

    Raises
    ------
    InputError
        Nothing was left or it has been put somewhere already, or the other lesson has been taught or has begun.
    """
    unheld = next((one for one in record.unheld if one.lesson == lesson), None)
    if unheld is None:
        raise InputError("nothing is left of lesson {lesson}", Remedy.SAY_WHERE_IT_ENDED, lesson=lesson)
    if unheld.rest_in in {each.number for each in record.unit.lessons}:
        raise InputError(
            "what was left of lesson {lesson} is in lesson {rest_in} already", lesson=lesson, rest_in=unheld.rest_in
        )
    away = "what is left of lesson {lesson} cannot go into lesson {lesson} itself"
    require(target != lesson, away, "put it into a lesson to come", lesson=lesson)
    record.check_open(target)
    taken = {activity.name for activity in record.lesson(target).activities}
    left = [replace(a, name=f"{a.name}, from lesson {lesson}") if a.name in taken else a for a in unheld.rest]
    lessons = tuple(
        replace(each, activities=(*left, *each.activities)) if each.number == target else each
        for each in record.unit.lessons
    )
    planned = reshaped(record, Unit(lessons))
    others = tuple(one for one in record.unheld if one != unheld)
    there = sorted((*others, replace(unheld, rest_in=target)), key=lambda one: one.lesson)
    return replace(planned, unheld=tuple(there))


def admit_requests(record: ClassRecord, requests: tuple[Request, ...]) -> ClassRecord:
    """The class with requests read anew in the place of those that it had."""
    return replace(record, requests=requests)


def brought_in(before: ClassRecord, record: ClassRecord) -> Repair:
    """A record that was given people or requests, with the groups to come mended; ``before`` is what it was.

    Lessons after the next one are planned again where other people take part in them.
    Rounds that have no groups yet wait for the next plan, which must be possible.

    Raises
    ------
    ImpossibleError
        The requests cannot all be met; the smallest set that clashes is named.
    """
    new = as_called_in(before, record.roster).requests != record.requests
    if new:
        refuse_contradictions(record)
    mended = repair(record, before=before)
    # A plan that cannot be made would else be found out days later, on the morning of the lesson.
    waiting = any(key not in record.plan.by_key and key.lesson not in record.taught for key in record.unit.keys)
    if new and waiting:
        refuse_impossible(mended.record)
    return with_the_rest(as_called_in(before, record.roster), mended)
