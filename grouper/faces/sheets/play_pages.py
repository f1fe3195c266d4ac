"""The sheets on games, stations and standings from their views."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from grouper.faces.sheets.geometry import LABEL_STEP, LABEL_STEPS, geometry_css, text_width
from grouper.faces.sheets.pages import page_html, template_text
from grouper.faces.sheets.slots_fit import CAPTION, Line, caption_width, fit_slots, slot_width, slots_css
from grouper.faces.sheets.stations_fit import StationsFit, fit_turns, fit_ways
from grouper.faces.views.games_view import CourtGame, GamesSlot, GamesView
from grouper.faces.views.look import look_css
from grouper.faces.views.standings_view import StudentsTable, TableView
from grouper.faces.views.stations_view import StationsView

ROOM_FOR_ROWS, LEAST_ROW, MOST_ROW = 212.0, 11.0, 24.0
"""Room for the games of a court on an upright page of A4 or Letter, and how high a row may be, in mm."""

ROOM_FOR_A_TEAM = 33.0
"""The width of the columns of teams and of duty inside their padding, in mm."""


def games_wall_page(view: GamesView) -> str:
    """The slot-by-slot sheet for the wall."""
    lines = wall_lines(view)
    fit = fit_slots(lines)
    beside = f":root {{ --beside: {caption_width(lines) / CAPTION:.2f}em; }}\n"
    style = look_css() + geometry_css() + slots_css() + beside + template_text("wall.css") + template_text("slots.css")
    return page_html("games_wall.html", style, view=view, fit=fit, label_step=_label_step(lines))


def wall_lines(view: GamesView) -> list[Line]:
    """The slots as they are to be set."""
    return [_line(slot) for slot in view.slots]


def _label_step(lines: Sequence[Line]) -> int:
    """The width of the number of a slot in the steps that the style sheet has."""
    return min(LABEL_STEPS, ceil(slot_width(lines) / LABEL_STEP))


def _line(slot: GamesSlot) -> Line:
    captions = tuple(text for game in slot.games for text in captions_of(game))
    games = tuple(f"{game.home} – {game.away}" for game in slot.games)
    loans = (f"  Team {lender} lends team {short} players" for short, lender in slot.loans)
    below = (f"Wait: {', '.join(slot.waiting)}" if slot.waiting else "") + "".join(loans)
    return Line(str(slot.slot), slot.begins, captions, games, below)


def captions_of(game: CourtGame) -> tuple[str, ...]:
    """What stands beside a game."""
    return (f"Court {game.court}", f"Duty {game.duty}") if game.duty else (f"Court {game.court}",)


def court_pages(view: GamesView) -> str:
    """A sheet for each court, with duty and boxes for the score."""
    return page_html("games_courts.html", look_css() + _court_rows(view) + template_text("courts.css"), view=view)


def _court_rows(view: GamesView) -> str:
    """Rows as high as a page has room for, so that they can be written in; teams in letters in which no word breaks."""
    rows = max((len(sheet.games) for sheet in view.courts), default=1)
    row = max(LEAST_ROW, min(MOST_ROW, ROOM_FOR_ROWS / rows))
    labels = {label for sheet in view.courts for _, _, game in sheet.games for label in (game.home, game.away)}
    widest = max((text_width(word) for label in labels for word in label.split()), default=1.0)
    box, team = min(16.0, 0.78 * row), max(4.0, min(11.0, 0.55 * row, ROOM_FOR_A_TEAM / widest))
    return f":root {{ --row: {row:.2f}mm; --box: {box:.2f}mm; --team: {team:.2f}mm; }}\n"


def stations_wall_page(view: StationsView) -> str:
    """The sheet for the wall on which each group finds its way."""
    return _stations_page("stations_wall.html", view, fit_ways(view))


def station_card_pages(view: StationsView) -> str:
    """A card for each station."""
    return _stations_page("station_cards.html", view, fit_turns(view))


def _stations_page(template: str, view: StationsView, fit: StationsFit) -> str:
    style = look_css() + geometry_css() + fit.css + template_text("wall.css") + template_text("stations.css")
    return page_html(template, style, view=view, fit=fit)


def table_page(view: TableView, rules: Sequence[str]) -> str:
    """The whole table, for the teacher, with the rules that it was made by."""
    return page_html("standings_table.html", look_css() + template_text("standings.css"), view=view, rules=rules)


def students_table_page(view: StudentsTable) -> str:
    """What students may see of the standings."""
    return page_html("standings_students.html", look_css() + template_text("standings.css"), view=view)
