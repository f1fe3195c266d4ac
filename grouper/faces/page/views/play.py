"""The games of a lesson for the teacher: results to be entered, the running table, and what could be played."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError
from grouper.faces.page.play import first_open_slot
from grouper.faces.views.games_view import CourtGame, games_view
from grouper.faces.views.standings_view import TableView, table_view
from grouper.faces.wording.play import games_in_words, in_figures, length_in_words
from grouper.faces.wording.standings import order_in_words, season_in_words, worth_in_words
from grouper.games.days.groups import round_meant
from grouper.games.days.season import Season, season_of
from grouper.games.days.stale import goes_with, round_of
from grouper.model.games_day import GamesDay
from grouper.model.record import ClassRecord

DUTIES = (("spare", "a team that is left over"), ("always", "a team at every game"), ("none", "nobody"))
MOST_TEAMS = 12
"""Groups that stay and are more than so many are no teams for a tournament."""

MEETINGS = (("1", "once"), ("2", "twice"))


@dataclass(frozen=True)
class GameRow:
    """A game with what stands in its fields: points won, points lost in play; ``net`` where that is another result."""

    game: CourtGame
    won: tuple[str, str] = ("", "")
    lost: tuple[str, str] = ("", "")
    net: str = ""


@dataclass(frozen=True)
class SlotRows:
    """A slot with its games; ``over`` where it cannot be planned anew any more."""

    slot: int
    begins: str
    games: tuple[GameRow, ...]
    waiting: tuple[str, ...]
    over: bool


@dataclass(frozen=True)
class Table:
    """A running table with its sentences: what counts, what a game is worth, and what parts level teams."""

    table: TableView
    counts: str
    rules: tuple[str, ...]


@dataclass(frozen=True)
class Switch:
    """A court or a team by number and label; ``on`` where it can be used, or is there."""

    number: int
    label: str
    on: bool


@dataclass(frozen=True)
class DayView:
    """The games of an activity; ``played`` are the choices for how many slots are over.

    ``too_long`` says so where they take longer than the time there is.
    """

    activity: str
    heading: str
    slots: tuple[SlotRows, ...]
    results: int
    games: int
    stale: bool
    too_long: str
    table: Table | None
    courts: tuple[Switch, ...]
    teams: tuple[Switch, ...]
    played: tuple[int, ...]


@dataclass(frozen=True)
class Playable:
    """An activity whose groups could play: how many teams there are; ``usual`` the first to be offered."""

    name: str
    teams: int
    usual: bool


@dataclass(frozen=True)
class PlayView:
    """The games of a lesson."""

    lesson: int
    date: str
    taught: bool
    days: tuple[DayView, ...]
    playable: tuple[Playable, ...]


def play_view(record: ClassRecord, lesson: int) -> PlayView:
    """The games of a lesson, and the activities that could have some (InputError where there is no such lesson)."""
    days = tuple(_day(record, day) for day in record.games if day.lesson == lesson)
    taught = lesson in record.taught
    return PlayView(
        lesson, record.lesson(lesson).date, taught, days, () if taught else tuple(_playable(record, lesson))
    )


def has_games(record: ClassRecord, lesson: int) -> bool:
    """Whether a lesson has games, or teams that a game would be for."""
    teams = any(activity.groups is not None for activity in record.lesson(lesson).activities)
    return teams or any(day.lesson == lesson for day in record.games)


def _playable(record: ClassRecord, lesson: int) -> list[Playable]:
    with_results = {day.activity for day in record.games if day.lesson == lesson and day.scored}
    found = []
    for activity in reversed(record.lesson(lesson).activities):
        if activity.name not in with_results and record.plan.of_lesson(lesson):
            teams = len(round_meant(record, lesson, activity).groups)
            if teams > 1:
                usual = activity.groups is not None or (activity.aim == "stay" and teams <= MOST_TEAMS)
                found.append(Playable(activity.name, teams, usual))
    return sorted(found, key=lambda one: not one.usual)


def _day(record: ClassRecord, day: GamesDay) -> DayView:
    round_ = round_of(record, day)
    first = first_open_slot(day)
    closed, out = day.setback.courts_closed, day.setback.teams_out
    return DayView(
        day.activity,
        games_in_words(day),
        tuple(
            SlotRows(s.slot, s.begins, tuple(_row(day, s.slot, game) for game in s.games), s.waiting, s.slot < first)
            for s in games_view(day, record).slots
        ),
        len(day.scored),
        len(day.fixtures),
        round_ is None or not goes_with(round_, day.teams),
        length_in_words(record, day),
        _table(record, day),
        tuple(Switch(court, f"court {court}", court not in closed) for court in range(1, day.asked.courts + 1)),
        tuple(Switch(team, f"team {label}", team not in out) for team, label in enumerate(day.teams, start=1)),
        tuple(range(first - 1, day.slots)),
    )


def _row(day: GamesDay, slot: int, game: CourtGame) -> GameRow:
    fixture = next(one for one in day.fixtures if (one.slot, one.court) == (slot, game.court))
    score = fixture.score
    if score is None:
        return GameRow(game)
    lost = (str(score.home_lost or ""), str(score.away_lost or ""))
    return GameRow(game, (str(score.home), str(score.away)), lost, in_figures(score) if any(lost) else "")


def _table(record: ClassRecord, day: GamesDay) -> Table | None:
    """The table of all lessons with these teams, or of this lesson alone; None without a result."""
    if not day.scored:
        return None
    season = _season(record, day)
    return Table(table_view(season), season_in_words(season), (worth_in_words(season.points), order_in_words(season)))


def _season(record: ClassRecord, day: GamesDay) -> Season:
    try:
        season = season_of(record)
    except InputError:
        season = None
    return season if season and day in season.days else season_of(record, (day.lesson,), day.activity)
