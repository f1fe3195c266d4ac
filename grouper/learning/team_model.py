"""What the scores of games say about the abilities of the players in the teams.

A team is as able as its players are on average. Of the points of a game each side gets a share, expected from the
difference by the curve of Bradley and Terry (1952, Rank analysis of incomplete block designs, Biometrika 39:324) on the
scale of Elo (1978, The Rating of Chessplayers, Past and Present). That a team's strength is made of its players' and
that these can be learnt from games of teams is as in Huang, Lin and Weng (2008, Ranking individuals by group
comparisons, JMLR 9:2187). All three are cited from memory; the prior, the discount and the choice of points over wins
are ours, chosen by simulation (docs/quality/learning.md).

The average and not the sum, because ratings have no natural zero: were all ratings one higher, the sum would make the
larger of two uneven teams stronger by one more player's rise, while the average leaves every comparison as it is. Where
all teams are of one size the two differ by a constant factor alone. What an extra player is worth is therefore not
modelled: uneven teams commonly play with equal numbers on the court, and change over.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log

from grouper.learning.evidence import Ability, Trial, Unknown

ELO_PER_STEP = 100.0
"""A team whose average is one step of the scale higher is expected to get 0.640 of the points of a game."""

LIKENESS = 0.1
"""How much points of one game are alike beyond the teams' strength (form of the day, who serves, a run of luck): the
correlation between two of them. Eleven points count as five and a half then, and no game as more than ten."""

LOGIT_PER_ELO = log(10) / 400


@dataclass(frozen=True)
class Game:
    """A game between two teams of abilities, the points they scored, and the lesson it was in.

    ``per_hit`` is how many points one success brings at most.
    """

    lesson: int
    home: tuple[Ability, ...]
    away: tuple[Ability, ...]
    home_points: int
    away_points: int
    per_hit: int = 1

    @property
    def players(self) -> tuple[Ability, ...]:
        """Everybody in it."""
        return self.home + self.away


def expected_score(difference: float) -> float:
    """The score expected of the better by so many points on Elo's scale: 1 / (1 + 10^(-d/400)).

    Examples
    --------
    >>> expected_score(0), round(expected_score(100), 3), round(expected_score(-400), 3)
    (0.5, 0.64, 0.091)
    """
    return float(1 / (1 + 10 ** (-difference / 400)))


def worth(points: float, likeness: float = LIKENESS) -> float:
    """How many independent trials the points of a game count as; a game without any counts as one, which is even.

    Kish's design effect for trials in clusters (1965, Survey Sampling), by which beta-binomial counts vary.

    Examples
    --------
    >>> worth(0), worth(1), worth(11)
    (1.0, 1.0, 5.5)
    """
    trials = max(points, 1)
    return trials / (1 + (trials - 1) * likeness)


def trial_of(game: Game, step: float, elo_per_step: float = ELO_PER_STEP, likeness: float = LIKENESS) -> Trial:
    """A game as evidence: the points it was decided by, shared by the difference of the teams' averages.

    ``step`` is that of the scale, in units of the scale; the other two are there to be tried out.
    """
    logit_per_unit = elo_per_step * LOGIT_PER_ELO / step
    weights: dict[Unknown, float] = {}
    for team, sign in ((game.home, 1), (game.away, -1)):
        for player in team:
            weights[player] = weights.get(player, 0.0) + sign * logit_per_unit / len(team)
    points = game.home_points + game.away_points
    share = game.home_points / points if points else 0.5
    return Trial(weights, share, worth(points / game.per_hit, likeness))
