"""The draw between a swap and no swap in annealing."""

from __future__ import annotations

import numpy as np
import pytest
from builders import class_of, pairs
from scipy.stats import gumbel_r

from grouper.engines.annealing import Cooling
from grouper.engines.exchange import _Search
from grouper.engines.state import State
from grouper.model.problem import problem_of
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
