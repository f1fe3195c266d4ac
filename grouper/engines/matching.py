"""Pairs by matching in graphs (networkx), for rounds in which not everybody may work with everybody.

Maximum matching is Edmonds' blossom algorithm (Edmonds 1965, "Paths, Trees, and Flowers"), cubic in the number of
people.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from grouper.engines.board import NOWHERE, Block, Floats, Seats

Allowed = NDArray[np.bool_]


def allowed_pairs_seats(block: Block, allowed: Allowed, hard: float, rng: np.random.Generator) -> Seats | None:
    """Seats in allowed pairs (and one allowed trio in an odd class), glued people together; None where there are none.

    ``allowed`` is people x people over the whole board; what is glued has a pair cost of ``-hard`` or less.
    """
    pleasure = np.where(block.pair_cost <= -hard / 2, 1000.0, 0.0) + rng.random(block.pair_cost.shape)
    pleasure = np.triu(pleasure, 1) + np.triu(pleasure, 1).T
    people = [int(person) for person in rng.permutation(block.people)]
    if len(people) % 2 == 0:
        pairs = perfect_pairs(people, allowed, pleasure)
        return None if pairs is None else _seats(block, pairs)
    return _seats_with_trio(block, people, allowed, pleasure)


def _seats_with_trio(block: Block, people: list[int], allowed: Allowed, pleasure: Floats) -> Seats | None:
    """Whoever can be third: the rest in pairs, one pair of which takes the third in."""
    for third in people:
        pairs = perfect_pairs([person for person in people if person != third], allowed, pleasure)
        host = None if pairs is None else _host(pairs, third, allowed)
        if pairs is not None and host is not None:
            others = [pair for pair in pairs if pair != host]
            return _seats(block, [(*host, third), *others])
    return None


def _host(pairs: list[tuple[int, ...]], third: int, allowed: Allowed) -> tuple[int, ...] | None:
    return next((pair for pair in pairs if all(allowed[third, person] for person in pair)), None)


def perfect_pairs(people: list[int], allowed: Allowed, pleasure: Floats) -> list[tuple[int, ...]] | None:
    """Everybody in an allowed pair, with the greatest sum of pleasure; None where that can't be."""
    import networkx as nx

    graph: nx.Graph[int] = nx.Graph()
    graph.add_nodes_from(people)
    for one, other in combinations(sorted(people), 2):
        if allowed[one, other]:
            graph.add_edge(one, other, weight=float(pleasure[one, other]))
    pairs = nx.max_weight_matching(graph, maxcardinality=True)
    if 2 * len(pairs) < len(people):
        return None
    return sorted((min(one, other), max(one, other)) for one, other in pairs)


def _seats(block: Block, groups: list[tuple[int, ...]]) -> Seats:
    seats = np.full(block.pair_cost.shape[0], NOWHERE, dtype=np.int64)
    for place, group in enumerate(sorted(groups, key=lambda group: -len(group))):
        seats[list(group)] = place
    return seats
