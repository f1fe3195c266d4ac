"""What is out of reach with those who are there on the day, loosened by as little as can be, with a word.

A gap window is widened for the round; and where those who are left cannot be kept apart, somebody works alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

from grouper.model.problem import Problem, RoundSpec
from grouper.model.record import ClassRecord
from grouper.model.sizes import sizes_for
from grouper.model.unit import Activity
from grouper.rules.coaching import gap, gap_fits, window_in_words
from grouper.words import Said


def loosened(problem: Problem) -> tuple[Problem, tuple[Said, ...]]:
    """The problem with gap windows that can be met by those who are there, and a sentence for each that was widened."""
    specs, remarks = [], []
    for spec in problem.rounds:
        wider = _widened(problem, spec)
        if wider is not None:
            remarks.append(_remark(spec, wider))
        specs.append(spec if wider is None else replace(spec, activity=wider))
    return replace(problem, rounds=tuple(specs)), tuple(remarks)


def _remark(spec: RoundSpec, wider: Activity) -> Said:
    return Said(
        "lesson {lesson}, {activity}: with those who are there no pairs differ by {window}; {wider} was used",
        facts={
            "lesson": spec.key.lesson,
            "activity": spec.activity.name,
            "window": window_in_words(spec.activity),
            "wider": window_in_words(wider),
        },
    )


def _widened(problem: Problem, spec: RoundSpec) -> Activity | None:
    """The activity with the nearest window that can be met; None where its own can be, or none helps."""
    if spec.activity.aim != "coaching" or spec.fixed is not None or _fits(problem, spec):
        return None
    return next((wider for wider in _wider(problem, spec) if _can_pair(problem, spec, wider)), None)


def _fits(problem: Problem, spec: RoundSpec) -> bool:
    """Quick, and nearly always so: the exact question is asked only where somebody has few partners."""
    return everybody_has_partners(problem, spec) or _can_pair(problem, spec, spec.activity)


def everybody_has_partners(problem: Problem, spec: RoundSpec) -> bool:
    """Whether everybody fits with half of the class or more, so that pairs are sure to exist (Dirac 1952)."""
    partners = dict.fromkeys(spec.students, 0)
    for pair in combinations(spec.students, 2):
        if gap_fits(problem, spec.activity, pair):
            for student in pair:
                partners[student] += 1
    return min(partners.values(), default=0) > len(spec.students) // 2 and not problem.requests


def _can_pair(problem: Problem, spec: RoundSpec, activity: Activity) -> bool:
    from grouper.engines.exact import Answer
    from grouper.planning.explain import verdict

    return verdict(problem, replace(spec, activity=activity)).answer is not Answer.NO


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
            remarks.append(_alone(spec, sizes.count(1)))
    return replace(problem, rounds=tuple(specs.values())), tuple(remarks)


def _with_some_alone(problem: Problem, spec: RoundSpec) -> tuple[int, ...] | None:
    """Sizes that keep the requests with as few alone as can be; None where the usual ones do, or none would."""
    people, shape = len(spec.students), spec.activity if spec.leader is None else problem.by_key[spec.leader].activity
    if not problem.requests_in(spec, "apart") or _can_be_met(problem, spec, spec.sizes):
        return None
    options = ((*sizes_for(shape, people - alone), *(1,) * alone) for alone in range(1, people + 1))
    return next((sizes for sizes in options if _can_be_met(problem, spec, sizes)), None)


def _can_be_met(problem: Problem, spec: RoundSpec, sizes: tuple[int, ...]) -> bool:
    from grouper.engines.exact import Answer
    from grouper.planning.explain import verdict

    return verdict(problem, replace(spec, sizes=sizes)).answer is Answer.YES


def _alone(spec: RoundSpec, alone: int) -> Said:
    return Said(
        "lesson {lesson}, {activity}: with those who are there the requests leave no other way, so {who} alone",
        facts={
            "lesson": spec.key.lesson,
            "activity": spec.activity.name,
            "alone": alone,
            "who": "one works" if alone == 1 else f"{alone} work",
        },
    )
