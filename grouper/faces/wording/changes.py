"""What a repair changed, in words: only that, and nothing of what stayed."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.faces.wording.words import lessons_in_words
from grouper.model.ledger import COACH
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.repair import Repair
from grouper.planning.reshape import RoundChange
from grouper.words import Remedy, Said, listed

NOBODY = "nobody takes part"


def repair_lines(repair: Repair) -> Iterator[str | Said]:
    """A line for each round that changed, with its groups below; a line where nothing had to."""
    if not repair.changes:
        yield "No group had to change."
    for change in repair.changes:
        yield from change_lines(repair.record, change)
    yield from repair.remarks


def change_lines(record: ClassRecord, change: RoundChange) -> Iterator[str]:
    """The title of a round, and below it the groups that are different."""
    yield round_title(record, change.key)
    yield from (f"  {line}" for line in _group_lines(record, change))


def rest_line(changes: tuple[RoundChange, ...]) -> Said:
    """In which later lessons groups changed, without the groups: nobody needs them today."""
    lessons = list(dict.fromkeys(change.key.lesson for change in changes))
    if not lessons:
        return Said("Later lessons: nothing to improve.")
    which = lessons_in_words(lessons)
    return Said("Later lessons: groups are better now in {lessons}.", Remedy.SEE_GROUPS, {"lessons": which})


def lessons_changed_line(changes: tuple[RoundChange, ...]) -> Iterator[str]:
    """In which lessons groups are others; nothing where in none."""
    lessons = list(dict.fromkeys(change.key.lesson for change in changes))
    if lessons:
        yield f"Groups are others now in {lessons_in_words(lessons)}."


def begun_in_words(record: ClassRecord, begun: tuple[RoundKey, ...]) -> str:
    """Such as 'round 1 and 2 of lesson 3, which have begun,'."""
    lesson = begun[0].lesson
    places = [str(record.place_in_lesson(key)) for key in begun if key.lesson == lesson]
    several = len(places) > 1
    return f"round{'s' * several} {listed(places)} of lesson {lesson}, which {'have' if several else 'has'} begun,"


def round_title(record: ClassRecord, key: RoundKey) -> str:
    """Which round, for a person: counted over the lesson as on sheets and for --round, left out where it is the only
    one."""
    several = len(record.lesson(key.lesson).keys) > 1
    number = f", round {record.place_in_lesson(key)}" if several else ""
    return f"Lesson {key.lesson}, {record.unit.activity(key).name}{number}"


def still_open_lines(record: ClassRecord, lesson: int) -> Iterator[str]:
    """A line on lessons before this one that are not closed: plans take them for lessons to come."""
    earlier = [each.number for each in record.unit.lessons if each.number < lesson and each.number not in record.taught]
    if earlier:
        which, them = lessons_in_words(earlier), "it" if len(earlier) == 1 else "them"
        verb = "is" if len(earlier) == 1 else "are"
        yield f"{which[:1].upper()}{which[1:]} {verb} not closed, though before it; planning may still change {them}."


def _group_lines(record: ClassRecord, change: RoundChange) -> Iterator[str]:
    if not record.plan.by_key[change.key].groups:
        yield NOBODY
        return
    after = {group.label for group in change.after}
    for group in change.after:
        yield f"group {group.label}: {group_in_words(record, group)}"
    for group in change.before:
        if group.label not in after:
            yield f"group {group.label}: taken apart"



def group_in_words(record: ClassRecord, group: Group) -> str:
    """The names of a group; who begins as coach is marked."""
    names = [record.roster.name(student) for student in group.members]
    if COACH in group.roles:
        names[group.roles.index(COACH)] += " (coach first)"
    return listed(names)
