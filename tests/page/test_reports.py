"""Reports saved from the page: they come as files, can be read by everybody, and fit on paper."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, Page

from grouper.engines import proof
from grouper.faces.sheets.report import own_data_text, report_text, student_text
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, Lesson, Unit
from grouper.privacy.own_data import own_data
from tests.sheets.examples import planned, roster

from .clients import NAME, House
from .conftest import Class
from .test_accessible import axe

SAVED = ("report", "report-without-names", "report-on/0001", "held-on/0001")
PAPERS = {"A4": (210, 297), "Letter": (215.9, 279.4)}
"""Millimetres (ISO 216; ANSI/ASME Y14.1, Letter)."""

MARGIN = 12
PX = 96 / 25.4
"""CSS pixels in a millimetre (CSS Values and Units, Level 3)."""


def class_of(people: int) -> ClassRecord:
    """Names in many scripts, six lessons of pairs and even teams, all taught."""
    activities = (
        Activity("Passing in pairs", size=2, rounds=4),
        Activity("Game", size=5, aim="balanced", strand="passing"),
    )
    unit = Unit(tuple(Lesson(number, activities, f"2026-09-{number:02}") for number in range(1, 7)))
    record = planned(ClassRecord(roster(people), unit))
    return replace(record, taught=frozenset(range(1, 7)))


KINDS: dict[str, Callable[[ClassRecord], str]] = {
    "named": lambda record: report_text(record, "Class 7b"),
    "nameless": lambda record: report_text(record, "", with_names=False),
    "student": lambda record: student_text(record, "0004", "Class 7b", ratings=True),
    "held": lambda record: own_data_text(own_data(record, "0004", ["absent: somebody"])),
}
"""Every kind of page that goes away."""


@pytest.fixture(autouse=True)
def short_proofs(monkeypatch: pytest.MonkeyPatch) -> None:
    """Exact proofs take seconds each; here there are none. Bounds must hold all the same."""
    monkeypatch.setattr(proof, "MOST_TEAMS", 0)


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    yield House(tmp_path, class_of(10))


@pytest.fixture
def paper(browser: Browser) -> Iterator[Page]:
    """A window without scripts of its own."""
    page = browser.new_page(viewport={"width": 900, "height": 1200})
    yield page
    page.close()


@pytest.mark.parametrize("what", SAVED)
def test_a_report_comes_as_a_file_for_the_teacher_alone(house: House, what: str) -> None:
    """With the teacher's key; without it, and under the students' name, there is none."""
    address = f"/c/{NAME}/evidence/{what}"
    answer = house.teacher().get(address)
    assert answer.status_code == 200 and answer.mimetype == "text/html"
    assert answer.headers["Content-Disposition"].startswith("attachment;")
    assert answer.headers["Cache-Control"] == "no-store"
    assert house.stranger().get(address).status_code == 404
    assert house.stranger().get(house.keys.teacher.root + address).status_code == 403
    assert house.student().get(address).status_code == 404


@pytest.mark.parametrize("what", SAVED)
def test_no_student_is_named_in_what_a_file_is_called(house: House, what: str) -> None:
    """And the one without names is not called after the class."""
    called = house.teacher().get(f"/c/{NAME}/evidence/{what}").headers["Content-Disposition"]
    assert "Amina" not in called and "0001" not in called
    assert ("7b" in called) == (what != "report-without-names")


def test_a_class_with_letters_beyond_ascii(tmp_path: Path) -> None:
    """The header is ASCII and holds the name by RFC 5987 (RFC 6266, 4.3)."""
    house = House(tmp_path, class_of(10))
    name = 'Größe "7b" 王.class'
    ClassFile(tmp_path / name).create(class_of(10), "made")
    called = house.teacher().get(f"/c/{quote(name)}/evidence/report").headers["Content-Disposition"]
    assert called.isascii()
    assert f"filename*=UTF-8''{quote('Größe')}%20%22" in called and quote("王") in called


def test_the_files_are_those_of_the_commands(house: House) -> None:
    """The page and the command write the same bytes."""
    record = house.file.read().record
    teacher = house.teacher()
    assert teacher.get(f"/c/{NAME}/evidence/report").text == report_text(record, "7b")
    assert teacher.get(f"/c/{NAME}/evidence/report-without-names").text == report_text(record, "", with_names=False)
    assert teacher.get(f"/c/{NAME}/evidence/report-on/0001").text == student_text(record, "0001", "7b")


def test_ratings_only_where_asked_for(house: House) -> None:
    """One link of two."""
    address = f"/c/{NAME}/evidence/report-on/0001"
    assert "ratings" not in house.teacher().get(address).text
    assert "ratings" in house.teacher().get(f"{address}?ratings=yes").text


@pytest.mark.parametrize("what", SAVED)
def test_an_unknown_student_or_class_is_not_found(house: House, what: str) -> None:
    """With an answer in words."""
    for address in (f"/c/none.class/evidence/{what}", f"/c/{NAME}/evidence/{what.replace('0001', 'nobody')}x"):
        assert house.teacher().get(address).status_code in (400, 404)


def test_saved_in_the_browser(klass: Class) -> None:
    """From the evidence the report with and without names; from a student's page theirs."""
    page = klass.open("/evidence")
    for button in ("Save the report", "Save it without names"):
        with page.expect_download() as saved:
            page.click(f"text='{button}'")
        assert saved.value.suggested_filename.endswith(".html")
        assert "Who worked with whom" in Path(saved.value.path()).read_text(encoding="utf-8")
    klass.open("/evidence/student/0003")
    with page.expect_download() as saved:
        page.click("text='Page for the parents'")
    text = Path(saved.value.path()).read_text(encoding="utf-8")
    assert "Caoimhe" in text and "Bao" not in text


@pytest.mark.parametrize("kind", ["named", "nameless", "student", "held"])
def test_axe_has_no_objection(paper: Page, tmp_path: Path, kind: str) -> None:
    """At three widths no violation and no scrolling of the page to the side, for 30 students."""
    show(paper, tmp_path, KINDS[kind](class_of(30)))
    for width in (360, 768, 1920):
        paper.set_viewport_size({"width": width, "height": 900})
        assert paper.evaluate("() => document.documentElement.scrollWidth") <= width, width
        assert axe(paper) == []


def show(page: Page, folder: Path, text: str) -> None:
    (folder / "report.html").write_text(text, encoding="utf-8")
    page.goto((folder / "report.html").as_uri())


@pytest.mark.parametrize("name", PAPERS)
@pytest.mark.parametrize("people", [12, 30, 36, 60])
def test_the_map_can_be_read_on_paper(paper: Page, tmp_path: Path, name: str, people: int) -> None:
    """It fits between the margins of one page, and its type is 2.3 mm or more: at 40 cm 0.004 of the distance, the
    least of NUREG-0700 rev. 2, are 1.6 mm, which the figures of such type have (0.7 of the type, common)."""
    wide, high = PAPERS[name]
    paper.emulate_media(media="print")
    paper.set_viewport_size({"width": round((wide - 2 * MARGIN) * PX), "height": round((high - 2 * MARGIN) * PX)})
    show(paper, tmp_path, report_text(class_of(people), "7b"))
    for block in paper.locator(".map-block").all():
        box = block.bounding_box()
        assert (
            box is not None and box["height"] < (high - 2 * MARGIN) * PX - 80 and box["width"] <= (wide - 24) * PX + 1
        )
    scales = paper.eval_on_selector_all(".map", "all => all.map(one => one.getScreenCTM().a)")
    assert len(scales) == (1 if people <= 36 else 3)
    assert min(12 * scale / PX for scale in scales) >= 2.3


@pytest.mark.parametrize("name", PAPERS)
def test_names_beside_the_map_are_whole(paper: Page, tmp_path: Path, name: str) -> None:
    """No name sticks out of the drawing or into it."""
    paper.emulate_media(media="print")
    paper.set_viewport_size({"width": round((PAPERS[name][0] - 2 * MARGIN) * PX), "height": 1000})
    show(paper, tmp_path, report_text(class_of(30), "7b"))
    spans = paper.eval_on_selector_all(
        ".row-name", "all => all.map(one => [one.getBBox().x, one.getBBox().x + one.getBBox().width])"
    )
    edge = paper.evaluate("() => document.querySelector('.row').getBBox().x")
    assert len(spans) == 30 and all(0 <= left < right <= edge for left, right in spans)


def test_no_row_of_a_table_is_split(paper: Page, tmp_path: Path) -> None:
    """Rows, sentences and the map are told not to break, and a table's head comes again on each page."""
    paper.emulate_media(media="print")
    show(paper, tmp_path, report_text(class_of(60), "7b"))
    styles = paper.eval_on_selector_all(
        "tr, .words li, .map-block", "all => all.map(one => getComputedStyle(one).breakInside)"
    )
    heads = paper.eval_on_selector_all("thead:not(.unseen)", "all => all.map(one => getComputedStyle(one).display)")
    assert set(styles) == {"avoid"} and set(heads) == {"table-header-group"}


@pytest.mark.parametrize(("people", "pages"), [(12, 4), (30, 4), (60, 7)])
def test_it_does_not_run_to_many_pages(paper: Page, tmp_path: Path, people: int, pages: int) -> None:
    """On A4, with every colour as it is drawn."""
    show(paper, tmp_path, report_text(class_of(people), "7b"))
    pdf = paper.pdf(format="A4", path=tmp_path / "report.pdf")
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) <= pages


def test_nothing_is_asked_of_the_network(paper: Page, tmp_path: Path) -> None:
    """Opened from a folder, the file asks for nothing but itself."""
    asked: list[str] = []
    paper.on("request", lambda request: asked.append(request.url))
    for write in KINDS.values():
        show(paper, tmp_path, write(class_of(12)))
    assert {url.rsplit("/", 1)[-1] for url in asked} == {"report.html"}
