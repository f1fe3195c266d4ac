"""Tasks that fit, in the browser: given to an activity, seen with step and reason, changed in a table."""

from __future__ import annotations

from pathlib import Path

from grouper.files.ladders import default_ladders
from grouper.planning.adjust import swapped
from grouper.tasks.suggest import tasks_of_round

from .conftest import Class, screen_of


def first_activity(klass: Class) -> str:
    return klass.record.unit.lessons[0].activities[0].name


def give(klass: Class) -> None:
    """The first activity gets the first ladder that comes along."""
    page = klass.open("/tasks?lesson=1")
    form = page.locator("form", has=page.locator(f'input[name=activity][value="{first_activity(klass)}"]'))
    form.locator("select").select_option(default_ladders()[0].activity)
    klass.settle(lambda: form.locator("button").click())


def test_an_activity_gets_tasks_and_every_group_one_that_fits(klass: Class) -> None:
    """The page shows each group's task with its step and why, as the record has it; undo takes the tasks off."""
    assert "no tasks" in klass.open("/tasks?lesson=1").inner_text("#no-tasks").replace("has tasks yet", "no tasks")
    give(klass)
    page, record = klass.page, klass.record
    assert record.ladders[0].activity == first_activity(klass)
    wanted = [task for r in record.plan.of_lesson(1) for task in tasks_of_round(record, r.key).values()]
    lines = page.locator(".tasks li")
    assert lines.count() == len(wanted) > 0
    said = page.inner_text(".tasks >> nth=0")
    assert "step" in said and wanted[0].task in page.inner_text("main")
    klass.settle(lambda: page.click("#undo"))
    assert klass.record.ladders == ()


def test_students_read_the_task_and_no_step(klass: Class) -> None:
    """Where tasks differ the screen names none, and the cards have each; neither has a step or rating."""
    give(klass)
    tap_step(klass, "Group 1, round 1: harder")
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
    assert "of 6:" not in sent and "nothing seen yet" not in sent


def test_the_teacher_chooses_a_harder_task_for_a_group(klass: Class) -> None:
    """One tap; the step that was suggested stands beside it, the card has the new task, and a tap takes it back."""
    give(klass)
    key = klass.record.plan.of_lesson(1)[0].key
    suggested = tasks_of_round(klass.record, key)["1"]
    tap_step(klass, "Group 1, round 1: harder")
    chosen = tasks_of_round(klass.record, key)["1"]
    assert (chosen.step, chosen.suggested) == (suggested.step + 1, suggested.step)
    assert f"your choice; step {suggested.step} is suggested" in klass.page.inner_text(".tasks >> nth=0")
    assert chosen.task in klass.open("/tasks/cards?lesson=1").locator(".task-card").first.inner_text()
    klass.open("/tasks?lesson=1")
    tap_step(klass, "Group 1, round 1: as suggested")
    assert tasks_of_round(klass.record, key)["1"] == suggested
    assert klass.page.get_by_role("button", name="as suggested").count() == 0


def tap_step(klass: Class, name: str) -> None:
    klass.settle(lambda: klass.page.get_by_role("button", name=name, exact=True).click())


def test_the_ends_of_a_ladder_are_ends(klass: Class) -> None:
    """Harder, until there is no harder task."""
    give(klass)
    steps = len(klass.record.ladders[0].steps)
    harder = klass.page.get_by_role("button", name="Group 1, round 1: harder", exact=True)
    while harder.is_enabled():
        klass.settle(harder.click)
    assert klass.record.chosen_steps[-1].step == steps


def test_a_tap_on_a_task_of_other_people_is_refused(klass: Class) -> None:
    """The groups were made anew while the page was open: the task is not given to those who are in group 1 now."""
    give(klass)
    klass.page.evaluate("() => { quiet.busy = 1; }")
    round_ = klass.record.plan.of_lesson(1)[0]
    one, other = (group.members[0] for group in round_.groups[:2])
    with klass.file.change("swap") as edit:
        edit.record = swapped(edit.record, 1, one, other, 1).record
    klass.page.get_by_role("button", name="Group 1, round 1: harder", exact=True).click()
    klass.page.wait_for_selector("#notice:not([hidden])")
    assert "shows what is no longer so" in klass.page.inner_text("#notice")
    assert klass.record.chosen_steps == ()


def test_own_tasks_come_from_a_table(klass: Class, tmp_path: Path) -> None:
    """The table is taken, one cell is put in other words, and read again."""
    give(klass)
    page = klass.open("/tasks")
    page.click("text=Your own tasks")
    with page.expect_download() as taken:
        page.click("#tasks-file")
    text = Path(taken.value.path()).read_text(encoding="utf-8-sig")
    first = klass.record.ladders[0].steps[0].task
    assert first in text
    changed = tmp_path / "mine.csv"
    changed.write_text(text.replace(first, "Roll the ball to your partner and back."), encoding="utf-8")
    page.set_input_files("#file", changed)
    klass.settle(lambda: page.locator("button", has_text="Read it").click())
    assert klass.record.ladders[0].steps[0].task == "Roll the ball to your partner and back."


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
    assert "0.5 to 0.95" in page.inner_text("#notice")
    assert klass.record.settings.success == 0.8
