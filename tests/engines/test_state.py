"""What a search believes of its seats is what a count from nothing says."""

from __future__ import annotations

from random import Random

import numpy as np
from any_problem import any_plan, begun
from builders import seats_of
from hypothesis import given
from hypothesis import strategies as st

from grouper.engines.board import NOWHERE, Board, Seats
from grouper.engines.seating import cost_of
from grouper.engines.state import State
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.planning.plan import board_for

chances = st.builds(Random, st.integers(0, 10**6))


def board_and_seats(record: ClassRecord, chance: Random) -> tuple[Board, Seats]:
    problem = problem_of(record)
    board = board_for(problem)
    return board, seats_of(board, any_plan(problem, chance))


def swapped(seats: Seats, block: int, one: int, other: int) -> Seats:
    after = seats.copy()
    after[block, [one, other]] = after[block, [other, one]]
    return after


@given(record=begun(most=6, stays=False), chance=chances)
def test_each_swap_changes_the_cost_as_scored(record: ClassRecord, chance: Random) -> None:
    """For every swap of every block the score is the difference of two full counts; what is no swap is inf."""
    board, seats = board_and_seats(record, chance)
    state = State(board, seats)
    for block in range(len(board.blocks)):
        changes = state.swap_changes(block)
        for one in range(board.size):
            for other in range(board.size):
                apart = NOWHERE not in seats[block, [one, other]] and seats[block, one] != seats[block, other]
                after = cost_of(board, swapped(seats, block, one, other)) if apart else np.inf
                assert changes[one, other] == after - state.cost


@given(record=begun(absent=False), chance=chances)
def test_cost_stays_right_over_many_swaps(record: ClassRecord, chance: Random) -> None:
    """After sixty random swaps the cost, and the score of every further swap, are those of a new beginning."""
    board, seats = board_and_seats(record, chance)
    state = State(board, seats)
    for _ in range(60):
        block = chance.randrange(len(board.blocks))
        changes = state.swap_changes(block)
        possible = np.argwhere(np.isfinite(changes))
        if len(possible):
            one, other = (int(person) for person in possible[chance.randrange(len(possible))])
            state.swap(block, one, other, float(changes[one, other]))
    fresh = State(board, state.seats)
    assert state.cost == cost_of(board, state.seats)
    for block in range(len(board.blocks)):
        assert np.array_equal(state.swap_changes(block), fresh.swap_changes(block))
