"""Seats to start from: at random, but with hard wishes met where a matching or a greedy seating meets them.

Matching is cubic in people, so that on wide boards swaps mend what the greedy seating breaks.
"""

from __future__ import annotations

import numpy as np

from grouper.engines.board import NOWHERE, Block, Board, Floats, Seats
from grouper.engines.exact import allowed_pairs_seats
from grouper.engines.seating import clusters
from grouper.engines.wide import is_wide, keep_hard_wishes


def start_seats(board: Board, rng: np.random.Generator) -> Seats:
    """Seats for all blocks: those that stand already, the others drawn at random."""
    rows = [_seats(board, block, rng) for block in board.blocks]
    return np.array(rows, dtype=np.int64).reshape(len(rows), board.size)


def _seats(board: Board, block: Block, rng: np.random.Generator) -> Seats:
    if block.seats is not None:
        return block.seats.copy()
    if not block.free:
        return np.full(board.size, NOWHERE, dtype=np.int64)
    if is_wide(board):
        return keep_hard_wishes(board, block, _drawn(board, block, rng), rng)
    # Without hard wishes any pairs will do, and a matching is cubic in people.
    if _only_pairs_and_trio(block) and (np.abs(block.pair_cost) >= board.hard / 2).any():
        matched = allowed_pairs_seats(block, block.pair_cost < board.hard / 2, board.hard, rng)
        if matched is not None:
            return matched
    return _drawn(board, block, rng)


def _only_pairs_and_trio(block: Block) -> bool:
    return len(block.sizes) > 0 and block.sizes[-1] == 2 and sum(block.sizes) - 2 * len(block.sizes) <= 1


def _drawn(board: Board, block: Block, rng: np.random.Generator) -> Seats:
    """One after the other, each into a group with room where it breaks least.

    People who must be together come first, a group of them at a time and where as few as can be sit already: swaps
    of two people will hardly part two such groups again. Then those with the most hard wishes.
    """
    hard = np.where(np.abs(block.pair_cost) >= board.hard / 2, block.pair_cost, 0.0)
    seats = np.full(board.size, NOWHERE, dtype=np.int64)
    room = np.array(block.sizes)
    for cluster in _most_wishes_first(block, hard, rng):
        for person in cluster:
            crowd = np.array(block.sizes) - room if len(cluster) > 1 else 0
            seats[person] = _least_breaking(seats, room, hard[person], crowd + rng.random(len(room)))
            room[seats[person]] -= 1
    return seats


def _most_wishes_first(block: Block, hard: Floats, rng: np.random.Generator) -> list[list[int]]:
    """Everybody, those who must be together side by side."""
    people = [int(person) for person in rng.permutation(block.people)]
    wishes = (hard != 0).sum(axis=1)
    return sorted(clusters(block.must_link, people), key=lambda c: (-len(c), -max(wishes[person] for person in c)))


def _least_breaking(seats: Seats, room: Seats, wishes: Floats, dislike: Floats) -> int:
    """A group with room; who must be together draw one another in, who must not keep one another out."""
    seated = seats != NOWHERE
    cost = np.bincount(seats[seated], weights=wishes[seated], minlength=len(room)).astype(np.float64)
    cost[room == 0] = np.inf
    return int((cost + dislike).argmin())
