"""Turns on duty: whose team officiated a game."""

from __future__ import annotations

from collections import Counter

from grouper.games.days.stale import round_of
from grouper.model.games_day import GamesDay
from grouper.model.record import ClassRecord


def duty_turns(record: ClassRecord) -> dict[str, int] | None:
    """How many games each student's team officiated, by id; None where no game of the record's lessons has a duty."""
    turns: Counter[str] = Counter()
    for day in record.games:
        for label in _officials(day):
            turns.update(team(record, day, label))
    return dict(turns) or None


def _officials(day: GamesDay) -> list[str]:
    return [day.teams[fixture.duty - 1] for fixture in day.fixtures if fixture.duty]


def team(record: ClassRecord, day: GamesDay, label: str) -> tuple[str, ...]:
    """Ids of the members of a team, by its label; nobody where the lesson or the group is not there any more."""
    round_ = round_of(record, day)
    groups = round_.groups if round_ else ()
    return next((group.members for group in groups if group.label == label), ())
