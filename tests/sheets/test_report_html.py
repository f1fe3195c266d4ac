"""The report as a file: whole by itself, with everything in it, and without names where it says so."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest
from builders import class_of, pairs, quick
from scipy.stats import chisquare

from grouper.errors import InputError
from grouper.faces.sheets.report import ON_A_PAGE, map_blocks, report_text
from grouper.faces.views.evidence import meeting_map
from grouper.faces.views.report_view import nameless_view, report_view
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.planning.attend import absent
from grouper.privacy.less import nameless, nameless_roster
from tests.privacy.classes import OUT_OF, demo_class, invented_class, met_in
from tests.sheets.page_text import PageText


def named(record: ClassRecord) -> str:
    return report_text(record, "Class 7b")


def shared(record: ClassRecord) -> str:
    return report_text(record, "Class 7b", with_names=False)


@pytest.mark.parametrize("write", [named, shared])
def test_it_needs_nothing_else(record: ClassRecord, write: Any) -> None:
    """No script, no link, no address: the file is the whole of it, and its policy lets nothing else in."""
    page = write(record)
    tags = PageText(page).tags
    assert {tag for tag, _ in tags}.isdisjoint({"script", "link", "img", "iframe", "a", "form"})
    assert not re.search(r"https?:|//[a-z]|url\(|@import", page)
    policy = next(a["content"] for tag, a in tags if tag == "meta" and a.get("http-equiv"))
    assert policy and policy.startswith("default-src 'none'")


def test_everybody_and_every_figure_is_in_it(record: ClassRecord) -> None:
    """A row for each student, and on the map each two who met, with how often."""
    page = named(record)
    texts = PageText(page).texts
    assert "Class 7b" in texts and {"Amina Yusuf", "王小明", "נועה לוי"} <= set(texts)
    met = met_in(tuple(r for r in record.plan.rounds if r.key.lesson in record.taught))
    drawn = re.findall(r'<g class="place l\d">.*?<text[^>]*>(\d+)</text>', page)
    assert sorted(map(int, drawn)) == sorted(times for times in met.values() for _ in range(2))


def test_no_rating_request_size_band_note_or_cause_is_in_it(record: ClassRecord) -> None:
    """Also the one with names is for more eyes than the teacher's."""
    page = named(record)
    hidden = ("1.123456", "4.123456", "quarrelled", "sprained", "ankle", "apart,", OUT_OF)
    body = page[page.index("</style>") :]
    assert [word for word in hidden if word in body] == []


def test_without_groups_there_is_nothing_to_report(record: ClassRecord) -> None:
    """And the message says what to do."""
    with pytest.raises(InputError, match="no groups to report on yet"):
        report_text(replace(record, plan=type(record.plan)()), "7b")


def texts_of(value: Any) -> Iterator[str]:
    """Every text that a record holds."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, item in value.items():
            yield from (*texts_of(key), *texts_of(item))
    elif isinstance(value, tuple | frozenset | list):
        for item in value:
            yield from texts_of(item)
    elif is_dataclass(value) and not isinstance(value, type):
        for each in fields(value):
            yield from texts_of(getattr(value, each.name))


OUR_WORDS = {"1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12", "A", "S", "M", "L", "coach", "learner"}
OUR_WORDS |= {"away", "aside", "apart", "together", "fresh", "easy", "breaks", "spare", "balanced", "coaching", "mild"}
OUR_WORDS |= {"observer", "scorer", "games", "stations"}
"""Short labels and words of the record that stand in any text in English; none of them is about anybody."""


def test_no_text_of_the_record_is_in_the_one_without_names(record: ClassRecord) -> None:
    """No name, part of a name, id, activity, label, role, date, note or strand: searched for all of them."""
    page = shared(record)
    body = page[page.index("</style>") :].casefold()
    held = {text for text in texts_of(record) if text} - OUR_WORDS
    held |= {word for student in record.roster.students for word in re.findall(r"\w{3,}", student.name)}
    assert len(held) > 80
    assert [text for text in held if re.search(rf"(?<!\w){re.escape(text.casefold())}(?!\w)", body)] == []
    assert "class 7b" not in body and "123456" not in body


def test_that_search_can_fail(record: ClassRecord) -> None:
    """In the one with names it finds plenty."""
    page = named(record).casefold()
    assert sum(student.name.casefold() in page for student in record.roster.students) == len(record.roster.students)


def test_no_single_student_is_in_it_but_as_a_place_on_the_map(record: ClassRecord) -> None:
    """No line on anybody's attendance, turns or care; attendance is a share."""
    view = nameless_view(record)
    assert (view.students, view.care, view.attendance, view.spreads, view.evidence.breaches) == ((), (), (), (), ())
    assert view.total == "Hardly anybody missed a lesson."
    assert not any(part.title.startswith("Requests") for part in view.evidence.measures)
    assert not any("request" in sentence for sentence in view.fairness)


def test_the_figures_are_those_of_the_one_with_names(record: ClassRecord) -> None:
    """Who is who and earlier units are left out: repeats, bounds, turns and how many pairs met how often stay."""
    one, other = report_view(record), nameless_view(record)
    left_out = ("Requests", "Met in an earlier unit")
    same = [part for part in one.evidence.measures if not part.title.startswith(left_out)]
    assert list(other.evidence.measures) == same
    assert [part.bound for part in one.evidence.measures if part.title == "Met in an earlier unit"] == ["at least 0"]
    assert other.evidence.map.pairs_by_times == one.evidence.map.pairs_by_times
    assert other.turns == one.turns


def test_the_order_is_drawn_anew_after_each_lesson(record: ClassRecord) -> None:
    """It is the same for one state of the file, neither the roster's nor the alphabet's, and another one later."""
    first = nameless_roster(record)
    later = nameless_roster(replace(record, taught=frozenset({1, 2, 3})))
    by_letter = sorted(first, key=lambda student: first[student])
    assert first == nameless_roster(record)
    assert by_letter != [student.id for student in record.roster.students] and by_letter != sorted(first)
    assert sum(first[student] == later[student] for student in first) < len(first) / 2


def test_the_place_on_the_roster_tells_nothing() -> None:
    """Over 200 classes the first of the roster gets each of ten letters about equally often (scipy's chi-square test
    of equal shares: so uneven in one case of 1,000)."""
    counts = [0] * 10
    record = invented_class(10)
    for seed in range(200):
        drawn = nameless_roster(replace(record, seed=seed))
        counts[int(drawn[record.roster.students[0].id][1:]) - 1] += 1
    assert chisquare(counts).pvalue > 0.001


def test_groups_and_their_labels_follow_the_drawn_order(record: ClassRecord) -> None:
    """Members stand by letter and labels are numbers anew, so that neither order of the file is left."""
    for round_ in nameless(record).plan.rounds:
        assert all(list(group.members) == sorted(group.members) for group in round_.groups)
        assert [group.label for group in round_.groups] == [str(place) for place in range(1, len(round_.groups) + 1)]


def test_a_small_class_has_no_map_to_share() -> None:
    """With nine students each place nearly is a name; it says that the map is left out."""
    page = shared(invented_class(9))
    assert "Map of meetings" not in page and "nearly is a name" in page
    assert "Map of meetings" in shared(invented_class(10))


def test_what_is_left_out_is_said(record: ClassRecord) -> None:
    """With a warning that those who know the groups may find out more."""
    page = shared(record)
    assert "What is left out" in page and "never together with sheets" in page
    assert "What is left out" not in named(record)


@pytest.mark.parametrize("people", [1, 8, 30, 36, 37, 60, 73])
def test_each_two_are_on_the_map(people: int) -> None:
    """Cut into blocks of 36 at most; each two students cross, on both sides of a diagonal or in a block apart."""
    base = invented_class(25)
    roster = Roster(tuple(replace(base.roster.students[0], id=f"s{n}", name=f"Name{n}") for n in range(people)))
    record = replace(base, roster=roster, plan=type(base.plan)(), requests=(), absences=(), past=())
    blocks = map_blocks(meeting_map(record, (), None, None))
    crossed: dict[frozenset[str], int] = {}
    for block in blocks:
        assert len(block.rows) <= ON_A_PAGE and len(block.columns) <= ON_A_PAGE and block.millimetres <= 186
        for row in block.rows:
            for column in block.columns:
                pair = frozenset((row.text, column.text))
                crossed[pair] = crossed.get(pair, 0) + 1
    assert all(times in ((1,) if len(pair) == 1 else (1, 2)) for pair, times in crossed.items())
    assert len(crossed) == people * (people + 1) // 2


def test_the_same_file_gives_the_same_bytes() -> None:
    """With names and without."""
    draw = random.Random(4)
    for record in (demo_class(), invented_class(draw.randint(12, 30))):
        assert named(record) == named(record) and shared(record) == shared(record)


@pytest.mark.parametrize(("people", "shown"), [(9, False), (10, True)])
def test_a_small_class_has_no_map_without_names(people: int, shown: bool) -> None:
    """With fewer than ten students a place on the map nearly is a name."""
    view = nameless_view(quick(class_of(people, pairs(3))))
    assert view.with_map == shown


@pytest.mark.parametrize(("away", "told"), [(4, False), (5, True)])
def test_a_handful_of_absences_is_not_counted(away: int, told: bool) -> None:
    """Fewer than five could be guessed; from five on the share is told."""
    record = quick(class_of(12, pairs(1), lessons=2))
    missing = absent(record, 1, tuple(student.id for student in record.roster.students[:away])).record
    assert ("took part in" in nameless_view(missing).total) == told
