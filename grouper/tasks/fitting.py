"""The best set of tasks for all groups of a round at once: near to the success that is wanted, little changed from what
a group had, some variety, and no more of anything than is in the cupboard."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

import numpy as np

from grouper.model.levers import At, Challenge, Store
from grouper.tasks.success import Array, Success, logit
from grouper.words import folded

MOST_TASKS = 2000
"""So many tasks are weighed for a group; of more, those that are a setting of each lever from what it had."""

BAND = 0.1
"""A share of success that near to the one that is wanted is as good as wanted."""

BESIDE_BAND = 0.5
"""What it costs to be outside of that for sure, beside how far off it is; a share of success is 1."""

CHANGE, MORE_CHANGES, FETCHED = 0.01, 0.06, 0.01
"""What a lever costs that is other than the group had, each beyond the first, and each that needs other things."""

AGAIN = 0.02
"""What it costs to do once more what those at work did just before, for each time in a row: variety over a unit."""

OFF_MIDDLE = 0.004
"""What a lever costs at first for each setting that it is from its middle."""

LONGEST = 5
"""More often in a row does not cost more."""


@dataclass(frozen=True)
class AtWork:
    """A group that is to have a task.

    Parameters
    ----------
    label
        The group's.
    members
        Whose task it is (ids): the learners where somebody coaches them, else everybody.
    people
        How many are in the group, for what is needed each.
    had
        The tasks that each of them had in this activity before, the latest last.
    fixed
        The task that the teacher chose, or None.
    allowed
        Whether a setting of a lever is right for everybody at work; None for all settings.
    """

    label: str
    members: tuple[str, ...]
    people: int
    had: tuple[tuple[At, ...], ...] = ()
    fixed: At | None = None
    allowed: Callable[[int, int], bool] | None = None


@dataclass(frozen=True)
class Short:
    """A thing of which a round needs more than there are, whatever is chosen: so many are missing."""

    item: str
    count: int
    missing: int


@dataclass(frozen=True)
class Fitted:
    """A task for each group by its label, what it takes in all (thing and number), and what is missing for it."""

    tasks: Mapping[str, At]
    lay_out: tuple[tuple[str, int], ...]
    short: tuple[Short, ...] = ()


def fitted(success: Success, groups: Sequence[AtWork], cupboard: Sequence[Store]) -> Fitted:
    """The best set of tasks for the groups of a round, exactly, by the costs above."""
    menus = [_menu(success, group, cupboard) for group in groups]
    best = [menu[0] for menu in menus]
    counts = [store.count for store in cupboard]
    missing: Sequence[int] = [0] * len(counts)
    # The cheapest of each group on its own is the best of all wherever there is enough; no solver is needed then.
    if any(sum(each.needs[thing] for each in best) > count for thing, count in enumerate(counts)):
        from grouper.engines.exact import Choice, shared_out

        found = shared_out([[Choice(each.cost, each.needs) for each in menu] for menu in menus], counts)
        best = [menu[place] for menu, place in zip(menus, found.chosen, strict=True)]
        missing = found.missing
    tasks = {group.label: each.at for group, each in zip(groups, best, strict=True)}
    short = (Short(store.item, store.count, lack) for store, lack in zip(cupboard, missing, strict=True) if lack)
    return Fitted(tasks, lay_out(success.challenge, groups, tasks), tuple(short))


def second_ways(
    success: Success, groups: Sequence[AtWork], tasks: Mapping[str, At], cupboard: Sequence[Store]
) -> dict[str, At]:
    """Another way for each group to choose instead of its task: one lever from it, and the best of these.

    There is enough of everything whichever way each group takes. A group for which there is no such way has none.
    """
    challenge, found = success.challenge, {}
    left = {folded(store.item): store.count for store in cupboard}
    for item, count in _most_needed(challenge, groups, tasks, {}).items():
        left[item] = left.get(item, count) - count
    for group in groups:
        at, open_ = tasks[group.label], set(tasks_open_to(challenge, group))
        near = [other for other in _one_lever_from(at, challenge.counts) if other in open_]
        costs = costs_of(success, group, near) if near else np.empty(0)
        for place in np.argsort(costs, kind="stable"):
            # What another way takes beyond the first.
            first, other = (Counter(challenge.needs(each, group.people)) for each in (at, near[place]))
            more = other - first
            if all(count <= left.get(item, count) for item, count in more.items()):
                found[group.label] = near[place]
                left = {item: count - more[item] for item, count in left.items()}
                break
    return found


def _one_lever_from(at: At, counts: At) -> list[At]:
    steps = ((lever, place) for lever, now in enumerate(at) for place in (now - 1, now + 1))
    return [(*at[:lever], place, *at[lever + 1 :]) for lever, place in steps if 1 <= place <= counts[lever]]



def _most_needed(
    challenge: Challenge, groups: Sequence[AtWork], tasks: Mapping[str, At], others: Mapping[str, At]
) -> Counter[str]:
    """How many of each thing the groups need at most, whichever of their ways they take."""
    total: Counter[str] = Counter()
    for group in groups:
        ways = [tasks[group.label], *([others[group.label]] if group.label in others else [])]
        needs = [Counter(challenge.needs(at, group.people)) for at in ways]
        total += needs[0] | needs[-1]
    return total


def lay_out(
    challenge: Challenge, groups: Sequence[AtWork], tasks: Mapping[str, At], others: Mapping[str, At] | None = None
) -> tuple[tuple[str, int], ...]:
    """What all groups need together, thing by thing in the order of the levers.

    ``others`` are ways to choose instead, for which there is to be enough too.
    """
    total = _most_needed(challenge, groups, tasks, others or {})
    return tuple((item, total[thing]) for thing, item in challenge.things.items() if total[thing])


@dataclass(frozen=True)
class _Dish:
    at: At
    cost: float
    needs: tuple[int, ...]


def _menu(success: Success, group: AtWork, cupboard: Sequence[Store]) -> list[_Dish]:
    """What a group can have, the cheapest first: of tasks that need the same things the cheapest alone.

    The others can never be part of the best set, so that it stays exact.
    """
    # What the teacher chose is no matter of costs, but takes its things out of the cupboard like any other.
    ats = [group.fixed] if group.fixed else tasks_open_to(success.challenge, group)
    costs = costs_of(success, group, ats)
    items = [folded(store.item) for store in cupboard]
    menu: dict[tuple[int, ...], _Dish] = {}
    # Stable, so that of two tasks that cost the same it is the easier one on every machine.
    for place in np.argsort(costs, kind="stable"):
        needed = success.challenge.needs(ats[place], group.people) if items else {}
        needs = tuple(needed.get(item, 0) for item in items)
        menu.setdefault(needs, _Dish(ats[place], float(costs[place]), needs))
    return list(menu.values())


def tasks_open_to(challenge: Challenge, group: AtWork) -> list[At]:
    """The tasks that are right for everybody at work, or all where none is; not too many to be weighed."""
    ats = _all_tasks(challenge.counts)
    last = next((had[-1] for had in group.had if had), challenge.middle)
    if len(ats) > MOST_TASKS:
        near = [range(max(1, k - 1), min(n, k + 1) + 1) for k, n in zip(last, challenge.counts, strict=True)]
        ats = tuple(product(*near))
    if group.allowed is None:
        return list(ats)
    allowed = [
        {place for place in range(1, count + 1) if group.allowed(lever, place)} or set(range(1, count + 1))
        for lever, count in enumerate(challenge.counts)
    ]
    kept = [at for at in ats if all(place in ok for place, ok in zip(at, allowed, strict=True))]
    # Near to what the group had there may be none that is allowed, and then all that are allowed count.
    return kept or list(product(*map(sorted, allowed)))


@lru_cache(maxsize=64)
def _all_tasks(counts: At) -> tuple[At, ...]:
    return tuple(product(*(range(1, count + 1) for count in counts)))


def costs_of(success: Success, group: AtWork, ats: Sequence[At]) -> Array:
    """What each task costs a group, in shares of success."""
    means, spreads = success.expect(group.members, ats)
    wanted = success.wanted
    # The expected share of a logit that is not known exactly (MacKay 1992), as in ``shrunk``, for all tasks at once.
    shares = 1 / (1 + np.exp(-means / np.sqrt(1 + np.pi / 8 * spreads**2)))
    low, high = logit(wanted - BAND), logit(min(wanted + BAND, 0.995))
    inside = _normal((high - means) / spreads) - _normal((low - means) / spreads)
    return np.asarray(np.abs(shares - wanted) + BESIDE_BAND * (1 - inside) + _unrest(success.challenge, group, ats))


def _unrest(challenge: Challenge, group: AtWork, ats: Sequence[At]) -> Array:
    """What changes cost, and doing the same again and again: on average over those at work."""
    before = [had for had in group.had if had]
    places = np.array(ats)
    if not before:
        # Of tasks as good as each other the one with no lever at its end: nobody has to jog at the shortest distance.
        return np.asarray(OFF_MIDDLE * np.abs(places - np.array(challenge.middle)).sum(axis=1))
    # A mean over the members, as each comes from another group: one who had the same does not speak for all.
    total = np.zeros(len(ats))
    fetched = [any(setting.needs for setting in lever.settings) for lever in challenge.levers]
    for had in before:
        other = places != np.array(had[-1])
        changes = other.sum(axis=1)
        cost = CHANGE * (changes > 0) + MORE_CHANGES * np.maximum(0, changes - 1)
        total += cost + FETCHED * (other & np.array(fetched)).sum(axis=1) + AGAIN * _in_a_row(had) * (changes == 0)
    return np.asarray(total / len(before))


def _in_a_row(had: tuple[At, ...]) -> int:
    """How often the latest task was done in a row, beyond the first time."""
    times = 0
    for at in reversed(had[:-1]):
        if at != had[-1] or times == LONGEST:
            break
        times += 1
    return times


def _normal(values: Array) -> Array:
    from math import erf

    return np.asarray(0.5 * (1 + np.vectorize(erf, otypes=[float])(values / np.sqrt(2))))
