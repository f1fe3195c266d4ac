"""The rule by which a group moves on its ladder balances where the wanted share of attempts succeeds."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from grouper.model.task_result import TaskResult
from grouper.model.unit import RoundKey
from grouper.tasks.response import ability_for, step_for, success_at
from grouper.tasks.staircase import MOST, Sight, move, sight_of

KEY = RoundKey(1, 1, 1)
TARGETS = st.sampled_from((0.5, 0.6, 0.7, 0.75, 0.8, 0.9))


def counted(hits: int, tries: int) -> TaskResult:
    return TaskResult(KEY, "1", hits=hits, tries=tries)


@given(TARGETS, st.integers(1, 6))
def test_one_attempt_moves_as_the_weighted_up_down_method_says(target: float, step: int) -> None:
    """Up for a success and down for a failure are to each other as 1 - p to p (Kaernbach 1991, from memory)."""
    level = ability_for(target, step)
    up, down = (move(level, step, sight_of(counted(hits, 1), target)) for hits in (1, 0))
    assert up > 0 > down
    assert up / -down == pytest.approx((1 - target) / target)


def test_for_three_of_four_a_failure_weighs_three_successes() -> None:
    """The example that the method is known for: 75 % with steps of 1 up and 3 down (Kaernbach 1991, from memory)."""
    level = ability_for(0.75, 2)
    up, down = (move(level, 2, sight_of(counted(hits, 1), 0.75)) for hits in (1, 0))
    assert -down == pytest.approx(3 * up)


@given(TARGETS, st.integers(1, 6), st.integers(1, 12))
def test_the_mean_move_is_none_at_the_wanted_share(target: float, step: int, tries: int) -> None:
    """Over all numbers of successes with their binomial chances (scipy), where no move is cut short."""
    level = ability_for(target, step)
    moves = [move(level, step, sight_of(counted(hits, tries), target)) for hits in range(tries + 1)]
    if max(map(abs, moves)) < MOST:
        chances = binom.pmf(range(tries + 1), tries, target)
        assert sum(c * m for c, m in zip(chances, moves, strict=True)) == pytest.approx(0, abs=1e-9)


@given(st.floats(-5, 12), st.integers(1, 6), st.integers(1, 20), st.data())
def test_more_successes_never_move_further_down(ability: float, step: int, tries: int, data: st.DataObject) -> None:
    """And a success at a harder step is worth no less."""
    hits = data.draw(st.integers(0, tries - 1))
    fewer, more = (move(ability, step, sight_of(counted(h, tries), 0.75)) for h in (hits, hits + 1))
    assert fewer <= more
    assert more <= move(ability, step + 1, sight_of(counted(hits + 1, tries), 0.75))


@given(st.floats(-10, 20), st.integers(1, 6), st.floats(0, 1), st.floats(0, 1))
def test_a_round_moves_nobody_by_more_than_a_step(ability: float, step: int, share: float, weight: float) -> None:
    """Whatever was seen."""
    assert abs(move(ability, step, Sight(share, weight))) <= MOST


@given(TARGETS)
def test_quick_words_move_up_down_and_not_at_all(target: float) -> None:
    """'Too easy' moves up, 'too hard' down, 'right' leaves a group at the right step where it is."""
    level = ability_for(target, 3)
    easy, right, hard = (move(level, 3, sight_of(TaskResult(KEY, "1", felt), target)) for felt in FELT)
    assert easy > 0 > hard
    assert right == pytest.approx(0, abs=1e-12)


FELT = ("easy", "right", "hard")


def test_counted_attempts_go_before_the_quick_word() -> None:
    """Where both are there."""
    both = TaskResult(KEY, "1", "easy", 2, 10)
    assert sight_of(both, 0.75) == sight_of(counted(2, 10), 0.75)


@pytest.mark.parametrize("target", [0.6, 0.75, 0.85])
@pytest.mark.parametrize("truth", [2.0, 4.3, 5.1])
def test_a_group_settles_where_the_wanted_share_succeeds(target: float, truth: float) -> None:
    """Four hundred rounds of ten attempts at a hidden ability: near the share over the last three hundred.

    Steps are whole, so the rate alternates around the share; the bound is the spread of the mean and half a cent.
    """
    random = Random(1)
    ability, seen = 3.0, []
    for _ in range(400):
        step = step_for(ability, target, 12)
        chance = success_at(truth + 3, step)
        hits = sum(random.random() < chance for _ in range(10))
        ability += move(ability, step, sight_of(counted(hits, 10), target))
        seen.append(chance)
    assert sum(seen[100:]) / 300 == pytest.approx(target, abs=0.03)
