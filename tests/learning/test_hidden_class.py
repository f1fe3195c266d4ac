"""Learning makes teams more even: a few fixed seeds of the bench, whose page has the figures over many."""

from __future__ import annotations

import numpy as np
import pytest
from hidden_class import HiddenClass, World, balance, even_teams, lessons_played

pytestmark = pytest.mark.whole_search

INNER_80 = 1.2816
SEEDS = range(20)


@pytest.mark.parametrize(
    ("world", "least"), [(World(), 0.05), (World(people=24, teams=8), 0.20), (World(people=24, teams=12), 0.40)]
)
def test_teams_are_more_even_with_learned_ratings_than_with_the_first_guess(world: World, least: float) -> None:
    """After six lessons true averages are nearer, by so many steps on average; true ratings would still do better."""
    apart = []
    for seed in SEEDS:
        hidden = HiddenClass(world, seed)
        learned = lessons_played(hidden)
        apart.append([balance(hidden, own, 6).apart for own in (hidden.guess, learned.ratings, hidden.truth)])
    guess, after, true = np.mean(apart, axis=0)
    assert guess - after > least
    assert after > true


def test_the_uncertainty_is_honest() -> None:
    """Of the truths about four in five lie in the 80 % interval, where the guess is as far off as the tool holds."""
    inside = []
    for seed in SEEDS:
        hidden = HiddenClass(World(), seed)
        learned = lessons_played(hidden)
        inside.append(np.mean(np.abs(learned.values - hidden.truth) <= INNER_80 * learned.uncertainty))
    assert 0.72 < np.mean(inside) < 0.88


def test_the_stand_in_makes_even_teams_as_the_planner_does() -> None:
    """Averages within an eighth of the range, sizes within one, everybody once."""
    random = np.random.default_rng(3)
    for _ in range(50):
        ratings = np.clip(np.round(random.normal(3, 1, 28)), 1, 5)
        teams = even_teams(ratings, 6, random)
        assert sorted(person for team in teams for person in team) == list(range(28))
        assert {len(team) for team in teams} == {4, 5}
        assert np.ptp([ratings[team].mean() for team in teams]) <= np.ptp(ratings) / 8 + 1e-9
