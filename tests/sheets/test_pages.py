"""Sheets are safe, self-contained, and whole."""

from __future__ import annotations

import re
from base64 import b64encode
from dataclasses import replace
from functools import cache
from hashlib import sha256
from html import unescape

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from grouper.faces.sheets.pages import teacher_page, wall_page
from grouper.faces.views.students import student_lesson_view
from grouper.faces.views.teacher_lesson import teacher_lesson_view
from grouper.model.plan import Group, Plan
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.model.texts import tidy
from grouper.model.unit import Activity

from .examples import gallery, lesson_of
from .page_text import PageText


def both_pages(record: ClassRecord, lesson: int) -> tuple[str, str]:
    return (
        wall_page(student_lesson_view(record, lesson)),
        teacher_page(teacher_lesson_view(record, lesson)),
    )


LOOKED_AT = gallery()


@cache
def pages_of(name: str) -> tuple[str, str]:
    """Both pages of one of the records to look at, made when the first test asks for them."""
    return both_pages(*LOOKED_AT[name])


@pytest.mark.parametrize("name", LOOKED_AT)
def test_a_sheet_is_one_file_without_script_or_network(name: str) -> None:
    """No script, no link, no image, no address, no inline style or handler."""
    for page in pages_of(name):
        text = PageText(page)
        assert not {"script", "link", "img", "iframe", "object", "form", "base"} & {tag for tag, _ in text.tags}
        names = {attribute for _, attrs in text.tags for attribute in attrs}
        assert not {"style", "src", "href"} & names and not any(name.startswith("on") for name in names)
        assert "url(" not in page and "@import" not in page and "http:" not in page and "https:" not in page


@pytest.mark.parametrize("name", LOOKED_AT)
def test_the_policy_lets_in_this_style_sheet_alone(name: str) -> None:
    """The hash in the policy is that of the style element as it stands (CSP level 3, section 8.4)."""
    for page in pages_of(name):
        style = re.findall(r"<style>(.*?)</style>", page, re.DOTALL)
        policy = unescape(re.findall(r'Content-Security-Policy" content="([^"]*)"', page)[0])
        digest = b64encode(sha256(style[0].encode()).digest()).decode()
        assert len(style) == 1
        assert policy == f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"


@pytest.mark.parametrize("name", LOOKED_AT)
def test_every_group_of_every_round_is_on_the_wall(name: str) -> None:
    """Each round that does not merely go on has its groups, and each name stands once a round."""
    record, lesson = LOOKED_AT[name]
    view = student_lesson_view(record, lesson)
    shown = [block for block in view.rounds if block.same_as is None]
    page = PageText(pages_of(name)[0])
    people = [person.name for block in shown for card in block.groups for person in card.members]
    people += [person.name for block in shown for person in block.aside]
    assert page.classes("round") == len(shown)
    assert page.classes("goes-on") == len(view.rounds) - len(shown)
    assert page.classes("group") == sum(len(block.groups) for block in shown)
    assert sorted(text for text in page.in_bdi if text in set(people)) == sorted(people)


def test_a_group_is_never_split_over_two_pages() -> None:
    """The style sheet forbids it for groups, and repeats the line above them on every page."""
    style = pages_of("thirty")[0]
    assert re.search(r"\.group \{[^}]*break-inside: avoid", style)
    assert re.search(r"\.head \{ display: table-header-group", style)


def test_every_class_that_carries_a_measure_is_in_the_style_sheet() -> None:
    """A letter height or a column count without its rule would fall back to something unplanned."""
    for wall, _ in map(pages_of, LOOKED_AT):
        body = wall.split("</style>")[1]
        used = set(re.findall(r"\b(?:letter|groups|names|label|air)-\d+\b|\bsnug\b|\btight\b", body))
        assert used and all(re.search(rf"\.{re.escape(name)} \{{", wall) for name in used)


MARKUP = st.text(alphabet="<>&\"'/=abi \u202e\u200f{}%;א", min_size=1, max_size=24)


@settings(max_examples=60, deadline=None)
@given(MARKUP, MARKUP, MARKUP)
@example("<script>alert(1)</script>", "<b>Tag</b>", "</style><i>")
@example("\"><img src=x onerror='a'>", "{{ 7 * 7 }}", "&amp;")
def test_markup_in_names_is_text(name: str, activity: str, label: str) -> None:
    """Whatever a name, an activity or a label holds, the page has the same elements and shows what can be seen."""
    assume(tidy(activity))
    pages = [PageText(page) for page in both_pages(_called(name, activity, label), 1)]
    for page, plain in zip(pages, harmless(), strict=True):
        assert [tag for tag, _ in page.tags] == [tag for tag, _ in plain.tags]
        assert tidy(f"{label}!") in map(tidy, page.in_bdi)
        assert tidy(activity) in map(tidy, page.in_bdi)


def _called(name: str, activity: str, label: str) -> ClassRecord:
    """Two pairs; one student, the activity and one group are called as given."""
    record = lesson_of(4, Activity(activity, size=2, caution="none"))
    first, *rest = record.roster.students
    students = (replace(first, name=f"Q{name}"), *rest)
    one, two = record.plan.rounds[0].groups
    groups = (Group(f"{label}!", one.members), Group("2", two.members))
    plan = Plan((replace(record.plan.rounds[0], groups=groups),))
    return replace(record, roster=Roster(students, record.roster.strands), plan=plan)


@cache
def harmless() -> list[PageText]:
    """The same with nothing in a name but letters."""
    return [PageText(page) for page in both_pages(_called("Ann", "Pass", "1"), 1)]


def test_names_of_people_stand_in_bdi() -> None:
    """A name from right to left does not turn the text around it (HTML Standard, the bdi element)."""
    for wall, teacher in map(pages_of, LOOKED_AT):
        for page in (PageText(wall), PageText(teacher)):
            loose = [text for text in page.texts if text in ("Amina", "Li", "王小明") and text not in page.in_bdi]
            assert loose == []


def test_same_record_same_bytes() -> None:
    """Sheets hold no clock and no chance."""
    record, lesson = gallery()["every-aim"]
    assert both_pages(record, lesson) == pages_of("every-aim")
