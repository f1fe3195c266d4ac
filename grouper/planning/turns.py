"""Turns as coach and in the trio: handed out evenly over the unit, counted, and how even they could be."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import TypeVar

from grouper.model.ledger import COACH, LEARNER, ledger_of, whole_turns
from grouper.model.plan import Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.model.sides import FLOATER
from grouper.model.unit import RoundKey, floating
from grouper.rules.turns import SIDE_TURNS, TRIO_TURNS, PlaceTurns, with_missed

Place = tuple[RoundKey, str]
"""A group: its round and its label."""

Chain = list[tuple[Place, str]]
"""Groups in a row, each with the student who takes the turn over."""

Holder = TypeVar("Holder")
Step = TypeVar("Step")


def with_roles(problem: Problem, plan: Plan, keep: frozenset[Place] = frozenset()) -> Plan:
    """The plan with a coach in each coaching group that may change, and floaters called so; fixed rounds and groups in
    ``keep`` stay as they are.

    Turns as coach are then as even as the groups allow: no chain of groups is left along which a turn could be
    handed from somebody to somebody with two turns fewer. Between two of as many turns the draw decides.
    """
    open_groups = {
        (round_.key, group.label): group
        for round_ in plan.rounds
        if problem.by_key[round_.key].fixed is None and is_coaching(problem, round_.key)
        for group in round_.groups
        if len(group.members) > 1 and (round_.key, group.label) not in keep
    }
    settled = (
        replace(round_, groups=tuple(group for group in round_.groups if (round_.key, group.label) not in open_groups))
        for round_ in plan.rounds
    )
    # Turns of earlier units count too, and an average one for each coaching round that a student misses.
    specs = [spec for spec in problem.rounds if is_coaching(problem, spec.key)]
    given_out = ((spec, sum(size > 1 for size in spec.sizes)) for spec in specs)
    before = whole_turns(with_missed(problem.earlier.coach, given_out, specs))
    turns = ledger_of(settled).coach_turns + Counter(before)
    coaches: dict[Place, str] = {}
    for place, group in open_groups.items():
        coaches[place] = min(problem.drawn(place[0], group.members), key=lambda student: turns[student])
        turns[coaches[place]] += 1
    drawn = {place: problem.drawn(place[0], group.members) for place, group in open_groups.items()}
    while (chain := _chain(drawn, coaches, turns)) is not None:
        for place, taker in chain:
            turns[coaches[place]] -= 1
            turns[taker] += 1
            coaches[place] = taker
    changed = {}
    for round_ in plan.rounds:
        now = list(round_.groups)
        for at, group in enumerate(now):
            coach = coaches.get((round_.key, group.label))
            if coach is not None:
                now[at] = replace(group, roles=tuple(COACH if who == coach else LEARNER for who in group.members))
        changed[round_.key] = replace(round_, groups=tuple(now))
    return _with_floaters(plan.with_rounds(changed), problem)


def _with_floaters(plan: Plan, problem: Problem) -> Plan:
    """Whoever is a floater has the role, so that nobody takes a group of one for somebody left alone."""
    changed = {}
    for round_ in plan.rounds:
        spec, activity = problem.by_key[round_.key], problem.shaped_by(round_.key)
        ones = floating(activity, spec.sizes) if spec.fixed is None else frozenset[int]()
        if ones:
            groups = (replace(g, roles=(FLOATER,)) if len(g.members) in ones else g for g in round_.groups)
            changed[round_.key] = replace(round_, groups=tuple(groups))
    return plan.with_rounds(changed) if changed else plan


def is_coaching(problem: Problem, key: RoundKey) -> bool:
    """Whether people coach one another in a round, or stay in groups in which they did."""
    return problem.shaped_by(key).aim == "coaching"


def _chain(groups: dict[Place, tuple[str, ...]], coaches: dict[Place, str], turns: Counter[str]) -> Chain | None:
    """A chain of groups from someone with many turns to someone with two fewer, each handing the turn to the next."""
    hands: dict[str, Chain] = {}
    for place, coach in coaches.items():
        hands.setdefault(coach, []).extend((place, other) for other in groups[place] if other != coach)

    def takers(student: str) -> Iterator[tuple[str, tuple[Place, str]]]:
        return ((taker, (place, taker)) for place, taker in hands.get(student, []))

    def has_at_most(most: int, student: str) -> bool:
        return turns[student] <= most

    for giver in sorted(hands, key=lambda student: -turns[student]):
        found = shortest_chain(giver, takers, partial(has_at_most, turns[giver] - 2))
        if found is not None:
            # From the giver on: each takes over from the one before.
            return found[::-1]
    return None


def shortest_chain(
    start: Holder, steps: Callable[[Holder], Iterable[tuple[Holder, Step]]], is_end: Callable[[Holder], bool]
) -> list[Step] | None:
    """The steps of a shortest way along which something is handed on, the last step first; None for no way.

    By hand, as planning loads no networkx, and steps are worked out only for those whom a way reaches.

    Parameters
    ----------
    start
        The student or team where it begins.
    steps
        For each of them, who can come next, with the step that leads there.
    is_end
        Whether a way may end there.
    """
    came: dict[Holder, tuple[Holder, Step] | None] = {start: None}
    queue = deque([start])
    while queue:
        here = queue.popleft()
        if is_end(here):
            chain = []
            while (step := came[here]) is not None:
                here = step[0]
                chain.append(step[1])
            return chain
        for other, taken in steps(here):
            if other not in came:
                came[other] = (here, taken)
                queue.append(other)
    return None


@dataclass(frozen=True)
class Turns:
    """Fewest and most turns among those who took part each time, and everybody's.

    ``least_range`` is what no plan can go below: by how much fewest and most must differ, rounds that are fixed as they
    stand; None where it was not asked for.
    """

    fewest: int
    most: int
    by_student: dict[str, int]
    least_range: int | None = None

    @property
    def range(self) -> int:
        """By how much fewest and most differ."""
        return self.most - self.fewest


def trio_turns_of(problem: Problem, rounds: Iterable[Round]) -> Turns | None:
    """Turns in the trio of an odd class; None where nobody had one."""
    return _place_turns(TRIO_TURNS, problem, rounds)


def coach_turns_of(problem: Problem, rounds: Iterable[Round]) -> Turns | None:
    """Turns as the one who begins as coach; None where nobody had one."""
    coached = [round_ for round_ in rounds if is_coaching(problem, round_.key)]
    return _turns(
        problem,
        coached,
        lambda rounds: ledger_of(rounds).coach_turns,
        lambda spec: sum(size > 1 for size in spec.sizes),
    )


def side_turns_of(problem: Problem, rounds: Iterable[Round]) -> Turns | None:
    """Turns on a smaller side or as floater; None where nobody had one."""
    return _place_turns(SIDE_TURNS, problem, rounds)


def _place_turns(rule: PlaceTurns, problem: Problem, rounds: Iterable[Round]) -> Turns | None:
    with_places = [round_ for round_ in rounds if rule.sizes(problem, problem.by_key[round_.key])]
    return _turns(problem, with_places, partial(rule.turns, problem), partial(rule.places, problem))


def _turns(
    problem: Problem,
    rounds: list[Round],
    count: Callable[[Iterable[Round]], Counter[str]],
    places: Callable[[RoundSpec], int],
) -> Turns | None:
    """Turns of those who took part in as many of these rounds as anybody: who was away had fewer chances."""
    chances = Counter(student for round_ in rounds for student in round_.students)
    turns = count(rounds)
    if not turns.total():
        return None
    full = [student for student in chances if chances[student] == max(chances.values())]
    open_needs = [problem.by_key[round_.key] for round_ in rounds if problem.by_key[round_.key].fixed is None]
    settled = count(round_ for round_ in rounds if problem.by_key[round_.key].fixed is not None)
    room = Counter(student for spec in open_needs if places(spec) for student in spec.students)
    least = least_range(settled, room, sum(map(places, open_needs)), full)
    counted = [turns[student] for student in full]
    return Turns(min(counted), max(counted), {student: turns[student] for student in chances}, least)


def least_range(had: Mapping[str, int], room: Mapping[str, int], turns: int, compared: Iterable[str]) -> int:
    """By how much the turns of those compared must differ when so many more are given out.

    Parameters
    ----------
    had, room
        By student: turns that are settled, and how many more they can have at most.
    turns
        How many are given out; students who are not compared may take as many as they have room for.
    compared
        Ids of those whose fewest and most count.

    Examples
    --------
    >>> least_range({}, {"a": 3, "b": 3, "c": 3}, 6, "abc"), least_range({}, {"a": 3, "b": 3, "c": 3}, 7, "abc")
    (0, 1)
    >>> least_range({"a": 4}, {"b": 1, "c": 1}, 2, "abc")
    3
    """
    ours = [(had.get(student, 0), room.get(student, 0)) for student in compared]
    elsewhere = sum(places for student, places in room.items() if student not in set(compared))
    low = min(settled + places for settled, places in ours)
    while sum(max(0, low - settled) for settled, _ in ours) > turns:
        low -= 1
    high = max(settled for settled, _ in ours)
    most = max(settled + places for settled, places in ours)
    while high < most and sum(min(places, high - settled) for settled, places in ours) + elsewhere < turns:
        high += 1
    return max(0, high - low)
