"""A seating: where everybody sits in every block, and what that costs, counted from nothing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from grouper.engines.board import NOWHERE, Block, Board, Flags, Floats, Seats

EVERYBODY = slice(None)


@dataclass(frozen=True)
class Seating:
    """Seats of all blocks (blocks x people, the group or NOWHERE) and their cost."""

    seats: Seats
    cost: float


def together(seats: Seats) -> Floats:
    """For the seats of one block: n x n, 1 where two people share a group, zero diagonal."""
    same = (seats[:, None] == seats[None, :]) & (seats != NOWHERE)[:, None]
    shared: Floats = same.astype(np.float64)
    np.fill_diagonal(shared, 0.0)
    return shared


def pairs_of(seats: Seats) -> tuple[Seats, Seats]:
    """Each two people who share a group, once: the numbers of the ones and of the others; linear in such pairs."""
    order = np.argsort(seats, kind="stable")
    order = order[seats[order] != NOWHERE]
    row = seats[order]
    ones, others = [order[:0]], [order[:0]]
    for step in range(1, max_size(seats)):
        same = row[:-step] == row[step:]
        ones.append(order[:-step][same])
        others.append(order[step:][same])
    return np.concatenate(ones), np.concatenate(others)


def max_size(seats: Seats) -> int:
    """How many people the largest group has."""
    return int(np.bincount(seats[seats != NOWHERE], minlength=1).max())


def cost_of(board: Board, seats: Seats) -> float:
    """What a seating costs, counted from nothing; the same as the referee's total."""
    blocks = sum(block_cost(block, row) for block, row in zip(board.blocks, seats, strict=True))
    return board.constant + blocks + meeting_cost(board, seats) + turn_cost(board, seats)


def block_cost(block: Block, seats: Seats) -> float:
    """What one block costs by itself: its pairs, its totals and its averages."""
    pairs = float(block.pair_cost[pairs_of(seats)].sum())
    pairs += float(as_pair_costs(block, seats).sum()) / 2
    groups = len(block.sizes)
    totals = sum(float(total.cost(group_totals(seats, total.values, groups)).sum()) for total in block.totals)
    return pairs + totals + sum(item.cost(group_totals(seats, item.values, groups)) for item in block.averages)


def mates(block: Block, seats: Seats) -> Seats:
    """With whom each person is a pair by themselves; the number of people where they are none."""
    size = len(seats)
    mate = np.full(size, size, dtype=np.int64)
    order = np.argsort(seats, kind="stable")
    row = seats[order]
    joined = (row[:-1] == row[1:]) & (row[1:] != NOWHERE) & block.of_two[row[1:]]
    ones, others = order[:-1][joined], order[1:][joined]
    mate[ones], mate[others] = others, ones
    return mate


def as_pair_costs(block: Block, seats: Seats) -> Floats:
    """What each person costs by being a pair with the one that they are with; both of a pair have the whole of it."""
    if block.as_pair is None:
        return np.zeros(len(seats))
    own: Floats = block.as_pair_or_alone[np.arange(len(seats)), mates(block, seats)]
    return own


def as_pair_changes(block: Block, seats: Seats, rows: Seats | slice = EVERYBODY) -> Floats:
    """What swaps change in what pairs cost as pairs, for people of two groups: rows x people."""
    if block.as_pair is None:
        return np.zeros((len(np.arange(len(seats))[rows]), len(seats)))
    priced, mate = block.as_pair_or_alone, mates(block, seats)
    with_mate_of: Floats = priced[:, mate]
    own = with_mate_of.diagonal()
    with_mate_of = with_mate_of - own[:, None]
    change: Floats = with_mate_of[rows] + with_mate_of[:, rows].T
    return change


def group_totals(seats: Seats, values: Floats, groups: int) -> Floats:
    """The total of a value in each group of a block."""
    present = seats != NOWHERE
    return np.bincount(seats[present], weights=values[present], minlength=groups).astype(np.float64)


_COUNTED_AT_ONCE = 100_000
"""So many counters at most, that they fit where the processor reaches them soon."""


def meeting_cost(board: Board, seats: Seats) -> float:
    """What pairs cost that meet in several blocks, or stay together."""
    total = 0.0
    for later, row in enumerate(seats):
        *costs, again = (board.affinity[: later + 1, later] * pairs_in_each(seats[: later + 1], row)).tolist()
        # One after the other: in another order of adding up the last digit could be another, and with it the plan.
        for cost in (again, *costs):
            total += cost
    return total


def pairs_in_both(one: Seats, other: Seats) -> int:
    """How many pairs share a group in both of two blocks; linear in people and in groups x groups."""
    present = (one != NOWHERE) & (other != NOWHERE)
    groups = int(other.max(initial=0)) + 1
    common = np.bincount(one[present] * groups + other[present])
    return int((common * (common - 1)).sum()) // 2


def pairs_in_each(rows: Seats, other: Seats) -> Seats:
    """The same for several blocks beside another one, a row each: for a class at once, in an eighth of the time."""
    groups, most = int(other.max(initial=0)) + 1, int(rows.max(initial=0)) + 1
    if len(rows) * most * groups > _COUNTED_AT_ONCE:
        return np.array([pairs_in_both(row, other) for row in rows])
    present = (rows != NOWHERE) & (other != NOWHERE)
    places = (np.arange(len(rows))[:, None] * most + rows) * groups + other
    common = np.bincount(places[present], minlength=len(rows) * most * groups).reshape(len(rows), -1)
    pairs: Seats = (common * (common - 1)).sum(axis=1) // 2
    return pairs


def turns(board: Board, seats: Seats) -> Floats:
    """How many turns in a special place of each kind each person has had, all blocks and before: kinds x people."""
    count = board.turns_before.copy()
    for block, row, rounds, kind in zip(board.blocks, seats, board.turn_rounds, board.turn_kinds, strict=True):
        count[kind] += rounds * is_special(block, row)
    return count


def is_special(block: Block, seats: Seats) -> Floats:
    """One entry a person: 1 in a special place, else 0."""
    if not block.special.any():
        return np.zeros(len(seats))
    return np.where(seats == NOWHERE, 0.0, (block.special[seats] > 0).astype(np.float64))


def turn_cost(board: Board, seats: Seats) -> float:
    """What uneven turns cost: weight x C(t, 2) summed over people, turns from before not charged by themselves."""
    weight = max((block.special.max(initial=0.0) for block in board.blocks), default=0.0)
    count, before = turns(board, seats), board.turns_before
    return float(weight * (count * (count - 1) - before * (before - 1)).sum() / 2)


def hard_cost(board: Board, block: Block, seats: Seats) -> float:
    """How many hard wishes the seats of one block break."""
    met = pairs_of(seats)
    split = block.must_link.sum() / 2 - block.must_link[met].sum()
    return float(block.cannot_link[met].sum() + split)


def clusters(must_link: Flags, people: Iterable[int]) -> list[list[int]]:
    """Everybody, those side by side who must be together, be it through others; in the order of ``people``."""
    found: list[list[int]] = []
    left = dict.fromkeys(people)
    while left:
        cluster = [next(iter(left))]
        del left[cluster[0]]
        for person in cluster:
            joining = [int(other) for other in np.flatnonzero(must_link[person]) if other in left]
            cluster += joining
            for other in joining:
                del left[other]
        found.append(cluster)
    return found


def chained(must_link: Flags) -> Flags:
    """people x people: who must be together, be it through others."""
    closed = np.zeros_like(must_link)
    for cluster in clusters(must_link, [int(person) for person in np.flatnonzero(must_link.any(axis=1))]):
        closed[np.ix_(cluster, cluster)] = True
    np.fill_diagonal(closed, False)
    return closed
