"""Ratings that results suggest, accepted in the browser by the teacher alone."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from grouper.learning.suggest import suggestions
from grouper.model.noted import TaskResult
from grouper.planning.noting import seen

from .conftest import Class


def too_easy(klass: Class) -> None:
    """The task was far too easy, and counted, wherever the least able four were in two lessons."""
    with klass.file.change("results") as edit:
        record = edit.record
        lesson = next(one for one in record.unit.lessons if any(a.strand for a in one.activities))
        strand = record.roster.strands[0]
        weak = {one.id for one in sorted(record.roster.active, key=lambda one: one.ratings.get(strand, 9))[:4]}
        for round_ in record.plan.rounds:
            if round_.key.lesson <= lesson.number + 1:
                for group in (group for group in round_.groups if weak.intersection(group.members)):
                    record = seen(record, TaskResult(round_.key, group.label, "easy", 20, 20))
        edit.record = replace(record)


def test_nothing_to_suggest_is_said(klass: Class) -> None:
    """Before any result the page says where results come from."""
    page = klass.open("/suggestions")
    assert "no results yet" in page.inner_text("#nothing")


def test_ticked_ratings_are_accepted_and_the_rest_stays(klass: Class) -> None:
    """All but the first suggestion are accepted; the first rating stays as it was, and undo takes all back."""
    too_easy(klass)
    before = klass.record
    page = klass.open("/class")
    page.click("text=Suggested ratings")
    page.wait_for_selector("h1:has-text('Suggested ratings')")
    page.locator("label", has=page.locator("#named-1")).click()
    page.wait_for_selector("#accept")
    made = suggestions(before, page.input_value("input[name=strand][type=hidden]"))
    assert len(made) > 1
    boxes = page.locator(".suggested input")
    assert boxes.count() == len(made)
    boxes.first.uncheck()
    klass.settle(lambda: page.click("#accept"))
    after = klass.record
    first, *others = made
    assert after.roster.by_id[first.student].ratings == before.roster.by_id[first.student].ratings
    for one in others:
        assert after.roster.by_id[one.student].ratings[one.strand] == one.suggested
    klass.settle(lambda: page.click("#undo"))
    assert klass.record.roster == before.roster


def test_the_reason_stands_beside_each(klass: Class) -> None:
    """In one line of plain words, with how sure it is."""
    too_easy(klass)
    page = klass.open("/suggestions?strand=throwing")
    for row in page.locator(".suggested li").all():
        assert len(row.locator(".reason").inner_text()) > 10
        assert row.locator(".chip").inner_text() in ("quite sure", "likely", "a hint")


def test_ratings_from_a_shuttle_run(klass: Class, tmp_path: Path) -> None:
    """A table with stage and age is read, one suggestion is left out, the others become ratings; no age is kept."""
    ids = [student.id for student in klass.record.roster.students[:6]]
    table = tmp_path / "run.csv"
    table.write_text("id,stage,age\n" + "".join(f"{one},{stage},13\n" for stage, one in enumerate(ids, start=3)))
    page = klass.open("/suggestions")
    page.click("#from-test")
    page.fill("#strand", "fitness")
    page.select_option("#kind", "shuttle")
    page.set_input_files("#file", table)
    page.click("#read")
    page.wait_for_selector("#accept")
    page.locator(".suggested input").first.uncheck()
    page.click("#accept")
    page.wait_for_selector("#new-strand")
    rated = [klass.record.roster.by_id[one].ratings.get("fitness") for one in ids]
    assert rated[0] is None and all(rated[1:])
    assert rated[1:] == sorted(rated[1:])
    assert "fitness" in klass.record.roster.strands


def test_a_table_that_makes_no_sense_is_told_with_its_row(klass: Class, tmp_path: Path) -> None:
    """An age of 130 is refused, and the class stays as it was."""
    before = klass.record
    table = tmp_path / "run.csv"
    ids = [student.id for student in before.roster.students[:4]]
    table.write_text("id,stage,age\n" + "".join(f"{one},5,130\n" for one in ids))
    page = klass.open("/test-results")
    page.fill("#strand", "fitness")
    page.select_option("#kind", "shuttle")
    page.set_input_files("#file", table)
    page.click("#read")
    page.wait_for_selector("#trouble")
    assert "rows 2-5" in page.inner_text("#trouble")
    assert klass.record == before
