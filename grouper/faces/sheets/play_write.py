"""The sheets on games, stations and standings as files."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TypeVar

from grouper.faces.sheets.write import put_sheets
from grouper.faces.views.games_view import GamesView, games_view
from grouper.faces.views.standings_view import StudentsTable, TableView
from grouper.faces.views.stations_view import stations_view
from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import GamesDay
from grouper.model.record import ClassRecord

Day = TypeVar("Day", GamesDay, CircuitDay)


def write_games_sheets(day: GamesDay, folder: Path, record: ClassRecord | None = None) -> tuple[Path, ...]:
    """Write the sheet for the wall and the sheets of the courts (InputError where the folder can't be written to)."""
    return write_games_view(games_view(day, record), folder, _stem(day, record))


def write_games_view(view: GamesView, folder: Path, stem: str = "") -> tuple[Path, ...]:
    """The same from a view, names of files beginning with ``stem``."""
    from grouper.faces.sheets.play_pages import court_pages, games_wall_page

    sheets = {f"{stem}games-wall.html": games_wall_page(view), f"{stem}games-courts.html": court_pages(view)}
    return _written(folder, sheets)


def write_stations_sheets(day: CircuitDay, folder: Path, record: ClassRecord | None = None) -> tuple[Path, ...]:
    """Write the sheet for the wall and the cards of the stations (InputError where the folder can't be written to)."""
    from grouper.faces.sheets.play_pages import station_card_pages, stations_wall_page

    view = stations_view(day, record)
    stem = _stem(day, record)
    return _written(
        folder,
        {f"{stem}stations-wall.html": stations_wall_page(view), f"{stem}stations-cards.html": station_card_pages(view)},
    )


def write_play_sheets(record: ClassRecord, lesson: int, folder: Path) -> tuple[Path, ...]:
    """Write the sheets of all games and stations of a lesson; none where it has neither."""
    games = [
        path for day in _still_there(record, record.games, lesson) for path in write_games_sheets(day, folder, record)
    ]
    circuits = _still_there(record, record.circuits, lesson)
    return (*games, *(path for day in circuits for path in write_stations_sheets(day, folder, record)))


def _still_there(record: ClassRecord, days: Sequence[Day], lesson: int) -> list[Day]:
    names = {activity.name for activity in record.lesson(lesson).activities}
    return [day for day in days if day.lesson == lesson and day.activity in names]


def write_standings_sheets(
    table: TableView, rules: Sequence[str], students: StudentsTable, folder: Path
) -> tuple[Path, ...]:
    """Write the whole table for the teacher, and what students may see."""
    from grouper.faces.sheets.play_pages import students_table_page, table_page

    return _written(
        folder,
        {"standings-table.html": table_page(table, rules), "standings-students.html": students_table_page(students)},
        for_teacher=("standings-table.html",),
    )


def _stem(day: GamesDay | CircuitDay, record: ClassRecord | None) -> str:
    """Lesson, and the place of the activity in it; nothing for play that belongs to no class."""
    if record is None:
        return ""
    names = [activity.name for activity in record.lesson(day.lesson).activities]
    return f"lesson-{day.lesson:02d}-activity-{names.index(day.activity) + 1}-"


def _written(folder: Path, sheets: dict[str, str], for_teacher: Sequence[str] = ()) -> tuple[Path, ...]:
    paths = {folder / name: text for name, text in sheets.items()}
    put_sheets(paths, folder, for_students=[path for path in paths if path.name not in for_teacher])
    return tuple(paths)
