"""Ratings and requests as they are tapped in: small changes of a record."""

from __future__ import annotations

from dataclasses import replace

from grouper.errors import InputError
from grouper.faces.page.verbs import Done, known, new_id
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import AVAILABILITIES, Student
from grouper.planning.admit import brought_in
from grouper.planning.attend import check_name, join, leave
from grouper.planning.repair import repair

AS_IT_IS = "as it is"
"""What a form says that leaves it alone whether a student takes part."""

STEPS = (1, 2, 3, 4, 5)
"""The steps that can be tapped."""


def rated(record: ClassRecord, student: str, strand: str, value: float | None) -> Done:
    """A student's rating in a strand, or none."""
    person = known(record, student)
    if strand not in record.roster.strands:
        raise InputError(f"there is no rating '{strand}'; add it first")
    ratings = {name: number for name, number in person.ratings.items() if name != strand}
    if value is not None:
        ratings[strand] = value
    roster = record.roster.with_student(replace(person, ratings=ratings))
    said = "not rated" if value is None else f"{value:g}"
    return replace(record, roster=roster), f"{person.name} in {strand}: {said}"


def with_strand(record: ClassRecord, strand: str) -> Done:
    """One more rated skill."""
    if not strand or strand in record.roster.strands:
        raise InputError("give the rating a name that no other has, such as throwing")
    return replace(record, roster=replace(record.roster, strands=(*record.roster.strands, strand))), f"strand {strand}"


def renamed(record: ClassRecord, student: str, name: str, availability: str) -> Done:
    """A student's name, and whether they take part until further notice; groups not yet taught are mended."""
    person = known(record, student)
    if availability == AS_IT_IS:
        availability = person.availability
    if availability not in AVAILABILITIES:
        raise InputError("choose whether they take part, sit out or are away")
    changed = replace(person, name=name or person.name, availability=availability)
    after = record.roster.with_student(changed)
    said = availability or "takes part"
    return repair(replace(record, roster=after)).record, f"{changed.name}: {said}"


def joins(record: ClassRecord, name: str, lesson: int, who: str = "") -> Done:
    """Somebody is new in the class from a lesson on; ``who`` is the id of one who has left and is back.

    Raises
    ------
    InputError
        There is no name.
    """
    check_name(name)
    known_before = record.roster.by_id.get(who)
    student = Student(who or new_id(record, "new"), known_before.name if known_before else name)
    return join(record, student, lesson).record, f"{name} is {'back' if who else 'new'} in the class"


def leaves(record: ClassRecord, student: str, lesson: int) -> Done:
    """Somebody is in the class no more from a lesson on; the past keeps them."""
    name = known(record, student).name
    return leave(record, student, lesson).record, f"{name} has left the class"


def asked(record: ClassRecord, request: Request) -> Done:
    """One more request; groups to come that are against it are mended, those that run or ran stay.

    Raises
    ------
    InputError
        It is there already.
    ImpossibleError
        It cannot be met together with the others.
    """
    one, other = (known(record, student).name for student in request.pair)
    if request in record.requests:
        raise InputError(f"this request for {one} and {other} is there already")
    after = replace(record, requests=(*record.requests, request))
    return brought_in(record, after).record, f"request: {one} and {other} {request.kind}"


def unasked(record: ClassRecord, place: int, pair: tuple[str, str]) -> Done:
    """A request is taken back; ``pair`` is whose it was when the teacher saw it."""
    if not 0 <= place < len(record.requests) or record.requests[place].pair != pair:
        raise InputError("the requests were changed meanwhile; look at them again")
    kept = tuple(request for number, request in enumerate(record.requests) if number != place)
    return replace(record, requests=kept), "a request was taken back"
