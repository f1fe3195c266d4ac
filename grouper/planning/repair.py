"""Repair: after somebody is absent, back, new or gone, the rounds are mended with as few moves as can be.

What decides, in this order: hard wishes hold; as few students as possible change their group; the gap window and even
teams; the trio goes to whoever has had fewest; new partners; and for who comes back, the groups as they were planned.
What is out of reach with those who are there is loosened by as little as can be, with a word: a gap window is widened
for the round, and where those who are left cannot be kept apart, somebody works alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

from grouper.engines.exact import Answer
from grouper.errors import ImpossibleError
from grouper.model.plan import Plan
from grouper.model.problem import Problem, RoundSpec, problem_of
from grouper.model.record import ClassRecord
from grouper.model.tags import as_called_in
from grouper.model.unit import Activity, RoundKey, sizes_for
from grouper.planning.explain import verdict
from grouper.planning.mending import board_for, mended_groups
from grouper.planning.noting import dropped, without_stale
from grouper.planning.requests import broken_requests
from grouper.planning.reshape import RoundChange, changes_between
from grouper.planning.turns import with_roles
from grouper.rules.coaching import gap, gap_fits, window_in_words
from grouper.rules.referee import insist
from grouper.words import Said


def loosened(problem: Problem) -> tuple[Problem, tuple[Said, ...]]:
    """The problem with gap windows that can be met by those who are there, and a sentence for each that was widened."""
    specs, remarks = [], []
    for spec in problem.rounds:
        wider = _widened(problem, spec)
        if wider is not None:
            facts = {"window": window_in_words(spec.activity), "wider": window_in_words(wider)}
            remarks.append(_said_of(spec, "no pairs differ by {window}; {wider} was used", facts))
        specs.append(spec if wider is None else replace(spec, activity=wider))
    return replace(problem, rounds=tuple(specs)), tuple(remarks)


def _said_of(spec: RoundSpec, what: str, facts: Mapping[str, object]) -> Said:
    where = {"lesson": spec.key.lesson, "activity": spec.activity.name}
    return Said("lesson {lesson}, {activity}: with those who are there " + what, facts={**where, **facts})


def _widened(problem: Problem, spec: RoundSpec) -> Activity | None:
    """The activity with the nearest window that can be met; None where its own can be, or none helps."""
    # Quick, and nearly always so: the exact question is asked only where somebody has few partners.
    if spec.activity.aim != "coaching" or spec.fixed is not None or everybody_has_partners(problem, spec):
        return None
    if verdict(problem, spec).answer is not Answer.NO:
        return None
    wider = (replace(spec, activity=activity) for activity in _wider(problem, spec))
    # A window of which nothing was found out in time passes too: the mending finds pairs, or says that it did not.
    return next((each.activity for each in wider if verdict(problem, each).answer is not Answer.NO), None)


def everybody_has_partners(problem: Problem, spec: RoundSpec) -> bool:
    """Whether everybody fits with half of the class or more, so that pairs are sure to exist (Dirac 1952)."""
    partners = dict.fromkeys(spec.students, 0)
    for pair in combinations(spec.students, 2):
        if gap_fits(problem, spec.activity, pair):
            for student in pair:
                partners[student] += 1
    # Requests take partners away that this does not count; with any of them the exact question is asked.
    return min(partners.values(), default=0) > len(spec.students) // 2 and not problem.requests


def _wider(problem: Problem, spec: RoundSpec) -> Iterator[Activity]:
    """Windows from near to far: every gap that occurs, as a lower or an upper end, the least widening first."""
    low, high = spec.activity.min_gap or 0.0, spec.activity.max_gap
    gaps = sorted({gap(problem, spec.activity, pair) for pair in combinations(spec.students, 2)})
    top = gaps[-1] if high is None else high
    lows = [low, *(g for g in reversed(gaps) if g < low)]
    highs = [top, *(g for g in gaps if g > top)]
    options = sorted(((low - a) + (b - top), a, b) for a in lows for b in highs)
    for _, new_low, new_high in options:
        yield replace(spec.activity, min_gap=new_low, max_gap=None if high is None else new_high)


def alone_where_needed(record: ClassRecord, problem: Problem) -> tuple[Problem, tuple[Said, ...]]:
    """The problem in which people work alone where absences leave no other way to keep two apart, and sentences.

    An absence is a fact, and can be noted whoever is left. A request that the whole class cannot keep is another
    matter, for the teacher to take back.
    """
    days = {absence.lesson for absence in record.absences}
    specs, remarks = {spec.key: spec for spec in problem.rounds}, []
    for spec in problem.rounds:
        if spec.fixed is not None or spec.key.lesson not in days or specs[spec.key] != spec:
            continue
        sizes = _with_some_alone(problem, spec)
        if sizes is not None:
            staying = (each for each in problem.rounds if each.leader == spec.key and each.fixed is None)
            alike = [each for each in staying if each.students == spec.students]
            specs.update({each.key: replace(each, sizes=sizes) for each in (spec, *alike)})
            alone = sizes.count(1)
            facts = {"alone": alone, "who": "one works" if alone == 1 else f"{alone} work"}
            remarks.append(_said_of(spec, "the requests leave no other way, so {who} alone", facts))
    return replace(problem, rounds=tuple(specs.values())), tuple(remarks)


def _with_some_alone(problem: Problem, spec: RoundSpec) -> tuple[int, ...] | None:
    """Sizes that keep the requests with as few alone as can be; None where the usual ones do, or none would."""
    people, shape = len(spec.students), problem.shaped_by(spec.key)
    if not problem.requests_in(spec, "apart") or verdict(problem, spec).answer is Answer.YES:
        return None
    options = ((*sizes_for(shape, people - alone), *(1,) * alone) for alone in range(1, people + 1))
    return next((sizes for sizes in options if verdict(problem, replace(spec, sizes=sizes)).answer is Answer.YES), None)


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
    alone: tuple[Said, ...] = ()
    try:
        plan = _mended(problem, left.plan)
    except ImpossibleError:
        # Asked only after a refusal: absences may leave no other way than that somebody works alone.
        problem, alone = alone_where_needed(left, problem)
        if not alone:
            raise
        plan = _mended(problem, left.plan)
    insist(problem, plan)
    mended = without_stale(replace(left, plan=plan), record.plan)
    said = (*remarks, *alone, *dropped(record, mended))
    return Repair(mended, changes_between(record.plan, plan), said)


def _as_they_ran(record: ClassRecord) -> ClassRecord:
    """The record in which rounds that stand as they ran have lost who was not there after all, and nothing else.

    Those that have begun lose whom the teacher says to have been out of them, and keep whoever has left the class.
    """
    rounds = {}
    for round_ in record.plan.rounds:
        begun, key = record.has_begun(round_.key), round_.key
        if not begun and (not round_.ran or key.lesson in record.taught):
            continue
        there = set(record.taking_part(key))
        if begun:
            place, absences = record.place_in_lesson(key), [a for a in record.absences if a.lesson == key.lesson]
            there = set(round_.students) - {a.student for a in absences if a.covers(place)}
        if not there.issuperset(round_.students):
            left = (group.only(there) for group in round_.groups)
            rounds[key] = replace(round_, groups=tuple(group for group in left if group.members))
    if not rounds:
        return record
    return without_stale(replace(record, plan=record.plan.with_rounds(rounds)), record.plan)


def _stale(record: ClassRecord, pinned_only: bool) -> Iterable[RoundKey]:
    to_come = (r for r in record.plan.rounds if r.key.lesson not in record.taught and not record.has_begun(r.key))
    open_rounds = [round_ for round_ in to_come if round_.pinned or not pinned_only]
    wanted = problem_of(record, frozenset(round_.key for round_ in open_rounds)).by_key
    for round_ in open_rounds:
        spec = wanted[round_.key]
        # What ran keeps its sizes, whatever the activity asks for by now: it is on record, and no plan any more.
        other_sizes = round_.sizes != spec.sizes and not round_.ran
        if set(round_.students) != set(spec.students) or other_sizes:
            yield round_.key


def _against_requests(record: ClassRecord, pinned_only: bool, before: ClassRecord | None) -> Iterator[RoundKey]:
    """Rounds to come that break a request, those that were decided by hand left out."""
    # Ids may have changed with a new roster; a breach of before is known again only under the ids of now.
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
