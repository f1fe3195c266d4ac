"""What is known of everybody's ability in a strand, once all results are taken together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from grouper.games.days.groups import members_of
from grouper.learning.about import events_played, strand_of
from grouper.learning.evidence import Ability, Prior, Unknown
from grouper.learning.guesses import Guesses
from grouper.learning.posterior import Posterior, posterior_of
from grouper.learning.taps import Tap, demands, taps_about, trials_of_taps
from grouper.learning.team_model import Game, trial_of
from grouper.model.record import ClassRecord


@dataclass(frozen=True)
class Learning:
    """A strand's guesses, the results that speak about it, and what follows from both."""

    guesses: Guesses
    games: tuple[Game, ...]
    taps: tuple[Tap, ...]

    @cached_property
    def posterior(self) -> Posterior:
        """What is most likely, and how sure that is."""
        players = [player for game in self.games for player in game.players]
        workers = [member for tap in self.taps for member in tap.members]
        priors: dict[Unknown, Prior] = {who: self.guesses.prior(who) for who in dict.fromkeys([*players, *workers])}
        step, success = self.guesses.scale.step, self.guesses.record.settings.success
        trials = [trial_of(game, step) for game in self.games]
        trials += trials_of_taps(self.taps, step, success)
        return posterior_of({**priors, **demands(self.guesses, self.taps)}, trials)

    def value(self, ability: Ability) -> float:
        """What is most likely; the guess where there is no result."""
        return self.posterior.mean(ability) if self.seen(ability) else self.guesses.prior(ability).mean

    def uncertainty(self, ability: Ability) -> float:
        """How far the truth may be off, in units of the scale (standard deviation)."""
        return self.posterior.spread(ability) if self.seen(ability) else self.guesses.prior(ability).spread

    def seen(self, ability: Ability) -> bool:
        """Whether there is a result of this student."""
        return ability in self.posterior.unknowns

    @property
    def through(self) -> int:
        """The last lesson with a result; 0 where there is none."""
        lessons = [game.lesson for game in self.games] + [tap.result.key.lesson for tap in self.taps]
        return max(lessons, default=0)


def learn(record: ClassRecord, strand: str) -> Learning:
    """Everything that results tell about a strand."""
    guesses = Guesses(record, strand)
    return Learning(guesses, tuple(games_about(guesses)), tuple(taps_about(guesses)))


def games_about(guesses: Guesses) -> Iterator[Game]:
    """The games of the strand with a result, in the order of play.

    The points are those of play: one that a team lost, as in a danger zone, is one for the other side, so that the
    difference is that of the result. Bonus and penalty points are given for other things than ability. A game in which
    a team has nobody any more is left out. Where a hit brings more than a point there are fewer hits than points, and
    the result is as much less sure.
    """
    record = guesses.record
    for event, key in events_played(record):
        if strand_of(record, key) != guesses.strand:
            continue
        # Where some scores know who played, one that does not is of teams that were not there when it was entered.
        from_before = not any(game.lineup for game in event.scored)
        teams = members_of(record, event) if from_before else (frozenset(),) * len(event.teams)
        scoring = record.scoring(event.activity)
        per_hit = scoring.most if scoring else 1
        for game in event.scored:
            sides = game.lineup or (teams[game.home - 1], teams[game.away - 1])
            home, away = (tuple(guesses.ability(who, event.lesson) for who in sorted(side)) for side in sides)
            if (score := game.score) and home and away:
                points = (score.home + score.away_lost, score.away + score.home_lost)
                yield Game(event.lesson, home, away, *points, per_hit)
