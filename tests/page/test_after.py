"""After a lesson, in a real browser: a note, how the task was for each group, and what is put right later."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from grouper.model.ledger import COACH, ledger_of
from grouper.model.noted import TaskResult
from grouper.planning.attend import absent
from grouper.planning.noting import note_of
from grouper.planning.plan import plan_unit
from grouper.planning.ran import next_unit

from .conftest import Class, load

LESSON = 1


def test_a_note_is_kept_changed_and_taken_away(klass: Class) -> None:
    """What is typed is what the file holds, line breaks included; an empty note is none."""
    page = klass.open(f"/lesson/{LESSON}/after")
    page.fill("#note", "Cones were too near.\nBring twelve more.")
    klass.settle(lambda: page.click("#save-note"))
    assert note_of(klass.record, LESSON) == "Cones were too near.\nBring twelve more."
    page.reload()
    assert page.input_value("#note") == "Cones were too near.\nBring twelve more."
    page.fill("#note", " ")
    klass.settle(lambda: page.click("#save-note"))
    assert klass.record.notes == ()


def test_one_tap_says_how_the_task_was(klass: Class) -> None:
    """'too hard' for the second group; another word replaces it; the same word again takes it away."""
    page = klass.open(f"/lesson/{LESSON}/after")
    group = klass.record.plan.of_lesson(LESSON)[0].groups[1].label
    klass.settle(lambda: page.click("#f-1-2-hard"))
    (result,) = klass.record.results
    assert (result.label, result.felt, result.key) == (group, "hard", klass.record.unit.keys[0])
    assert page.get_attribute("#f-1-2-hard", "aria-pressed") == "true"
    klass.settle(lambda: page.click("#f-1-2-right"))
    assert [result.felt for result in klass.record.results] == ["right"]
    klass.settle(lambda: page.click("#f-1-2-right"))
    assert klass.record.results == ()


def test_successes_are_counted_and_the_word_stays(klass: Class) -> None:
    """7 of 10 beside 'too easy'; taken away they leave the word, and half of them is refused."""
    page = klass.open(f"/lesson/{LESSON}/after")
    klass.settle(lambda: page.click("#f-1-1-easy"))
    page.click("#count-1 > summary")
    page.fill("#h-1-1", "7")
    page.click("#save-count-1")
    page.wait_for_selector("#notice:not([hidden])")
    assert "go together" in page.inner_text("#notice-text") and page.input_value("#h-1-1") == "7"
    page.fill("#t-1-1", "10")
    klass.settle(lambda: page.click("#save-count-1"))
    assert [(r.felt, r.hits, r.tries) for r in klass.record.results] == [("easy", 7, 10)]
    page.fill("#h-1-1", "")
    page.fill("#t-1-1", "")
    klass.settle(lambda: page.click("#save-count-1"))
    (result,) = klass.record.results
    assert result == TaskResult(klass.record.unit.keys[0], result.label, "easy")


def test_a_tap_does_not_lose_a_note_half_written_nor_close_a_fold(klass: Class) -> None:
    """The page below is swapped, and what was typed elsewhere on it stays as it was."""
    page = klass.open(f"/lesson/{LESSON}/after")
    page.fill("#note", "Half a sen")
    page.click("#went-2 > summary")
    klass.settle(lambda: page.click("#f-2-1-easy"))
    assert page.input_value("#note") == "Half a sen" and klass.record.notes == ()
    assert page.locator("#f-2-1-easy").is_visible()
    klass.settle(lambda: page.click("#save-note"))
    assert note_of(klass.record, LESSON) == "Half a sen"


def test_a_taught_lesson_is_put_right_later(klass: Class) -> None:
    """Days after, two are moved to where they really were: the lesson stays taught, the ledger follows, undo works."""
    page = klass.open(f"/lesson/{LESSON}/after")
    klass.settle(lambda: page.click("#as-planned"))
    before = klass.record
    first = before.plan.of_lesson(LESSON)[0]
    one, partner, other = first.groups[0].members[0], first.groups[0].members[1], first.groups[1].members[0]
    page.click("#differed summary")
    page.select_option(f"select[name='ran-1-{one}']", first.groups[1].label)
    page.select_option(f"select[name='ran-1-{other}']", first.groups[0].label)
    klass.settle(lambda: page.click("#differed button"))
    after = klass.record
    assert after.taught == {LESSON}
    was, now = (ledger_of(record.plan.of_lesson(LESSON)[:1]) for record in (before, after))
    assert was.met(one, partner) == 1 and now.met(one, partner) == 0 and now.met(other, partner) == 1
    klass.settle(lambda: page.click("#undo"))
    assert klass.record == before


def test_two_windows_put_right_what_each_saw(klass: Class) -> None:
    """A table that was loaded before another's correction does not turn that one back."""
    page = klass.open(f"/lesson/{LESSON}/after")
    klass.settle(lambda: page.click("#as-planned"))
    rounds = klass.record.plan.of_lesson(LESSON)
    other = page.context.new_page()
    other.goto(page.url)
    moves = [(page, 1, rounds[0].groups[0].members[0]), (other, 2, rounds[1].groups[0].members[0])]
    for window, place, student in moves:
        window.click("#differed summary")
        window.evaluate("() => { quiet.busy = 1; }")
        window.select_option(f"select[name='ran-{place}-{student}']", "")
    for window, _, _ in moves:
        load(window, partial(window.click, "#differed button"))
    after = klass.record.plan.of_lesson(LESSON)
    assert all(after[place - 1].group_of(student) is None for _, place, student in moves)


def test_the_door_tells_nothing_of_it(klass: Class) -> None:
    """Students may look at the door: neither note, word nor numbers are on it, nor in the words of the last change."""
    page = klass.open(f"/lesson/{LESSON}/after")
    page.fill("#note", "sentinel note")
    klass.settle(lambda: page.click("#save-note"))
    klass.settle(lambda: page.click("#f-1-1-hard"))
    assert "went for group" in page.inner_text("#last"), "on the teacher's own page it stands"
    text = klass.open(f"/lesson/{LESSON}").content()
    assert "sentinel" not in text and "hard" not in text and "went for" not in text


def test_a_tap_never_lands_on_other_children(klass: Class) -> None:
    """While the page was open the lesson got other groups: the tap is refused, and a fresh page takes it."""
    page = klass.open(f"/lesson/{LESSON}/after")
    page.evaluate("() => { quiet.busy = 1; }")  # the page does not look for news by itself
    with klass.file.change("plan") as edit:
        edit.record = plan_unit(edit.record, seed=31, effort="quick").record
    page.click("#f-1-1-hard")
    page.wait_for_selector("#notice:not([hidden])")
    assert "out of date" in page.inner_text("#notice-text")
    assert klass.record.results == ()
    klass.open(f"/lesson/{LESSON}/after")
    klass.settle(lambda: page.click("#f-1-1-hard"))
    assert len(klass.record.results) == 1


def test_a_note_never_lands_in_the_next_unit(klass: Class) -> None:
    """The unit ended meanwhile: the note is refused. After mere changes of groups it is saved all the same."""
    page = klass.open(f"/lesson/{LESSON}/after")
    page.fill("#note", "went well")
    with klass.file.change("absent") as edit:
        edit.record = absent(edit.record, LESSON, ("0002",)).record
    klass.settle(lambda: page.click("#save-note"))
    assert note_of(klass.record, LESSON) == "went well"
    page.evaluate("() => { quiet.busy = 1; }")
    page.fill("#note", "late")
    with klass.file.change("next") as edit:
        record = replace(edit.record, taught=frozenset({LESSON}))
        edit.record = next_unit(record, record.unit).record
    page.click("#save-note")
    page.wait_for_selector("#notice:not([hidden])")
    assert klass.record.notes == ()


def test_who_coached_is_put_right_with_a_tap(klass: Class) -> None:
    """In a coaching round the other one coached: the turns of coaches follow, nobody changes the group."""
    page = klass.open("/lesson/3/after")
    round_ = klass.record.plan.of_lesson(3)[0]
    group = round_.groups[0]
    coach, learner = sorted(group.members, key=lambda member: group.role(member) != COACH)[:2]
    before = ledger_of(klass.record.plan.rounds)
    page.click("#coached-1 summary")
    klass.settle(lambda: page.click(f"#coached-1 button[value='{learner}']"))
    after = ledger_of(klass.record.plan.rounds)
    assert after.meetings == before.meetings
    assert after.coach_turns[learner] == before.coach_turns.get(learner, 0) + 1
    assert after.coach_turns.get(coach, 0) == before.coach_turns[coach] - 1
    assert page.get_attribute(f"#coached-1 button[value='{learner}']", "aria-pressed") == "true"
    assert page.locator("#coached-1[open]").count() == 1, "a fold stays open after a tap in it"
    assert klass.open(f"/lesson/{LESSON}/after").locator("#coached").count() == 0
