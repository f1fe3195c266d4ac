"""The team model against published values, closed forms and a posterior added up on a grid, none of them ours."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import betabinom, binom

from grouper.learning.evidence import Ability, Prior, Trial
from grouper.learning.posterior import Posterior, posterior_of
from grouper.learning.team_model import LIKENESS, Game, expected_score, trial_of, worth

ANA, BEN, CEM, DIA = (Ability(name) for name in ("ana", "ben", "cem", "dia"))


def learnt(games: list[Game], spread: float = 1.0, **means: float) -> Posterior:
    """What games say of people with these guesses."""
    priors = {Ability(name): Prior(mean, spread) for name, mean in means.items()}
    return posterior_of(dict(priors), [trial_of(game, 1.0) for game in games])


@pytest.mark.parametrize(("difference", "score"), [(0, 0.500), (100, 0.640), (200, 0.760), (400, 0.909)])
def test_expected_score_is_elos(difference: float, score: float) -> None:
    """Elo (1978), The Rating of Chessplayers: the logistic table, to three decimals; the other side has the rest."""
    assert expected_score(difference) == pytest.approx(score, abs=5e-4)
    assert expected_score(-difference) == pytest.approx(1 - score, abs=5e-4)


def test_one_against_one_is_the_closed_form_of_bradley_and_terry() -> None:
    """Most likely, the strengths of two are as their points (Bradley & Terry 1952): 15 : 5 is 400 log10 3 apart."""
    found = learnt([Game(1, (ANA,), (BEN,), 15, 5)], spread=1e4, ana=3, ben=3)
    apart = found.mean(ANA) - found.mean(BEN)
    assert 100 * apart == pytest.approx(400 * np.log10(3), rel=1e-5)
    assert found.mean(ANA) + found.mean(BEN) == pytest.approx(6)


@pytest.mark.parametrize("points", [1, 2, 11, 42])
@pytest.mark.parametrize("share", [0.5, 0.8])
def test_points_that_are_alike_count_as_their_variance_says(points: int, share: float) -> None:
    """Shares of a beta-binomial count vary as those of ``worth`` trials that know nothing of one another (scipy)."""
    both = 1 / LIKENESS - 1  # by which two points of one game are as alike as the model has it
    alike = betabinom(points, share * both, (1 - share) * both).var() / points**2
    assert binom(1, share).var() / worth(points) == pytest.approx(alike)


def test_without_games_the_guess_stays() -> None:
    """The posterior of nothing is the prior."""
    found = learnt([], spread=0.7, ana=2.5)
    assert (found.mean(ANA), found.spread(ANA)) == pytest.approx((2.5, 0.7))


def grid_posterior(games: list[Game], means: list[float]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Peak, mean and deviation of the posterior of a few people, added up over a fine grid in plain numbers."""
    axis = np.linspace(-5, 5, 121)
    points = np.array(list(product(axis, repeat=len(means)))) + means
    log = -0.5 * ((points - means) ** 2).sum(axis=1)
    names = ["ana", "ben", "cem"][: len(means)]
    for game in games:
        home, away = (
            points[:, [names.index(player.student) for player in team]].mean(axis=1) for team in (game.home, game.away)
        )
        share = 1 / (1 + 10 ** (-(home - away) * 100 / 400))
        scored = game.home_points + game.away_points
        discount = 1 / (1 + (scored - 1) * LIKENESS)
        log += discount * (game.home_points * np.log(share) + game.away_points * np.log(1 - share))
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    mean = weight @ points
    return points[log.argmax()], mean, np.sqrt(weight @ (points - mean) ** 2)


@pytest.mark.parametrize(
    ("games", "means"),
    [
        ([Game(1, (ANA,), (BEN,), 9, 3)], [3.0, 3.0]),
        ([Game(1, (ANA,), (BEN,), 9, 3), Game(1, (BEN,), (ANA,), 8, 7)], [2.0, 4.0]),
        ([Game(1, (ANA, BEN), (CEM,), 4, 10), Game(2, (ANA,), (BEN, CEM), 12, 6)], [3.0, 2.0, 4.0]),
    ],
)
def test_posterior_is_that_of_a_grid(games: list[Game], means: list[float]) -> None:
    """The peak is that of the grid within its mesh; the deviation, approximated, is right within three per cent."""
    names = ["ana", "ben", "cem"][: len(means)]
    found = learnt(games, **dict(zip(names, means, strict=True)))
    peak, mean, deviation = grid_posterior(games, means)
    assert found.values == pytest.approx(peak, abs=10 / 120)
    assert found.values == pytest.approx(mean, abs=0.05)
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx(deviation, rel=0.03)


def test_without_a_guess_it_is_logistic_regression() -> None:
    """Games of changing teams, guesses that say nothing: statsmodels' binomial regression, one person held at 0."""
    import statsmodels.api as sm  # a second, in the one process of several that runs this

    random = np.random.default_rng(11)
    people = [Ability(str(number)) for number in range(5)]
    games = []
    for lesson in range(40):
        one, two, three = (people[n] for n in random.permutation(5)[:3])
        games.append(Game(lesson + 1, (one, two), (three,), int(random.integers(1, 12)), int(random.integers(1, 12))))
    rows = np.zeros((len(games), 5))
    for row, game in zip(rows, games, strict=True):
        for team, sign in ((game.home, 1), (game.away, -1)):
            for player in team:
                row[people.index(player)] = sign / len(team)
    points = np.array([[game.home_points, game.away_points] for game in games])
    scored = points.sum(axis=1)
    regression = sm.GLM(
        points[:, 0] / scored,
        rows[:, 1:] * np.log(10) / 4,
        family=sm.families.Binomial(),
        var_weights=scored / (1 + (scored - 1) * LIKENESS),
    ).fit()
    found = posterior_of(dict.fromkeys(people, Prior(3.0, 100.0)), [trial_of(game, 1.0) for game in games])
    assert found.values[1:] - found.values[0] == pytest.approx(regression.params, abs=1e-3)
    apart = np.eye(5)[1:] - np.eye(5)[0]
    assert np.sqrt(np.diag(apart @ found.covariance @ apart.T)) == pytest.approx(regression.bse, rel=1e-3)


def test_many_games_lead_to_the_truth() -> None:
    """Six people in changing teams of two: after 3,000 games the guess is forgotten, and the truth found."""
    random = np.random.default_rng(5)
    truth = np.array([1.0, 2.0, 2.5, 3.0, 4.0, 5.5])
    people = [Ability(str(number)) for number in range(6)]
    games = []
    for _ in range(3000):
        home, away = random.permutation(6)[:4].reshape(2, 2)
        chance = 1 / (1 + 10 ** (-(truth[home].mean() - truth[away].mean()) / 4))
        scored = int(random.binomial(10, chance))
        games.append(Game(1, tuple(people[n] for n in home), tuple(people[n] for n in away), scored, 10 - scored))
    priors = {person: Prior(3.0, 1.0) for person in people}
    values = posterior_of(dict(priors), [trial_of(game, 1.0) for game in games]).values
    assert values == pytest.approx(truth, abs=0.15)


@given(st.integers(0, 20), st.integers(0, 20), st.floats(-3, 3))
def test_ratings_that_are_all_higher_compare_alike(home: int, away: int, shift: float) -> None:
    """With uneven teams too: a team is as able as its players on average, so that a scale needs no zero."""
    games = [Game(1, (ANA, BEN, CEM), (DIA,), home, away)]
    here = learnt(games, ana=1, ben=2, cem=4, dia=3)
    there = learnt(games, ana=1 + shift, ben=2 + shift, cem=4 + shift, dia=3 + shift)
    assert there.values - shift == pytest.approx(here.values, abs=1e-8)


@given(st.lists(st.tuples(st.integers(0, 30), st.integers(0, 30)), max_size=6))
def test_sides_are_alike(scores: list[tuple[int, int]]) -> None:
    """Who is called home makes no difference."""
    one = learnt([Game(1, (ANA, BEN), (CEM,), h, a) for h, a in scores], ana=1, ben=3, cem=2)
    other = learnt([Game(1, (CEM,), (ANA, BEN), a, h) for h, a in scores], ana=1, ben=3, cem=2)
    assert one.values == pytest.approx(other.values, abs=1e-8)


def test_a_game_without_points_is_an_even_one() -> None:
    """0 : 0 between two who were held to be uneven brings them nearer."""
    found = learnt([Game(1, (ANA,), (BEN,), 0, 0)], ana=4, ben=2)
    assert 2 < found.mean(BEN) < found.mean(ANA) < 4


@given(st.integers(1, 200))
def test_points_of_a_game_count_less_than_games(points: int) -> None:
    """More points tell more, but no game counts as more than 1 / likeness points of different games."""
    assert worth(points) <= worth(points + 1) <= 1 / LIKENESS


def test_extreme_scores_come_to_rest() -> None:
    """Newton's method ends where everything points one way."""
    trials = [Trial({ANA: 50.0}, 1.0, 1e6), Trial({ANA: -50.0}, 0.0, 1e6)]
    assert np.isfinite(posterior_of({ANA: Prior(-100.0, 10.0)}, trials).values).all()
