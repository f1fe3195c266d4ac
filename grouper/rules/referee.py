"""The referee: judges any plan in plain Python, knowing nothing of how it was made."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from grouper.errors import OurBugError
from grouper.model.plan import Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.rules.catalogue import RULES
from grouper.rules.rule import Breach
from grouper.rules.terms import weight


@dataclass(frozen=True)
class Judgement:
    """What the referee says of a plan.

    Parameters
    ----------
    faults
        What makes it no plan at all: somebody missing or twice, wrong sizes, a changed past; sentences.
    breaches
        The hard rules that it breaks, in any round.
    avoidable
        Those of them in rounds whose groups could be chosen; one in a taught or pinned round is nobody's fault now.
    costs
        What it costs under each rule, by the rule's key.
    total
        All costs, weighed by the order of preference: what engines minimise.
    """

    faults: tuple[str, ...]
    breaches: tuple[Breach, ...]
    avoidable: tuple[Breach, ...]
    costs: dict[str, int]
    total: int

    @property
    def accepted(self) -> bool:
        """Whether the plan may be used."""
        return not self.faults and not self.avoidable


def judge(problem: Problem, plan: Plan) -> Judgement:
    """Judge a plan for the rounds of a problem."""
    faults = tuple(shape_faults(problem, plan))
    # Rules count on the shape of a plan, and would stumble over one without it.
    if faults:
        return Judgement(faults, (), (), {}, 0)
    costs = {rule.key: rule.cost(problem, plan) for rule in RULES}
    breaches = tuple(breach for rule in RULES for breach in rule.breaches(problem, plan))
    avoidable = tuple(breach for breach in breaches if problem.by_key[breach.key].fixed is None)
    total = sum(weight(problem.settings.prefer, rule.level) * costs[rule.key] for rule in RULES)
    return Judgement(faults, breaches, avoidable, costs, total)


def insist(problem: Problem, plan: Plan) -> Judgement:
    """The judgement of a plan that must be right.

    Raises
    ------
    OurBugError
        The plan is faulty or breaks a hard rule; it must not be saved or shown.
    """
    judgement = judge(problem, plan)
    if judgement.accepted:
        return judgement
    sentences = judgement.faults + tuple(breach.sentence for breach in judgement.avoidable)
    raise OurBugError(
        "the plan that was made is not valid; this is a bug of grouper, and nothing was saved", faults=sentences
    )


def shape_faults(problem: Problem, plan: Plan) -> list[str]:
    """What is wrong with a plan apart from rules: rounds, students, sizes, labels, and what may not change."""
    wanted, have = [spec.key for spec in problem.rounds], [round_.key for round_ in plan.rounds]
    if wanted != have:
        return [f"the plan has the rounds {have}, wanted are {wanted}"]
    return [fault for spec in problem.rounds for fault in _round_faults(spec, plan.by_key[spec.key])]


def _round_faults(spec: RoundSpec, round_: Round) -> list[str]:
    if spec.fixed is not None:
        changed = round_.groups != spec.fixed.groups
        return [f"{spec.key}: a round that may not change any more was changed"] if changed else []
    seated, wanted = Counter(round_.students), Counter(spec.students)
    twice = sorted(student for student, times in seated.items() if times > 1)
    missing, strangers = sorted(wanted.keys() - seated.keys()), sorted(seated.keys() - wanted.keys())
    named = (("in two groups", twice), ("in no group", missing), ("not in this round", strangers))
    faults = [f"{spec.key}: {', '.join(students)}: {what}" for what, students in named if students]
    if len({group.label for group in round_.groups}) < len(round_.groups):
        faults.append(f"{round_.key}: two groups have the same label")
    if round_.sizes != spec.sizes:
        faults.append(f"{spec.key}: the sizes are {round_.sizes}, wanted are {spec.sizes}")
    return faults
