"""One round mended: with fewest moves from how it stands, or by the exact engine where no few moves help."""

from __future__ import annotations

from dataclasses import replace

from grouper.engines.board import Board
from grouper.engines.exact import Answer
from grouper.engines.fewest_moves import Standing, mend
from grouper.model.plan import Group, Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.planning.assemble import regrouped
from grouper.planning.explain import refuse, verdict
from grouper.planning.pricing import prices_of
from grouper.rules.catalogue import RULES


def mended_groups(problem: Problem, board: Board, spec: RoundSpec, plan: Plan) -> tuple[Group, ...]:
    """Groups for a round that keep all hard wishes: those that stay where they do, else with fewest moves.

    Between ways that are worth the same the draw decides, and not who stands first on the roster.

    Raises
    ------
    ImpossibleError, OutOfTimeError
        There are none, or none were found in time.
    """
    stays = groups_that_stay(problem, spec, plan)
    if stays is not None and not breaks_hard_rule(problem, spec, stays):
        return stays
    drawn = replace(spec, students=problem.drawn(spec.key, spec.students))
    groups = _fewest_moves(problem, board, drawn, plan)
    if breaks_hard_rule(problem, spec, groups):
        # Wishes that contradict each other cancel out in the prices of a mending; the exact engine says so.
        groups = _exact(problem, board, spec, plan.by_key[spec.key])
    return _with_old_roles(groups, plan.by_key[spec.key])


def groups_that_stay(problem: Problem, spec: RoundSpec, plan: Plan) -> tuple[Group, ...] | None:
    """The groups of the leader, or else of the last round that stays with it, where the same people are there."""
    if spec.leader is None:
        return None
    followers = [other for other in problem.rounds if other.leader == spec.leader and other.key < spec.key]
    for other in (problem.by_key[spec.leader], *reversed(followers)):
        if set(other.students) == set(spec.students):
            return plan.by_key[other.key].groups
    return None


def _with_old_roles(groups: tuple[Group, ...], stood: Round) -> tuple[Group, ...]:
    """A group with the same members as before is the same group, roles and order included."""
    before = {(group.label, frozenset(group.members)): group for group in stood.groups}
    return tuple(before.get((group.label, frozenset(group.members)), group) for group in groups)


def _fewest_moves(problem: Problem, board: Board, spec: RoundSpec, plan: Plan) -> tuple[Group, ...]:
    stood = plan.by_key[spec.key]
    here = set(spec.students)
    number = {student: place for place, student in enumerate(spec.students)}
    seated = {student for group in stood.groups for student in group.members}
    standing = Standing(
        groups=tuple(tuple(number[s] for s in group.members if s in here) for group in stood.groups),
        joining=tuple(number[student] for student in spec.students if student not in seated),
        sizes=spec.sizes,
        homes=_homes(stood, number),
        prices=prices_of(problem, board, spec, plan),
    )
    mended = mend(standing)
    labels = [group.label for group in stood.groups]
    if not mended.kept:
        return _exact(problem, board, spec, stood)
    return regrouped(mended.groups, labels, spec.students)


def _homes(stood: Round, number: dict[str, int]) -> dict[int, int]:
    labels = {group.label: place for place, group in enumerate(stood.groups)}
    return {
        number[student]: labels.get(group.label, len(labels))
        for group in stood.planned
        for student in group.members
        if student in number
    }


def _exact(problem: Problem, board: Board, spec: RoundSpec, stood: Round) -> tuple[Group, ...]:
    """Where no mending was found: groups from the exact engine, each under the label that most of it had.

    They suit the rounds too in which they stay, if any groups do.
    """
    together = next(block.keys for block in board.blocks if spec.key in block.keys)
    found = verdict(problem, *(problem.by_key[key] for key in together))
    if found.answer is not Answer.YES and len(together) > 1:
        found = verdict(problem, spec)
    if found.answer is not Answer.YES:
        raise refuse(problem, found.answer, spec)
    free = [group.label for group in stood.groups]
    places: list[tuple[str, tuple[int, ...]]] = []
    for people in found.groups:
        names = {spec.students[person] for person in people}
        label = max(free, key=lambda lb: len(names & set(_members(stood, lb))), default=str(len(places) + 1))
        free = [other for other in free if other != label]
        places.append((label, people))
    return regrouped(tuple(people for _, people in places), [label for label, _ in places], spec.students)


def _members(round_: Round, label: str) -> tuple[str, ...]:
    return next((group.members for group in round_.groups if group.label == label), ())


def breaks_hard_rule(problem: Problem, spec: RoundSpec, groups: tuple[Group, ...]) -> bool:
    """Whether these groups break a request or a gap window in this round."""
    alone = Plan((Round(spec.key, groups),))
    return any(rule.breaches(problem, alone) for rule in RULES)
