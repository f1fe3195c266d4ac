"""Ratings that results suggest, accepted in the browser by the teacher alone."""

from __future__ import annotations

from dataclasses import replace

from grouper.learning.suggest import suggestions
from grouper.model.task_result import TaskResult
from grouper.planning.noting import seen

from .conftest import Class


def too_easy(klass: Class) -> None:
    """In three rounds in pairs the task was far too easy for the first group, and counted."""
    with klass.file.change("results") as edit:
        record = edit.record
        lesson = next(one for one in record.unit.lessons if any(a.strand for a in one.activities))
        for round_ in record.plan.rounds:
            if round_.key.lesson <= lesson.number:
                for group in round_.groups[:2]:
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
