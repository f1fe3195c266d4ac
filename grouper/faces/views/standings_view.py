"""Standings as they are shown: the whole table for the teacher, and for students the top or everyone's progress."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.wording.words import number_in_words, score_in_words, signed
from grouper.games.days.season import Season
from grouper.games.standings import top_of


@dataclass(frozen=True)
class TableRow:
    """A row of the whole table, numbers as texts."""

    rank: int
    team: str
    played: int
    won: int
    drawn: int
    lost: int
    scored: str
    difference: str
    extra: str
    points: str


@dataclass(frozen=True)
class TableView:
    """The whole table, for the teacher: which lessons, how many games, the rows, and the rules in words."""

    lessons: tuple[int, ...]
    played: int
    games: int
    rows: tuple[TableRow, ...]
    with_extra: bool

    @property
    def champions(self) -> tuple[str, ...]:
        """Who is first once every game is played; nobody before."""
        return tuple(row.team for row in self.rows if row.rank == 1) if self.played == self.games else ()


def table_view(season: Season) -> TableView:
    """The whole table of a season."""
    table, rows = season.table, []
    for row in table:
        counts = (row.played, row.won, row.drawn, row.lost)
        goals = (score_in_words(row.scored, row.conceded), signed(row.difference))
        extra, points = signed(row.bonus - row.penalty), number_in_words(row.points)
        rows.append(TableRow(row.rank, season.name(row.team), *counts, *goals, extra, points))
    with_extra = any(row.bonus or row.penalty for row in table)
    return TableView(season.lessons, season.played, season.games, tuple(rows), with_extra)


@dataclass(frozen=True)
class Place:
    """One of the first places: rank, team and points."""

    rank: int
    team: str
    points: str


@dataclass(frozen=True)
class Steps:
    """A team's points in each lesson and in all; there is no rank in it."""

    team: str
    by_lesson: tuple[str, ...]
    total: str


@dataclass(frozen=True)
class StudentsTable:
    """What students may see of standings: the first places or everyone's steps; the other of the two is empty."""

    lessons: tuple[int, ...]
    final: bool
    places: tuple[Place, ...] = ()
    steps: tuple[Steps, ...] = ()


def top_table(season: Season, places: int = 3) -> StudentsTable:
    """The first places alone, level teams in the order of their numbers; who has no result yet has no place."""
    top = [row for row in top_of(season.table, places) if row.played]
    shown = (Place(row.rank, season.name(row.team), number_in_words(row.points)) for row in top)
    return StudentsTable(season.lessons, season.is_over, places=tuple(shown))


def progress_table(season: Season) -> StudentsTable:
    """Everyone's points lesson by lesson, in the order of team numbers."""
    width = len(season.lessons)
    steps = tuple(
        Steps(
            season.name(row.team),
            # Lessons without a result yet have a dash.
            tuple(number_in_words(points) for points in (*row.by_lesson, *(None,) * (width - len(row.by_lesson)))),
            number_in_words(row.total),
        )
        for row in season.progress
    )
    return StudentsTable(season.lessons, season.is_over, steps=steps)
