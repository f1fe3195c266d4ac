"""Results of lessons that belong together, added up over the unit."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from grouper.errors import InputError
from grouper.games.days.stale import round_of
from grouper.games.result import GameResult, Worth
from grouper.games.standings import Progress, Scoring, Standing, progress, standings
from grouper.games.tiebreaks import USUAL_ORDER
from grouper.model.games_day import Fixture, GamesDay
from grouper.model.points import Points
from grouper.model.record import ClassRecord
from grouper.words import Remedy


@dataclass(frozen=True)
class Season:
    """Days of games played by the same teams.

    Parameters
    ----------
    days : tuple of GamesDay
        Those that count, in the order of play.
    left_out : tuple of GamesDay
        Days with results that do not count, because their teams were made of other people.
    points : Points
    """

    days: tuple[GamesDay, ...]
    left_out: tuple[GamesDay, ...]
    points: Points

    @property
    def teams(self) -> tuple[str, ...]:
        """Labels of the teams; team 1 is the first."""
        return self.days[-1].teams

    @property
    def lessons(self) -> tuple[int, ...]:
        """The lessons that count."""
        return tuple(sorted({day.lesson for day in self.days}))

    @property
    def scoring(self) -> Scoring:
        """What games are worth, and what parts level teams."""
        worth = Worth(self.points.win, self.points.draw, self.points.loss)
        return Scoring(worth, self.points.order or USUAL_ORDER)

    @property
    def games(self) -> int:
        """How many games there are, played or not."""
        return sum(len(day.fixtures) for day in self.days)

    @property
    def results(self) -> tuple[GameResult, ...]:
        """The results, with lessons counted from 1 among those that count."""
        places = {lesson: place for place, lesson in enumerate(self.lessons, start=1)}
        return tuple(_result(game, places[day.lesson]) for day in self.days for game in day.scored)

    @property
    def table(self) -> tuple[Standing, ...]:
        """The standings, best first."""
        return standings(self.results, len(self.teams), self.scoring)

    @property
    def progress(self) -> tuple[Progress, ...]:
        """Everyone's points lesson by lesson, in the order of ``lessons``."""
        return progress(self.results, len(self.teams), self.scoring)


def _result(game: Fixture, lesson: int) -> GameResult:
    score = game.score
    if score is None:
        raise InputError(f"the game in slot {game.slot} on court {game.court} has no result")
    extras = (score.home_bonus, score.away_bonus, score.home_penalty, score.away_penalty)
    return GameResult(game.home, game.away, *score.net, *extras, lesson)


def season_of(record: ClassRecord, lessons: Collection[int] = (), activity: str | None = None) -> Season:
    """The days that are added up.

    Parameters
    ----------
    record : ClassRecord
    lessons : collection of int
        Just these lessons; all of them where it is empty.
    activity : str or None
        Just games of activities with this name.

    Returns
    -------
    Season
        The last day and all earlier ones with the same teams: the same labels, and in each team more than half of the
        people. With ``lessons`` the days of all of them, whoever was in the teams.

    Raises
    ------
    InputError
        There are no games yet, or the lessons that are named have different numbers of teams.
    """
    for lesson in lessons:
        record.lesson(lesson)
    days = [day for day in record.games if _wanted(day, lessons, activity)]
    if not days:
        raise InputError("there are no games yet that could be added up", Remedy.PLAN_GAMES)
    last = next((day for day in reversed(days) if day.scored), days[-1])
    if lessons:
        return Season(_all_alike(days), (), record.points)
    same = tuple(day for day in days if _same_teams(record, day, last))
    return Season(same, tuple(day for day in days if day.scored and day not in same), record.points)


def _wanted(day: GamesDay, lessons: Collection[int], activity: str | None) -> bool:
    named = activity is None or day.activity.casefold() == activity.casefold()
    return named and (not lessons or day.lesson in lessons)


def _all_alike(days: list[GamesDay]) -> tuple[GamesDay, ...]:
    if len({day.teams for day in days}) > 1:
        raise InputError("the games of these lessons have other teams; add up lessons with the same teams")
    return tuple(days)


def _same_teams(record: ClassRecord, one: GamesDay, other: GamesDay) -> bool:
    if one.teams != other.teams:
        return False
    here, there = members_of(record, one), members_of(record, other)
    return all(2 * len(a & b) > min(len(a), len(b)) for a, b in zip(here, there, strict=True) if a and b)


def members_of(record: ClassRecord, day: GamesDay) -> tuple[frozenset[str], ...]:
    """The students of each team by id, by team number; nobody where the groups are not there any more."""
    round_ = round_of(record, day)
    groups = {group.label: frozenset(group.members) for group in round_.groups} if round_ else {}
    return tuple(groups.get(label, frozenset()) for label in day.teams)
