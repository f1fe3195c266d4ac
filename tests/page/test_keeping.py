"""What is kept: handed over, erased and cleared away in the browser, each only where it was meant."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from grouper.files.store import ClassFile
from grouper.model.ledger import ledger_of

from .conftest import Class, load


def test_the_next_teachers_file_leaves_out_what_was_not_asked_for(klass: Class, tmp_path: Path) -> None:
    """Saved from the page it opens as a class of its own, without ratings and requests, or with both."""
    for ticked in (False, True):
        page = klass.open("/keeping")
        for what in ("ratings", "requests") if ticked else ():
            page.locator(f"section:has(#next-teacher) input[name={what}]").check()
        with page.expect_download() as taken:
            page.click("#hand-over")
        path = tmp_path / f"{ticked}.class"
        taken.value.save_as(path)
        record = ClassFile(path).read().record
        assert len(record.roster.students) == len(klass.record.roster.students)
        assert any(student.ratings for student in record.roster.students) is ticked
        assert bool(record.requests) is ticked


def test_a_student_is_erased_where_their_name_was_typed(klass: Class) -> None:
    """What would happen is said first; a wrong name erases nobody, the right one leaves no byte; counts stay."""
    with klass.file.change("taught") as edit:
        edit.record = replace(edit.record, taught=frozenset({1}))
    person = klass.record.roster.by_id["0003"]
    before = ledger_of(klass.record.plan.of_lesson(1)).meetings
    page = klass.open("/keeping")
    page.select_option("#who", "0003")
    page.click("#pick")
    page.wait_for_selector("#would-erase")
    assert "the counts of all others stay" in page.inner_text("#would-erase")
    page.fill("#typed-name", "somebody else")
    page.click("#erase")
    page.wait_for_selector("#trouble")
    assert klass.record.roster.by_id["0003"] == person
    klass.open("/keeping?student=0003")
    page.fill("#typed-name", person.name)
    load(page, lambda: page.click("#erase"))
    assert page.locator("#would-erase").count() == 0
    data = klass.file.path.read_bytes()
    assert person.name.encode() not in data and person.name.encode("utf-16-le") not in data
    assert "0003" not in klass.record.roster.by_id
    neutral = {"0003": "student 1"}
    wanted = {frozenset(neutral.get(one, one) for one in pair): times for pair, times in before.items()}
    after = ledger_of(klass.record.plan.of_lesson(1)).meetings
    assert {frozenset(pair): times for pair, times in after.items()} == wanted


def test_clearing_away_needs_the_words(klass: Class) -> None:
    """Requests go and names stay; with other words nothing happens."""
    assert klass.record.requests
    page = klass.open("/keeping")
    assert "request" in page.inner_text("#would-clear")
    page.fill("#typed-words", "yes")
    page.click("#clear")
    page.wait_for_selector("#trouble")
    assert klass.record.requests
    klass.open("/keeping")
    page.fill("#typed-words", "clear away")
    load(page, lambda: page.click("#clear"))
    assert klass.record.requests == ()
    assert len(klass.record.roster.students) == 23


def test_what_changed_meanwhile_is_not_erased_blindly(klass: Class) -> None:
    """Another command changed the file after the page was shown: nothing is erased, and the page says so."""
    page = klass.open("/keeping?student=0003")
    name = klass.record.roster.by_id["0003"].name
    with klass.file.change("meanwhile") as edit:
        edit.record = replace(edit.record, seed=edit.record.seed + 1)
    page.fill("#typed-name", name)
    page.click("#erase")
    page.wait_for_selector("#trouble")
    assert "0003" in klass.record.roster.by_id


def test_what_is_ticked_is_what_is_cleared(klass: Class) -> None:
    """A tick shows at once what would go, and that is what goes: names and ratings too."""
    page = klass.open("/keeping")
    assert "Names, ids, ratings" in page.inner_text("#would-clear")
    page.locator("#what-goes input[name=names]").check()
    page.wait_for_url("**names=yes**")
    assert "All names and ids become" in page.inner_text("#would-clear")
    assert page.locator("#what-goes input[name=names]").is_checked()
    page.fill("#typed-words", "clear away")
    load(page, lambda: page.click("#clear"))
    students = klass.record.roster.students
    assert all(student.name.startswith("student ") and student.ratings == {} for student in students)
    assert b"Trinh" not in klass.file.path.read_bytes()
