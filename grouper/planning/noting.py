"""What a teacher writes down after a round: a note, and how the task of a group went; both may come long after."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace

from grouper.errors import InputError
from grouper.model.noted import ChosenTask, Note, TaskResult
from grouper.model.plan import Plan
from grouper.model.record import ClassRecord
from grouper.planning.reshape import rounds_kept
from grouper.words import Said


def noted(record: ClassRecord, lesson: int, place: int, text: str) -> ClassRecord:
    """The record with a note in the place of the one before; an empty text takes it away.

    ``place`` is a round of the lesson, counted from 1 over its activities, or 0 for the whole lesson.

    Raises
    ------
    InputError
        There is no such lesson or round, or the text is too long.
    """
    rounds = len(record.lesson(lesson).keys)
    if not 0 <= place <= rounds:
        raise InputError(
            "lesson {lesson} has rounds 1 to {rounds}, not {place}", lesson=lesson, rounds=rounds, place=place
        )
    others = [note for note in record.notes if (note.lesson, note.place) != (lesson, place)]
    new = [Note(lesson, place, text.strip())] if text.strip() else []
    return replace(record, notes=tuple(sorted([*others, *new])))


def note_of(record: ClassRecord, lesson: int, place: int = 0) -> str:
    """The note on a round of a lesson, or on the whole of it; empty where there is none."""
    return next((note.text for note in record.notes if (note.lesson, note.place) == (lesson, place)), "")


def seen(record: ClassRecord, result: TaskResult) -> ClassRecord:
    """The record with what was seen of a group's task, in the place of what was seen of it before.

    The round has been played then: it is pinned, so that planning anew makes no other groups of it.

    Raises
    ------
    InputError
        The round has no groups, or none with this label.
    """
    round_ = record.plan.by_key.get(result.key)
    labels = [group.label for group in round_.groups] if round_ else []
    if result.label not in labels:
        known = f"its groups are {', '.join(labels)}" if labels else "it has no groups"
        where = f"round {result.key.round} of lesson {result.key.lesson}"
        raise InputError("{where} has no group '{label}'", "{known}", where=where, label=result.label, known=known)
    pinned = record.plan.with_rounds({result.key: replace(round_, pinned=True)}) if round_ else record.plan
    results = sorted([*unseen(record, result).results, result], key=lambda one: one.spot)
    return replace(record, plan=pinned, results=tuple(results))


def without_stale(record: ClassRecord, before: Plan) -> ClassRecord:
    """The record without what was seen of, or chosen for, groups that are others now than in the plan ``before``.

    A result is about the people who worked together, and would speak of others where a round was planned or mended
    anew. (Where a round is only ``corrected``, it was about those people all along, and stays.) A chosen step is for
    the group as a whole, and stays while more than half of those are in it for whom it was chosen.
    """

    def same(result: TaskResult) -> bool:
        return _members(record.plan, result) == _members(before, result)

    def much_the_same(chosen: ChosenTask) -> bool:
        then = set(chosen.members)
        return 2 * len(then & _members(record.plan, chosen)) > len(then)

    results = tuple(filter(same, record.results))
    return replace(record, results=results, chosen_tasks=tuple(filter(much_the_same, record.chosen_tasks)))


def dropped(before: ClassRecord, after: ClassRecord) -> Iterator[Said]:
    """A word on each result and each chosen step that is there no more, as others are in the group, for each
    pinned round whose groups are gone, and for notes and absences that went with a round or lesson.

    None where another unit has begun: what ends with a unit is said before it is ended.
    """
    if after.past != before.past:
        return
    moves = rounds_kept(before.unit, after.unit)

    def is_gone(one: TaskResult | ChosenTask, left: Iterable[TaskResult | ChosenTask]) -> bool:
        key = moves.get(one.key, one.key)
        if any(other.spot == (key, one.label) for other in left):
            return False
        return _members(before.plan, one) != _members(after.plan, replace(one, key=key))

    for result in before.results:
        if is_gone(result, after.results):
            yield Said("How the task went for {group} is dropped, as {why}.", facts=_facts(before, after, result))
    for chosen in before.chosen_tasks:
        if is_gone(chosen, after.chosen_tasks):
            yield Said("The task chosen for {group} is dropped, as {why}.", facts=_facts(before, after, chosen))
    for round_ in before.plan.rounds:
        if round_.pinned and moves.get(round_.key, round_.key) not in after.plan.by_key:
            place = before.place_in_lesson(round_.key)
            facts = {"lesson": round_.key.lesson, "place": place}
            yield Said("The pinned groups of lesson {lesson}, round {place} are gone.", facts=facts)
    if before.unit != after.unit:
        yield from _gone_with_rounds(before, after)


def _gone_with_rounds(before: ClassRecord, after: ClassRecord) -> Iterator[Said]:
    left = Counter((note.lesson, note.text) for note in after.notes)
    for note in before.notes:
        left[(note.lesson, note.text)] -= 1
        if left[(note.lesson, note.text)] < 0:
            where = f"round {note.place} of lesson {note.lesson}" if note.place else f"lesson {note.lesson}"
            yield Said("The note on {where} is dropped with it: {note}", facts={"where": where, "note": note.text})
    for lesson in before.unit.lessons:
        was, now = ({a.student for a in each.absences if a.lesson == lesson.number} for each in (before, after))
        names = tuple(before.roster.name(student) for student in sorted(was - now))
        if names:
            yield Said(
                "What was said of who is away in lesson {lesson} is dropped: {names}.",
                facts={"lesson": lesson.number, "names": names},
            )


def _facts(before: ClassRecord, after: ClassRecord, of_group: TaskResult | ChosenTask) -> dict[str, str]:
    is_gone = of_group.key not in after.plan.by_key
    place = before.place_in_lesson(of_group.key)
    return {
        "group": f"group {of_group.label} in lesson {of_group.key.lesson}, round {place}",
        "why": "that round has no groups any more" if is_gone else "the group has other members now",
    }


def _members(plan: Plan, of_group: TaskResult | ChosenTask) -> frozenset[str]:
    return frozenset(plan.members(of_group.key, of_group.label))


def unseen(record: ClassRecord, result: TaskResult) -> ClassRecord:
    """The record without what was seen of that group in that round; the round stays pinned."""
    return replace(record, results=tuple(other for other in record.results if other.spot != result.spot))
