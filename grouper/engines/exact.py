"""Exact answers: whether a round can be grouped at all, by matching for pairs, by CP-SAT for teams; and sharing out.

A round is asked for with its hard wishes alone. CP-SAT (OR-Tools) runs with one worker, a fixed seed and a
deterministic time limit, so that the answer is the same on any machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import combinations, pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from grouper.engines.board import NOWHERE, Block, Floats, Seats

Allowed = NDArray[np.bool_]


def allowed_pairs_seats(block: Block, allowed: Allowed, hard: float, rng: np.random.Generator) -> Seats | None:
    """Seats in allowed pairs (and one allowed trio in an odd class); None where there are none.

    ``allowed`` is people x people over the whole board; what must be together has a pair cost of ``-hard`` or less.
    """
    # Noise, so that of all matchings one is drawn and not the same one in every round; must-links outweigh it.
    weights = np.where(block.pair_cost <= -hard / 2, 1000.0, 0.0) + rng.random(block.pair_cost.shape)
    weights = np.triu(weights, 1) + np.triu(weights, 1).T
    people = [int(person) for person in rng.permutation(block.people)]
    if len(people) % 2 == 0:
        pairs = perfect_pairs(people, allowed, weights)
        return None if pairs is None else _seats(block, pairs)
    return _seats_with_trio(block, people, allowed, weights)


def _seats_with_trio(block: Block, people: list[int], allowed: Allowed, weights: Floats) -> Seats | None:
    """Whoever can be third: the rest in pairs, one pair of which takes the third in."""
    for third in people:
        pairs = perfect_pairs([person for person in people if person != third], allowed, weights)
        host = None if pairs is None else _host(pairs, third, allowed)
        if pairs is not None and host is not None:
            others = [pair for pair in pairs if pair != host]
            return _seats(block, [(*host, third), *others])
    return None


def _host(pairs: list[tuple[int, ...]], third: int, allowed: Allowed) -> tuple[int, ...] | None:
    return next((pair for pair in pairs if all(allowed[third, person] for person in pair)), None)


def perfect_pairs(people: list[int], allowed: Allowed, weights: Floats) -> list[tuple[int, ...]] | None:
    """Everybody in an allowed pair, with the greatest sum of weights; None where that can't be."""
    import networkx as nx

    graph: nx.Graph[int] = nx.Graph()
    graph.add_nodes_from(people)
    for one, other in combinations(sorted(people), 2):
        if allowed[one, other]:
            graph.add_edge(one, other, weight=float(weights[one, other]))
    pairs = nx.max_weight_matching(graph, maxcardinality=True)
    if 2 * len(pairs) < len(people):
        return None
    return sorted((min(one, other), max(one, other)) for one, other in pairs)


def _seats(block: Block, groups: list[tuple[int, ...]]) -> Seats:
    seats = np.full(block.pair_cost.shape[0], NOWHERE, dtype=np.int64)
    for place, group in enumerate(sorted(groups, key=lambda group: -len(group))):
        seats[list(group)] = place
    return seats


Groups = tuple[tuple[int, ...], ...]

FEW = 400
"""With more pairs apart than this, cliques are not listed: there can be too many."""


class Answer(Enum):
    """Can it be done?"""

    YES = "yes"
    NO = "no"
    UNKNOWN = "could not tell in time"


@dataclass(frozen=True)
class HardWish:
    """Two people (numbers) kept ``apart`` or ``together``; a ``loose`` one does not hold within a trio."""

    kind: str
    pair: tuple[int, int]
    loose: bool = False


@dataclass(frozen=True)
class Verdict:
    """The answer, and groups (numbers of people, largest group first) where it is yes."""

    answer: Answer
    groups: Groups = ()


def cp_sat(effort: float, seed: int = 1) -> Any:
    """A CP-SAT solver (OR-Tools) whose answer is the same on any machine: one worker, one seed, deterministic time."""
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = effort
    return solver


def can_be_grouped(people: int, sizes: tuple[int, ...], wishes: tuple[HardWish, ...], effort: float = 5.0) -> Verdict:
    """Whether people 0..n-1 can be put in groups of these sizes with all wishes kept.

    ``effort`` is CP-SAT's deterministic time.
    """
    if sizes and set(sizes) == {2}:
        return _in_pairs(people, wishes)
    # CP-SAT takes seconds to find out that more are apart than there are groups, a clique a blink.
    if _clique_too_large(len(sizes), wishes):
        return Verdict(Answer.NO)
    return _by_model(people, sizes, wishes, effort)


def _in_pairs(people: int, wishes: tuple[HardWish, ...]) -> Verdict:
    must_link = [wish.pair for wish in wishes if wish.kind == "together"]
    allowed = np.ones((people, people), dtype=np.bool_)
    for one, other in (wish.pair for wish in wishes if wish.kind == "apart"):
        allowed[one, other] = allowed[other, one] = False
    for one, other in must_link:
        wanted = allowed[one, other]
        allowed[[one, other], :] = False
        allowed[:, [one, other]] = False
        allowed[one, other] = allowed[other, one] = wanted
    pairs = perfect_pairs(list(range(people)), allowed, np.zeros((people, people)))
    return Verdict(Answer.NO) if pairs is None else Verdict(Answer.YES, tuple(pairs))


def _clique_too_large(groups: int, wishes: tuple[HardWish, ...]) -> bool:
    """Whether more people are all apart from one another than there are groups."""
    import networkx as nx

    graph = nx.Graph([wish.pair for wish in wishes if wish.kind == "apart" and not wish.loose])
    if graph.number_of_edges() > FEW:
        return False
    return any(len(clique) > groups for clique in nx.find_cliques(graph))


def _by_model(people: int, sizes: tuple[int, ...], wishes: tuple[HardWish, ...], effort: float) -> Verdict:
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    seat = [[model.new_bool_var("") for _ in sizes] for _ in range(people)]
    for row in seat:
        model.add_exactly_one(row)
    for place, size in enumerate(sizes):
        model.add(sum(row[place] for row in seat) == size)
    for wish in wishes:
        _add_wish(model, seat, sizes, wish)
    solver = cp_sat(effort)
    status = solver.solve(model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Verdict(Answer.YES, _groups(solver, seat, sizes))
    return Verdict(Answer.NO if status == cp_model.INFEASIBLE else Answer.UNKNOWN)


def _add_wish(model, seat, sizes: tuple[int, ...], wish: HardWish) -> None:  # type: ignore[no-untyped-def]
    one, other = wish.pair
    for place, size in enumerate(sizes):
        if wish.kind == "together":
            model.add(seat[one][place] == seat[other][place])
        elif not (wish.loose and size > 2):
            model.add_at_most_one(seat[one][place], seat[other][place])


def _groups(solver, seat, sizes: tuple[int, ...]) -> Groups:  # type: ignore[no-untyped-def]
    return tuple(
        tuple(person for person, row in enumerate(seat) if solver.boolean_value(row[place]))
        for place in range(len(sizes))
    )


Demand = tuple[HardWish, ...]
"""What stands or falls together: the wish of one request, or all pairs outside of one gap window."""


@dataclass(frozen=True)
class Clash:
    """Numbers of demands that cannot all be met, none of which can be left out; unless it is not ``sure``."""

    demands: tuple[int, ...]
    sure: bool


def smallest_clash(people: int, sizes: tuple[int, ...], demands: tuple[Demand, ...], effort: float = 2.0) -> Clash:
    """A set of demands that cannot be met together, made small by trying to leave out each demand in turn."""
    kept, sure = _to_begin_with(sizes, demands), True
    for number in tuple(kept):
        rest = [other for other in kept if other != number]
        answer = can_be_grouped(people, sizes, _wishes(demands, rest), effort).answer
        # What the time did not suffice for stays in, so that the set still clashes; it may then not be the smallest.
        kept = rest if answer is Answer.NO else kept
        sure = sure and answer is not Answer.UNKNOWN
    return Clash(tuple(kept), sure)


def _wishes(demands: tuple[Demand, ...], numbers: list[int]) -> tuple[HardWish, ...]:
    return tuple(wish for number in numbers for wish in demands[number])


def _to_begin_with(sizes: tuple[int, ...], demands: tuple[Demand, ...]) -> list[int]:
    """A clash that is plain to see, the smaller one where there are two; else all demands."""
    plain = [clash for clash in (_torn_chain(demands), _large_clique(len(sizes), demands)) if clash]
    return min(plain, key=len, default=list(range(len(demands))))


def _single(demands: tuple[Demand, ...], kind: str) -> dict[tuple[int, int], int]:
    """The pairs of the demands that are one wish of this kind, with the number of the demand."""
    return {d[0].pair: n for n, d in enumerate(demands) if len(d) == 1 and d[0].kind == kind and not d[0].loose}


def _torn_chain(demands: tuple[Demand, ...]) -> list[int]:
    """Two who are to be apart, and the shortest chain of together between them; empty where there is none."""
    import networkx as nx

    links, apart = _single(demands, "together"), _single(demands, "apart")
    graph = nx.Graph(list(links))
    torn = [pair for pair in apart if graph.has_node(pair[0]) and graph.has_node(pair[1]) and nx.has_path(graph, *pair)]
    chains = [(pair, nx.shortest_path(graph, *pair)) for pair in torn]
    pair, chain = min(chains, key=lambda found: len(found[1]), default=((-1, -1), []))
    steps = [links[(min(step), max(step))] for step in pairwise(chain)]
    return sorted([apart[pair], *steps]) if chain else []


def _large_clique(groups: int, demands: tuple[Demand, ...]) -> list[int]:
    """One more people than groups, all apart from one another; empty where there are none, or too many to look."""
    import networkx as nx

    apart = _single(demands, "apart")
    cliques = (sorted(c) for c in nx.find_cliques(nx.Graph(list(apart)))) if len(apart) <= FEW else iter(())
    large = next((clique for clique in cliques if len(clique) > groups), None)
    return [] if large is None else sorted(apart[pair] for pair in combinations(large[: groups + 1], 2))


FINENESS = 1_000_000
"""Costs are whole numbers for the solver; millionths are far below anything that tells two tasks apart."""

SHORT = 1_000 * FINENESS
"""A thing too few costs more than any choice: it is gone without only where there is no other way."""


@dataclass(frozen=True)
class Choice:
    """What a group can have: the cost of it, and how many of each thing it needs, in the order of the cupboard."""

    cost: float
    needs: tuple[int, ...]


@dataclass(frozen=True)
class SharedOut:
    """For each group the place of its choice, and of each thing how many are missing all the same."""

    chosen: tuple[int, ...]
    missing: tuple[int, ...]


def shared_out(groups: Sequence[Sequence[Choice]], counts: Sequence[int]) -> SharedOut:
    """The cheapest choices that need no more of anything than there is; exact.

    Where that cannot be, as few things as can be are missing, and then it is the cheapest.

    Parameters
    ----------
    groups : sequence of sequence of Choice
        What each group can have, at least one thing.
    counts : sequence of int
        How many of each thing there are.
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    taken = [[model.new_bool_var("") for _ in choices] for choices in groups]
    missing = [model.new_int_var(0, _most(groups, thing), "") for thing in range(len(counts))]
    for row in taken:
        model.add_exactly_one(row)
    for thing, count in enumerate(counts):
        used = [
            choice.needs[thing] * var
            for choices, row in zip(groups, taken, strict=True)
            for choice, var in zip(choices, row, strict=True)
            if choice.needs[thing]
        ]
        model.add(sum(used) <= count + missing[thing])
    costs = [
        round(choice.cost * FINENESS) * var
        for choices, row in zip(groups, taken, strict=True)
        for choice, var in zip(choices, row, strict=True)
    ]
    model.minimize(sum(costs) + SHORT * sum(missing))
    solver = cp_sat(2.0, seed=0)
    solver.solve(model)
    chosen = tuple(next(place for place, var in enumerate(row) if solver.value(var)) for row in taken)
    return SharedOut(chosen, tuple(int(solver.value(var)) for var in missing))


def _most(groups: Sequence[Sequence[Choice]], thing: int) -> int:
    return sum(max(choice.needs[thing] for choice in choices) for choices in groups)
