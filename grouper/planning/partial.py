"""Some rounds alone are made anew: the lessons to come, all of one lesson, or those in which two would meet who are not
to work together any more."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from grouper.errors import InputError
from grouper.model.ledger import Ledger, ledger_of
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.unit import RoundKey
from grouper.planning.adjust import swapped
from grouper.planning.plan import plan_unit
from grouper.planning.repair import Repair
from grouper.planning.reshape import changes_between


def improve_rest(record: ClassRecord, after: int, effort: str = "quick") -> Repair:
    """The lessons after lesson ``after`` that are neither taught nor pinned, planned again from how they stand.

    Repeats are put off to later lessons, as these will be planned again themselves.
    """
    return _improved(record, lambda key: key.lesson > after, effort, put_off=True)


def improve_lesson(
    record: ClassRecord, lesson: int, since: int = 1, effort: str = "quick", then_the_rest: bool = False
) -> Repair:
    """The rounds of a lesson from its round ``since`` on, made as good as can be, whoever has to move.

    Where the lessons after it are planned again next, ``then_the_rest``, how they stand now counts little.
    """

    def meant(key: RoundKey) -> bool:
        return key.lesson == lesson and record.place_in_lesson(key) >= since

    return _improved(record, meant, effort, put_off=then_the_rest)


def _improved(record: ClassRecord, meant: Callable[[RoundKey], bool], effort: str, put_off: bool) -> Repair:
    free = frozenset(
        round_.key
        for round_ in record.plan.rounds
        if round_.key.lesson not in record.taught
        and not round_.pinned
        and not record.has_begun(round_.key)
        and meant(round_.key)
    )
    if not free:
        return Repair(record)
    improved = plan_unit(record, effort=effort, free=free, put_off=put_off).record
    return Repair(improved, changes_between(record.plan, improved.plan))


TRIED = 12
"""How many exchanges of a round are put before the referee, the most promising first."""


def parted(record: ClassRecord, lesson: int, one: str, other: str, since: int = 1) -> ClassRecord:
    """The record with a request to keep two apart, and with the rounds in which they would meet mended by a swap each.

    Rounds of the lesson before ``since`` stay as they are; those that are mended by a swap are pinned.

    Raises
    ------
    InputError
        The two are one, or the lesson has been taught.
    ImpossibleError
        In some round the two cannot be parted, for reasons that the error gives.
    """
    if one == other:
        raise InputError("two different students are needed; tap another name")
    record.check_open(lesson)
    asked = Request("apart", one, other, first_lesson=lesson)
    result = replace(record, requests=(*record.requests, asked))
    for key in _together(result, lesson, one, other, since):
        result = _with_swap(result, key, one, other)
    return result


def _together(record: ClassRecord, lesson: int, one: str, other: str, since: int) -> list[RoundKey]:
    return [
        round_.key
        for round_ in record.plan.rounds
        if round_.key.lesson not in record.taught
        and not record.has_begun(round_.key)
        and (round_.key.lesson > lesson or (round_.key.lesson == lesson and _place(record, round_.key) >= since))
        and _is_with(round_, one, other)
    ]


def _place(record: ClassRecord, key: RoundKey) -> int:
    return record.place_in_lesson(key)


def _is_with(round_: Round, one: str, other: str) -> bool:
    group = round_.group_of(one)
    return group is not None and other in group.members


def _with_swap(record: ClassRecord, key: RoundKey, one: str, other: str) -> ClassRecord:
    place = _place(record, key)
    ledger = ledger_of(round_ for round_ in record.plan.rounds if round_.key != key)
    offers = sorted(_offers(record.plan.by_key[key], ledger, one, other))[:TRIED]
    for _cost, mover, partner in offers:
        swap = swapped(record, key.lesson, mover, partner, place)
        if not swap.breaches:
            return swap.record
    return plan_unit(record, effort="quick", free=frozenset({key})).record


def _offers(round_: Round, ledger: Ledger, one: str, other: str) -> Iterator[tuple[int, str, str]]:
    """Every exchange of one of the two with somebody of another group, by how often the new partners have met."""
    home = round_.group_of(one)
    for mover in (one, other):
        for group in round_.groups:
            if home is None or group == home:
                continue
            for partner in group.members:
                yield _met(ledger, home, mover, partner) + _met(ledger, group, partner, mover), mover, partner


def _met(ledger: Ledger, group: Group, goes: str, comes: str) -> int:
    return sum(ledger.met(comes, student) for student in group.members if student != goes)
