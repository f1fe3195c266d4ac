"""The draw between a swap and no swap in annealing; uneven rounds searched by themselves."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from builders import STRAND, class_of, pairs, partitions, record_of, roster_of
from scipy.stats import gumbel_r

from grouper.engines.annealing import Cooling
from grouper.engines.board import Board, Seats
from grouper.engines.exchange import _Search
from grouper.engines.portfolio import _teams_evened
from grouper.engines.seating import Seating, cost_of, group_totals
from grouper.engines.start import start_seats
from grouper.engines.state import State
from grouper.model.problem import problem_of
from grouper.model.unit import Activity
from grouper.planning.mending import board_for


@pytest.mark.parametrize("drawn", [-20.0, -5.0, 0.0, 5.0, 20.0])
def test_a_round_rests_as_often_as_the_draw_says(drawn: float) -> None:
    """Rest draws -T G with G of Gumbel's distribution, whose distribution is scipy's gumbel_r: a swap that
    costs nothing wins in exp(-1) of the draws, a dear one hardly ever, a good one nearly always."""
    board = board_for(problem_of(class_of(6, pairs(2))))
    seats = np.stack([np.repeat(np.arange(3), 2)] * len(board.blocks))
    search = _Search(State(board, seats), np.random.default_rng(1), Cooling())
    times, temperature = 4000, 5.0
    won = sum(drawn < rest for rest in search._rests(temperature, times))
    expected = gumbel_r.cdf(-drawn / temperature)
    assert won / times == pytest.approx(expected, abs=4 * (0.25 / times) ** 0.5)


@pytest.mark.parametrize("seed", range(6))
def test_a_round_is_uneven_only_where_even_teams_cost_more(seed: int) -> None:
    """Held against all 280 ways to put nine people in threes, each beside the other rounds as they are."""
    ratings = [1, 1, 2, 2, 3, 4, 4, 5, 5]
    board = board_for(problem_of(record_of(roster_of(9, ratings), THREES, lessons=3)))
    rng = np.random.default_rng(seed)
    seats, last = start_seats(board, rng), len(board.blocks) - 1
    assert _uneven(board, seats, last)
    evened = _teams_evened(board, Seating(seats, cost_of(board, seats)), rng)
    assert evened.cost == cost_of(board, evened.seats) < cost_of(board, seats)
    others = [_with_round(evened.seats, last, teams) for teams in partitions(range(9), (3, 3, 3))]
    even = [cost_of(board, row) for row in others if not _uneven(board, row, last)]
    assert len(others) == 280
    assert min(even) >= evened.cost


def test_the_search_is_warmer_where_groups_stay() -> None:
    """Teams of two lessons that stay for a final: by hand, two rounds beside two others are four repeats."""
    alone = board_for(problem_of(class_of(9, replace(THREES, aim="fresh", strand=""), lessons=2)))
    with_final = board_for(
        problem_of(class_of(9, replace(THREES, aim="fresh", strand=""), Activity("final", "stay"), lessons=2))
    )
    assert alone.usual_repeat == alone.repeat
    assert with_final.usual_repeat == 4 * with_final.repeat


THREES = Activity("drill", "balanced", 3, strand=STRAND)


def _uneven(board: Board, seats: Seats, number: int) -> float:
    return sum(item.cost(group_totals(seats[number], item.values, 3)) for item in board.blocks[number].averages)


def _with_round(seats: Seats, number: int, teams: tuple[tuple[int, ...], ...]) -> Seats:
    other = seats.copy()
    for place, team in enumerate(teams):
        other[number, list(team)] = place
    return other
