"""Seats to start from: at random, but with hard wishes met where a matching or a greedy seating meets them."""

from __future__ import annotations

import numpy as np

from grouper.engines.board import NOWHERE, Block, Board, Floats, Seats
from grouper.engines.matching import allowed_pairs_seats


def start_seats(board: Board, rng: np.random.Generator) -> Seats:
    """Seats for all blocks: those that stand already, the others drawn at random."""
    rows = [_seats(board, block, rng) for block in board.blocks]
    return np.array(rows, dtype=np.int64).reshape(len(rows), board.size)


def _seats(board: Board, block: Block, rng: np.random.Generator) -> Seats:
    if block.seats is not None:
        return block.seats.copy()
    if not block.free:
        return np.full(board.size, NOWHERE, dtype=np.int64)
    if _only_pairs_and_trio(block) and (np.abs(block.pair_cost) >= board.hard / 2).any():
        matched = allowed_pairs_seats(block, block.pair_cost < board.hard / 2, board.hard, rng)
        if matched is not None:
            return matched
    return _drawn(board, block, rng)


def _only_pairs_and_trio(block: Block) -> bool:
    return len(block.sizes) > 0 and block.sizes[-1] == 2 and sum(block.sizes) - 2 * len(block.sizes) <= 1


def _drawn(board: Board, block: Block, rng: np.random.Generator) -> Seats:
    """One after the other, those with the most hard wishes first, each into a group with room where it breaks least."""
    hard = np.where(np.abs(block.pair_cost) >= board.hard / 2, block.pair_cost, 0.0)
    seats = np.full(board.size, NOWHERE, dtype=np.int64)
    room = np.array(block.sizes)
    for person in _most_wishes_first(block, hard, rng):
        seats[person] = _least_breaking(seats, room, hard[person], rng)
        room[seats[person]] -= 1
    return seats


def _most_wishes_first(block: Block, hard: Floats, rng: np.random.Generator) -> Seats:
    people = rng.permutation(block.people)
    wishes = (hard[people] != 0).sum(axis=1)
    return people[np.argsort(-wishes, kind="stable")]


def _least_breaking(seats: Seats, room: Seats, wishes: Floats, rng: np.random.Generator) -> int:
    """A group with room; glued people draw one another in, forbidden people keep one another out."""
    seated = seats != NOWHERE
    cost = np.bincount(seats[seated], weights=wishes[seated], minlength=len(room)).astype(np.float64)
    cost[room == 0] = np.inf
    return int((cost + rng.random(len(room))).argmin())
