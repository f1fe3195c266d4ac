"""Lessons that are changed: an activity for the same people in the same way keeps its groups and all noted of them.

A new name, other minutes, another date, a round or an activity more or less cost nothing else. Rounds that have begun
stay whatever comes. And two plans side by side: which groups are different.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from grouper.errors import InputError
from grouper.model.noted import Absence, ChosenTask, Note, TaskResult
from grouper.model.plan import Group, Plan, Round
from grouper.model.play import Event
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, Lesson, RoundKey, Unit
from grouper.words import Remedy

OfGroup = TypeVar("OfGroup", TaskResult, ChosenTask)
Moves = Mapping[RoundKey, RoundKey]
"""Where rounds of one unit are in another; those that it has no more are not in it."""


def reshaped(record: ClassRecord, unit: Unit) -> ClassRecord:
    """The record with another unit, and with all that still is of the same activities.

    Raises
    ------
    InputError
        A round that has begun would not be there any more.
    """
    begun = _begun(record, unit)
    moves = {**rounds_kept(record.unit, unit), **begun}
    known = {lesson.number: lesson for lesson in record.unit.lessons}
    places = {now.number: _Places(known[now.number], now) for now in unit.lessons if now.number in known}
    return replace(
        record,
        unit=unit,
        plan=Plan(tuple(sorted(_rounds(record, unit, moves), key=lambda round_: round_.key))),
        results=_moved(record.results, moves),
        chosen_tasks=_moved(record.chosen_tasks, moves),
        events=_renamed(record, unit, moves),
        notes=tuple(sorted(filter(None, (_note(note, places) for note in record.notes)))),
        absences=tuple(filter(None, (_absence(absence, places) for absence in record.absences))),
    )


def rounds_kept(before: Unit, after: Unit) -> dict[RoundKey, RoundKey]:
    """Where the rounds are that need the same groups as before."""
    if before == after:
        return {key: key for key in before.keys}
    known = {lesson.number: lesson for lesson in before.lessons}
    pairs = [(known[lesson.number], lesson) for lesson in after.lessons if lesson.number in known]
    kept: dict[RoundKey, RoundKey] = {}
    for was, now in pairs:
        for place, old in _matched(was, now).items():
            if _shape(was.activities[old]) == _shape(now.activities[place]):
                kept.update(_same_rounds(was, old, now, place))
    leaders, new_leaders = _leaders(before), _leaders(after)
    # Groups that stay are those of another round: where that is another one, they stay no more.
    return {
        old: new
        for old, new in kept.items()
        if before.activity(old).aim != "stay"
        or ((leader := leaders[old]) and new_leaders[new] and kept.get(leader) == new_leaders[new])
    }


def _same_rounds(was: Lesson, old: int, now: Lesson, place: int) -> Iterator[tuple[RoundKey, RoundKey]]:
    for number in range(1, min(was.activities[old].rounds, now.activities[place].rounds) + 1):
        yield RoundKey(was.number, old + 1, number), RoundKey(now.number, place + 1, number)


def _matched(was: Lesson, now: Lesson) -> dict[int, int]:
    """Which activity each one was before: of the same shape and name, of the same shape, of the same name, in order."""
    free = list(range(len(was.activities)))
    found: dict[int, int] = {}
    # From the surest to the least sure, each activity once, so that a swap of two names is no change of groups.
    for of_shape, of_name in ((True, True), (True, False), (False, True), (False, False)):
        for place, activity in enumerate(now.activities):
            fits = (
                one
                for one in free
                if (not of_shape or _shape(was.activities[one]) == _shape(activity))
                and (not of_name or was.activities[one].name == activity.name)
            )
            old = None if place in found else next(fits, None)
            if old is not None:
                found[place] = old
                free.remove(old)
    return found


def _shape(activity: Activity) -> Activity:
    """What decides about the groups of an activity."""
    # By taking out what does not decide: a field that is new decides until somebody says otherwise.
    return replace(activity, name="any", rounds=1, minutes=None, caution="")


def _leaders(unit: Unit) -> dict[RoundKey, RoundKey | None]:
    """The last round before each one, or itself, whose groups do not stay."""
    leader: RoundKey | None = None
    found: dict[RoundKey, RoundKey | None] = {}
    for key in unit.keys:
        leader = leader if unit.activity(key).aim == "stay" else key
        found[key] = leader
    return found


def _begun(record: ClassRecord, unit: Unit) -> dict[RoundKey, RoundKey]:
    """Rounds that have begun, which have to be where they are: another way of grouping is for those after them."""
    numbers = {lesson.number: lesson for lesson in unit.lessons}
    found: dict[RoundKey, RoundKey] = {}
    for number, last in record.begun.items():
        if number in record.taught:
            continue
        was, now = record.lesson(number), numbers.get(number)
        for place, key in enumerate(was.keys[:last], start=1):
            old = was.activities[key.activity - 1]
            # It has to be at its place, in an activity of the same name or shape.
            stays = now is not None and now.keys[place - 1 : place] == (key,)
            new = now.activities[key.activity - 1] if now and stays else None
            if new is None or (old.name != new.name and _shape(old) != _shape(new)):
                what, how = "round {place} of lesson {lesson}, '{activity}', has begun", Remedy.CLOSE_LESSON
                raise InputError(what, how, place=place, lesson=number, activity=old.name, last=last)
            found[key] = key
    return found


def _rounds(record: ClassRecord, unit: Unit, moves: Moves) -> Iterator[Round]:
    for round_ in record.plan.rounds:
        key = moves.get(round_.key)
        if key is not None:
            # A round that has begun may stand in an activity that asks for other groups now: no repair is to change it.
            other = _shape(record.unit.activity(round_.key)) != _shape(unit.activity(key))
            yield replace(round_, key=key, pinned=round_.pinned or other, ran=round_.ran or other)


def _moved(noted: tuple[OfGroup, ...], moves: Moves) -> tuple[OfGroup, ...]:
    found = (replace(one, key=moves[one.key]) for one in noted if one.key in moves)
    return tuple(sorted(found, key=lambda one: one.spot))


def _renamed(record: ClassRecord, unit: Unit, moves: Moves) -> tuple[Event, ...]:
    """Games and stations under the name that their activity has now; where that is gone they stay as they are."""
    found: dict[tuple[int, str, str], Event] = {}
    for event in record.events:
        key = record.key_of(event)
        new = moves.get(key) if key else None
        now = replace(event, activity=unit.activity(new).name, round=new.round) if new else event
        # Two events can come to one name; the one whose activity was followed goes before one that stayed behind.
        if new or now.key not in found:
            found[now.key] = now
    return tuple(found[key] for key in sorted(found))


class _Places:
    """Where the rounds of a lesson, counted from 1 over its activities, are in the lesson as it is now.

    Here a round is the same one in another way of grouping too: who is away is away.
    """

    def __init__(self, was: Lesson, now: Lesson) -> None:
        self.last = len(now.keys)
        self.new = {
            was.keys.index(old) + 1: now.keys.index(new) + 1
            for place, activity in _matched(was, now).items()
            for old, new in _same_rounds(was, activity, now, place)
        }

    def after(self, place: int) -> int:
        """How many of the rounds now come no later than this one did."""
        return max((new for old, new in self.new.items() if old <= place), default=0)


def _note(note: Note, places: Mapping[int, _Places]) -> Note | None:
    if note.lesson not in places or note.place == 0:
        return note if note.lesson in places else None
    new = places[note.lesson].new.get(note.place)
    return replace(note, place=new) if new else None


def _absence(absence: Absence, places: Mapping[int, _Places]) -> Absence | None:
    """An absence from the same rounds on and up to the same ones; whoever was to go early misses what is new later."""
    if absence.lesson not in places:
        return None
    where = places[absence.lesson]
    since = where.after(absence.since - 1) + 1
    until = None if absence.until is None else where.after(absence.until)
    if since > where.last or (until is not None and until < since):
        return None
    return replace(absence, since=since, until=until)


@dataclass(frozen=True)
class RoundChange:
    """What is different in a round: only those groups, before and after, by label."""

    key: RoundKey
    before: tuple[Group, ...]
    after: tuple[Group, ...]


def changes_between(before: Plan, after: Plan) -> tuple[RoundChange, ...]:
    """The rounds that both plans have and in which a group is different, in the order of play."""
    pairs = ((old, after.by_key[old.key]) for old in before.rounds if old.key in after.by_key)
    changes = (
        RoundChange(
            old.key,
            tuple(group for group in old.groups if group not in new.groups),
            tuple(group for group in new.groups if group not in old.groups),
        )
        for old, new in pairs
    )
    return tuple(change for change in changes if change.before or change.after)


def changes_in(before: ClassRecord, after: ClassRecord) -> tuple[RoundChange, ...]:
    """The rounds that both have and in which a group is different; one that only moved in its lesson is the same."""
    moves = rounds_kept(before.unit, after.unit)
    taken = set(moves.values())
    stood = [
        replace(round_, key=moves.get(round_.key, round_.key))
        for round_ in before.plan.rounds
        if round_.key in moves or round_.key not in taken
    ]
    return changes_between(Plan(tuple(sorted(stood, key=lambda round_: round_.key))), after.plan)


def begun_that_change(before: ClassRecord, after: ClassRecord) -> tuple[RoundKey, ...]:
    """Rounds that have begun and would have other groups, or none, in the record ``after``."""
    begun = [round_ for round_ in before.plan.rounds if before.has_begun(round_.key)]
    now = after.plan.by_key
    return tuple(one.key for one in begun if one.key not in now or set(now[one.key].groups) != set(one.groups))
