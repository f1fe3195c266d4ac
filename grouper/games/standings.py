"""Standings: results added up, and level teams parted in a chosen, printed order.

TIEBREAKS are the ways to part teams that are level, highest number first. To add one, put what a game counts for it in
the list.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass

from grouper.errors import require
from grouper.model.play import Assignment, Points

USUAL_ORDER = ("points", "head to head", "difference", "scored")


@dataclass(frozen=True)
class Side:
    """A result as one of the two teams sees it; what was lost in play is off the score, which may be below 0."""

    team: int
    opponent: int
    scored: int
    conceded: int
    bonus: float = 0.0
    penalty: float = 0.0
    lesson: int = 1


def sides_of(games: Iterable[Assignment], lesson: int = 1) -> list[Side]:
    """The results of games as their home and their away teams see them; games without one have none."""
    sides: list[Side] = []
    for game in games:
        if game.score is not None:
            score, (home, away) = game.score, game.score.net
            sides.append(Side(game.home, game.away, home, away, score.home_bonus, score.home_penalty, lesson))
            sides.append(Side(game.away, game.home, away, home, score.away_bonus, score.away_penalty, lesson))
    return sides


@dataclass(frozen=True)
class TieBreak:
    """A way to part level teams: who stands before whom, and what a game counts for it among those that are level."""

    key: str
    sentence: str
    counts: Callable[[Side, Collection[int], Points], float]


TIEBREAKS: tuple[TieBreak, ...] = (
    TieBreak("points", "more points", lambda s, level, points: points.of(s.scored, s.conceded) + s.bonus - s.penalty),
    TieBreak(
        "head to head",
        "more points in the games between the level teams",
        lambda s, level, points: points.of(s.scored, s.conceded) if s.opponent in level else 0.0,
    ),
    TieBreak(
        "difference",
        "the larger difference between scored and conceded",
        lambda s, level, points: s.scored - s.conceded,
    ),
    TieBreak("scored", "more scored", lambda s, level, points: s.scored),
    TieBreak("wins", "more games won", lambda s, level, points: s.scored > s.conceded),
    TieBreak("fair play", "more bonus and fewer penalty points", lambda s, level, points: s.bonus - s.penalty),
)


def tie_breaks(points: Points) -> tuple[TieBreak, ...]:
    """What parts level teams, the first deciding first (InputError where one is unknown or named twice)."""
    known = {rule.key: rule for rule in TIEBREAKS}
    order = points.order or USUAL_ORDER
    for key in order:
        require(key in known, "there is no tie-break '{key}'", "choose from {known}", key=key, known=', '.join(known))
    require(len(set(order)) == len(order), "a tie-break appears twice in the order; name each once")
    return tuple(known[key] for key in order)


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


def standings(sides: Sequence[Side], teams: int, points: Points | None = None) -> tuple[Standing, ...]:
    """The table of all teams, best first, from the results of one lesson or many.

    Raises
    ------
    InputError
        A result names a team that does not exist, or a tie-break is unknown.

    Examples
    --------
    >>> [(row.rank, row.team, row.points) for row in standings([Side(1, 2, 3, 1), Side(2, 1, 1, 3)], teams=2)]
    [(1, 1, 3.0), (2, 2, 0.0)]
    """
    points = points or Points()
    most = max((side.team for side in sides), default=0)
    require(most <= teams, "there is no team {most}", "there are {teams}", most=most, teams=teams)
    table: list[Standing] = []
    for level in _parted(list(range(1, teams + 1)), tie_breaks(points), sides, points):
        rank = len(table) + 1
        table += [_row(rank, team, sides, points) for team in level]
    return tuple(table)


def _parted(level: list[int], rules: Sequence[TieBreak], sides: Sequence[Side], points: Points) -> list[list[int]]:
    """Level teams in groups that nothing parts, best group first; each rule sees only those that are still level."""
    if len(level) < 2 or not rules:
        return [level]
    rule, later = rules[0], rules[1:]
    values = {
        # Ten times a bonus of 0.1 is to be level with one point.
        team: round(sum(rule.counts(side, level, points) for side in sides if side.team == team), 9) for team in level
    }
    groups = [[team for team in level if values[team] == value] for value in sorted(set(values.values()), reverse=True)]
    return [part for group in groups for part in _parted(group, later, sides, points)]


def _row(rank: int, team: int, sides: Sequence[Side], points: Points) -> Standing:
    own = [side for side in sides if side.team == team]
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
        points=sum(points.of(side.scored, side.conceded) + side.bonus - side.penalty for side in own),
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


def progress(sides: Sequence[Side], teams: int, points: Points | None = None) -> tuple[Progress, ...]:
    """Everyone's points in each lesson, in order of team number, which tells nothing of the order in the table."""
    lessons = range(1, max((side.lesson for side in sides), default=0) + 1)
    tables = [standings([side for side in sides if side.lesson == lesson], teams, points) for lesson in lessons]
    by_team = [{row.team: row.points for row in table} for table in tables]
    return tuple(Progress(team, tuple(lesson[team] for lesson in by_team)) for team in range(1, teams + 1))
