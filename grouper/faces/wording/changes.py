"""What was changed, in words: by a repair, by a lesson that ended early, at the end of a unit, by what was accepted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from grouper.faces.wording.words import lessons_in_words, number_in_words, points_in_words
from grouper.model.ledger import COACH
from grouper.model.noted import TaskResult
from grouper.model.plan import Group
from grouper.model.record import ClassRecord, Unheld
from grouper.model.unit import RoundKey
from grouper.planning.ran import lasts
from grouper.planning.repair import Repair
from grouper.planning.requests import request_in_words
from grouper.planning.reshape import RoundChange
from grouper.words import Remedy, Said, counted, listed

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
        yield f"The groups of {lessons_in_words(lessons)} have changed."


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
        verb = "comes before it and is" if len(earlier) == 1 else "come before it and are"
        yield f"{which[:1].upper()}{which[1:]} {verb} not closed; planning may still change {them}."


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


def unheld_of(record: ClassRecord, lesson: int) -> Unheld | None:
    """What lies aside of a lesson that ended early; None where it did not."""
    return next((one for one in record.unheld if one.lesson == lesson), None)


def rounds_not_held(unheld: Unheld) -> str:
    """Such as 'Rounds 4 to 6 were not held'."""
    first, last = unheld.after + 1, unheld.last
    return f"Round {first} was not held" if first == last else f"Rounds {first} to {last} were not held"


def rest_in_words(unheld: Unheld) -> str:
    """The activities that were left, such as 'Passing (2 rounds) and Game (1 round)'."""
    return listed([f"{activity.name} ({counted(activity.rounds, 'round')})" for activity in unheld.rest])


def rest_twice_lines(before: ClassRecord, after: ClassRecord, lesson: int) -> Iterator[str]:
    """A word where more was held than was said when the rest was put into another lesson."""
    was, now = unheld_of(before, lesson), unheld_of(after, lesson)
    if was is not None and was.rest_in is not None and (now is None or now.after > was.after):
        yield f"What was left had been put into lesson {was.rest_in}; take out there what was held after all."


def held_lines(record: ClassRecord, lesson: int) -> Iterator[str | Said]:
    """What was not held of a lesson, and what can be done with it; nothing where it was held to its end."""
    unheld = unheld_of(record, lesson)
    if unheld is None:
        return
    yield f"{rounds_not_held(unheld)} and count{'s' * (unheld.after + 1 == unheld.last)} nowhere."
    if unheld.rest_in is None:
        yield Said("Left over: {rest}", Remedy.PUT_REST, {"rest": rest_in_words(unheld), "lesson": lesson})
    else:
        waits = any(key.lesson == unheld.rest_in and key not in record.plan.by_key for key in record.unit.keys)
        facts = {"rest": rest_in_words(unheld), "into": unheld.rest_in}
        remedy = Remedy.PLAN_LESSONS if waits else ""
        yield Said("What was left, {rest}, is in lesson {into} now", remedy, facts)
    for note in unheld.notes:
        yield f"  note on round {note.place}: {note.text}"


def ending_lines(record: ClassRecord) -> Iterator[str]:
    """A line for each kind of thing that the next unit will not have."""
    untaught = [lesson for lesson in record.unit.lessons if lesson.number not in record.taught]
    if untaught:
        yield f"{counted(len(untaught), 'lesson')} not taught: the groups planned for them are forgotten"
    for count, noun, nouns in (
        (len(record.absences), "absence", ""),
        (len(record.notes), "note", ""),
        (len(record.results), "word on a task", "words on tasks"),
        (len(record.chosen_tasks), "chosen step", ""),
        (sum(len(day.scored) for day in record.games), "score", ""),
    ):
        if count:
            yield counted(count, noun, nouns)
    for request in record.requests:
        if not lasts(request):
            yield f"the request for {request_in_words(record.roster, request)}"


def accepted_in_words(count: int, strands: Sequence[str]) -> str:
    """What was accepted, without a name, for the log of changes.

    >>> accepted_in_words(2, ["throwing"])
    '2 suggested ratings accepted in throwing'
    """
    return f"{counted(count, 'suggested rating')} accepted in {listed(strands)}"


def task_in_words(result: TaskResult) -> str:
    """How a task went, such as 'group 3: too hard, 7 of 10'."""
    felt = {"easy": "too easy", "hard": "too hard"}.get(result.felt, result.felt)
    hits = f"{result.hits} of {number_in_words(result.tries)}" if result.tries else ""
    points = "" if result.points is None else points_in_words(result.points, result.lost)
    return f"group {result.label}: {', '.join(part for part in (felt, hits, points) if part)}"
