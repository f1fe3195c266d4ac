"""The curve of success, and the step that is nearest to the share that is wanted."""

from __future__ import annotations

from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grouper.tasks.response import ability_for, step_for, success_at

ABILITIES = st.floats(-20, 30)
SHARES = st.floats(0.5, 0.95)


@given(ABILITIES, st.integers(1, 9))
def test_a_step_harder_halves_the_odds(ability: float, step: int) -> None:
    """By the definition of odds, which the curve is not written with."""
    one, next_ = success_at(ability, step), success_at(ability, step + 1)
    assert next_ / (1 - next_) == pytest.approx(one / (1 - one) / 2, rel=1e-6)


def test_the_curve_is_the_logistic_curve_of_a_published_table() -> None:
    """Expected scores of Elo (0 .500, 100 .640, 200 .760, 400 .909) are this curve: 400 points are ln 10 in odds."""
    for points, share in ((0, 0.5), (100, 0.640), (200, 0.760), (400, 0.909)):
        steps = points / 400 * 2.302585092994046 / 0.6931471805599453
        assert success_at(steps, 0) == pytest.approx(share, abs=5e-4)
    assert success_at(1, 0) == pytest.approx(1 / (1 + exp(-0.6931471805599453)))


@given(ABILITIES, SHARES, st.integers(2, 9))
def test_the_step_is_the_nearest_of_all(ability: float, share: float, steps: int) -> None:
    """No other step has a predicted success nearer to the share that is wanted."""
    chosen = abs(success_at(ability, step_for(ability, share, steps)) - share)
    assert all(chosen <= abs(success_at(ability, step) - share) + 1e-9 for step in range(1, steps + 1))


@given(ABILITIES, st.floats(0, 5), SHARES, st.integers(2, 9))
def test_who_is_more_able_never_gets_an_easier_step(ability: float, more: float, share: float, steps: int) -> None:
    """The step rises with ability, and falls with the share that should succeed."""
    assert step_for(ability + more, share, steps) >= step_for(ability, share, steps)
    assert step_for(ability, share, steps) >= step_for(ability, 0.95, steps)


@given(st.floats(0.01, 0.99), st.floats(-5, 5))
def test_ability_for_a_share_gives_that_share(share: float, step: float) -> None:
    """There and back."""
    assert success_at(ability_for(share, step), step) == pytest.approx(share)
