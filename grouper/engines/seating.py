"""A seating: where everybody sits in every block, and what that costs, counted from nothing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from grouper.engines.board import NOWHERE, Block, Board, Floats, Seats


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


def cost_of(board: Board, seats: Seats) -> float:
    """What a seating costs, counted from nothing; the same as the referee's total."""
    shared = [together(row) for row in seats]
    blocks = sum(block_cost(block, row, pairs) for block, row, pairs in zip(board.blocks, seats, shared, strict=True))
    return board.constant + blocks + meeting_cost(board, shared) + turn_cost(board, seats)


def block_cost(block: Block, seats: Seats, shared: Floats) -> float:
    """What one block costs by itself: its pairs and its totals."""
    pairs = float((block.pair_cost * shared).sum() / 2)
    return pairs + sum(float(total.cost(group_totals(seats, total.values, len(block.sizes))).sum())
                       for total in block.totals)


def group_totals(seats: Seats, values: Floats, groups: int) -> Floats:
    """The total of a value in each group of a block."""
    present = seats != NOWHERE
    return np.bincount(seats[present], weights=values[present], minlength=groups).astype(np.float64)


def meeting_cost(board: Board, shared: list[Floats]) -> float:
    """What pairs cost that meet in several blocks, or stay together."""
    stacked = np.array([pairs.ravel() for pairs in shared]) if shared else np.zeros((0, 1))
    crossed = board.affinity @ stacked
    both = float((stacked * crossed).sum())
    own = float((np.diag(board.affinity)[:, None] * stacked).sum())
    return (both - own) / 4 + own / 2


def turns(board: Board, seats: Seats) -> Floats:
    """How many turns in a special place each person has, over all blocks."""
    count = np.zeros(board.size)
    for block, row, rounds in zip(board.blocks, seats, board.turn_rounds, strict=True):
        count += rounds * is_special(block, row)
    return count


def is_special(block: Block, seats: Seats) -> Floats:
    """One entry a person: 1 in a special place, else 0."""
    if not block.special.any():
        return np.zeros(len(seats))
    return np.where(seats == NOWHERE, 0.0, (block.special[seats] > 0).astype(np.float64))


def turn_cost(board: Board, seats: Seats) -> float:
    """What uneven turns cost: weight x C(t, 2) summed over people."""
    weight = max((block.special.max(initial=0.0) for block in board.blocks), default=0.0)
    count = turns(board, seats)
    return float(weight * (count * (count - 1) / 2).sum())


def hard_cost(board: Board, block: Block, seats: Seats) -> float:
    """How many hard wishes the seats of one block break."""
    shared = together(seats)
    forbidden = (block.barred * shared).sum() / 2
    split = (block.glued * (1 - shared)).sum() / 2
    return float(forbidden + split)
