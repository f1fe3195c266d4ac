"""One round mended: with fewest moves from how it stands, or by the exact engine where no few moves help."""

from __future__ import annotations

from dataclasses import replace

from grouper.engines.board import Board
from grouper.engines.exact import Answer
from grouper.engines.fewest_moves import Standing, mend
from grouper.model.plan import Group, Plan, Round
from grouper.model.problem import Need, Problem
from grouper.planning.assemble import regrouped
from grouper.planning.explain import refuse, verdict
from grouper.planning.pricing import prices_of
from grouper.rules.catalogue import RULES


def mended_groups(problem: Problem, board: Board, need: Need, plan: Plan) -> tuple[Group, ...]:
    """Groups for a round that keep all hard wishes: those that stay where they do, else with fewest moves.

    Between ways that are worth the same the draw decides, and not who stands first on the roster.

    Raises
    ------
    ImpossibleError, OutOfTimeError
        There are none, or none were found in time.
    """
    stays = groups_that_stay(problem, need, plan)
    if stays is not None and not breaks_hard_rule(problem, need, stays):
        return stays
    drawn = replace(need, students=problem.drawn(need.key, need.students))
    groups = _fewest_moves(problem, board, drawn, plan)
    if breaks_hard_rule(problem, need, groups):
        # Wishes that contradict each other cancel out in the prices of a mending; the exact engine says so.
        groups = _exact(problem, board, need, plan.by_key[need.key])
    return _with_old_roles(groups, plan.by_key[need.key])


def groups_that_stay(problem: Problem, need: Need, plan: Plan) -> tuple[Group, ...] | None:
    """The groups of the leader, or else of the last round that stays with it, where the same people are there."""
    if need.leader is None:
        return None
    followers = [other for other in problem.needs if other.leader == need.leader and other.key < need.key]
    for other in (problem.by_key[need.leader], *reversed(followers)):
        if set(other.students) == set(need.students):
            return plan.by_key[other.key].groups
    return None


def _with_old_roles(groups: tuple[Group, ...], stood: Round) -> tuple[Group, ...]:
    """A group with the same members as before is the same group, roles and order included."""
    before = {(group.label, frozenset(group.members)): group for group in stood.groups}
    return tuple(before.get((group.label, frozenset(group.members)), group) for group in groups)


def _fewest_moves(problem: Problem, board: Board, need: Need, plan: Plan) -> tuple[Group, ...]:
    stood = plan.by_key[need.key]
    here = set(need.students)
    number = {student: place for place, student in enumerate(need.students)}
    seated = {student for group in stood.groups for student in group.members}
    standing = Standing(
        groups=tuple(tuple(number[s] for s in group.members if s in here) for group in stood.groups),
        joining=tuple(number[student] for student in need.students if student not in seated),
        sizes=need.sizes,
        homes=_homes(stood, number),
        prices=prices_of(problem, board, need, plan),
    )
    mended = mend(standing)
    labels = [group.label for group in stood.groups]
    if not mended.kept:
        return _exact(problem, board, need, stood)
    return regrouped(mended.groups, labels, need.students)


def _homes(stood: Round, number: dict[str, int]) -> dict[int, int]:
    labels = {group.label: place for place, group in enumerate(stood.groups)}
    return {
        number[student]: labels.get(group.label, len(labels))
        for group in stood.planned
        for student in group.members
        if student in number
    }


def _exact(problem: Problem, board: Board, need: Need, stood: Round) -> tuple[Group, ...]:
    """Where no mending was found: groups from the exact engine, each under the label that most of it had.

    They suit the rounds too in which they stay, if any groups do.
    """
    together = next(block.keys for block in board.blocks if need.key in block.keys)
    found = verdict(problem, *(problem.by_key[key] for key in together))
    if found.answer is not Answer.YES and len(together) > 1:
        found = verdict(problem, need)
    if found.answer is not Answer.YES:
        raise refuse(problem, found.answer, need)
    free = [group.label for group in stood.groups]
    places: list[tuple[str, tuple[int, ...]]] = []
    for people in found.groups:
        names = {need.students[person] for person in people}
        label = max(free, key=lambda lb: len(names & set(_members(stood, lb))), default=str(len(places) + 1))
        free = [other for other in free if other != label]
        places.append((label, people))
    return regrouped(tuple(people for _, people in places), [label for label, _ in places], need.students)


def _members(round_: Round, label: str) -> tuple[str, ...]:
    return next((group.members for group in round_.groups if group.label == label), ())


def breaks_hard_rule(problem: Problem, need: Need, groups: tuple[Group, ...]) -> bool:
    """Whether these groups break a request or a gap window in this round."""
    alone = Plan((Round(need.key, groups),))
    return any(rule.breaches(problem, alone) for rule in RULES)
