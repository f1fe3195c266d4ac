"""The games of a class that speak about a strand, as they really were played."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from grouper.games.days.groups import members_of
from grouper.learning.about import events_played, strand_of
from grouper.learning.evidence import Ability
from grouper.learning.guesses import Guesses
from grouper.learning.team_model import Game
from grouper.model.play import Event


def games_about(guesses: Guesses) -> Iterator[Game]:
    """The games of the strand with a result, in the order of play.

    The points are those of play: one that a team lost, as in a danger zone, is one for the other side, so that the
    difference is that of the result. Bonus and penalty points are given for other things than ability. A game in which
    a team has nobody any more is left out. Where a hit brings more than a point there are fewer hits than points, and
    the result is as much less sure.
    """
    for event, key in events_played(guesses.record):
        if strand_of(guesses.record, key) == guesses.strand:
            yield from _games(guesses, event)


def _games(guesses: Guesses, event: Event) -> Iterator[Game]:
    # Where some scores know who played, one that does not is of teams that were not there when it was entered.
    from_before = not any(game.lineup for game in event.scored)
    teams = members_of(guesses.record, event) if from_before else (frozenset(),) * len(event.teams)
    scoring = guesses.record.scoring(event.activity)
    per_hit = scoring.most if scoring else 1
    for game in event.scored:
        sides = game.lineup or (teams[game.home - 1], teams[game.away - 1])
        home, away = (_abilities(guesses, event, side) for side in sides)
        if game.score and home and away:
            score = game.score
            yield Game(event.lesson, home, away, score.home + score.away_lost, score.away + score.home_lost, per_hit)


def _abilities(guesses: Guesses, event: Event, members: Collection[str]) -> tuple[Ability, ...]:
    return tuple(guesses.ability(student, event.lesson) for student in sorted(members))
