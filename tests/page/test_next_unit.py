"""The end of a unit and the beginning of the next, in the browser."""

from __future__ import annotations

from dataclasses import replace

from grouper.model.ledger import ledger_of
from grouper.model.noted import Note

from .conftest import Class
from .serving import ROOT

LESSONS = ROOT / "rosters_demo" / "odd" / "lessons.csv"


def teach(klass: Class, *lessons: int) -> None:
    """Close lessons, with a note on one."""
    with klass.file.change("taught") as edit:
        edit.record = replace(edit.record, taught=frozenset(lessons), notes=(Note(1, 0, "wet"),))


def test_a_unit_ends_and_the_next_knows_it(klass: Class) -> None:
    """From the unit's page in two taps: what ran is remembered, the note ends, lessons come from a file, undo works."""
    teach(klass, 1, 2)
    before = klass.record
    page = klass.open("/unit")
    page.click("#next-unit")
    page.wait_for_selector("#begin")
    assert "1 note" in page.inner_text("#ends")
    page.set_input_files("#file", LESSONS)
    page.fill("#half-life", "20")
    page.click("#begin")
    page.wait_for_selector("#add-lesson")
    record = klass.record
    assert record.settings.half_life == 20.0
    assert record.taught == frozenset() and record.notes == () and record.plan.rounds == ()
    ran = [round_ for round_ in before.plan.rounds if round_.key.lesson in (1, 2)]
    assert ledger_of(past.as_round for past in record.past) == ledger_of(ran)
    klass.settle(lambda: page.click("#undo"))
    assert klass.record == before


def test_before_the_first_lesson_there_is_nothing_to_end(klass: Class) -> None:
    """The unit's page does not offer it, and the address says why."""
    page = klass.open("/unit")
    assert page.locator("#next-unit").count() == 0
    klass.open("/next-unit")
    assert "nothing to end" in page.inner_text("#not-yet")


def test_weeks_that_are_none_are_refused(klass: Class) -> None:
    """The class stays as it was."""
    teach(klass, 1)
    before = klass.record
    page = klass.open("/next-unit")
    page.evaluate("document.getElementById('half-life').type = 'text'")
    page.fill("#half-life", "soon")
    page.click("#begin")
    page.wait_for_selector("#trouble")
    assert "'soon' is no number of weeks" in page.inner_text("#trouble")
    assert klass.record == before
