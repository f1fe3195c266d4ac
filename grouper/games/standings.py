"""Standings: results added up over one lesson or many, and level teams parted in a chosen, printed order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from grouper.games.asked import require
from grouper.games.result import GameResult, Side, Worth, sides
from grouper.games.tiebreaks import TIEBREAKS, USUAL_ORDER, TieBreak


@dataclass(frozen=True)
class Scoring:
    """How results become a table.

    Parameters
    ----------
    worth : Worth
        Points for a win, a draw and a loss.
    order : tuple of str
        Keys of TIEBREAKS, the first deciding first.
    """

    worth: Worth = Worth()  # noqa: RUF009 - frozen, so safe to share
    order: tuple[str, ...] = USUAL_ORDER

    def __post_init__(self) -> None:
        known = [rule.key for rule in TIEBREAKS]
        for key in self.order:
            require(key in known, f"there is no tie-break '{key}'; choose from {', '.join(known)}")
        require(bool(self.order), "choose at least one thing that decides the order, such as points")
        require(len(set(self.order)) == len(self.order), "a tie-break appears twice in the order; name each once")

    def rules(self) -> list[TieBreak]:
        """The tie-breaks in their order."""
        return [next(rule for rule in TIEBREAKS if rule.key == key) for key in self.order]


@dataclass(frozen=True)
class Standing:
    """A row of the table. Teams that nothing parts share a rank."""

    rank: int
    team: int
    played: int
    won: int
    drawn: int
    lost: int
    scored: int
    conceded: int
    bonus: float
    penalty: float
    points: float

    @property
    def difference(self) -> int:
        """Scored less conceded."""
        return self.scored - self.conceded


def standings(results: Sequence[GameResult], teams: int, scoring: Scoring | None = None) -> tuple[Standing, ...]:
    """The table of all teams, best first, from the results of one lesson or many.

    Raises
    ------
    InputError
        When a result names a team that does not exist.

    Examples
    --------
    >>> [(row.rank, row.team, row.points) for row in standings([GameResult(1, 2, 3, 1)], teams=2)]
    [(1, 1, 3.0), (2, 2, 0.0)]
    """
    for result in results:
        most = max(result.home, result.away)
        require(most <= teams, f"game {result.home} - {result.away}: there is no team {most}; there are {teams}")
    scoring = scoring or Scoring()
    seen = [side for result in results for side in sides(result)]
    table: list[Standing] = []
    for level in _parted(list(range(1, teams + 1)), scoring.rules(), seen, scoring.worth):
        rank = len(table) + 1
        table += [_row(rank, team, seen, scoring.worth) for team in level]
    return tuple(table)


def _parted(level: list[int], rules: Sequence[TieBreak], seen: Sequence[Side], worth: Worth) -> list[list[int]]:
    """Level teams in groups that nothing parts, best group first; each rule sees only those that are still level."""
    if len(level) < 2 or not rules:
        return [level]
    rule, later = rules[0], rules[1:]
    values = {team: round(rule.value(team, level, seen, worth), 9) for team in level}
    groups = [[team for team in level if values[team] == value] for value in sorted(set(values.values()), reverse=True)]
    return [part for group in groups for part in _parted(group, later, seen, worth)]


def _row(rank: int, team: int, seen: Sequence[Side], worth: Worth) -> Standing:
    own = [side for side in seen if side.team == team]
    return Standing(
        rank=rank,
        team=team,
        played=len(own),
        won=sum(side.scored > side.conceded for side in own),
        drawn=sum(side.scored == side.conceded for side in own),
        lost=sum(side.scored < side.conceded for side in own),
        scored=sum(side.scored for side in own),
        conceded=sum(side.conceded for side in own),
        bonus=sum(side.bonus for side in own),
        penalty=sum(side.penalty for side in own),
        points=sum(worth.of(side) + side.bonus - side.penalty for side in own),
    )


def top_of(table: Sequence[Standing], places: int = 3) -> tuple[Standing, ...]:
    """The rows of the first places, those who share the last of them included: what a students' table may show."""
    return tuple(row for row in table if row.rank <= places)


@dataclass(frozen=True)
class Progress:
    """Points of a team lesson by lesson and in all; it carries no rank."""

    team: int
    by_lesson: tuple[float, ...]

    @property
    def total(self) -> float:
        """All points so far."""
        return sum(self.by_lesson)


def progress(results: Sequence[GameResult], teams: int, scoring: Scoring | None = None) -> tuple[Progress, ...]:
    """Everyone's points in each lesson, in order of team number, which tells nothing of the order in the table."""
    lessons = range(1, max((result.lesson for result in results), default=0) + 1)
    tables = [standings([r for r in results if r.lesson == lesson], teams, scoring) for lesson in lessons]
    points = [{row.team: row.points for row in table} for table in tables]
    return tuple(Progress(team, tuple(lesson[team] for lesson in points)) for team in range(1, teams + 1))
