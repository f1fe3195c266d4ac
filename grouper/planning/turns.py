"""Turns in the trio and as coach: who had how many, and how even any plan could have made them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from grouper.model.ledger import ledger_of
from grouper.model.plan import Round
from grouper.model.problem import Problem, RoundSpec
from grouper.planning.roles import is_coaching
from grouper.rules.trio_turns import TRIO, trio_turns, works_in_pairs


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
    in_pairs = [round_ for round_ in rounds if works_in_pairs(problem, round_)]
    return _turns(problem, in_pairs, trio_turns, lambda spec: TRIO * spec.sizes.count(TRIO))


def coach_turns_of(problem: Problem, rounds: Iterable[Round]) -> Turns | None:
    """Turns as the one who begins as coach; None where nobody had one."""
    coached = [round_ for round_ in rounds if is_coaching(problem, round_.key)]
    return _turns(problem, coached, _coach_turns, lambda spec: sum(size > 1 for size in spec.sizes))


def _coach_turns(rounds: Iterable[Round]) -> Counter[str]:
    return ledger_of(rounds).coach_turns


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
