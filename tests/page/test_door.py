"""At the door and in the middle of a lesson, in a real browser on a real server."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from statistics import median

from playwright.sync_api import Page

from grouper.files.store import ClassFile
from grouper.model.noted import Absence, TaskResult
from grouper.model.plan import Plan
from grouper.model.record import ClassRecord
from grouper.planning.noting import seen

from .conftest import Class, load, screen_of
from .serving import run

LESSON = 2
SOON_ENOUGH = 300
"""Milliseconds from a tap to the mended groups."""

SHOWN_AFTER_TAP = """
() => new Promise((done) => {
  const start = performance.now();
  const was = document.getElementById("bar").dataset.version;
  const look = () => {
    if (document.getElementById("bar").dataset.version !== was) done(performance.now() - start);
    else requestAnimationFrame(look);
  };
  document.querySelector(".name:not(.out):not(:disabled)").click();
  look();
})
"""


def cards(klass: Class) -> dict[str, tuple[str, bool]]:
    """Each group at the door: its members as one text, and whether it is marked."""
    found = klass.page.eval_on_selector_all(
        ".turn",
        """rounds => rounds.flatMap((round, place) => [...round.querySelectorAll('.group')].map(group => [
          `${place + 1}/${group.querySelector('.label').textContent}`,
          [...group.querySelectorAll('.member bdi')].map(name => name.textContent).sort().join(' '),
          group.classList.contains('changed')]))""",
    )
    return {place: (members, marked) for place, members, marked in found}


def plan_of(record: ClassRecord, lesson: int) -> Plan:
    return Plan(record.plan.of_lesson(lesson))


def test_the_lesson_of_today_is_what_opens(klass: Class) -> None:
    """With a lesson dated today the class opens at its door; the words say so."""
    from dataclasses import replace

    with ClassFile(klass.file.path).change("dates") as edit:
        lessons = list(edit.record.unit.lessons)
        lessons[3] = replace(lessons[3], date=date.today().isoformat())
        edit.record = replace(edit.record, unit=replace(edit.record.unit, lessons=tuple(lessons)))
    page = klass.open("/")
    assert page.inner_text("h1").startswith("Lesson 4") and page.inner_text(".chip") == "today"


def test_one_tap_takes_a_student_out_and_the_groups_are_those_of_the_file(klass: Class) -> None:
    """After a tap nobody away is in a group, and the page shows just what the class file holds."""
    klass.open(f"/lesson/{LESSON}")
    klass.tap("Bao")
    record = klass.record
    assert [(a.student, a.state) for a in record.absences] == [("0002", "away")]
    assert all("0002" not in round_.students for round_ in record.plan.of_lesson(LESSON))
    shown = cards(klass)
    assert not any("Bao" in members.split() for members, _ in shown.values())
    names = {s.id: s.name.split()[0] if s.id != "0023" else s.name for s in record.roster.students}
    for round_ in record.plan.of_lesson(LESSON):
        place = record.place_in_lesson(round_.key)
        for group in round_.groups:
            expected = sorted(names[s] for s in group.members)
            assert sorted(shown[f"{place}/{group.label}"][0].replace("王 小岚", "王小岚").split()) == [
                name.replace(" ", "") for name in expected
            ]


def test_only_what_changed_is_marked(klass: Class) -> None:
    """A group carries the mark exactly if its members are other than before the tap."""
    klass.open(f"/lesson/{LESSON}")
    before = cards(klass)
    klass.tap("Bao")
    after = cards(klass)
    wrong = [
        place
        for place, (members, marked) in after.items()
        if marked != (before.get(place, ("", False))[0] != members)
    ]
    assert wrong == [] and any(marked for _, marked in after.values())


def test_from_tap_to_shown_under_300_ms(klass: Class) -> None:
    """The median of five taps, measured in the page from the click to the groups (the machine's noise left out)."""
    klass.open(f"/lesson/{LESSON}")
    klass.tap("Bao")
    times = [klass.page.evaluate(SHOWN_AFTER_TAP) for _ in range(5)]
    assert median(times) < SOON_ENOUGH, times


def test_undo_brings_back_what_was(klass: Class) -> None:
    """Two taps and two undos leave the plan as it was."""
    before = klass.record
    klass.open(f"/lesson/{LESSON}")
    klass.tap("Bao")
    klass.tap("Fenna")
    klass.settle(lambda: klass.page.click("#undo"))
    klass.settle(lambda: klass.page.click("#undo"))
    assert klass.record == before
    assert not klass.page.locator("#undo").count(), "the making of the file cannot be undone"


def test_a_second_tap_brings_a_student_back(klass: Class) -> None:
    """Somebody who comes after all: the planned groups are there again."""
    before = klass.record
    klass.open(f"/lesson/{LESSON}")
    klass.tap("Bao")
    klass.tap("Bao")
    assert klass.record.plan == before.plan and klass.record.absences == ()


def test_late_and_aside_are_told_apart_in_words(klass: Class) -> None:
    """Who is late is away until they come; who is aside has a role, which the screen may show."""
    page = klass.open(f"/lesson/{LESSON}")
    page.locator("#tap-late").check(force=True)
    klass.tap("Fenna")
    page.locator("#tap-aside").check(force=True)
    page.select_option("#role", "timekeeper")
    klass.tap("Vera")
    assert page.locator(".name", has_text="Fenna").inner_text().split() == ["Fenna", "late"]
    assert page.locator(".name", has_text="Vera").inner_text().split() == ["Vera", "sitting", "out", "as", "timekeeper"]
    assert {(a.state, a.role) for a in klass.record.absences} == {("away", "late"), ("aside", "timekeeper")}
    assert page.inner_text("#head-count") == "21 take part, 1 late, 1 sits out"


def test_in_the_middle_of_a_lesson_only_rounds_to_come_change(klass: Class) -> None:
    """While the screen shows round 2, one tap at the door counts from round 3 on."""
    screen = screen_of(klass, LESSON)
    with screen.expect_response(lambda answer: "rounds?round=2" in answer.url):
        screen.keyboard.press("ArrowRight")
    before = plan_of(klass.record, LESSON)
    page = klass.open(f"/lesson/{LESSON}")
    assert page.locator("#since-3").is_checked()
    klass.tap("Bao")
    after = plan_of(klass.record, LESSON)
    assert after.rounds[:2] == before.rounds[:2]
    assert "0002" in after.rounds[1].students and "0002" not in after.rounds[2].students


def test_two_who_quarrel_are_parted_in_three_taps(klass: Class) -> None:
    """'Two apart' and two names: they share no group from then on in any lesson, all requests hold, and in this
    lesson just two people move in a round that had them together."""
    record = klass.record
    first = record.plan.of_lesson(LESSON)[0].groups[0].members[:2]
    names = [record.roster.name(student).split()[0] for student in first]
    page = klass.open(f"/lesson/{LESSON}")
    page.locator("#tap-apart").check(force=True)
    page.locator(".name", has_text=names[0]).click()
    page.wait_for_selector(".name.chosen")
    klass.tap(names[1])
    after = klass.record
    assert after.requests[-1].pair == tuple(sorted(first)) and after.requests[-1].first_lesson == LESSON
    for old, new in zip(record.plan.rounds, after.plan.rounds, strict=True):
        group = new.group_of(first[0])
        assert old.key.lesson < LESSON or group is None or first[1] not in group.members
        moved = [s for s in old.students if (a := old.group_of(s)) and (b := new.group_of(s)) and a.label != b.label]
        assert old.key.lesson != LESSON or len(moved) in (0, 2)
    from grouper.planning.fairness import fairness_of

    assert fairness_of(after).breaches == ()


def test_with_a_lesson_added_that_has_no_groups_yet_the_door_works_as_ever(klass: Class) -> None:
    """Away, back, two apart, a closed court and a guest in a planned lesson, while another waits for a plan."""
    page = klass.open("/unit")
    page.click("#add-lesson")
    page.click("#save")
    page.wait_for_url("**/unit")
    page = klass.open(f"/lesson/{LESSON}")
    klass.tap("Bao")
    klass.tap("Bao")
    page.locator("#tap-apart").check(force=True)
    page.locator(".name", has_text="Bao").click()
    page.wait_for_selector(".name.chosen")
    klass.tap("Davud")
    page.locator("details.small summary").click()
    page.select_option("#activity", "Lighthouse game")
    page.fill("#groups", "3")
    klass.settle(lambda: page.press("#groups", "Enter"))
    page.fill("#guest", "Zuri Visitor")
    klass.settle(lambda: page.press("#guest", "Enter"))
    record = klass.record
    assert len(record.unit.lessons) == 9 and len(record.plan.of_lesson(LESSON)[-1].groups) == 3
    assert all(len(round_.students) == 24 for round_ in record.plan.of_lesson(LESSON))


def test_a_guest_takes_part_in_this_lesson_alone(klass: Class) -> None:
    """The guest is in every round of the lesson and in no other."""
    page = klass.open(f"/lesson/{LESSON}")
    page.fill("#guest", "Zuri Visitor")
    klass.settle(lambda: page.press("#guest", "Enter"))
    rounds = klass.record.plan.rounds
    guest = next(s.id for s in klass.record.roster.students if s.name == "Zuri Visitor")
    assert {r.key.lesson for r in rounds if guest in r.students} == {LESSON}
    assert all(guest in r.students for r in klass.record.plan.of_lesson(LESSON))


def test_a_closed_court_makes_fewer_teams(klass: Class) -> None:
    """The game of the lesson goes from four teams to three, everybody in one."""
    page = klass.open(f"/lesson/{LESSON}")
    page.locator("details.small summary").click()
    page.select_option("#activity", "Lighthouse game")
    page.fill("#groups", "3")
    klass.settle(lambda: page.press("#groups", "Enter"))
    game = klass.record.plan.of_lesson(LESSON)[-1]
    assert len(game.groups) == 3 and len(game.students) == 23


def test_fewer_larger_or_more_smaller_teams_at_a_tap(klass: Class) -> None:
    """The game of the lesson goes from four teams to three and back, and then into sides that differ."""
    page = klass.open(f"/lesson/{LESSON}")
    for tapped, sizes in (("#fewer", (8, 8, 7)), ("#more", (6, 6, 6, 5))):
        page.locator("details.small summary").click()
        page.select_option("#activity", "Lighthouse game")
        klass.settle(lambda tapped=tapped: page.click(tapped))
        assert klass.record.plan.of_lesson(LESSON)[-1].sizes == sizes
    page.locator("details.small summary").click()
    page.select_option("#activity", "Lighthouse game")
    page.fill("#sides", "5+3")
    klass.settle(lambda: page.press("#sides", "Enter"))
    assert klass.record.plan.of_lesson(LESSON)[-1].sizes == (5, 5, 4, 3, 3, 3)


def test_two_tabs_and_a_command_lose_nothing(klass: Class) -> None:
    """A change in one tab and one by a command show in the other tab by themselves; all three are in the file."""
    klass.open(f"/lesson/{LESSON}")
    other = klass.page.context.new_page()
    other.goto(klass.at(f"/lesson/{LESSON}"))
    klass.tap("Bao")
    assert run(klass.served.folder, "absent", klass.name, "--lesson", str(LESSON), "Fenna de Wiersma").returncode == 0
    other.locator(".name.away", has_text="Fenna").wait_for()
    was = other.get_attribute("#bar", "data-version")
    other.locator(".name", has_text="Uli").click()
    other.wait_for_function("was => document.getElementById('bar').dataset.version !== was", arg=was)
    klass.page.locator(".name.away", has_text="Uli").wait_for()
    assert {a.student for a in klass.record.absences} == {"0002", "0006", "0021"}


def test_undo_never_takes_back_what_somebody_else_did(klass: Class) -> None:
    """With a newer change in the file an undo from an old page does nothing and says so."""
    page = klass.open(f"/lesson/{LESSON}")
    klass.tap("Bao")
    page.evaluate("() => { quiet.busy = 1; }")
    run(klass.served.folder, "absent", klass.name, "--lesson", str(LESSON), "Fenna de Wiersma")
    page.click("#undo")
    page.wait_for_selector("#notice:not([hidden])")
    assert "newer change" in page.inner_text("#notice-text")
    assert {a.student for a in klass.record.absences} == {"0002", "0006"}


def test_the_door_shows_no_rating_and_no_request(klass: Class) -> None:
    """The tablet is in everybody's sight."""
    text = klass.open(f"/lesson/{LESSON}").content()
    assert "throwing" not in text and "stamina" not in text
    assert "apart" not in text.replace("keep two apart", "").replace('value="apart"', "").replace("tap-apart", "")


def test_who_comes_late_is_there_from_the_next_round_and_may_go_again(klass: Class) -> None:
    """Late at the door, here while round 2 is on the screen, to the nurse from round 4: rounds that were played keep
    their groups, and the name says what was."""
    page = klass.open(f"/lesson/{LESSON}")
    page.locator("#tap-late").check(force=True)
    klass.tap("Fenna")
    screen = screen_of(klass, LESSON)
    with screen.expect_response(lambda answer: "rounds?round=2" in answer.url):
        screen.keyboard.press("ArrowRight")
    played = plan_of(klass.record, LESSON)
    page = klass.open(f"/lesson/{LESSON}")
    klass.tap("Fenna")
    came = plan_of(klass.record, LESSON)
    assert came.rounds[:2] == played.rounds[:2]
    assert ["0006" in round_.students for round_ in came.rounds] == [False, False, *[True] * (len(came.rounds) - 2)]
    assert page.locator(".name", has_text="Fenna").inner_text().split("\n")[-1].strip() == "late, here from round 3"
    assert page.inner_text("#last bdi") == "Fenna de Wiersma is here from round 3 on"
    page.locator("#since-4").check(force=True)
    klass.tap("Fenna")
    assert [(a.since, a.until) for a in klass.record.absences] == [(1, 2), (4, None)]
    assert ["0006" in r.students for r in plan_of(klass.record, LESSON).rounds[:4]] == [False, False, True, False]
    klass.open(f"/lesson/{LESSON}/after")
    assert "Fenna (late, here from round 3; away, from round 4)" in page.inner_text("#content")


def test_what_was_changed_elsewhere_is_not_told_at_the_door(klass: Class) -> None:
    """A rating was tapped, and a role was given by a command: the door says neither, and asks before taking it back."""
    page = klass.open("/class")
    row = page.locator(".rate li", has_text="Aaliyah")
    klass.settle(lambda: row.locator(".step", has_text="5").click())
    assert "Aaliyah Densby in throwing: 5" in page.inner_text("#last")
    page = klass.open("/lesson/1")
    assert page.inner_text("#last bdi") == "a change" and "throwing" not in page.content()
    with klass.file.change("aside: secret") as edit:
        edit.record = replace(edit.record, absences=(Absence(1, "0002", "aside", role="broken arm"),))
    page = klass.open("/lesson/1")
    assert "broken arm" not in page.content() and "secret" not in page.content()
    assert "sitting out as helper" in page.content()
    page.click("#undo")
    page.wait_for_selector("#ask")
    assert "secret" not in page.content() and klass.record.absences != ()
    load(page, lambda: page.click("#sure"))
    assert klass.record.absences == () and page.url.startswith(klass.at("/lesson/1"))


def test_who_is_to_be_apart_is_not_told_at_the_door(klass: Class) -> None:
    """Two are parted by two taps; the bar on top says that there was a change, and no name."""
    page = klass.open("/lesson/1?tap=apart")
    page.locator(".name", has_text="Bao").click()
    page.wait_for_selector(".name.chosen")
    klass.settle(lambda: page.locator(".name", has_text="Davud").click())
    assert page.inner_text("#last bdi") == "a change"
    assert any(request.pair == ("0002", "0004") for request in klass.record.requests)


def close_a_court(page: Page, groups: int) -> None:
    """The form is sent as without the script."""
    page.evaluate(
        """groups => { const form = document.querySelector("form[action$='/groups']");
           form.activity.value = 'Lighthouse game'; form.groups.value = groups; form.submit(); }""",
        str(groups),
    )


def test_a_tap_that_changes_nothing_tells_no_other_change(klass: Class) -> None:
    """A rating was tapped; then a court is 'closed' that leaves the groups as many as they are: still 'a change'."""
    page = klass.open("/class")
    klass.settle(lambda: page.locator(".rate li", has_text="Caoimhe").locator(".step", has_text="1").click())
    page = klass.open("/lesson/2")
    version = page.get_attribute("#bar", "data-version")
    load(page, lambda: close_a_court(page, 4))
    assert page.get_attribute("#bar", "data-version") == version
    assert page.inner_text("#last bdi") == "a change" and "throwing" not in page.content()


def test_a_refusal_at_the_door_names_no_request(klass: Class) -> None:
    """All in one group, though two are to be apart: it says that a request stands against it, and not whose."""
    page = klass.open("/lesson/2")
    load(page, lambda: close_a_court(page, 1))
    said = page.inner_text("body")
    assert "A request does not allow it" in said
    assert not any(student.name in said for student in klass.record.roster.students)
    run = klass.file.read().record.unit.lesson(2).activities[-1]
    assert run.groups == 4, "nothing was changed"


def test_what_a_tap_takes_along_is_told_once(klass: Class) -> None:
    """A word on a task was of a group that is another now: a notice says so, and goes when it was read."""
    with klass.file.change("felt") as edit:
        key = edit.record.plan.of_lesson(2)[3].key
        group = next(g for g in edit.record.plan.by_key[key].groups if "0002" in g.members)
        edit.record = seen(edit.record, TaskResult(key, group.label, "hard"))
    page = klass.open("/lesson/2")
    klass.tap("Bao")
    assert klass.record.results == ()
    page.wait_for_selector("#notice:not([hidden])")
    said = page.inner_text("#notice-text")
    assert f"How the task went for group {group.label} in lesson 2, round 4 is dropped" in said and "hard" not in said
    page.reload()
    assert not page.is_visible("#notice")


def test_undo_stays_on_the_page_it_was_pressed_on(klass: Class) -> None:
    """In a class whose name has a space in it, too; and a change at the door is told again after an undo."""
    assert " " in klass.name
    page = klass.open("/lesson/2")
    klass.tap("Bao")
    page = klass.open("/class?strand=throwing")
    klass.settle(lambda: page.locator(".rate li", has_text="Caoimhe").locator(".step", has_text="1").click())
    klass.settle(lambda: page.click("#undo"))
    assert "/class" in page.url and page.locator(".rate").count() == 1
    page = klass.open("/lesson/2")
    assert page.inner_text("#last bdi") == "Bao Trinh Lam is away"


def at_round(klass: Class, place: int, window: str = "a") -> None:
    """A screen of lesson 2 says that this round is the last that has begun."""
    screen = screen_of(klass, 2)
    screen.evaluate(
        "([place, window]) => fetch(`${location.pathname}/rounds?round=${place}&window=${window}`)", [place, window]
    )
    screen.close()


def test_a_guest_and_a_closed_court_change_nothing_that_was_played(klass: Class) -> None:
    """While round 3 runs: rounds 1 to 3 stay as they are, the guest is there from round 4 on."""
    before = klass.record.plan.of_lesson(2)
    at_round(klass, 3)
    page = klass.open("/lesson/2")
    page.fill("#guest", "Zoe Quarry")
    klass.settle(lambda: page.locator("form:has(#guest) button").click())
    after = klass.record.plan.of_lesson(2)
    assert [r.groups for r in after[:3]] == [r.groups for r in before[:3]]
    assert "guest-1" in after[3].students
    klass.settle(lambda: close_a_court(page, 3))
    assert len(klass.record.plan.of_lesson(2)[3].groups) == 3


def test_of_several_screens_the_furthest_counts(klass: Class) -> None:
    """A second window that was opened by mistake stands at round 1: a tap counts from the one after round 2."""
    at_round(klass, 2, "first")
    at_round(klass, 0, "second")
    klass.open("/lesson/2")
    klass.tap("Bao")
    assert [(a.student, a.since) for a in klass.record.absences] == [("0002", 3)]
