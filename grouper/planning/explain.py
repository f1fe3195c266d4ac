"""Why not: rounds whose hard wishes cannot all be met, and the smallest set of them that clashes."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from grouper.engines.exact import Answer, Demand, HardWish, Verdict, can_be_grouped, smallest_clash
from grouper.errors import ImpossibleError, OutOfTimeError
from grouper.model.problem import Need, Problem
from grouper.planning.clash_words import Asked, request_sentences
from grouper.rules.coaching import gap_fits, window_in_words
from grouper.rules.together import together_in


@dataclass(frozen=True)
class Named:
    """A demand on one round: what was asked for two students, or the sentence for all else that must hold."""

    demand: Demand
    asked: Asked | None = None
    sentence: str = ""


def verdict(problem: Problem, *needs: Need) -> Verdict:
    """Whether the hard wishes of a round, and of others that are to have the same groups, can be met.

    Where they can, with groups: places in the first round's ``students``.
    """
    wishes = tuple(wish for need in needs for named in demands(problem, need) for wish in named.demand)
    return can_be_grouped(len(needs[0].students), needs[0].sizes, wishes)


def demands(problem: Problem, need: Need) -> list[Named]:
    """All that must hold in a round: its requests, and the gap window of coaching pairs."""
    number = {student: place for place, student in enumerate(need.students)}
    named = [
        Named((HardWish(kind, _pair(number, request.pair)),), (kind, request.pair))
        for kind, requests in (
            ("apart", problem.requests_in(need, "apart")),
            ("together", together_in(problem, need)),
        )
        for request in requests
    ]
    window = _window(problem, need, number)
    return named + ([window] if window else [])


def _pair(number: dict[str, int], pair: tuple[str, str]) -> tuple[int, int]:
    one, other = sorted(number[student] for student in pair)
    return one, other


def _window(problem: Problem, need: Need, number: dict[str, int]) -> Named | None:
    if need.activity.aim != "coaching":
        return None
    outside = [
        HardWish("apart", _pair(number, pair), loose=True)
        for pair in combinations(need.students, 2)
        if not gap_fits(problem, need.activity, pair)
    ]
    sentence = f"coaching pairs of '{need.activity.name}' are to differ in {need.activity.strand} by "
    return Named(tuple(outside), sentence=sentence + window_in_words(need.activity)) if outside else None


def refuse(problem: Problem, answer: Answer, *needs: Need) -> Exception:
    """The error that says why rounds cannot be grouped: the smallest set that clashes, in sentences."""
    named = [each for need in needs for each in demands(problem, need)]
    need = needs[0]
    where = f"lesson {need.key.lesson}, '{need.activity.name}', {_groups_in_words(need)}"
    if answer is Answer.UNKNOWN:
        return OutOfTimeError(f"{where}: neither groups nor a proof that there are none was found in the time allowed")
    clash = smallest_clash(len(need.students), need.sizes, tuple(item.demand for item in named))
    clashing = [named[place] for place in clash.demands]
    requests = request_sentences(problem.roster, (item.asked for item in clashing if item.asked))
    others = dict.fromkeys(item.sentence for item in clashing if item.sentence)
    return ImpossibleError(f"{where}: this cannot all be met", (*dict.fromkeys(requests), *others), clash.sure)


def _groups_in_words(need: Need) -> str:
    low, high = need.sizes[-1], need.sizes[0]
    size = f"{low}" if low == high else f"{low} or {high}"
    groups = "1 group" if len(need.sizes) == 1 else f"{len(need.sizes)} groups"
    return f"{len(need.students)} students in {groups} of {size}"
