"""Who begins as coach: turns shared out evenly over the unit, whoever is the more able."""

from __future__ import annotations

from collections import Counter, deque
from dataclasses import replace

from grouper.model.ledger import COACH, LEARNER, ledger_of
from grouper.model.past import whole_turns
from grouper.model.plan import Group, Plan, Round
from grouper.model.problem import Problem
from grouper.model.unit import RoundKey
from grouper.rules.trio_turns import with_missed

Place = tuple[RoundKey, str]
"""A group: its round and its label."""

Chain = list[tuple[Place, str]]
"""Groups in a row, each with the student who takes the turn over."""


def with_roles(problem: Problem, plan: Plan, keep: frozenset[Place] = frozenset()) -> Plan:
    """The plan with a coach in each coaching group that may change; fixed rounds and groups in ``keep`` stay as they
    are.

    Turns as coach are then as even as the groups allow: no chain of groups is left along which a turn could be
    handed from somebody to somebody with two turns fewer. Between two of as many turns the draw decides.
    """
    open_groups = _open_groups(problem, plan, keep)
    turns = ledger_of(_without(plan, set(open_groups))).coach_turns + Counter(_beforehand(problem))
    coaches: dict[Place, str] = {}
    for place, group in open_groups.items():
        coaches[place] = min(problem.drawn(place[0], group.members), key=lambda student: turns[student])
        turns[coaches[place]] += 1
    drawn = {place: problem.drawn(place[0], group.members) for place, group in open_groups.items()}
    _hand_on(drawn, coaches, turns)
    return _seated(plan, problem, open_groups, coaches)


def _beforehand(problem: Problem) -> dict[str, int]:
    """Turns as coach of earlier units, and an average one for each coaching round that a student misses."""
    specs = [spec for spec in problem.rounds if is_coaching(problem, spec.key)]
    turns = ((spec, sum(size > 1 for size in spec.sizes)) for spec in specs)
    return whole_turns(with_missed(problem.earlier.coach, turns, specs))


def _open_groups(problem: Problem, plan: Plan, keep: frozenset[Place]) -> dict[Place, Group]:
    return {
        (round_.key, group.label): group
        for round_ in plan.rounds
        if problem.by_key[round_.key].fixed is None and is_coaching(problem, round_.key)
        for group in round_.groups
        if len(group.members) > 1 and (round_.key, group.label) not in keep
    }


def is_coaching(problem: Problem, key: RoundKey) -> bool:
    """Whether people coach one another in a round, or stay in groups in which they did."""
    spec = problem.by_key[key]
    leader = spec if spec.leader is None else problem.by_key[spec.leader]
    return leader.activity.aim == "coaching"


def _without(plan: Plan, places: set[Place]) -> list[Round]:
    return [
        replace(round_, groups=tuple(group for group in round_.groups if (round_.key, group.label) not in places))
        for round_ in plan.rounds
    ]


def _hand_on(groups: dict[Place, tuple[str, ...]], coaches: dict[Place, str], turns: Counter[str]) -> None:
    while (chain := _chain(groups, coaches, turns)) is not None:
        for place, taker in chain:
            turns[coaches[place]] -= 1
            turns[taker] += 1
            coaches[place] = taker


def _chain(groups: dict[Place, tuple[str, ...]], coaches: dict[Place, str], turns: Counter[str]) -> Chain | None:
    """A chain of groups from someone with many turns to someone with two fewer, each handing the turn to the next."""
    hands: dict[str, Chain] = {}
    for place, coach in coaches.items():
        hands.setdefault(coach, []).extend((place, other) for other in groups[place] if other != coach)
    for giver in sorted(hands, key=lambda student: -turns[student]):
        found = _reach(giver, hands, turns)
        if found is not None:
            return found
    return None


def _reach(giver: str, hands: dict[str, Chain], turns: Counter[str]) -> Chain | None:
    came: dict[str, tuple[str, Place]] = {}
    queue = deque([giver])
    while queue:
        student = queue.popleft()
        if turns[student] <= turns[giver] - 2:
            return _path(giver, student, came)
        for place, taker in hands.get(student, []):
            if taker != giver and taker not in came:
                came[taker] = (student, place)
                queue.append(taker)
    return None


def _path(giver: str, taker: str, came: dict[str, tuple[str, Place]]) -> Chain:
    steps: Chain = []
    while taker != giver:
        before, place = came[taker]
        steps.append((place, taker))
        taker = before
    return steps[::-1]


def _seated(plan: Plan, problem: Problem, groups: dict[Place, Group], coaches: dict[Place, str]) -> Plan:
    changed = {
        round_.key: replace(
            round_,
            groups=tuple(
                _with_coach(group, coaches[(round_.key, group.label)])
                if (round_.key, group.label) in groups
                else group
                for group in round_.groups
            ),
        )
        for round_ in plan.rounds
    }
    return plan.with_rounds(changed)


def _with_coach(group: Group, coach: str) -> Group:
    return replace(group, roles=tuple(COACH if student == coach else LEARNER for student in group.members))
