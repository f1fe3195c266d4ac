"""What is known of everybody's ability in a strand, once all results are taken together."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from grouper.learning.evidence import Ability, Trial
from grouper.learning.games import games_about
from grouper.learning.guesses import Guesses
from grouper.learning.posterior import Posterior, posterior_of
from grouper.learning.taps import Tap, demands, taps_about, trials_of_taps
from grouper.learning.team_model import Game, trials_of
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
        priors = self.guesses.priors([*players, *workers])
        return posterior_of({**priors, **demands(self.guesses, self.taps)}, self._trials())

    def _trials(self) -> list[Trial]:
        step, success = self.guesses.scale.step, self.guesses.record.settings.success
        return [*trials_of(self.games, step), *trials_of_taps(self.taps, step, success)]

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
