"""A class whose true abilities are known, though neither teacher nor tool is told: to see what learning is worth.

Nothing of the project is used to make the class and its scores: points are drawn one by one, with a form of the day and
a form of each game that the tool's model does not know. ``lessons_played`` then lets the tool learn from the scores.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from grouper.learning.evidence import Ability, Prior, Trial
from grouper.learning.guesses import GUESS_SPREAD, Scale
from grouper.learning.posterior import posterior_of
from grouper.learning.suggest import worth_suggesting
from grouper.learning.team_model import Game, trial_of

Array = NDArray[np.float64]
Teams = list[list[int]]
SCALE = Scale(1, 5)
BY_MUCH = 2 / 3
"""A game is lopsided where the stronger side gets so large a share of the points or more: twice those of the other."""


@dataclass(frozen=True)
class World:
    """How a class is and plays.

    Parameters
    ----------
    people, teams
        How many; teams differ by one player at most.
    noise
        Standard deviation of the teacher's first guess about the truth, in steps, before it is rounded to whole steps.
    lessons, legs
        Lessons of games, and how often every two teams meet in one.
    points
        Points of a game, on average.
    elo_per_step
        What a step of team average is truly worth a point.
    day_form, game_form
        Standard deviations of a team's strength about its average, in steps: anew each lesson, anew each game.
    """

    people: int = 28
    teams: int = 6
    noise: float = 1.0
    lessons: int = 6
    legs: int = 1
    points: float = 12.0
    elo_per_step: float = 100.0
    day_form: float = 0.2
    game_form: float = 0.3


AsTrial = Callable[[Game], Trial]


def by_the_tool(game: Game) -> Trial:
    """A game as evidence, as the tool takes it."""
    return trial_of(game, SCALE.step)


@dataclass
class HiddenClass:
    """A class drawn by a seed: what is true, and what the teacher guesses at first, in whole steps."""

    world: World
    seed: int
    random: np.random.Generator = field(init=False)
    truth: Array = field(init=False)
    guess: Array = field(init=False)

    def __post_init__(self) -> None:
        self.random = np.random.default_rng([self.seed, 20])
        self.truth = np.clip(self.random.normal(3, 1, self.world.people), 1, 5)
        seen = self.truth + self.random.normal(0, self.world.noise, self.world.people)
        self.guess = np.clip(np.round(seen), 1, 5)

    def play(self, teams: Teams, lesson: int) -> list[Game]:
        """The games of a lesson: every two teams, points drawn one by one."""
        day = self.random.normal(0, self.world.day_form, len(teams))
        return [
            self._game(teams, day, pair, lesson)
            for _ in range(self.world.legs)
            for pair in combinations(range(len(teams)), 2)
        ]

    def _game(self, teams: Teams, day: Array, pair: tuple[int, int], lesson: int) -> Game:
        home, away = pair
        form = self.random.normal(0, self.world.game_form, 2)
        strong = [self.truth[teams[side]].mean() + day[side] + own for side, own in zip(pair, form, strict=True)]
        points = int(self.random.poisson(self.world.points))
        chance = 1 / (1 + 10 ** (-self.world.elo_per_step * (strong[0] - strong[1]) / 400))
        scored = int(self.random.binomial(points, chance))
        return Game(lesson, _players(teams[home]), _players(teams[away]), scored, points - scored)


def _players(team: list[int]) -> tuple[Ability, ...]:
    return tuple(Ability(str(person)) for person in team)


def even_teams(ratings: Array, teams: int, random: np.random.Generator) -> Teams:
    """Teams drawn at random, then evened by swaps until their averages lie within an eighth of the range of ratings.

    A quick stand-in for the planner: the teams of many lessons are as even as its are, and as much mixed.
    """
    team = np.arange(len(ratings)) % teams
    random.shuffle(team)
    sizes = np.bincount(team, minlength=teams)
    totals = np.bincount(team, ratings, teams)
    for _ in range(200):
        averages = totals / sizes
        if np.ptp(averages) <= np.ptp(ratings) / 8 + 1e-9:
            break
        _swap(team, ratings, totals, int(averages.argmax()), int(averages.argmin()), random)
    return [list(map(int, np.flatnonzero(team == number))) for number in range(teams)]


def _swap(
    team: NDArray[np.int64], ratings: Array, totals: Array, high: int, low: int, random: np.random.Generator
) -> None:
    """A better player of the strongest team for a weaker one of the weakest; for anybody where there is no such."""
    one, other = random.choice(np.flatnonzero(team == high)), random.choice(np.flatnonzero(team == low))
    if ratings[one] <= ratings[other]:
        other = random.integers(len(team))
    here, there = team[one], team[other]
    totals[here] += ratings[other] - ratings[one]
    totals[there] += ratings[one] - ratings[other]
    team[one], team[other] = there, here


@dataclass(frozen=True)
class Change:
    """A suggestion that was accepted: how sure (in standard deviations), and whether it came nearer to the truth."""

    sure: float
    nearer: bool


@dataclass(frozen=True)
class Learned:
    """After all lessons: ratings as accepted, what is most likely, how unsure that is, and all changes on the way."""

    ratings: Array
    values: Array
    uncertainty: Array
    changes: tuple[Change, ...]


def lessons_played(hidden: HiddenClass, as_trial: AsTrial = by_the_tool, spread: float = GUESS_SPREAD) -> Learned:
    """Lessons of games with even teams, by the ratings known so far; the teacher accepts every suggestion."""
    held, games, changes = hidden.guess.copy(), list[Game](), list[Change]()
    values, unsure = held, np.full(len(held), spread)
    for lesson in range(1, hidden.world.lessons + 1):
        games += hidden.play(even_teams(held, hidden.world.teams, hidden.random), lesson)
        values, unsure = known(hidden.guess, games, as_trial, spread)
        after = np.array([_accepted(*three) for three in zip(held, values, unsure, strict=True)])
        changes += changes_between(held, after, unsure, hidden.truth)
        held = after
    return Learned(held, values, unsure, tuple(changes))


def changes_between(held: Array, after: Array, unsure: Array, truth: Array) -> list[Change]:
    """What was accepted after a lesson."""
    sure, nearer = np.abs(after - held) / unsure, np.abs(after - truth) < np.abs(held - truth)
    return [Change(float(sure[person]), bool(nearer[person])) for person in np.flatnonzero(after != held)]


def known(guess: Array, games: list[Game], as_trial: AsTrial, spread: float) -> tuple[Array, Array]:
    """What is most likely of everybody, and how unsure it is."""
    priors = {Ability(str(person)): Prior(float(rating), spread) for person, rating in enumerate(guess)}
    posterior = posterior_of(dict(priors), [as_trial(game) for game in games])
    return posterior.values, np.sqrt(np.diag(posterior.covariance))


def _accepted(held: float, value: float, unsure: float) -> float:
    suggested = worth_suggesting(SCALE, float(held), float(value), float(unsure))
    return float(held) if suggested is None else suggested


@dataclass(frozen=True)
class Balance:
    """The next lessons: how far apart team averages truly are (highest less lowest), the share of lopsided games."""

    apart: float
    lopsided: float


def balance(hidden: HiddenClass, ratings: Array, lessons: int = 12) -> Balance:
    """Teams made even by some ratings, seen by the truth; chance is the same for whatever ratings are held up."""
    random = np.random.default_rng([hidden.seed, 21])
    drawn = [even_teams(ratings, hidden.world.teams, random) for _ in range(lessons)]
    return balance_of(hidden, drawn)


def balance_of(hidden: HiddenClass, drawn: list[Teams]) -> Balance:
    """What teams are truly worth."""
    random = np.random.default_rng([hidden.seed, 22])
    averages = [np.array([hidden.truth[team].mean() for team in teams]) for teams in drawn]
    lopsided = [_lopsided(hidden.world, own, random) for own in averages]
    return Balance(float(np.mean([np.ptp(own) for own in averages])), float(np.mean(lopsided)))


def _lopsided(world: World, averages: Array, random: np.random.Generator, times: int = 20) -> float:
    """How often the truly stronger side wins by much, in so many games of every two teams."""
    high, low = np.triu_indices(len(averages), 1)
    gaps = np.repeat(np.abs(averages[high] - averages[low]), times)
    form = np.sqrt(2 * (world.day_form**2 + world.game_form**2))
    strong = gaps + random.normal(0, form, len(gaps))
    points = random.poisson(world.points, len(gaps))
    scored = random.binomial(points, 1 / (1 + 10 ** (-world.elo_per_step * strong / 400)))
    return float(np.mean(scored >= BY_MUCH * np.maximum(points, 1)))
