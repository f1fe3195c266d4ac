"""The sheets on games, stations and standings: pages from their views, and their files."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil
from pathlib import Path

from grouper.faces.sheets.fitting import head_task_height
from grouper.faces.sheets.geometry import LABEL_STEP, LABEL_STEPS, geometry_css, text_width
from grouper.faces.sheets.pages import page_html, put_sheets, rule_styles
from grouper.faces.sheets.play_fit import (
    CAPTION,
    Line,
    StationsFit,
    caption_width,
    fit_slots,
    fit_turns,
    fit_ways,
    slot_width,
    slots_css,
)
from grouper.faces.views.play_view import PlayView, Spot, bib, play_view
from grouper.faces.views.standings_view import StudentsTable, TableView
from grouper.model.play import Event
from grouper.model.record import ClassRecord

ROOM_FOR_ROWS, LEAST_ROW, MOST_ROW = 212.0, 11.0, 24.0
"""Room for the games of a court on an upright page of A4 or Letter, and how high a row may be, in mm."""

RULE_SIZE, RULE_WIDTH = 5.0, 170.0
"""Letters of the rule for points on such a page, and the width it has, in mm."""

ROOM_FOR_A_TEAM = 33.0
"""The width of the columns of teams and of duty inside their padding, in mm."""


def write_play_sheets(record: ClassRecord, lesson: int, folder: Path) -> tuple[Path, ...]:
    """Write the sheets of all games and stations of a lesson; none where it has neither."""
    names = {activity.name for activity in record.lesson(lesson).activities}
    events = (event for event in record.events if event.lesson == lesson and event.activity in names)
    in_order = sorted(events, key=lambda event: not event.is_games)
    return tuple(path for event in in_order for path in write_event_sheets(event, folder, record))


def write_event_sheets(event: Event, folder: Path, record: ClassRecord | None = None) -> tuple[Path, ...]:
    """Write the sheet for the wall and those of the courts or stations.

    Their names begin with the lesson and the place of the activity in it; not so for mere numbers.

    Raises
    ------
    InputError
        The folder can't be written to.
    """
    stem = ""
    if record is not None:
        names = [activity.name for activity in record.lesson(event.lesson).activities]
        stem = f"lesson-{event.lesson:02d}-activity-{names.index(event.activity) + 1}-"
    return _written(event_pages(play_view(event, record), event.is_games), folder, stem)


def write_games_sheets(view: PlayView, folder: Path, stem: str = "") -> tuple[Path, ...]:
    """The sheets of games from their view, names of files beginning with ``stem``."""
    return _written(event_pages(view, True), folder, stem)


def event_pages(view: PlayView, is_games: bool) -> dict[str, Callable[[], str]]:
    """How to make the sheets of games, or of stations: for the wall, and for the courts or places."""
    if is_games:
        return {"games-wall": lambda: games_wall_page(view), "games-courts": lambda: court_pages(view)}
    return {"stations-wall": lambda: stations_wall_page(view), "stations-cards": lambda: station_card_pages(view)}


def write_standings_sheets(
    table: TableView, rules: Sequence[str], students: StudentsTable, folder: Path
) -> tuple[Path, ...]:
    """Write the whole table for the teacher, and what students may see."""
    pages = {
        "standings-table": lambda: table_page(table, rules),
        "standings-students": lambda: students_table_page(students),
    }
    return _written(pages, folder, for_teacher="standings-table")


def table_page(view: TableView, rules: Sequence[str]) -> str:
    """The whole table, for the teacher, with the rules that it was made by."""
    return page_html("standings_table.html", "standings.css", view=view, rules=rules)


def students_table_page(view: StudentsTable) -> str:
    """What students may see of the standings."""
    return page_html("standings_students.html", "standings.css", view=view)


def _written(
    pages: dict[str, Callable[[], str]], folder: Path, stem: str = "", for_teacher: str = ""
) -> tuple[Path, ...]:
    sheets = {folder / f"{stem}{name}.html": page() for name, page in pages.items()}
    put_sheets(sheets, folder, for_students=[path for path in sheets if path.stem != for_teacher])
    return tuple(sheets)


def games_wall_page(view: PlayView) -> str:
    """The slot-by-slot sheet for the wall."""
    lines = wall_lines(view)
    beside = f":root {{ --beside: {caption_width(lines) / CAPTION:.2f}em; }}\n"
    styles = (geometry_css(), slots_css(), beside, "wall.css", "slots.css", *rule_styles(bool(view.heading.rule)))
    fit = fit_slots(lines, head_task_height(view.heading.rule))
    # The width of the number of a slot in the steps that the style sheet has.
    step = min(LABEL_STEPS, ceil(slot_width(lines) / LABEL_STEP))
    return page_html("games_wall.html", *styles, view=view, fit=fit, label_step=step)


def wall_lines(view: PlayView) -> list[Line]:
    """The slots as they are to be set."""
    lines = []
    for slot in view.slots:
        captions = tuple(text for spot in slot.spots for text in captions_of(spot))
        # A spot of colour before a name takes about as much room as one wide letter.
        games = tuple(" – ".join(f"M{team}" if bib(team) else team for team in spot.teams) for spot in slot.spots)
        loans = (f"  Team {lender} lends team {short} players" for short, lender in slot.loans)
        below = (f"Wait: {', '.join(slot.waiting)}" if slot.waiting else "") + "".join(loans)
        lines.append(Line(str(slot.slot), slot.begins, captions, games, below))
    return lines


def captions_of(spot: Spot) -> tuple[str, ...]:
    """What stands beside a game."""
    return (f"Court {spot.place}", f"Duty {spot.duty}") if spot.duty else (f"Court {spot.place}",)


def court_pages(view: PlayView) -> str:
    """A sheet for each court, with duty and boxes for the score."""
    courts = {
        court: games
        for court in range(1, len(view.places) + 1)
        if (games := [spot for spot in view.at(court) if spot.teams])
    }
    rows = _court_rows(courts, view.heading.rule)
    return page_html("games_courts.html", rows, "courts.css", view=view, courts=courts)


def _court_rows(courts: dict[int, list[Spot]], rule: str) -> str:
    """Rows as high as a page has room for, so that they can be written in; teams in letters in which no word breaks."""
    rows = max((len(games) for games in courts.values()), default=1)
    # What the rule for points takes above the rows is not there for them.
    lines_of_rule = ceil(text_width(rule) * RULE_SIZE / RULE_WIDTH)
    row = max(LEAST_ROW, min(MOST_ROW, (ROOM_FOR_ROWS - 8.0 * lines_of_rule) / rows))
    labels = {label for games in courts.values() for spot in games for label in spot.teams}
    widest = max((text_width(word) for label in labels for word in label.split()), default=1.0)
    box, team = min(16.0, 0.78 * row), max(4.0, min(11.0, 0.55 * row, ROOM_FOR_A_TEAM / widest))
    return f":root {{ --row: {row:.2f}mm; --box: {box:.2f}mm; --team: {team:.2f}mm; }}\n"


def stations_wall_page(view: PlayView) -> str:
    """The sheet for the wall on which each group finds its way."""
    return _stations_page("stations_wall.html", view, fit_ways(view))


def station_card_pages(view: PlayView) -> str:
    """A card for each station."""
    return _stations_page("station_cards.html", view, fit_turns(view))


def _stations_page(template: str, view: PlayView, fit: StationsFit) -> str:
    rule = rule_styles(bool(view.heading.rule))
    return page_html(template, geometry_css(), fit.css, "wall.css", "stations.css", *rule, view=view, fit=fit)
