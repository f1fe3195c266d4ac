"""Turns on duty over the games of a unit: whose team officiated, and who is next."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from statistics import mean

from grouper.games.days.stale import round_of
from grouper.model.games_day import Fixture, GamesDay
from grouper.model.record import ClassRecord


def duty_turns(record: ClassRecord) -> dict[str, int] | None:
    """How many games each student's team officiated, by id; None where no game of the record's lessons has a duty."""
    turns: Counter[str] = Counter()
    for day in record.games:
        turns.update(_turns_of(record, day))
    return dict(turns) or None


def _turns_of(record: ClassRecord, day: GamesDay) -> Counter[str]:
    turns: Counter[str] = Counter()
    for fixture in day.fixtures:
        if fixture.duty:
            turns.update(team(record, day, day.teams[fixture.duty - 1]))
    return turns


def team(record: ClassRecord, day: GamesDay, label: str) -> tuple[str, ...]:
    """Ids of the members of a team, by its label; nobody where the lesson or the group is not there any more."""
    round_ = round_of(record, day)
    groups = round_.groups if round_ else ()
    return next((group.members for group in groups if group.label == label), ())


def turned_to_even_duty(record: ClassRecord, day: GamesDay) -> GamesDay:
    """A new day of games with its teams exchanged so that duty falls to those who had least of it in the unit so far.

    Where some teams of the day officiate more often than others, they are the ones whose members did least, by the
    chances that they had: who was not there is counted what the others had on average. Where that makes no difference
    the day stays as it is.
    """
    duties = Counter(fixture.duty for fixture in day.fixtures if fixture.duty)
    had = _had_before(record, day)
    numbers = range(1, len(day.teams) + 1)
    load = [mean(had.get(student, 0.0) for student in team(record, day, label) or ("",)) for label in day.teams]
    if len({duties[number] for number in numbers}) == 1 or len(set(load)) == 1:
        return day
    places = sorted(numbers, key=lambda number: -duties[number])
    takers = sorted(numbers, key=lambda number: load[number - 1])
    now = dict(zip(places, takers, strict=True))
    return replace(day, fixtures=tuple(_turned(fixture, now) for fixture in day.fixtures))


def _turned(fixture: Fixture, now: dict[int, int]) -> Fixture:
    duty = None if fixture.duty is None else now[fixture.duty]
    return replace(fixture, home=now[fixture.home], away=now[fixture.away], duty=duty)


def _had_before(record: ClassRecord, day: GamesDay) -> dict[str, float]:
    """Turns on duty in the other days of the unit, and an average of them for each day that somebody missed."""
    had: dict[str, float] = {}
    for other in record.games:
        if other.key == day.key:
            continue
        there = {student for label in other.teams for student in team(record, other, label)}
        turns = _turns_of(record, other)
        for student in record.roster.by_id:
            missed = 0.0 if student in there or not there else turns.total() / len(there)
            had[student] = had.get(student, 0.0) + turns[student] + missed
    return had
