"""Why not: rounds whose hard wishes cannot all be met, and the smallest set of them that clashes."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from grouper.engines.exact import Answer, Demand, HardWish, Verdict, can_be_grouped, smallest_clash
from grouper.errors import ImpossibleError, OutOfTimeError
from grouper.model.problem import Problem, RoundSpec
from grouper.planning.requests import Asked, request_sentences
from grouper.rules.coaching import gap_fits, window_in_words
from grouper.rules.together import together_in
from grouper.words import counted


@dataclass(frozen=True)
class Named:
    """A demand on one round: what was asked for two students, or the sentence for all else that must hold."""

    demand: Demand
    asked: Asked | None = None
    sentence: str = ""


def verdict(problem: Problem, *specs: RoundSpec) -> Verdict:
    """Whether the hard wishes of a round, and of others that are to have the same groups, can be met.

    Where they can, with groups: places in the first round's ``students``.
    """
    wishes = tuple(wish for spec in specs for named in demands(problem, spec) for wish in named.demand)
    return can_be_grouped(len(specs[0].students), specs[0].sizes, wishes)


def demands(problem: Problem, spec: RoundSpec) -> list[Named]:
    """All that must hold in a round: its requests, and the gap window of coaching pairs."""
    number = {student: place for place, student in enumerate(spec.students)}
    asked = {"apart": problem.requests_in(spec, "apart"), "together": together_in(problem, spec)}
    named = [
        Named((HardWish(kind, _pair(number, request.pair)),), (kind, request.pair))
        for kind, requests in asked.items()
        for request in requests
    ]
    if spec.activity.aim == "coaching":
        pairs = (pair for pair in combinations(spec.students, 2) if not gap_fits(problem, spec.activity, pair))
        outside = tuple(HardWish("apart", _pair(number, pair), loose=True) for pair in pairs)
        strand, window = spec.activity.strand, window_in_words(spec.activity)
        sentence = f"coaching pairs of '{spec.activity.name}' are to differ in {strand} by {window}"
        named += [Named(outside, sentence=sentence)] if outside else []
    return named


def _pair(number: dict[str, int], pair: tuple[str, str]) -> tuple[int, int]:
    one, other = sorted(number[student] for student in pair)
    return one, other


def refuse(problem: Problem, answer: Answer, *specs: RoundSpec) -> Exception:
    """The error that says why rounds cannot be grouped: the smallest set that clashes, in sentences."""
    named = [each for spec in specs for each in demands(problem, spec)]
    spec = specs[0]
    low, high = spec.sizes[-1], spec.sizes[0]
    size = f"{low}" if low == high else f"{low} or {high}"
    groups = f"{len(spec.students)} students in {counted(len(spec.sizes), 'group')} of {size}"
    where = f"lesson {spec.key.lesson}, '{spec.activity.name}', {groups}"
    if answer is Answer.UNKNOWN:
        return OutOfTimeError(
            "{where}: neither groups nor a proof that there are none was found in the time allowed", where=where
        )
    clash = smallest_clash(len(spec.students), spec.sizes, tuple(item.demand for item in named))
    clashing = [named[place] for place in clash.demands]
    requests = request_sentences(problem.roster, (item.asked for item in clashing if item.asked))
    others = dict.fromkeys(item.sentence for item in clashing if item.sentence)
    sentences = (*dict.fromkeys(requests), *others)
    return ImpossibleError("{where}: this cannot all be met", clash=sentences, smallest=clash.sure, where=where)
