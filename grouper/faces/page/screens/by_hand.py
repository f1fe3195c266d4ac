"""Groups changed by hand at the door: two names swap, one moves to another group, a round is pinned.

What is worse for it is shown before, and in two ways, as students may look at the door. The tiles say 'worse' and never
why, so that nobody can read off them who is to be apart from whom. The question after the second tap says how many
requests would not be kept, not whose. That teams would be less even is said nowhere here: it tells who is stronger.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

from flask import Blueprint
from werkzeug.wrappers import Response

from grouper.errors import GrouperError, InputError
from grouper.faces.page.desk import Done, Verb
from grouper.faces.page.remedies import said_here
from grouper.faces.page.state import AskFirst, change, is_sure, known, see, whole
from grouper.faces.page.state import field as typed
from grouper.model.record import ClassRecord
from grouper.planning.adjust import Swap, moved, pinned, rounds_meant, swapped
from grouper.words import counted

by_hand = Blueprint("by_hand", __name__, url_prefix="/c/<name>/lesson/<int:number>")

Change = Callable[[ClassRecord], tuple[Swap, str]]


@dataclass(frozen=True)
class Ahead:
    """What the next tap would do, for the name that was tapped first.

    ``worse`` are the students, and the groups by label, with or in whom it would be worse; ``open`` the groups that
    the student could move to.
    """

    place: int = 0
    student: str = ""
    worse: frozenset[str] = field(default_factory=frozenset)
    open: frozenset[str] = field(default_factory=frozenset)
    worse_groups: frozenset[str] = field(default_factory=frozenset)


def ahead(record: ClassRecord, lesson: int, first: str, alone: bool) -> Ahead:
    """Every swap and every move of the name that was tapped first, tried out."""
    place, student = _place_and_what(first)
    rounds = {record.place_in_lesson(each.key): each for each in record.plan.of_lesson(lesson)}
    if place not in rounds or lesson in record.taught:
        return Ahead()
    round_ = rounds[place]
    own = round_.group_of(student)
    worse, may, worse_groups = set(), set(), set()
    for group in round_.groups:
        if own is None or group == own:
            continue
        # A move that is refused is no choice, so that its group is not offered.
        with suppress(InputError):
            made = moved(record, lesson, student, group.label, place)
            may.add(group.label)
            if in_sight_of_all(made):
                worse_groups.add(group.label)
        for other in group.members:
            # Why a swap cannot be is said where it is tapped; here it is only not marked as worse.
            with suppress(GrouperError):
                if in_sight_of_all(_swapped(record, lesson, student, other, place, alone)):
                    worse.add(other)
    return Ahead(place, student, frozenset(worse), frozenset(may), frozenset(worse_groups))


def in_sight_of_all(swap: Swap) -> tuple[str, ...]:
    """What a change makes worse, as it may stand where students look."""
    lines = [f"{counted(swap.repeats, 'more repeat')} of partners"] if swap.repeats > 0 else []
    broken = len({(breach.rule, frozenset(breach.students)) for breach in swap.breaches})
    if broken:
        lines.insert(0, f"{counted(broken, 'request')} would not be kept; see which, with the unit")
    return (*lines, *said_here(swap.dropped))


def _swapped(record: ClassRecord, lesson: int, one: str, other: str, place: int, alone: bool) -> Swap:
    """In a round alone, or from it on."""
    if alone:
        return swapped(record, lesson, one, other, number=place)
    return swapped(record, lesson, one, other, since=place)


@by_hand.post("/swap")
def swap(name: str, number: int) -> Response:
    """A name in the groups was tapped: the first of two, the same again, or the second, and they swap."""
    place, student = _place_and_what(typed("who"))
    first_place, first = _place_and_what(typed("first"))
    if not first or first_place != place:
        return see("door.lesson", name=name, number=number, **_chosen(typed("who")))
    if first == student:
        return see("door.lesson", name=name, number=number, **_chosen())
    alone = typed("counts") == "alone"

    def made(record: ClassRecord) -> tuple[Swap, str]:
        names = f"{known(record, first).name} and {known(record, student).name}"
        where = f"in round {place}" if alone else f"from round {place} on"
        return _swapped(record, number, first, student, place, alone), f"{names} swap {where}"

    return _carried_out(name, number, made, "Swap them all the same")


@by_hand.post("/move")
def move(name: str, number: int) -> Response:
    """A group was tapped after a name: whoever it is goes there."""
    place, label = _place_and_what(typed("to"))
    first_place, student = _place_and_what(typed("first"))
    if not student or first_place != place:
        raise InputError("tap a name first, and then the number of another group in the same round")

    def made(record: ClassRecord) -> tuple[Swap, str]:
        said = f"{known(record, student).name} moves to group {label} in round {place}"
        return moved(record, number, student, label, place), said

    return _carried_out(name, number, made, "Move them all the same")


def _carried_out(name: str, number: int, by_hand: Change, yes: str) -> Response:
    """The change is made; where something is worse for it, after a question."""

    def verb(record: ClassRecord) -> Done:
        made, words = by_hand(record)
        worse = in_sight_of_all(made)
        if worse and not is_sure():
            raise AskFirst("{change}. That makes something worse:", worse, yes, change=words)
        return made.record, words

    return _changed(name, number, verb)


@by_hand.post("/pin")
def pin(name: str, number: int) -> Response:
    """A round is pinned, so that planning leaves it, or let go of where it was."""
    place = whole("pin", 0)

    def verb(record: ClassRecord) -> Done:
        (key,) = rounds_meant(record, number, place)
        record.check_open(number)
        now = not record.plan.by_key[key].pinned
        return pinned(record, number, place, now), f"round {place} is {'pinned' if now else 'not pinned any more'}"

    return _changed(name, number, verb)


def _place_and_what(text: str) -> tuple[int, str]:
    """A round and a student or a group in it, as a button says them."""
    place, _, what = text.partition(":")
    return (int(place) if place.isdecimal() and len(place) < 10 else 0), what


def _changed(name: str, number: int, verb: Verb) -> Response:
    return change("door.lesson", name, verb, in_sight=True, at_door=True, number=number, **_chosen())


def _chosen(first: str = "") -> dict[str, Any]:
    """What the door goes on showing: groups to be changed by hand, and the first of two who was tapped."""
    return {"hand": "1", "first": first, "counts": "alone" if typed("counts") == "alone" else ""}
