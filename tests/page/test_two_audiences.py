"""What students can get to shows names, groups, places, times and roles alone: every answer is searched."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from builders import games_of

from grouper.games.days.groups import labels_of
from grouper.games.days.plan import plan
from grouper.model.noted import Absence, Learnt, TaskResult
from grouper.model.play import Score
from grouper.model.record import ClassRecord
from grouper.planning.noting import noted, seen
from tests.sheets.test_student_allow_list import sentinel_record

from .clients import NAME, House
from .conftest import Class, screen_of

HIDDEN = (
    *("sentinel", "76543", "1234.5", "8765.25", "424242", "coaching", "balanced", "similar", "apart", "together"),
    *("5319", "8917", "9531", "8642", "9532", "8643", "7391", "6284", "2718", "too hard", "too easy", "late"),
    *("standings", "points", "result", "note"),
    *("request", "rating", "average", "caution", "contact", "size band", "strand", "spread", "evidence", "form_key"),
)
"""What the record holds for the teacher alone, each a word or number found nowhere else, and the words around it."""


class Parts(HTMLParser):
    """The addresses that a page leads to, and the texts that it shows."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.addresses: list[str] = []
        self.forms = 0
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.addresses += [value or "" for key, value in attrs if key in ("href", "src", "action", "formaction")]
        self.forms += tag in ("form", "a", "iframe")


def full_record() -> ClassRecord:
    """Beside what the sheet for the wall is searched for: a late student, notes, how tasks went, results of games."""
    record = sentinel_record()
    record = noted(noted(record, 1, 0, "notesentinel"), 1, 2, "notesentinel again")
    for round_, word in zip(record.plan.of_lesson(1), ("easy", "hard", "right"), strict=False):
        record = seen(record, TaskResult(round_.key, round_.groups[0].label, word, 5319, 8917))
    game = record.plan.of_lesson(1)[2]
    day = plan(games_of(1, "Game", labels_of(game.groups), 1))
    scores = (Score(9531, 8642, 7391.5, 0.0, 0.0, 6284.5), Score(9532, 8643))
    for fixture, score in zip(day.assignments, scores, strict=False):
        day = day.with_assignment(replace(fixture, score=score))
    learnt = Learnt("idsentinel0", "strandsentinel", None, 2718.25, 1)
    late = Absence(1, "idsentinel6", "away", 1, "late", 1)
    return replace(record.with_event(day), learnt=(learnt,), absences=tuple(sorted([*record.absences, late])))


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    yield House(tmp_path, full_record())


def student_answers(house: House) -> Iterator[tuple[str, str]]:
    """Every answer that a visitor with the students' key gets from any address, under the students' name."""
    visitor = house.student()
    for method, path in house.addresses():
        paths = [path, path.replace("/1", "/99"), path.replace(NAME, "none.class")]
        for one in dict.fromkeys(paths):
            yield f"{method} {one}", visitor.client.open(one, method=method, base_url=visitor.base).text
    yield "rounds", visitor.get(f"/screen/{NAME}/1/rounds?round=1").text


def test_no_student_facing_answer_holds_teacher_data(house: House) -> None:
    """Pages, data and errors alike; style sheets and scripts hold no data at all and are the same for every class."""
    for address, text in student_answers(house):
        if " /static/" not in address:
            assert [word for word in HIDDEN if word in text.casefold()] == [], address


def test_the_search_would_find_it(house: House) -> None:
    """The same search finds teacher data on the teacher's pages: it can fail."""
    pages = ("class", "lesson/1/after", "lesson/1/games")
    text = " ".join(house.teacher().get(f"/c/{NAME}/{page}").text for page in pages).casefold()
    assert {"sentinel", "notesentinel", "5319", "8917", "9531", "8642", "7391.5", "late", "76543"} <= {
        word for word in (*HIDDEN, "notesentinel", "7391.5") if word in text
    }


def without_drawn(house: House, text: str) -> str:
    """The text without what was drawn by lot, in which four figures may stand together by chance."""
    version = house.file.read().version
    for drawn in (house.keys.form, house.keys.teacher.root, version):
        assert drawn in text
        text = text.replace(drawn, "")
    return text


def test_the_door_holds_no_note_no_result_and_no_rating(house: House) -> None:
    """Students may look at the tablet: of all that is hidden it shows who is late, and buttons without a value."""
    text = without_drawn(house, house.teacher().get(f"/c/{NAME}/lesson/1").text).casefold()
    hidden = ("notesentinel", "5319", "8917", "9531", "8642", "9532", "7391", "2718", "76543", "too hard", "too easy")
    assert [word for word in hidden if word in text] == [] and "late, comes in round 2" in text


def test_who_is_away_is_not_on_the_screen_and_a_reason_never_is(house: House) -> None:
    """As on the sheet for the wall."""
    text = house.student().get(f"/screen/{NAME}/1").text
    assert "Namee" not in text and "Named" in text and "helper" in text


def test_under_the_students_name_nothing_but_the_screen_answers(house: House) -> None:
    """Every address of the teacher is not there, even with the teacher's key in the hand."""
    visitor = house.student()
    visitor.client.set_cookie("grouper", house.keys.teacher.cookie, domain="localhost", path="/")
    for method, path in house.addresses():
        if not path.startswith((house.keys.students.root, "/static/")):
            answer = visitor.client.open(path, method=method, base_url=visitor.base)
            assert answer.status_code == 404, path


def test_the_screen_leads_nowhere(house: House) -> None:
    """No link, no form, no frame; only its own style sheets, script and mark."""
    parts = Parts(house.student().get(f"/screen/{NAME}/1").text)
    assert parts.forms == 0 and all(address.startswith("/static/") for address in parts.addresses)


def test_in_the_browser_the_screen_asks_for_nothing_else_and_no_key_leaves_it(klass: Class) -> None:
    """All keys of a keyboard are pressed: the address stays, and only the screen's own addresses are asked for."""
    screen = screen_of(klass, 1)
    asked: list[str] = []
    screen.on("request", lambda request: asked.append(request.url))
    start = screen.url
    for key in [*map(chr, range(33, 127)), "Enter", "Escape", "Tab", "Home", "End", "F1", "Backspace", "ArrowDown"]:
        screen.keyboard.press(key)
    screen.wait_for_timeout(4500)
    assert screen.url == start and asked
    site = start[: start.index("/screen/")]
    looks = f"http://localhost:{klass.served.port}/static/"
    assert [url for url in asked if not url.startswith((f"{site}/screen/", looks))] == []


def test_a_script_on_the_screen_cannot_read_the_teachers_pages(klass: Class) -> None:
    """To the browser they are two sites: the teacher's pages are fetched in vain, with the teacher's cookie there."""
    screen = screen_of(klass, 1)
    outcome = screen.evaluate(
        "url => fetch(url, {credentials: 'include'}).then(a => a.text(), () => 'refused')", klass.at("/class")
    )
    assert outcome == "refused"
    assert screen.evaluate("() => document.cookie") == "" and screen.evaluate("() => window.opener") is None
