"""Repair: after somebody is absent, back, new or gone, the rounds are mended with as few moves as can be.

What decides, in this order: hard wishes hold; as few students as possible change their group; the gap window and even
teams; the trio goes to whoever has had fewest; new partners; and for who comes back, the groups as they were planned.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from grouper.errors import ImpossibleError
from grouper.model.plan import Group, Plan, Round
from grouper.model.problem import Problem, problem_of
from grouper.model.record import ClassRecord
from grouper.model.renumbering import as_called_in
from grouper.model.unit import RoundKey
from grouper.planning.boards import board_for
from grouper.planning.compare import RoundChange, changes_between
from grouper.planning.loosen import alone_where_needed, loosened
from grouper.planning.mending import mended_groups
from grouper.planning.noting import dropped, without_stale
from grouper.planning.requests import broken_requests
from grouper.planning.roles import with_roles
from grouper.rules.referee import insist
from grouper.words import Said


@dataclass(frozen=True)
class Repair:
    """A mended record, what changed in it, and a word on what could not be kept."""

    record: ClassRecord
    changes: tuple[RoundChange, ...] = ()
    remarks: tuple[Said, ...] = ()


def repair(record: ClassRecord, pinned_only: bool = False, before: ClassRecord | None = None) -> Repair:
    """Mend every round to come whose groups do not fit who takes part, have not the right sizes, or break a request.

    A pinned round breaks a request because the teacher decided so, and is left; unless the request came with what
    changed since ``before``. With ``pinned_only`` just the pinned ones, as before a new plan of all others.

    Raises
    ------
    ImpossibleError
        The requests cannot all be met with those who are there.
    """
    left = _as_they_ran(record)
    stale = frozenset(_stale(left, pinned_only)) | frozenset(_against_requests(left, pinned_only, before))
    if not stale:
        return Repair(left, changes_between(record.plan, left.plan), tuple(dropped(record, left)))
    problem, remarks = loosened(problem_of(left, stale))
    problem, plan, alone = _mended_with_those_left(left, problem)
    insist(problem, plan)
    mended = without_stale(replace(left, plan=plan), record.plan)
    said = (*remarks, *alone, *dropped(record, mended))
    return Repair(mended, changes_between(record.plan, plan), said)


def _mended_with_those_left(record: ClassRecord, problem: Problem) -> tuple[Problem, Plan, tuple[Said, ...]]:
    """The mended plan, for the problem in which somebody works alone where absences leave no other way, with a word."""
    try:
        return problem, _mended(problem, record.plan), ()
    except ImpossibleError:
        smaller, remarks = alone_where_needed(record, problem)
        if not remarks:
            raise
        return smaller, _mended(smaller, record.plan), remarks


def _as_they_ran(record: ClassRecord) -> ClassRecord:
    """The record in which rounds that stand as they ran have lost who was not there after all, and nothing else.

    Those that have begun lose whom the teacher says to have been out of them, and keep whoever has left the class.
    """
    rounds = {}
    for round_ in record.plan.rounds:
        begun = record.has_begun(round_.key)
        if (round_.ran and round_.key.lesson not in record.taught) or begun:
            there = _not_said_to_be_out(record, round_) if begun else set(record.taking_part(round_.key))
            if not there.issuperset(round_.students):
                rounds[round_.key] = replace(round_, groups=tuple(_those_there(round_, there)))
    if not rounds:
        return record
    return without_stale(replace(record, plan=record.plan.with_rounds(rounds)), record.plan)


def _not_said_to_be_out(record: ClassRecord, round_: Round) -> set[str]:
    place, lesson = record.place_in_lesson(round_.key), round_.key.lesson
    out = {absence.student for absence in record.absences if absence.lesson == lesson and absence.covers(place)}
    return set(round_.students) - out


def _those_there(round_: Round, there: set[str]) -> Iterator[Group]:
    for group in round_.groups:
        kept = [(member, group.role(member)) for member in group.members if member in there]
        if kept:
            roles = tuple(role for _, role in kept) if group.roles else ()
            yield replace(group, members=tuple(member for member, _ in kept), roles=roles)


def _stale(record: ClassRecord, pinned_only: bool) -> Iterable[RoundKey]:
    open_rounds = [
        round_
        for round_ in record.plan.rounds
        if round_.key.lesson not in record.taught
        and (round_.pinned or not pinned_only)
        and not record.has_begun(round_.key)
    ]
    wanted = problem_of(record, frozenset(round_.key for round_ in open_rounds)).by_key
    for round_ in open_rounds:
        spec = wanted[round_.key]
        other_sizes = round_.sizes != spec.sizes and not round_.ran
        if set(round_.students) != set(spec.students) or other_sizes:
            yield round_.key


def _against_requests(record: ClassRecord, pinned_only: bool, before: ClassRecord | None) -> Iterator[RoundKey]:
    """Rounds to come that break a request, those that were decided by hand left out."""
    was = as_called_in(before, record.roster) if before else record
    stood = {(breach.key, breach.students) for breach in broken_requests(was)}
    for breach in broken_requests(record):
        round_ = record.plan.by_key[breach.key]
        pinned_so = round_.pinned and (breach.key, breach.students) in stood
        decided = round_.ran or pinned_so or record.has_begun(breach.key)
        if breach.key.lesson not in record.taught and not decided and (round_.pinned or not pinned_only):
            yield breach.key


def _mended(problem: Problem, plan: Plan) -> Plan:
    board = board_for(problem)
    unchanged: set[tuple[RoundKey, str]] = set()
    for spec in problem.rounds:
        if spec.fixed is None:
            stood = plan.by_key[spec.key]
            groups = mended_groups(problem, board, spec, plan)
            unchanged |= {(spec.key, group.label) for group in groups if group in stood.groups}
            plan = plan.with_rounds({spec.key: replace(stood, groups=groups)})
    return with_roles(problem, plan, frozenset(unchanged))
