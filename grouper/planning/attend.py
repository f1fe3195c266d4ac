"""On the day: who is away, aside or back, and who joins or leaves the class; each ends in a repair."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from grouper.errors import InputError, require
from grouper.model.noted import LATE, Absence, merged
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.roster import Student, are_one_name, is_renamed, kept_name, name_words
from grouper.model.texts import called
from grouper.planning.noting import dropped, without_stale
from grouper.planning.repair import Repair, repair
from grouper.planning.reshape import changes_between
from grouper.rules.referee import judge


def absent(record: ClassRecord, lesson: int, students: tuple[str, ...], since: int = 1) -> Repair:
    """Students who are away from a lesson, from its round ``since`` on; its groups are mended with fewest moves.

    What was said of them for earlier rounds stays: somebody can come late and go to the nurse later.

    Raises
    ------
    InputError
        There is no such lesson or student, the lesson has been taught, or a student is away already.
    ImpossibleError
        The requests cannot all be met without them.
    """
    return _out(record, lesson, students, Absence(lesson, "", "away", since))


def late(
    record: ClassRecord, lesson: int, students: tuple[str, ...], since: int = 1, until: int | None = None
) -> Repair:
    """Students who are away up to round ``until``, or until they come, which ``present`` says; else like ``absent``."""
    return _out(record, lesson, students, Absence(lesson, "", "away", since, LATE, until))


def aside(record: ClassRecord, lesson: int, students: tuple[str, ...], role: str, since: int = 1) -> Repair:
    """Students who are there and take no part, each with a role such as scorer; otherwise like ``absent``.

    InputError also where the role is blank, or longer than anybody would say.
    """
    role = called(role, "the role")
    return _out(record, lesson, students, Absence(lesson, "", "aside", since, role))


def _out(record: ClassRecord, lesson: int, students: tuple[str, ...], absence: Absence) -> Repair:
    record.check_open(lesson)
    record.round_at(lesson, absence.since)
    for student in students:
        name = record.roster.name(student)
        if not record.roster.by_id[student].belongs_in(lesson):
            raise InputError("{name} is not in the class in lesson {lesson}", name=name, lesson=lesson)
        own = replace(absence, student=student)
        if own in record.absences:
            what = "{name} is marked as {state} in lesson {lesson} already"
            raise InputError(what, name=name, state=own.state, lesson=lesson)
        # The same said from another round on puts right what was said before.
        said = record.absences_of(student, lesson)
        others = [was for was in said if was.until or (was.state, was.role) != (own.state, own.role)]
        record = _with_absences(record, lesson, student, [*_until(others, own.since), own])
    return repair(record)


def _until(absences: Iterable[Absence], since: int) -> list[Absence]:
    """What absences leave of the rounds before ``since``."""
    began = [absence for absence in absences if absence.since < since]
    return [a if a.until and a.until < since else replace(a, until=since - 1) for a in began]


def _with_absences(record: ClassRecord, lesson: int, student: str, absences: list[Absence]) -> ClassRecord:
    others = [a for a in record.absences if (a.lesson, a.student) != (lesson, student)]
    ordered = sorted([*others, *merged(absences)], key=lambda a: (a.lesson, a.student, a.since))
    return replace(record, absences=tuple(ordered))


def present(record: ClassRecord, lesson: int, students: tuple[str, ...], since: int = 1) -> Repair:
    """Students are there after all, or again from round ``since`` on: rounds before it stay as they were.

    Where all who were planned are there, the planned groups come back.

    Raises
    ------
    InputError
        There is no such lesson, round or student, the lesson has been taught, or a student is not marked as absent in
        these rounds.
    """
    record.check_open(lesson)
    record.round_at(lesson, since)
    before = record
    for student in students:
        absences = record.absences_of(student, lesson)
        kept = _until(absences, since)
        if kept == list(absences):
            later, name = f" from round {since} on" if since > 1 else "", record.roster.name(student)
            what = "{name} is not marked as absent in lesson {lesson}{later}"
            raise InputError(what, name=name, lesson=lesson, later=later)
        record = _with_absences(record, lesson, student, kept)
    restored = _restored(record, lesson)
    mended = repair(restored)
    remarks = (*dropped(before, restored), *mended.remarks)
    return replace(mended, changes=changes_between(before.plan, mended.record.plan), remarks=remarks)


def _restored(record: ClassRecord, lesson: int) -> ClassRecord:
    """Planned groups in the rounds for which they fit again, unless the referee now objects to them."""
    back = {
        round_.key: replace(round_, groups=round_.as_known(round_.planned))
        for round_ in record.plan.of_lesson(lesson)
        if {s for g in round_.planned for s in g.members} == set(record.taking_part(round_.key))
        and set(round_.students) != set(record.taking_part(round_.key))
        and not round_.ran
        and not record.has_begun(round_.key)
    }
    restored = without_stale(replace(record, plan=record.plan.with_rounds(back)), record.plan)
    # A request may have come in between, which the groups as they were planned do not keep.
    fine = judge(problem_of(restored, frozenset(back)), restored.plan).accepted
    return restored if fine else record


def join(record: ClassRecord, student: Student, lesson: int, until: int | None = None) -> Repair:
    """A student who is new from a lesson on, or back under the id that they had; ``until`` is their last lesson.

    The lesson is mended with fewest moves; later ones that are not yet taught are planned again, with few changes.

    Raises
    ------
    InputError
        The lesson has been taught, the name is none, or the id is or was somebody else's.
    """
    _check_from(record, lesson)
    check_name(student.name)
    known = record.roster.by_id.get(student.id)
    if known is not None:
        if not known.archived or not is_renamed(known.name, student.name):
            same = not known.archived and are_one_name(known.name, student.name)
            require(not same, "{name} ({id}) is in the class already", name=known.name, id=known.id)
            verb = "belonged" if known.archived else "belongs"
            what, now = "the id '{id}' {verb} to {name}", student.name
            remedy = "give {student_name} another one"
            raise InputError(what, remedy, id=student.id, verb=verb, name=known.name, student_name=now)
        ratings = {**known.ratings, **student.ratings}
        student = replace(known.back_from(lesson), name=kept_name(known.name, student.name), ratings=ratings)
    else:
        student = replace(student, first_lesson=lesson, last_lesson=None)
    strands = tuple(dict.fromkeys((*record.roster.strands, *student.ratings)))
    roster = record.roster.with_student(replace(student, last_lesson=until))
    joined = replace(record, roster=replace(roster, strands=strands))
    return with_the_rest(record, repair(not_there_before(joined, (student.id,), lesson, record)), lesson)


def with_the_rest(before: ClassRecord, mended: Repair, today: int | None = None) -> Repair:
    """A class that was mended for today because somebody joined or left, with the later lessons planned again."""
    # Loads the whole search, which a word on who is away today never needs.
    from grouper.planning.planned_in import planned_in

    return planned_in(before, mended, first_open_lesson(before) if today is None else today)


def not_there_before(
    record: ClassRecord, newcomers: Iterable[str], lesson: int, before: ClassRecord | None = None
) -> ClassRecord:
    """Newcomers from a lesson on were not there for those of its rounds that have begun already.

    Who had left in the middle of this lesson, as it was ``before``, is there again from the next round on.
    """
    begun = record.begun_in(lesson) if _is_in_unit(record, lesson) else 0
    if not begun:
        return record
    until = begun if begun < len(record.lesson(lesson).keys) else None
    for student in newcomers:
        stood = before.roster.by_id.get(student) if before else None
        if stood and stood.last_lesson == lesson:
            back = _until(record.absences_of(student, lesson), begun + 1)
            record = _with_absences(record, lesson, student, back)
        elif not record.absences_of(student, lesson):
            record = _with_absences(record, lesson, student, [Absence(lesson, student, "away", 1, "", until)])
    return record


def usual_round(record: ClassRecord, lesson: int) -> int:
    """The round of a lesson from which on a word counts that names none: the next, where one has begun."""
    begun = record.begun_in(lesson)
    return min(begun + 1, len(record.lesson(lesson).keys)) if begun else 1


def check_name(name: str) -> None:
    """Stop where a newcomer's name has no word in it (InputError)."""
    if not name_words(name):
        raise InputError("'{name}' is no name", "write the name of the student", name=name)


def namesakes(record: ClassRecord, name: str, student: str = "") -> tuple[Student, ...]:
    """Those with this name, however it is written, but for one student (id); who is in the class stands first."""
    alike = [s for s in record.roster.students if s.id != student and are_one_name(s.name, name)]
    return tuple(sorted(alike, key=lambda s: s.archived))


def leave(record: ClassRecord, student: str, lesson: int) -> Repair:
    """A student who is gone from a lesson on and is archived: the past keeps them.

    The lesson is mended with fewest moves; later ones that are not yet taught are planned again, with few changes.

    Raises
    ------
    InputError
        The lesson has been taught, or the student has left already.
    """
    _check_from(record, lesson)
    leaver = record.roster.by_id[student]
    if leaver.archived:
        raise InputError("{name} has left the class already", name=leaver.name)
    return with_the_rest(record, repair(gone_from(record, (student,), lesson)), lesson)


def gone_from(record: ClassRecord, students: Iterable[str], lesson: int) -> ClassRecord:
    """The record without students (ids) from a lesson on; who was there for what has begun of it belongs to it still,
    and is away from then on."""
    begun = record.begun_in(lesson) if _is_in_unit(record, lesson) else 0
    there = {student for round_ in record.plan.of_lesson(lesson)[:begun] for student in round_.students}
    for student in students:
        # Who stood in a round that has begun belongs to this lesson still, or the ledger would lose what really ran.
        last = lesson if student in there else lesson - 1
        gone = replace(record.roster.by_id[student], last_lesson=last)
        record = replace(record, roster=record.roster.with_student(gone))
        if student in there and begun < len(record.lesson(lesson).keys):
            before = _until(record.absences_of(student, lesson), begun + 1)
            away = Absence(lesson, student, "away", begun + 1)
            record = _with_absences(record, lesson, student, [*before, away])
    return record


def _is_in_unit(record: ClassRecord, lesson: int) -> bool:
    return any(each.number == lesson for each in record.unit.lessons)


def _check_from(record: ClassRecord, lesson: int) -> None:
    """Somebody joins or leaves from an open lesson on, or from the next one where it has not been made yet."""
    if lesson != first_open_lesson(record):
        record.check_open(lesson)


def first_open_lesson(record: ClassRecord) -> int:
    """The first lesson after all that have been taught; one beyond the last where all have been."""
    return max(record.taught, default=0) + 1


def leaving_lesson(record: ClassRecord) -> int | None:
    """The first lesson after all that have been taught; None where the unit has none left."""
    open_from = first_open_lesson(record)
    return next((lesson.number for lesson in record.unit.lessons if lesson.number >= open_from), None)


def out_of_class(record: ClassRecord, student: str) -> Repair:
    """The record without the student (id) in any lesson to come, its groups mended; as it is where they left before.

    Raises
    ------
    ImpossibleError
        The requests of the others cannot all be met without them.
    """
    person = record.roster.by_id[student]
    if person.archived:
        return Repair(record)
    lesson = leaving_lesson(record)
    if lesson is not None:
        return leave(record, student, lesson)
    gone = replace(person, last_lesson=first_open_lesson(record) - 1)
    return Repair(replace(record, roster=record.roster.with_student(gone)))
