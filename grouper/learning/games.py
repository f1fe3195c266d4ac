"""The games of a class that speak about a strand, as they really were played."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from grouper.games.days.season import members_of
from grouper.learning.about import days_played, strand_of
from grouper.learning.evidence import Ability
from grouper.learning.guesses import Guesses
from grouper.learning.team_model import Game
from grouper.model.games_day import GamesDay


def games_about(guesses: Guesses) -> Iterator[Game]:
    """The games of the strand with a result, in the order of play.

    The points are those of play: one that a team lost, as in a danger zone, is one for the other side, so that the
    difference is that of the result. Bonus and penalty points are given for other things than ability. A game in which
    a team has nobody any more is left out.
    """
    for day, key in days_played(guesses.record):
        if strand_of(guesses.record, key) == guesses.strand:
            yield from _games(guesses, day)


def _games(guesses: Guesses, day: GamesDay) -> Iterator[Game]:
    # Where some scores know who played, one that does not is of teams that were not there when it was entered.
    from_before = not any(game.lineup for game in day.scored)
    teams = members_of(guesses.record, day) if from_before else (frozenset(),) * len(day.teams)
    for fixture in day.scored:
        sides = fixture.lineup or (teams[fixture.home - 1], teams[fixture.away - 1])
        home, away = (_abilities(guesses, day, side) for side in sides)
        if fixture.score and home and away:
            score = fixture.score
            yield Game(day.lesson, home, away, score.home + score.away_lost, score.away + score.home_lost)


def _abilities(guesses: Guesses, day: GamesDay, members: Collection[str]) -> tuple[Ability, ...]:
    return tuple(guesses.ability(student, day.lesson) for student in sorted(members))
