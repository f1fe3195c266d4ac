"""While a lesson runs and after: what the screen has shown stays, how far it got is filled in, and undo asks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from html import unescape
from pathlib import Path
from re import search
from time import sleep

import pytest

from grouper.model.plan import Round
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, Lesson, RoundKey, Unit
from grouper.planning.adjust import pinned
from grouper.planning.plan import plan_unit
from tests.sheets.examples import every_aim

from .clients import NAME, House, Visitor
from .conftest import Class, load, screen_of

LESSON = f"/c/{NAME}/lesson/1"
UNIT = f"/c/{NAME}/unit"
PAIRS = Activity("Passing", size=2, rounds=4)


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    """Two lessons of four rounds in pairs, planned."""
    record = ClassRecord(every_aim().roster, Unit((Lesson(1, (PAIRS,)), Lesson(2, (PAIRS,)))))
    yield House(tmp_path, plan_unit(record, effort="quick").record)


def record(house: House) -> ClassRecord:
    return house.file.read().record


def rounds(house: House) -> tuple[Round, ...]:
    return record(house).plan.of_lesson(1)


def show(screen: Visitor, place: int, window: str = "one") -> None:
    """The screen asks for the groups and says which round has begun."""
    assert screen.get(f"/screen/{NAME}/1/rounds?round={place}&window={window}").status_code == 200


def version(house: House) -> str:
    return house.file.read().version


def shown(text: str, name: str) -> str:
    """What a form says that its page showed."""
    found = search(rf'name="{name}" value="([^"]*)"', text)
    assert found
    return unescape(found[1])


def somebody(house: House) -> str:
    return rounds(house)[2].groups[0].members[0]


def tap(house: House, **more: object) -> None:
    form = house.form(student=somebody(house), tap="away", since="1", usual_since="1", **more)
    assert house.teacher().post(f"{LESSON}/tap", form).status_code == 303


def test_what_the_screen_shows_is_kept_and_outlives_the_page(house: House) -> None:
    """No change is logged, the stamp stays; a tap from an old page counts from the next round on."""
    was, log = version(house), house.file.history()
    show(house.student(), 2)
    assert record(house).begun == {1: 2} and (version(house), house.file.history()) == (was, log)
    house.start_page()
    before = rounds(house)
    tap(house)
    assert rounds(house)[:2] == before[:2] and rounds(house)[2] != before[2]
    assert "Rounds 1 and 2 have begun" in house.teacher().get(LESSON).text


def test_a_screen_turned_back_has_not_begun_the_round(house: House) -> None:
    """Turned on by mistake and back in one window; another window at the start takes nothing back."""
    screen = house.student()
    show(screen, 2)
    show(screen, 3)
    show(screen, 2)
    assert record(house).begun == {1: 2}
    show(screen, 0, window="two")
    assert record(house).begun == {1: 2}
    show(screen, 0)
    assert record(house).begun == {}


def test_the_screen_writes_only_what_is_new(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    """It asks every few seconds; the file is written when a round begins."""
    written = []
    begin = type(house.file).begin
    monkeypatch.setattr(type(house.file), "begin", lambda self, *at: (written.append(at), begin(self, *at))[1])
    screen = house.student()
    for place in (0, 0, 1, 1, 1, 2, 2):
        show(screen, place)
    assert written == [(1, 1), (1, 2)]


def test_a_class_file_put_back_from_a_copy_is_told_again_what_has_begun(house: House) -> None:
    """The page still runs: the screen, which goes on, says where it is, and the door has the bell."""
    copy = house.file.path.read_bytes()
    screen = house.student()
    show(screen, 1)
    assert record(house).begun == {1: 1}
    house.file.path.write_bytes(copy)
    show(screen, 1)
    assert record(house).begun == {1: 1} and 'id="bell-rang"' in house.teacher().get(LESSON).text


def test_a_screen_that_was_only_tried_is_said_so_at_the_door(house: House) -> None:
    """One tap, and all rounds may change again."""
    show(house.student(), 3)
    teacher = house.teacher()
    assert 'id="not-begun"' in teacher.get(LESSON).text
    teacher.post(f"{LESSON}/not-begun", house.form())
    assert record(house).begun == {} and 'id="not-begun"' not in teacher.get(LESSON).text
    before = rounds(house)
    tap(house)
    assert rounds(house)[0] != before[0]


def test_a_proposal_taken_while_the_lesson_runs_leaves_what_has_begun(house: House) -> None:
    """It was made before the first round began, and is taken in the third."""
    teacher, before = house.teacher(), rounds(house)
    teacher.post(f"{UNIT}/plan", house.form(effort="quick", seed="77"))
    while house.desk.proposals.run_of(NAME).state == "running":  # type: ignore[union-attr]
        sleep(0.05)
    show(house.student(), 3)
    assert teacher.post(f"{UNIT}/plan/take", house.form(number="1")).status_code == 303
    assert [r.groups for r in rounds(house)[:3]] == [r.groups for r in before[:3]]
    assert rounds(house)[3].groups != before[3].groups and not any(r.pinned for r in rounds(house))


def test_how_far_the_lesson_got_is_filled_in_from_the_screen(house: House) -> None:
    """The third of four rounds ran last: closed with what is filled in, the fourth was not held."""
    show(house.student(), 3)
    teacher = house.teacher()
    text = teacher.get(f"{LESSON}/after").text
    assert '<option value="3" selected>3</option>' in text
    form = house.form(shown=shown(text, "shown"), last=4, got_to=3)
    teacher.post(f"{LESSON}/after/as-planned", form)
    assert record(house).taught == {1} and len(rounds(house)) == 3
    text = teacher.get(f"{LESSON}/after").text
    assert "Round 4 was not held: Passing (1 round)" in text and "Last change: </span><bdi" in text
    teacher.post(f"{LESSON}/after/rest", house.form(shown=shown(text, "shown"), target=2))
    assert [a.name for a in record(house).lesson(2).activities] == ["Passing, from lesson 1", "Passing"]
    text = teacher.get(f"{LESSON}/after").text
    whole = search(r'name="shown" value="([^"]*)"><input type="hidden" name="again"', text)
    assert whole and "now in lesson 2" in text
    teacher.post(f"{LESSON}/after/as-planned", house.form(shown=whole[1], last=4, got_to=4, again="yes"))
    assert len(rounds(house)) == 4


def test_a_lesson_without_a_screen_was_held_to_its_end(house: House) -> None:
    """Nothing is filled in but the last round, and closed like this nothing is left out."""
    teacher = house.teacher()
    text = teacher.get(f"{LESSON}/after").text
    assert '<option value="4" selected>4, the last</option>' in text
    teacher.post(f"{LESSON}/after/as-planned", house.form(shown=shown(text, "shown"), last=4, got_to=4))
    assert len(rounds(house)) == 4 and not record(house).unheld


def test_what_a_changed_lesson_would_lose_is_said_before(house: House) -> None:
    """A round less takes a pin: nothing is changed until the teacher says yes; another name asks nothing."""
    with house.file.change("pin") as edit:
        edit.record = pinned(edit.record, 2, 4)
    teacher, fields = house.teacher(), {"kind-0": "size", "people-0": "2", "aim-0": "fresh"}
    named = house.form(**fields, **{"name-0": "Catching", "rounds-0": "4"})
    assert teacher.post(f"{UNIT}/lesson/2", named).status_code == 303
    fewer = house.form(**fields, **{"name-0": "Catching", "rounds-0": "3"})
    asked = teacher.post(f"{UNIT}/lesson/2", fewer)
    assert asked.status_code == 409 and "The pinned groups of lesson 2, round 4 are gone." in asked.text
    assert len(record(house).plan.of_lesson(2)) == 4 and 'id="sure"' in asked.text
    assert teacher.post(f"{UNIT}/lesson/2", {**fewer, "sure": "yes"}).status_code == 303
    assert len(record(house).plan.of_lesson(2)) == 3


@pytest.mark.parametrize("at_door", [True, False])
def test_at_the_door_undo_takes_back_door_changes_only(house: House, at_door: bool) -> None:
    """A tap goes at once; a change made elsewhere is asked for first, without its words, and goes with a yes."""
    if at_door:
        tap(house)
    else:
        with house.file.change("a secret word") as edit:
            edit.record = replace(edit.record, seed=99)
    form = house.form(version=version(house), door="1", next=LESSON)
    answer = house.teacher().post(f"/c/{NAME}/undo", form)
    assert answer.status_code == (303 if at_door else 409) and "secret" not in answer.text
    if not at_door:
        assert record(house).seed == 99
        assert house.teacher().post(f"/c/{NAME}/undo", {**form, "sure": "yes"}).status_code == 303
    assert record(house).absences == () and record(house).seed != 99


def test_what_was_taken_back_is_done_again(house: House) -> None:
    """The button names it, and goes when something new is done."""
    teacher = house.teacher()
    tap(house)
    away = record(house)
    teacher.post(f"/c/{NAME}/undo", house.form(version=version(house), door="1", next=LESSON))
    text = teacher.get(LESSON).text
    assert 'id="redo"' in text and " is away" in text[text.index('id="redo"') :][:200]
    teacher.post(f"/c/{NAME}/redo", house.form(version=version(house), door="1", next=LESSON))
    assert record(house) == away and 'id="redo"' not in teacher.get(LESSON).text


def test_undo_asks_before_it_changes_what_has_begun(house: House) -> None:
    """A tap before the lesson mended the first round, which runs by now."""
    tap(house)
    show(house.student(), 1)
    form = house.form(version=version(house), door="1", next=LESSON)
    asked = house.teacher().post(f"/c/{NAME}/undo", form)
    assert asked.status_code == 409 and "Round 1 of lesson 1, which has begun, would change." in asked.text
    assert record(house).absences


@pytest.mark.parametrize(("since", "said", "missed"), [("3", "comes in round 3", 2), ("1", "late", 4)])
def test_late_says_from_which_round_they_are_there(house: House, since: str, said: str, missed: int) -> None:
    """With the round in which they come they are in its groups; without one they are away until they come."""
    student, teacher = somebody(house), house.teacher()
    teacher.post(f"{LESSON}/tap", house.form(student=student, tap="late", since=since, usual_since="1"))
    assert [r.group_of(student) is None for r in rounds(house)] == [True] * missed + [False] * (4 - missed)
    text = teacher.get(LESSON).text
    assert said in text and " 1 late" in text
    teacher.post(f"{LESSON}/tap", house.form(back=student, tap="late", since="1", usual_since="1"))
    assert record(house).absences == ()


def test_in_a_browser_the_bell_rings_in_the_second_round(klass: Class) -> None:
    """The screen is turned to round 2; after the lesson that is filled in, one tap closes it, undo and redo work."""
    screen = screen_of(klass, 1)
    whole = klass.record.plan.of_lesson(1)
    with screen.expect_response(lambda answer: "rounds?round=2" in answer.url):
        screen.keyboard.press("ArrowRight")
    page = klass.open("/lesson/1/after")
    assert page.input_value("#got-to") == "2"
    klass.settle(lambda: page.click("#as-planned"))
    assert "were not held" in page.inner_text("#not-held") and len(klass.record.plan.of_lesson(1)) == 2
    klass.settle(lambda: page.click("#undo"))
    assert klass.record.plan.of_lesson(1) == whole
    klass.settle(lambda: page.click("#redo"))
    assert klass.record.plan.of_lesson(1) == whole[:2] and not page.locator("#redo").count()


def test_in_a_browser_a_lesson_asks_what_may_be_lost(klass: Class) -> None:
    """A pinned lesson loses its first activity: the page asks, 'Leave it' changes nothing, a yes does it."""
    with klass.file.change("pin") as edit:
        edit.record = pinned(edit.record, 3, None)
    page = klass.open("/unit/lesson/3")
    page.fill("#people-0", "5")
    page.click("#save")
    page.wait_for_selector("#ask")
    assert "The pinned groups of lesson 3, round 1 are gone." in page.inner_text("#ask")
    assert all(round_.pinned for round_ in klass.record.plan.of_lesson(3))
    load(page, lambda: page.click("#sure"))
    assert klass.record.lesson(3).activities[0].size == 5 and RoundKey(3, 1, 1) not in klass.record.plan.by_key


def test_bell_rang_in_one_tap(house: House) -> None:
    """The lesson ends after the round that runs; what was not held can go elsewhere, and one undo takes all back."""
    teacher = house.teacher()
    assert "bell-rang" not in teacher.get(LESSON).text
    assert teacher.post(f"{LESSON}/bell", house.form(shown="")).status_code == 400
    show(house.student(), 2)
    door = teacher.get(LESSON).text
    before = record(house)
    assert teacher.post(f"{LESSON}/bell", house.form(shown="another plan")).status_code == 409
    rung = teacher.post(f"{LESSON}/bell", house.form(shown=shown(door, "shown")))
    assert rung.status_code == 303 and rung.headers["Location"].endswith("/lesson/1/after")
    assert record(house).taught == {1} and len(rounds(house)) == 2
    assert "2 rounds" in teacher.get(f"{LESSON}/after").text
    teacher.post(f"/c/{NAME}/undo", house.form(version=version(house)))
    assert record(house) == before
