"""A class of thirty with long names before, while and after a lesson, and every screen of the page in each state."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from urllib.parse import quote

from playwright.sync_api import Page

from grouper.files.lessons import read_lessons
from grouper.files.levers import default_levers
from grouper.files.requests import read_requests
from grouper.files.roster import read_roster
from grouper.files.store import ClassFile
from grouper.games.days.groups import of_class
from grouper.games.days.plan import plan
from grouper.model.noted import Note, TaskResult
from grouper.model.play import GAMES, STATIONS, Asked, Event, Score, Timing
from grouper.model.record import ClassRecord
from grouper.planning.adjust import taught
from grouper.planning.attend import absent, aside, late
from grouper.planning.plan import plan_unit
from grouper.tasks.choose import with_result

from .serving import ROOT, Served
from .tapping import with_long_names

LESSON = 2
GAMES_IN = 4
"""The lesson of the screens, and another whose games are planned; that of the screens has stations."""
BEFORE, WHILE, AFTER = "before", "while", "after"
STATES = (BEFORE, WHILE, AFTER)

OF_A_CLASS = (
    "/lesson/2", "/lesson/2?tap=apart", "/lesson/2?hand=1", "/lesson/2/after", "/lesson/2/games", "/lesson/2/stations",
    "/lesson/2/even", "/lesson/4/games", "/evidence", "/evidence/student/H10", "/unit", "/unit/lesson/2",
    "/class", "/requests", "/tasks?lesson=2", "/tasks/cards?lesson=2", "/suggestions", "/test-results", "/next-unit",
    "/keeping", "/keeping?student=H10",
)  # fmt: skip
"""Every screen of a class with an address of its own; the students' screen is opened from the door."""


def name_of(state: str) -> str:
    """The name of the class file of a state."""
    return f"9 c {state}.class"


def address(state: str, path: str) -> str:
    """The address of a screen of the class in a state."""
    return f"/c/{quote(name_of(state))}{path}"


def make_classes(folder: Path) -> None:
    """One class file a state."""
    before = _planned()
    during = _under_way(before)
    for state, record in ((BEFORE, before), (WHILE, during), (AFTER, _over(during))):
        ClassFile(folder / name_of(state)).create(record, "first plan")


def _planned() -> ClassRecord:
    tables = ROOT / "rosters_demo" / "hard"
    roster = read_roster(tables / "roster.csv").roster
    requests = read_requests(tables / "requests.csv", roster).requests
    record = with_long_names(ClassRecord(roster, read_lessons(tables / "lessons.csv", roster).unit, requests))
    return plan_unit(record, effort="quick").record


def _under_way(record: ClassRecord) -> ClassRecord:
    """Three away, one aside and one late to the second lesson; one lesson over, tasks given."""
    levers = replace(default_levers()[0], activity=record.lesson(LESSON).activities[0].name)
    record = _played(replace(taught(record, 1), challenges=(levers,)))
    first, second, third, fourth, fifth = (one.id for one in record.roster.students[3:8])
    record = absent(record, LESSON, (first, second, third)).record
    return late(aside(record, LESSON, (fourth,), "scorer").record, LESSON, (fifth,)).record


def _played(record: ClassRecord) -> ClassRecord:
    """Stations in the lesson of the screens, and games in another, of which the first four were played."""
    team_game, small_games = record.lesson(LESSON).activities[-1].name, record.lesson(GAMES_IN).activities[-1].name
    stations = ("Skipping with a partner", "Throw at the hoop", "Balance on the long bench", "Ladder run", "", "Relay")
    wish = Event(STATIONS, (), stations, asked=Asked(order="balanced"), timing=Timing(3.0))
    record = record.with_event(plan(of_class(record, wish, LESSON, team_game)))
    day = plan(of_class(record, Event(GAMES, (), ("", "", "")), GAMES_IN, small_games), 15.0)
    scored = [replace(game, score=Score(7 - at, 2 + at)) for at, game in enumerate(day.assignments[:4])]
    return record.with_event(replace(day, assignments=(*scored, *day.assignments[4:])))


def _over(record: ClassRecord) -> ClassRecord:
    """The second lesson over too, with how it went and a note."""
    for round_ in record.plan.of_lesson(LESSON)[:2]:
        for group, hits in zip(round_.groups, (19, 3, 18, 15, 2), strict=False):
            record = with_result(record, TaskResult(round_.key, group.label, hits=hits, tries=20))
    return replace(taught(record, LESSON), notes=(Note(LESSON, 0, "Wet, and the hall was half laid out."),))


def begin(page: Served, window: Page) -> None:
    """The screen of the lesson that is under way is opened, started, and turned to the second round."""
    window.goto(page.at(address(WHILE, f"/lesson/{LESSON}")))
    with window.context.expect_page() as opened:
        window.click("#open-screen")
    screen = opened.value
    screen.click("#go")
    screen.click("#skip")
    window.wait_for_selector("#begun")
    screen.close()
