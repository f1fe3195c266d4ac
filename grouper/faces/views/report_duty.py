"""Turns on duty: whose team officiated a game."""

from __future__ import annotations

from collections import Counter

from grouper.model.games_day import GamesDay
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey


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
    group = team_group(record, day, label)
    return group.members if group else ()


def team_group(record: ClassRecord, day: GamesDay, label: str) -> Group | None:
    """The group that plays as a team."""
    key = round_of(record, day)
    round_ = record.plan.by_key.get(key) if key else None
    return next((group for group in round_.groups if group.label == label), None) if round_ else None


def round_of(record: ClassRecord, day: GamesDay) -> RoundKey | None:
    """The round whose groups are the teams; None where the unit has no such activity any more."""
    for lesson in record.unit.lessons:
        for place, activity in enumerate(lesson.activities, start=1):
            if (lesson.number, activity.name) == day.key:
                return RoundKey(lesson.number, place, day.round)
    return None
