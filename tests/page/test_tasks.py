"""Tasks that fit, in the browser: given to an activity, seen with step and reason, changed in a table."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Locator

from grouper.files.levers import default_levers
from grouper.model.levers import Adaptation
from grouper.planning.adjust import swapped
from grouper.tasks.choose import with_task
from grouper.tasks.rounds import rounds_with_tasks, tasks_of_round

from .conftest import Class, screen_of


def first_activity(klass: Class) -> str:
    return klass.record.unit.lessons[0].activities[0].name


def give(klass: Class) -> None:
    """The first activity gets the first kind of levers that comes along."""
    page = klass.open("/tasks?lesson=1")
    named = page.locator(f'input[name=activity][value="{first_activity(klass)}"]')
    form = page.locator("form", has=named).filter(has=page.locator("select[name=like]"))
    form.locator("select").select_option(default_levers()[0].activity)
    klass.settle(lambda: form.locator("button").click())


def test_an_activity_gets_tasks_and_every_group_one_that_fits(klass: Class) -> None:
    """The page shows each group's task with its step and why, as the record has it; undo takes the tasks off."""
    assert "no tasks" in klass.open("/tasks?lesson=1").inner_text("#no-tasks").replace("has tasks yet", "no tasks")
    give(klass)
    page, record = klass.page, klass.record
    assert record.challenges[0].activity == first_activity(klass)
    wanted = [task for r in record.plan.of_lesson(1) for task in tasks_of_round(record, r.key).values()]
    lines = page.locator(".tasks li")
    assert lines.count() == len(wanted) > 0
    said = page.inner_text(".tasks >> nth=0")
    assert "to begin with" in said and wanted[0].task in page.inner_text("main")
    klass.settle(lambda: page.click("#undo"))
    assert klass.record.challenges == ()


def test_students_read_the_task_and_no_step(klass: Class) -> None:
    """Where tasks differ the screen names none, and the cards have each; neither has a step or rating."""
    give(klass)
    tap_way(klass, "harder")
    tasks = {task.task for task in tasks_of_round(klass.record, klass.record.plan.of_lesson(1)[0].key).values()}
    screen = screen_of(klass, 1)
    cards = klass.open("/tasks/cards?lesson=1")
    assert len(tasks) > 1 and all(task in cards.inner_text("main") for task in tasks)
    assert "side by side can be compared" in cards.inner_text("#risk")
    cards.click("#other-way")
    assert "can tell which is harder" in cards.inner_text("#risk")
    sent = screen.content() + cards.inner_html("main")
    assert not any(task in screen.inner_text("body") for task in tasks)
    assert "Ask for your group's task" in screen.inner_text(".round.now")
    assert "expected" not in sent and "nothing seen yet" not in sent


def test_the_teacher_chooses_a_harder_task_for_a_group(klass: Class) -> None:
    """One tap; the step that was suggested stands beside it, the card has the new task, and a tap takes it back."""
    give(klass)
    key = klass.record.plan.of_lesson(1)[0].key
    suggested = tasks_of_round(klass.record, key)["1"]
    tap_way(klass, "harder")
    chosen = tasks_of_round(klass.record, key)["1"]
    steps = [now - was for now, was in zip(chosen.at, suggested.at, strict=True)]
    assert sorted(steps) == [0] * (len(steps) - 1) + [1] and chosen.suggested == suggested.at
    assert "your choice; " in klass.page.inner_text(".tasks >> nth=0")
    assert chosen.task in klass.open("/tasks/cards?lesson=1").locator(".task-card").first.inner_text()
    klass.open("/tasks?lesson=1")
    as_suggested = klass.page.get_by_role("button", name="Group 1, round 1: as suggested", exact=True)
    klass.settle(as_suggested.click)
    assert tasks_of_round(klass.record, key)["1"] == suggested
    assert klass.page.get_by_role("button", name="as suggested").count() == 0


def tap_way(klass: Class, word: str) -> None:
    """The first of the ways to make the task of group 1 harder or easier."""
    ways = open_ways(klass, word)
    klass.settle(lambda: ways.first.click())


def open_ways(klass: Class, word: str) -> Locator:
    klass.page.locator(".ways").first.locator("summary", has_text=word.title()).click()
    return klass.page.get_by_role("button", name=f"Group 1, round 1, {word}: ")


def test_three_ways_each_another_lever(klass: Class) -> None:
    """Harder opens three ways with what to fetch and what to expect; at the end of all levers there are none."""
    give(klass)
    ways = open_ways(klass, "harder")
    said = [text.split()[0] for text in ways.all_inner_texts()]
    assert len(said) == len(set(said)) == 3
    assert all(re.search(r"about \d+%", text) for text in ways.all_inner_texts())
    key, counts = klass.record.plan.of_lesson(1)[0].key, klass.record.challenges[0].counts
    with klass.file.change("all the way") as edit:
        edit.record = with_task(edit.record, key, "1", counts)
    klass.open("/tasks?lesson=1")
    first = klass.page.locator(".ways").first
    assert first.locator("summary", has_text="Easier").count() == 1
    assert first.locator("summary", has_text="Harder").count() == 0


def test_the_cupboard_is_typed_in_and_kept_to(klass: Class) -> None:
    """Numbers beside the things that the levers need; what is to be laid out keeps to them."""
    give(klass)
    page = klass.open("/tasks?lesson=1")
    page.locator(".cupboard li", has_text="large soft ball").locator("input[type=number]").fill("1")
    klass.settle(lambda: page.locator("form:has(.cupboard) button").click())
    assert [(store.item, store.count) for store in klass.record.cupboard] == [("large soft ball", 1)]
    laid = [dict(found.lay_out).get("large soft ball", 0) for _, found in rounds_with_tasks(klass.record, 1)]
    assert laid and max(laid) <= 1


def test_a_lever_is_switched_off_and_on(klass: Class) -> None:
    """By a tap beside the activity."""
    give(klass)
    levers = [lever.name for lever in klass.record.challenges[0].levers]
    klass.page.locator("details", has=klass.page.locator(".levers")).first.locator("summary").click()
    button = klass.page.get_by_role("button", name=f"{levers[0]} for {first_activity(klass)}")
    klass.settle(button.click)
    assert [lever.name for lever in klass.record.challenges[0].levers] == levers[1:]


def test_something_is_kept_for_a_child(klass: Class) -> None:
    """It is in the tasks at once, the bar on top names nobody, and it is taken off again."""
    give(klass)
    page, student = klass.open("/tasks?lesson=1"), klass.record.roster.active[0]
    page.locator("#kept > summary").click()
    page.select_option("#kept-student", student.id)
    page.select_option("#kept-kind", "also")
    page.fill("#kept-what", "seated")
    klass.settle(lambda: page.locator("#kept button", has_text="Keep").click())
    assert klass.record.adaptations == (Adaptation(student.id, "also", "seated"),)
    assert student.name not in page.inner_text("header") and "Seated." in page.inner_text("main")
    klass.settle(lambda: page.locator("#kept button", has_text="Take off").click())
    assert klass.record.adaptations == ()


def test_a_tap_on_a_task_of_other_people_is_refused(klass: Class) -> None:
    """The groups were made anew while the page was open: the task is not given to those who are in group 1 now."""
    give(klass)
    klass.page.evaluate("() => { quiet.busy = 1; }")
    round_ = klass.record.plan.of_lesson(1)[0]
    one, other = (group.members[0] for group in round_.groups[:2])
    with klass.file.change("swap") as edit:
        edit.record = swapped(edit.record, 1, one, other, 1).record
    open_ways(klass, "harder").first.click()
    klass.page.wait_for_selector("#notice:not([hidden])")
    assert "is out of date" in klass.page.inner_text("#notice")
    assert klass.record.chosen_tasks == ()


def test_own_tasks_come_from_a_table(klass: Class, tmp_path: Path) -> None:
    """The table is taken, one cell is put in other words, and read again."""
    give(klass)
    page = klass.open("/tasks")
    page.click("text=Your own levers")
    with page.expect_download() as taken:
        page.click("#tasks-file")
    text = Path(taken.value.path()).read_text(encoding="utf-8-sig")
    first = klass.record.challenges[0].levers[0].settings[0].words
    assert first in text
    changed = tmp_path / "mine.csv"
    changed.write_text(text.replace(first, "Roll the ball to your partner and back."), encoding="utf-8")
    page.set_input_files("#file", changed)
    klass.settle(lambda: page.locator("button", has_text="Read it").click())
    assert klass.record.challenges[0].levers[0].settings[0].words == "Roll the ball to your partner and back."


def test_the_share_of_success_is_a_setting(klass: Class) -> None:
    """It is kept, and one that makes no sense is refused with a word on what can be."""
    page = klass.open("/tasks")
    page.fill("#success", "80")
    klass.settle(lambda: page.click("form:has(#success) button"))
    assert klass.record.settings.success == 0.8
    page.evaluate("document.getElementById('success').type = 'text'")
    page.fill("#success", "20")
    page.click("form:has(#success) button")
    page.wait_for_selector("#notice:not([hidden])")
    assert "50% to 95%" in page.inner_text("#notice")
    assert klass.record.settings.success == 0.8
