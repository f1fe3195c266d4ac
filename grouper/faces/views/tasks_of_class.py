"""Tasks for the teacher alone, in lines: those of a lesson's groups, which activities have levers, what is missing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from grouper.errors import InputError
from grouper.faces.views.names import display_names, label_order, name_order, telling_lines
from grouper.faces.views.students import aside_lines, lesson_names, rounds_of
from grouper.faces.wording.tasks import effects_in_words, lay_out_in_words, short_in_words, task_lines
from grouper.faces.wording.words import number_in_words, points_in_words
from grouper.games.days.groups import activity_meant
from grouper.model.levers import Adaptation
from grouper.model.play import STATIONS
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.privacy.names import find, given_word
from grouper.tasks.adapt import adapted, bears_on, bears_on_a_station, kept_from
from grouper.tasks.kept import (
    class_totals,
    last_total,
    merged,
    own_last,
    set_up,
    uncounted,
    with_cupboard,
    with_two_ways,
)
from grouper.tasks.rounds import lay_out_of_lesson, round_tasks, success_now
from grouper.words import Remedy, folded, listed

FEW = 4
"""So many names are told; a library may hold far more."""


def round_lines(record: ClassRecord, key: RoundKey, names: Mapping[str, str]) -> Iterator[str]:
    """Lines for one round whose activity has levers."""
    found = round_tasks(record, key)
    yield f"Round {record.place_in_lesson(key)}, {record.unit.activity(key).name}:"
    yield from task_lines(found.tasks, sorted(found.tasks, key=label_order), names)
    if found.lay_out:
        yield f"  to lay out: {lay_out_in_words(found.lay_out)}"
    for short in found.short:
        yield f"  {short_in_words(short)}"
    yield from (f"  {line}" for line in aside_lines(record, key, names))


def lesson_lines(record: ClassRecord, lesson: int, activity: str | None = None) -> Iterator[str]:
    """Lines for each round whose activity has levers; with a name, those of this activity alone.

    Raises
    ------
    InputError
        There is no such lesson or activity, it has no groups yet, or no activity meant has levers.
    """
    wanted = activity_meant(record, lesson, activity).name if activity else None
    names = lesson_names(record, lesson)
    told = False
    for round_ in rounds_of(record, lesson):
        name = record.unit.activity(round_.key).name
        told = told or record.scoring(name) is not None
        if wanted in (None, name) and round_tasks(record, round_.key).tasks:
            told = True
            yield from round_lines(record, round_.key, names)
    if not told:
        what = f"'{wanted}' has" if wanted else f"the activities of lesson {lesson} have"
        raise InputError("{what} no tasks yet", Remedy.GIVE_TASKS, what=what)
    if lay_out := lay_out_of_lesson(record, lesson) if wanted is None else ():
        yield f"For the whole lesson, to fetch: {lay_out_in_words(lay_out)}"
    if wanted is None:
        yield from points_lines(record, lesson, names)
    here = {student for round_ in record.plan.of_lesson(lesson) for student in round_.students}
    kept = [one for one in record.adaptations if one.student in here]
    if kept:
        yield "Always kept: " + " ".join(adaptation_lines(record, kept))


def moves_lines(record: ClassRecord) -> Iterator[str]:
    """Which lever of each activity moves this class most, as far as results tell.

    Raises
    ------
    InputError
        No activity has levers.
    """
    told = False
    for challenge in record.challenges:
        success = success_now(record, challenge) if challenge.levers else None
        if success is None:
            continue
        told = True
        for line in effects_in_words(success.effects(), len(success.seen)):
            yield f"{challenge.activity}: {line}"
    if not told:
        raise InputError("no activity of the unit has tasks yet", Remedy.GIVE_TASKS)


def match_lines(record: ClassRecord) -> Iterator[str]:
    """A line on activities with tasks, one on those without, and one on tasks that no activity is called like."""
    names = list(dict.fromkeys(one.name for lesson in record.unit.lessons for one in lesson.activities))
    having = [name for name in names if (own := record.challenge(name)) and own.levers]
    lacking = [name for name in names if name not in having]
    if having:
        yield f"With tasks: {listed(having)}."
    if lacking:
        yield f"Without: {listed(lacking)}."
    yield from rule_lines(record)
    yield from idle_lines(record)
    yield from named_lines(record)
    missing = uncounted(record)
    if missing and record.cupboard:
        yield f"Not in the cupboard's list, so taken to be there: {listed(_few(list(missing)))}."


def rule_lines(record: ClassRecord) -> Iterator[str]:
    """A line for each activity with a way of scoring or with two ways on its cards: what students read."""
    for challenge in record.challenges:
        if challenge.rule:
            yield f"Points in {challenge.activity} ({challenge.scoring}): {challenge.rule}"
        if challenge.two_ways:
            yield f"Cards of {challenge.activity} offer two ways to choose from."


def points_lines(record: ClassRecord, lesson: int, names: Mapping[str, str]) -> Iterator[str]:
    """How points count in the activities of a lesson, and what there is to beat: for the teacher alone."""
    for activity in dict.fromkeys(each.name for each in record.lesson(lesson).activities):
        challenge, scoring = record.challenge(activity), record.scoring(activity)
        if challenge is None or scoring is None:
            continue
        yield f"Points in {activity}: {challenge.rule}"
        if scoring.together:
            yield f"  {class_total_in_words(record, activity, lesson)}"
        elif scoring.alone:
            rounds = (each for each in record.plan.of_lesson(lesson) if record.unit.activity(each.key).name == activity)
            first = next(rounds, None)
            if told := own_last_in_words(record, first.key, first.students, names) if first else "":
                yield f"  {told}"


def class_total_in_words(record: ClassRecord, activity: str, lesson: int) -> str:
    """What the class has together in a lesson and had last time; empty where that is not what counts."""
    scoring = record.scoring(activity)
    if scoring is None or not scoring.together:
        return ""
    now, before = class_totals(record, activity).get(lesson), last_total(record, activity, lesson)
    said = "nothing counted yet" if now is None else points_in_words(now)
    return f"the class: {said}{f', last time {number_in_words(before)}' if before is not None else ''}"


def own_last_in_words(record: ClassRecord, key: RoundKey, members: Iterable[str], names: Mapping[str, str]) -> str:
    """What each of these had last time, by the alphabet, where they are to beat it; for the teacher alone."""
    scoring = record.scoring(record.unit.activity(key).name)
    if scoring is None or not scoring.alone:
        return ""
    had = [(names[who], own_last(record, key, who)) for who in members]
    in_order = sorted(had, key=lambda one: name_order(one[0]))
    told = [f"{name} {number_in_words(points)}" for name, points in in_order if points is not None]
    return f"last time: {', '.join(told)}" if told else ""


def named_lines(record: ClassRecord) -> Iterator[str]:
    """A line for each setting in which the given name of a student stands: a task is for whoever gets it, and all read
    it; and for each name of something that tells how able somebody is held to be.

    A word in small letters is taken for a word: 'mark the line' means no Mark.
    """
    given = {given_word(student.name) for student in record.roster.active} - {""}
    for where, words in _read_by_students(record):
        names = [words[one.start : one.end] for one in find(words, given, whole=True)]
        for name in dict.fromkeys(name for name in names if not name.islower()):
            yield f"'{name}' in {where} is the name of a student, and students read it."
    yield from telling_names(record)


def telling_names(record: ClassRecord) -> Iterator[str]:
    """A line for each name that tells how able somebody is held to be: of activities, levers, places and teams."""
    yield from telling_lines(one.name for lesson in record.unit.lessons for one in lesson.activities)
    yield from telling_lines(lever.name for one in record.challenges for lever in one.levers)
    yield from telling_lines(place for event in record.events for place in event.places)
    yield from telling_lines((name for event in record.events for name in event.called), of_people=True)


def _read_by_students(record: ClassRecord) -> Iterator[tuple[str, str]]:
    """Where something stands that students read of tasks and points, and the words."""
    for challenge in record.challenges:
        for lever in challenge.levers:
            for place, setting in enumerate(lever.settings, start=1):
                yield f"{lever.name} {place} for {challenge.activity}", setting.shown
        yield f"the rule for {challenge.activity}", challenge.own_rule


def idle_lines(record: ClassRecord) -> Iterator[str]:
    """A line on tasks whose activity the unit does not have, as after an activity was given another name."""
    names = {one.name for lesson in record.unit.lessons for one in lesson.activities}
    idle = [each.activity for each in record.challenges if not any(each.fits(name) for name in names)]
    if idle:
        yield f"Tasks are kept, but no activity of the unit is called so: {listed(_few(idle))}."


def adaptation_lines(record: ClassRecord, kept: Iterable[Adaptation]) -> Iterator[str]:
    """What is kept for whom, by the alphabet, and where that changes nothing in any task."""
    names = display_names(record.roster.in_unit, record.roster.in_unit)
    for one in sorted(kept, key=lambda one: (name_order(names.get(one.student, one.student)), one)):
        who = record.roster.by_id.get(one.student)
        gone = " (has left)" if who is None or who.archived else ""
        yield f"{names.get(one.student, one.student)}{gone}: {adaptation_in_words(record, one)}."


def kept_lines(record: ClassRecord, lesson: int, names: Mapping[str, str]) -> Iterator[str]:
    """What is kept for those of a lesson, and at which station and slot somebody needs another task."""
    here = {student for round_ in record.plan.of_lesson(lesson) for student in round_.students}
    yield from adaptation_lines(record, [one for one in record.adaptations if one.student in here])
    for day in record.events:
        round_ = record.round_of(day)
        if day.lesson != lesson or day.kind != STATIONS or round_ is None:
            continue
        for visit in day.assignments:
            name = day.places[visit.place - 1]
            there = {student for team in visit.teams for student in round_.members(day.teams[team - 1])}
            for student in kept_from(record, name, visit.place):
                if student in there:
                    where = f"station {visit.place} ({name})" if name else f"station {visit.place}"
                    yield f"{names[student]} comes to {where} in slot {visit.slot}: another task there."


def adaptation_in_words(record: ClassRecord, one: Adaptation) -> str:
    """What is kept, and where that changes nothing: 'always large ball (in Passing)'."""
    if one.kind == "not at":
        said = f"not at station {one.what}" if one.what.isdecimal() else f"not at {one.what}"
        return said if bears_on_a_station(one, record) else f"{said} (no lesson has such a station yet)"
    said = one.what if one.kind == "also" else f"{one.kind} {one.what}"
    if one.kind == "also" or not record.challenges:
        return said
    where = [each.activity for each in record.challenges if bears_on(one, each)]
    if not where:
        return f"{said} (changes nothing: no lever has such a setting)"
    return f"{said} (in {listed(where)})" if len(where) < FEW else said


def _few(names: list[str]) -> list[str]:
    more = len(names) - FEW
    return [*names[:FEW], f"{more} more"] if more > 1 else names


def known_items(record: ClassRecord) -> tuple[tuple[str, int | None], ...]:
    """The things that levers need and those in the cupboard, each with how many there are, None where not said."""
    counted = {folded(store.item): store.count for store in record.cupboard}
    own = [store.item for store in record.cupboard]
    return tuple((item, counted.get(folded(item))) for item in dict.fromkeys((*own, *uncounted(record))))


def with_invented_tasks(record: ClassRecord, tables: Path) -> ClassRecord:
    """One of the invented classes with levers, ways of scoring, a cupboard and what is kept for children, where its
    folder has them; the cards of its first activity offer two ways."""
    from grouper.files.levers import default_levers, read_adaptations, read_cupboard, read_levers
    from grouper.files.words.levers import kind_of_activity

    if not (tables / "cupboard.csv").exists():
        return record
    library = {one.activity: one for one in default_levers()}
    record = with_cupboard(set_up(record, library, kind_of_activity), read_cupboard(tables / "cupboard.csv").stores)
    first = record.unit.lessons[0].activities[0].name
    record = with_two_ways(merged(record, read_levers(tables / "levers.csv").challenges), first, True)
    return adapted(record, [Adaptation(*row) for row in read_adaptations(tables / "adaptations.csv")])
