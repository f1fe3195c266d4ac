"""Sheets on play: what students see is on the list, nothing comes from elsewhere, and every game has its place."""

from __future__ import annotations

import re
from base64 import b64encode
from dataclasses import fields, replace
from hashlib import sha256
from html import unescape
from pathlib import Path

import pytest
from sheets.page_text import PageText as AnyPage

from grouper.faces.sheets.pages import TEMPLATES
from grouper.faces.sheets.play_fit import fit_slots
from grouper.faces.sheets.play_sheets import (
    court_pages,
    games_wall_page,
    station_card_pages,
    stations_wall_page,
    students_table_page,
    table_page,
    wall_lines,
)
from grouper.faces.views.look import look_css
from grouper.faces.views.play_view import PlayHeading, PlaySlot, PlayView, Spot, play_view
from grouper.faces.views.standings_view import Place, Steps, StudentsTable, progress_table, table_view, top_table
from grouper.faces.views.students import screen_view
from grouper.files.store import ClassFile
from grouper.games.days.groups import of_class
from grouper.games.days.plan import plan
from grouper.games.days.season import season_of
from grouper.model.plan import Round
from grouper.model.play import GAMES, STATIONS, Asked, Event, Score, Timing
from grouper.model.record import ClassRecord

from .conftest import STUDENTS, Run, class_of_24


class PageText(AnyPage):
    """A page with columns, which have no end tag either."""

    VOID = AnyPage.VOID | {"col"}


TIME = Timing(5, 1)


def numbers(count: int) -> tuple[str, ...]:
    return tuple(map(str, range(1, count + 1)))


def games(teams: int = 6, courts: int = 2) -> Event:
    return plan(Event(GAMES, numbers(teams), ("",) * courts, timing=TIME))


def circuit(groups: int = 8, stations: tuple[str, ...] = ("Throw", "", "", "")) -> Event:
    return plan(Event(STATIONS, numbers(groups), stations, asked=Asked(order="balanced"), timing=TIME))


def scored_record() -> ClassRecord:
    """The class with all games of lesson 1 played: the home team has as many goals as its number."""
    record = class_of_24()
    day = plan(of_class(record, Event(GAMES, (), ("", ""), timing=TIME), 1, "Games"))
    played = tuple(replace(game, score=Score(game.home, 2)) for game in day.assignments)
    return record.with_event(replace(day, assignments=played))


def students_pages() -> dict[str, str]:
    season = season_of(scored_record())
    day = scored_record().games[0]
    return {
        "games wall": games_wall_page(play_view(day, scored_record())),
        "courts": court_pages(play_view(day, scored_record())),
        "stations wall": stations_wall_page(play_view(circuit())),
        "station cards": station_card_pages(play_view(circuit())),
        "top": students_table_page(top_table(season)),
        "progress": students_table_page(progress_table(season)),
    }


PAGES = students_pages() | {"table": table_page(table_view(season_of(scored_record())), ("The rules.",))}


@pytest.mark.parametrize("name", PAGES)
def test_a_sheet_is_one_file_without_script_or_network(name: str) -> None:
    """No script, no link, no image, no address, no inline style; the policy lets in its one style sheet alone."""
    page, text = PAGES[name], PageText(PAGES[name])
    assert not {"script", "link", "img", "iframe", "object", "form", "base"} & {tag for tag, _ in text.tags}
    attributes = {attribute for _, attrs in text.tags for attribute in attrs}
    assert not {"style", "src", "href"} & attributes and not any(name.startswith("on") for name in attributes)
    assert "url(" not in page and "@import" not in page and "http:" not in page and "https:" not in page
    (style,) = re.findall(r"<style>(.*?)</style>", page, re.DOTALL)
    policy = unescape(re.findall(r'Content-Security-Policy" content="([^"]*)"', page)[0])
    assert f"style-src 'sha256-{b64encode(sha256(style.encode()).digest()).decode()}'" in policy


@pytest.mark.parametrize("name", students_pages())
def test_students_sheets_name_no_student_and_no_rating(name: str) -> None:
    """Teams, groups, courts, stations and times: neither ids, names, strands nor aims are anywhere in the file."""
    page = PAGES[name]
    assert not any(student in page for student in STUDENTS)
    assert not any(word in page for word in ("Pupil", "throw", "balanced", "rating"))


def test_the_views_have_no_field_that_is_not_on_the_list() -> None:
    """A field that is added to what students see has to be added here too, by somebody who thought about it."""
    listed = {
        PlayHeading: {"title", "lesson", "date", "length", "rule"},
        PlayView: {"heading", "slots", "teams", "places", "called"},
        PlaySlot: {"slot", "begins", "spots", "waiting", "loans"},
        Spot: {"slot", "begins", "place", "teams", "duty", "score"},
        StudentsTable: {"lessons", "final", "places", "steps"},
        Place: {"rank", "team", "points"},
        Steps: {"team", "by_lesson", "total"},
    }
    assert {kind: {field.name for field in fields(kind)} for kind in listed} == listed


def test_progress_shows_no_order_of_merit() -> None:
    """Teams stand by number; the page for progress holds no rank, no loss and no difference."""
    texts = PageText(PAGES["progress"]).texts
    assert [text for text in texts if text in numbers(6)][:1] == ["1"]
    assert not {"Rank", "Lost", "Difference"} & set(texts)


def test_the_top_leaves_out_who_is_not_in_it() -> None:
    """Three places are three rows."""
    page = PageText(PAGES["top"])
    assert page.classes("place") == len(top_table(season_of(scored_record())).places) <= 4


def test_the_champion_is_named_when_every_game_is_played() -> None:
    """Before that nobody is: a table in the middle of a season crowns no one."""
    record = scored_record()
    assert "Champion" in PAGES["table"]
    (day,) = record.games
    unfinished = record.with_event(day.with_assignment(replace(day.assignments[0], score=None)))
    assert "Champion" not in table_page(table_view(season_of(unfinished)), ())


def test_every_game_is_on_the_wall_and_on_its_court() -> None:
    """Fifteen games with their courts and duties on the wall; on the sheets of the courts with two boxes each."""
    day = games()
    wall, courts = PageText(games_wall_page(play_view(day))), PageText(court_pages(play_view(day)))
    assert wall.classes("cell") == 15 and wall.classes("slot") == 8
    assert wall.classes("duty") == sum(game.duty is not None for game in day.assignments)
    assert courts.classes("court-sheet") == 2 and courts.classes("box") == 30


def test_a_court_sheet_has_boxes_to_fill_in_and_scores_that_are_known() -> None:
    """A box is empty until the game has a score."""
    day = games()
    empty = PageText(court_pages(play_view(day))).texts
    first = day.assignments[0]
    full = PageText(court_pages(play_view(day.with_assignment(replace(first, score=Score(77, 88)))))).texts
    assert not {"77", "88"} & set(empty) and {"77", "88"} <= set(full)


def test_who_waits_and_who_lends_is_said() -> None:
    """Slot 8 of six teams on two courts has one game: the three teams without game or duty wait (by hand)."""
    view = play_view(games())
    assert [len(slot.waiting) for slot in view.slots] == [0, 0, 0, 0, 0, 0, 0, 3]


def test_every_group_finds_its_way_and_every_station_its_groups() -> None:
    """A row a group, a cell a slot; a card a station with the groups of each slot."""
    view = play_view(circuit())
    wall, cards = PageText(stations_wall_page(view)), PageText(station_card_pages(view))
    assert wall.classes("station") == 8 * 4
    assert cards.classes("card") == 4 and cards.classes("turn-group") == 8 * 4
    assert "Throw" in wall.in_bdi and "Throw" in cards.in_bdi


@pytest.mark.parametrize("label", ["<b>Red</b>", "يوسف", "=1+1"])
def test_labels_are_text_and_isolated(label: str) -> None:
    """A label with signs of HTML shows as typed, in an element of its own."""
    day = plan(Event(GAMES, (label, "2", "3"), ("",)))
    for page in (games_wall_page(play_view(day)), court_pages(play_view(day))):
        assert label in PageText(page).in_bdi and "<b>Red" not in page


@pytest.mark.parametrize("name", ["slots.css", "courts.css", "stations.css", "standings.css"])
def test_sheets_take_their_colours_from_the_palette(name: str) -> None:
    """No colour stands outside of the shared file, and every token that is used is there or made for the page."""
    css = (TEMPLATES / name).read_text(encoding="utf-8")
    styles = "".join(re.findall(r"<style>(.*?)</style>", "".join(PAGES.values()), re.DOTALL))
    known = set(re.findall(r"--([a-z0-9-]+):", look_css() + styles))
    assert not re.search(r"#[0-9a-fA-F]{3,8}\b|rgb|hsl", css)
    assert set(re.findall(r"var\(--([a-z0-9-]+)\)", css)) <= known


@pytest.mark.parametrize(
    ("teams", "courts", "pages"),
    [(4, 2, 1), (6, 1, 3), (6, 2, 2), (6, 3, 2), (7, 3, 2), (8, 3, 3), (8, 4, 3), (10, 4, 4), (10, 5, 5), (12, 6, 6)],
)
def test_the_wall_can_be_read_at_three_metres(teams: int, courts: int, pages: int) -> None:
    """Letters of 12 mm at least, 0.004 of the distance (NUREG-0700 rev. 2), on up to six pages."""
    fit = fit_slots(wall_lines(play_view(games(teams, courts))))
    assert fit.letter >= 12 and fit.layout.pages <= pages


def test_sheets_are_written_by_command(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """With numbers, with a class, and with all other sheets of the lesson."""
    run("games", "--teams", 6, "--courts", 2, "--sheets", "numbers")
    run("games", "7b.class", "--lesson", 1, "--activity", "Games", "--courts", 2, "--sheets", "class")
    run("stations", "7b.class", "--lesson", 2, "--stations", 4)
    run("sheets", "7b.class", "--lesson", 2, "--to", "all")
    assert sorted(path.name for path in (tmp_path / "numbers").iterdir()) == ["games-courts.html", "games-wall.html"]
    assert sorted(path.name for path in (tmp_path / "class").iterdir()) == [
        "lesson-01-activity-2-games-courts.html",
        "lesson-01-activity-2-games-wall.html",
    ]
    assert sorted(path.name for path in (tmp_path / "all").iterdir()) == [
        "lesson-02-activity-1-stations-cards.html",
        "lesson-02-activity-1-stations-wall.html",
        "lesson-02-teacher.html",
        "lesson-02-wall.html",
    ]


def test_tables_are_written_by_command(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """One for the teacher, one for students."""
    run("games", "7b.class", "--lesson", 1, "--activity", "Games", "--courts", 2)
    assert run("standings", "7b.class", "--sheets", "tables").status == 0
    assert sorted(path.name for path in (tmp_path / "tables").iterdir()) == [
        "standings-students.html",
        "standings-table.html",
    ]
    assert "No result yet." in (tmp_path / "tables" / "standings-students.html").read_text(encoding="utf-8")


def test_a_label_that_a_spreadsheet_would_run_is_guarded(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """A team called ``=1+1`` is written to the table with an apostrophe (OWASP ASVS 5.0, 1.2.10)."""
    with file.change("games") as edit:
        day = plan(Event(GAMES, ("=1+1", "2", "3"), ("",)))
        edit.record = edit.record.with_event(replace(day, lesson=1, activity="Games"))
    run("standings", "7b.class", "--to", "t.csv")
    assert b"\r\n1,'=1+1," in (tmp_path / "t.csv").read_bytes()


def test_other_groups_than_the_games_are_for_are_said_so(run: Run, file: ClassFile) -> None:
    """With three groups where six teams were planned, writing the sheets tells to plan the games anew."""
    run("games", "7b.class", "--lesson", 4, "--courts", 2)
    assert "plan them anew" not in run("sheets", "7b.class", "--lesson", 4, "--to", "all").out
    with file.change("three groups") as edit:
        key = edit.record.plan.of_lesson(4)[0].key
        halves = Round(key, edit.record.plan.by_key[key].groups[:3])
        edit.record = replace(edit.record, plan=edit.record.plan.with_rounds({key: halves}))
    assert "grouper games" in run("sheets", "7b.class", "--lesson", 4, "--to", "all").out


def test_teams_are_called_by_bibs_with_the_word(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """Wall and courts say 'Red' and 'Foxes' in place of 1 and 2, a colour beside its word alone; the wall tells which
    group that is; the names change without planning anew, stay for the next lesson, and go by an empty one."""
    games = ("games", "7b.class", "--lesson", 1, "--activity", "Games")
    run(*games, "--courts", 2, "--called", "1=Red", "--called", "2=Foxes")
    before = file.read().record.events[0].assignments
    ran = run(*games, "--called", "3=Dark blue", "--sheets", "s")
    assert ran.status == 0 and "Red" in ran.out
    assert file.read().record.events[0].assignments == before
    for name in ("games-wall", "games-courts"):
        page = PageText((tmp_path / "s" / f"lesson-01-activity-2-{name}.html").read_text(encoding="utf-8"))
        assert {"Red", "Foxes", "Dark blue", "4"} <= set(page.in_bdi)
        assert ("1" in page.in_bdi) == (name == "games-wall")
        coloured = {dict(attrs)["data-bib"] for tag, attrs in page.tags if "data-bib" in dict(attrs)}
        assert coloured == {"red", "blue"}
    run("games", "7b.class", "--lesson", 4, "--courts", 2)
    assert file.read().record.games[-1].called[:3] == ("Red", "Foxes", "Dark blue")
    run(*games, "--called", "1=", "--called", "foxes=", "--called", "3=")
    assert file.read().record.events[0].called == ()


def test_a_result_is_entered_by_the_name_of_a_team(run: Run, file: ClassFile) -> None:
    """By name or by label; the table and the line that is printed have the name."""
    run("games", "7b.class", "--lesson", 1, "--activity", "Games", "--courts", 2, "--called", "1=Red")
    game = next(game for game in file.read().record.events[0].assignments if 1 in game.teams)
    other = next(team for team in game.teams if team != 1)
    ran = run("score", "7b.class", "RED=7", f"{other}=3", "--lesson", 1)
    assert ran.status == 0 and "team Red" in ran.out
    assert "  team Red  3 points" in run("standings", "7b.class", "--students", "progress").out
    assert "Red" in run("standings", "7b.class").out


@pytest.mark.parametrize("names", [("1=Red", "2=red"), ("1=2",), ("9=Red",), ("Red",)])
def test_names_that_cannot_be_are_refused(run: Run, file: ClassFile, names: tuple[str, ...]) -> None:
    """Two alike, the label of another team, no such team, no sign: said in a sentence, and nothing is kept."""
    called = [word for name in names for word in ("--called", name)]
    ran = run("games", "7b.class", "--lesson", 1, "--activity", "Games", "--courts", 2, *called)
    assert ran.status == 2 and not file.read().record.events


def test_the_wall_shows_standings_only_by_choice(run: Run, file: ClassFile) -> None:
    """Nothing at first; then the first places, or everybody's points without a rank; never before there is a result."""
    run("games", "7b.class", "--lesson", 1, "--activity", "Games", "--courts", 2)
    run("standings", "7b.class", "--on-wall", "top")

    def shown() -> list[StudentsTable]:
        return [scene.standings for scene in screen_view(file.read().record, 1).scenes if scene.standings]

    assert shown() == []
    game = file.read().record.events[0].assignments[0]
    run("score", "7b.class", f"{game.home}=7", f"{game.away}=3", "--lesson", 1)
    (top,) = shown()
    assert [place.team for place in top.places][:1] == [str(game.home)] and top.steps == ()
    run("standings", "7b.class", "--on-wall", "progress")
    (steps,) = shown()
    assert steps.places == () and [step.team for step in steps.steps] == list(numbers(6))
    run("standings", "7b.class", "--on-wall", "nothing")
    assert shown() == []
