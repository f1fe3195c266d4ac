"""Before the unit, after a lesson, and the evidence, in a real browser on real class files."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from playwright.sync_api import BrowserContext, Page

from grouper.errors import InputError
from grouper.faces.page.reading import handed, pasted
from grouper.files.roster import read_roster
from grouper.files.store import ClassFile
from grouper.model.ledger import ledger_of
from grouper.planning.adjust import with_other_groups
from grouper.planning.fairness import fairness_of

from .conftest import Class, load, screen_of
from .serving import ROOT, Served, run

MESSY = ROOT / "rosters_demo" / "odd" / "roster.csv"


def start(server: Served, window: BrowserContext) -> Page:
    page = window.new_page()
    page.goto(server.address)
    page.goto(server.at("/new"))
    return page


def test_a_heading_is_no_student_and_an_address_no_name() -> None:
    """A class list as it is copied from a mail: the line above the names, addresses and numbers are nobody."""
    text = "Class 7b\nKim Lee kim.lee@school.example\n12345678 Jo Park\nKlas Berg\n"
    students = read_roster(handed("pasted.csv", pasted(text).data)).roster.students
    assert [student.name for student in students] == ["Kim Lee", "Jo Park", "Klas Berg"]


FOUR = ["Mia Berg", "Bo Ash", "Cy Elm", "Di Oak"]


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("Berg, Mia; Ash, Bo; Elm, Cy; Oak, Di", FOUR),
        ("Mia Berg, Bo Ash, Cy Elm, Di Oak", FOUR),
        ('"Berg, Mia" <mia@s.example>, Bo Ash <bo@s.example>, Cy Elm <cy@s.example>; Di Oak <di@s.example>', FOUR),
        ("Class 9c, Monday: hall 2\nTeacher: somebody\nMia Berg\nBo Ash\nCy Elm\nDi Oak\nTotal: 4\n", FOUR),
        ("• Mia Berg\n- Bo Ash\n\n* Cy Elm\n4. Di Oak\n", FOUR),
        ("Berg, Mia", ["Mia Berg"]),
        ("נועה לוי\nدانا خليل\nMia 🏀 Berg\n", ["נועה לוי", "دانا خليل", "Mia 🏀 Berg"]),
        ("\n".join(f"Given{n} Family{n}" for n in range(60)), [f"Given{n} Family{n}" for n in range(60)]),
    ],
    ids=["semicolons", "commas", "mail", "headings", "bullets", "one", "scripts", "sixty"],
)
def test_names_are_read_however_they_are_pasted(text: str, names: list[str]) -> None:
    """In one line or many, from the head of a mail, under headings and above a total, in any script."""
    students = read_roster(handed("pasted.csv", pasted(text).data)).roster.students
    assert [student.name for student in students] == names


def test_from_a_pasted_list_to_a_planned_unit(server: Served, window: BrowserContext) -> None:
    """Paste names, see two of one name, mend them, make the class, add a lesson, plan: all in the page."""
    page = start(server, window)
    page.fill("#title", "Pasted")
    page.fill("#list", "1. Anna Berg\n2. Ben Oak\nAnna Berg\n王小明\nO'Neil, Sam\n")
    page.click("#give")
    assert "2 students share a name" in page.inner_text("#twins")
    twins = page.locator("input.twin")
    assert twins.count() == 2
    twins.nth(1).fill("Anna Bergmann")
    page.click("#take")
    page.click("#add-lesson")
    page.click("#save")
    page.click("#plan")
    page.wait_for_selector("#glance-title", timeout=60_000)
    record = ClassFile(server.folder / "Pasted.class").read().record
    assert [s.name for s in record.roster.students] == ["Anna Berg", "Ben Oak", "Anna Bergmann", "王小明", "Sam O'Neil"]
    assert len(record.plan.rounds) == 4 and all(len(r.students) == 5 for r in record.plan.rounds)


def test_a_dropped_file_is_looked_at_and_a_column_put_right(server: Served, window: BrowserContext) -> None:
    """The demo roster is dropped on the page; 'stamina' is said to be left out, and only throwing is a strand."""
    page = start(server, window)
    page.fill("#title", "Dropped")
    page.evaluate(
        """text => { const data = new DataTransfer(); data.items.add(new File([text], 'roster.csv'));
           document.querySelector('[data-drop]').dispatchEvent(
             new DragEvent('drop', { bubbles: true, cancelable: true, dataTransfer: data })); }""",
        MESSY.read_text(encoding="utf-8"),
    )
    page.wait_for_selector("#summary")
    assert "23 students; ratings: throwing, stamina" in page.inner_text("#summary")
    page.locator(".columns li", has_text="stamina").locator("select").select_option("")
    page.click("#again")
    page.locator("#summary", has_text="ratings: throwing").wait_for()
    assert "stamina" not in page.inner_text("#summary")
    page.click("#take")
    page.wait_for_url("**/unit")
    record = ClassFile(server.folder / "Dropped.class").read().record
    assert record.roster.strands == ("throwing",) and len(record.roster.students) == 23


def test_ids_and_mended_names_outlive_a_change_of_columns(server: Served, window: BrowserContext) -> None:
    """The column of ids is shown as such; leaving out another one keeps the ids and the name that was mended."""
    page = start(server, window)
    page.fill("#title", "Lockers")
    page.fill("#list", "No.;Surname;First name;Locker\n17;Berg;Anna;4\n18;Oak;Ben;9\n19;王;小明;2\n20;Elm;Dee;1\n")
    page.click("#give")
    meanings = page.eval_on_selector_all(".columns select", "all => all.map(one => one.value)")
    assert meanings[:3] == ["student_id", "family", "given"]
    page.locator("input[name^='name-']").nth(2).fill("王小明")
    page.locator(".columns li", has_text="Locker").locator("select").select_option("")
    load(page, lambda: page.click("#again"))
    page.click("#take")
    page.wait_for_url("**/unit")
    students = ClassFile(server.folder / "Lockers.class").read().record.roster.students
    assert [(s.id, s.name) for s in students] == [
        ("17", "Anna Berg"), ("18", "Ben Oak"), ("19", "王小明"), ("20", "Dee Elm"),
    ]  # fmt: skip


def test_ratings_are_tapped_along_the_row(klass: Class) -> None:
    """One tap rates, another takes it away; undo brings it back."""
    page = klass.open("/class")
    row = page.locator(".rate li", has_text="Aaliyah")
    klass.settle(lambda: row.locator(".step", has_text="5").click())
    assert klass.record.roster.by_id["0001"].ratings["throwing"] == 5
    klass.settle(lambda: row.locator(".step", has_text="5").click())
    assert "throwing" not in klass.record.roster.by_id["0001"].ratings
    klass.settle(lambda: page.click("#undo"))
    assert klass.record.roster.by_id["0001"].ratings["throwing"] == 5


def test_a_request_by_picking_two_names_and_a_clash_is_told_at_once(klass: Class) -> None:
    """A request is added by two names; one that cannot hold with another is refused, told with both."""
    page = klass.open("/requests")
    page.select_option("#one", "0002")
    page.select_option("#other", "0004")
    klass.settle(lambda: page.click("#ask"))
    assert klass.record.requests[-1].pair == ("0002", "0004")
    assert page.inner_text("#check") == "All requests can be met together."
    page.locator("#kind-together").check(force=True)
    page.select_option("#one", "0002")
    page.select_option("#other", "0004")
    before = klass.record
    page.click("#ask")
    page.locator("#notice-text", has_text="kept apart").wait_for()
    said = page.inner_text("#notice-text")
    assert klass.record == before
    assert "Bao Trinh Lam" in said and "Davud" in said and "kept apart" in said and "together" in said


def test_a_lesson_is_added_with_two_clicks_and_shaped_like_the_last(klass: Class) -> None:
    """The new lesson has the activities of the last one and a date as long after it."""
    page = klass.open("/unit")
    page.click("#add-lesson")
    page.fill("#name-0", "New game")
    page.click("#save")
    page.wait_for_url("**/unit")
    lessons = klass.record.unit.lessons
    assert lessons[-1].number == 9 and lessons[-1].date == "2026-05-16"
    assert lessons[-1].activities[0].name == "New game" and lessons[-1].activities[0].size == 6


def test_a_proposal_is_watched_stopped_compared_and_taken(klass: Class) -> None:
    """A search is stopped: its best so far is a proposal beside the plan, and changes the file only when
    it is taken."""
    page = klass.open("/unit")
    before = klass.record
    page.click("#how summary")
    page.fill("#seed", "3")
    page.click("#plan")
    page.wait_for_selector("#progress")
    page.locator("#progress-text", has_text="% of the search").wait_for(timeout=60_000)
    page.click("#stop")
    page.wait_for_selector("#plans", timeout=60_000)
    assert "stopped" in page.inner_text("#plans") and klass.record == before
    page.click("#plans a")
    page.wait_for_selector("#would-change")
    page.check("#lesson-2", force=True)
    page.wait_for_url("**lesson=2")
    marked = page.locator(".group.changed").count()
    assert klass.record == before
    assert (f"{marked} group" if marked else "all groups stay") in page.inner_text("#would-change")
    klass.settle(lambda: page.click("#take"))
    after = klass.record
    were = {(round_.key, frozenset(group.members)) for round_ in before.plan.of_lesson(2) for group in round_.groups}
    now = {(round_.key, frozenset(group.members)) for round_ in after.plan.of_lesson(2) for group in round_.groups}
    assert bool(marked) == bool(now - were) and marked >= len(now - were)
    assert after.plan != before.plan and fairness_of(after).breaches == ()
    klass.settle(lambda: page.click("#undo"))
    assert klass.record == before


def test_a_request_broken_by_hand_is_seen_by_the_teacher_alone(klass: Class) -> None:
    """Two who are to be apart are swapped together: in red and in words on the unit, beside proposals and at the door,
    where no name stands; the students' screen shows nothing of it."""
    with klass.file.change("one request") as edit:
        edit.record = replace(edit.record, requests=edit.record.requests[:1])
    one, other = klass.record.requests[0].pair
    round_ = klass.record.plan.of_lesson(2)[0]
    group = round_.group_of(one)
    assert group is not None
    partner = next(member for member in group.members if member != one)
    klass.open("/lesson/2")
    assert not klass.page.locator("#broken").count()
    run(klass.served.folder, "swap", klass.name, "--lesson", "2", "--round", "1", partner, other)
    page = klass.open("/unit")
    names = [klass.record.roster.name(student) for student in (one, other)]
    red = page.evaluate("getComputedStyle(document.querySelector('#broken')).color")
    assert red != page.evaluate("getComputedStyle(document.querySelector('.glance dd')).color")
    assert all(name in page.inner_text("#broken") for name in names) and "lesson 2" in page.inner_text("#broken")
    page.click("#how summary")
    page.fill("#seed", "3")
    page.click("#plan")
    page.wait_for_selector("#plans, #stop", timeout=60_000)
    if page.locator("#stop").count():
        page.locator("#progress-text", has_text="% of the search").wait_for(timeout=60_000)
        page.click("#stop")
    page.wait_for_selector("#plans", timeout=60_000)
    stands = page.locator("#plans tbody tr").first
    assert "1 request" in stands.inner_text() and stands.locator("td.trouble").count() == 1
    page = klass.open("/lesson/2")
    assert "1 request does not hold in round 1" in page.inner_text("#broken")
    assert not any(name in page.inner_text("#broken") for name in names)
    assert "does not hold" not in screen_of(klass, 2).content()


def test_a_thorough_search_is_heard_of_and_hears_early(klass: Class) -> None:
    """Groups are there long before the search is over; stopped then, it ends at once, with a whole plan."""
    page = klass.open("/unit")
    page.click("#how summary")
    page.select_option("#effort", "thorough")
    page.click("#plan")
    begun = re.compile(r"The first groups are there|^[0-9]% of the search")
    page.locator("#progress-text", has_text=begun).wait_for(timeout=30_000)
    page.click("#stop")
    page.wait_for_selector("#plans", timeout=30_000)
    assert "thorough" in page.inner_text("#plans") and "stopped" in page.inner_text("#plans")


def test_it_ran_as_planned_in_one_tap(klass: Class) -> None:
    """One tap closes the lesson; it can be taken back."""
    page = klass.open("/lesson/1/after")
    klass.settle(lambda: page.click("#as-planned"))
    assert klass.record.taught == {1}
    klass.settle(lambda: page.click("#reopen"))
    assert klass.record.taught == frozenset()


def test_what_differed_is_kept_as_it_ran(klass: Class) -> None:
    """Two exchange groups in one round in the table: the ledger of the past has them where they really were."""
    record = klass.record
    round_ = record.plan.of_lesson(1)[0]
    one, other = round_.groups[0].members[0], round_.groups[1].members[0]
    page = klass.open("/lesson/1/after")
    page.click("#differed summary")
    page.select_option(f"select[name='ran-1-{one}']", round_.groups[1].label)
    page.select_option(f"select[name='ran-1-{other}']", round_.groups[0].label)
    load(page, lambda: page.click("#differed button"))
    page.wait_for_selector("#closed")
    after = klass.record
    ran = after.plan.of_lesson(1)
    assert ran[0].group_of(one).label == round_.groups[1].label  # type: ignore[union-attr]
    assert ran[1:] == record.plan.of_lesson(1)[1:] and after.taught == {1}


def test_the_map_is_the_ledger(klass: Class) -> None:
    """Every number of the map, read from the drawing, is how often the two were in one group, and it is symmetric."""
    page = klass.open("/evidence")
    places = page.eval_on_selector_all(
        ".place", "all => all.map(p => [p.dataset.row, p.dataset.column, p.querySelector('text').textContent])"
    )
    names = page.eval_on_selector_all(".row-name", "all => all.map(n => n.textContent)")
    ids = {s.name.split()[0] if s.id != "0023" else s.name: s.id for s in klass.record.roster.students}
    ledger = ledger_of(klass.record.plan.rounds)
    drawn = {(ids[names[int(r)]], ids[names[int(c)]]): int(times) for r, c, times in places}
    for one in ids.values():
        for other in ids.values():
            if one != other:
                assert drawn.get((one, other), 0) == ledger.met(one, other)


def test_pointing_at_the_map_names_the_two(klass: Class) -> None:
    """Row and column light up and the words stand above."""
    page = klass.open("/evidence")
    place = page.locator(".place").first
    place.hover()
    assert page.inner_text("#map-said") == place.locator("title").text_content()
    assert page.locator("#map text.lit").count() >= 2


def test_evidence_says_what_the_command_says(klass: Class) -> None:
    """Repeats and their bound on the page are those of ``grouper fairness --json``."""
    import json

    said = json.loads(run(klass.served.folder, "fairness", klass.name, "--json").stdout)
    page = klass.open("/evidence?over=unit")
    row = page.locator(".figures tr", has_text="Repeats").first.locator("td").all_inner_texts()
    assert row == [str(said["repeats"]), str(said["repeats"]), f"at least {said['repeats_bound']}"]


def test_planned_beside_actual_and_one_student(klass: Class) -> None:
    """After an absence and a taught lesson the two columns differ; a student's page lists whom they met when."""
    klass.open("/lesson/1")
    klass.tap("Bao")
    klass.open("/lesson/1/after")
    klass.settle(lambda: klass.page.click("#as-planned"))
    page = klass.open("/evidence")
    row = page.locator(".figures tr", has_text="Different partners each").first.locator("td").all_inner_texts()
    assert row[0] != row[1]
    page.get_by_role("link", name="Fenna de Wiersma").click()
    rounds = klass.record.plan.of_lesson(1)
    met = {s for r in rounds if (g := r.group_of("0006")) for s in g.members} - {"0006"}
    assert page.locator("tbody tr").count() == len(met)
    assert "Lesson 1, Meet and throw" in page.inner_text("table")


def test_printing_leaves_the_map_and_no_buttons(klass: Class) -> None:
    """In print the bar with the buttons is left out, and the map stays."""
    page = klass.open("/evidence")
    page.emulate_media(media="print")
    assert not page.locator(".bar").is_visible() and page.locator("#map").is_visible()


def test_a_clash_is_told_before_there_is_any_lesson(server: Served, window: BrowserContext) -> None:
    """Two are to be apart and together: no lesson is needed to see that."""
    page = start(server, window)
    page.fill("#title", "9z")
    page.fill("#list", "Ann\nBen\nCid\nDee")
    page.click("#give")
    page.click("#take")
    page.wait_for_url("**/unit")
    page.goto(server.at("/c/9z.class/requests"))
    for kind in ("apart", "together"):
        page.locator(f"#kind-{kind}").check(force=True)
        page.select_option("#one", label="Ann")
        page.select_option("#other", label="Ben")
        page.click("#ask")
        if kind == "apart":
            page.wait_for_function("() => document.getElementById('last').textContent.includes('apart')")
    page.locator("#notice-text", has_text="Ann and Ben are to be together").wait_for()
    assert "Ann and Ben are to be kept apart" in page.inner_text("#notice-text")


def test_another_date_keeps_the_groups(klass: Class) -> None:
    """A lesson is moved to another day: who works with whom stays, and so does what was noted of it."""
    before = klass.record.plan.of_lesson(5)
    page = klass.open("/unit/lesson/5")
    page.fill("#date", "2031-03-04")
    klass.settle(lambda: page.click("#save"))
    assert klass.record.lesson(5).date == "2031-03-04" and klass.record.plan.of_lesson(5) == before
    page = klass.open("/unit/lesson/5")
    page.fill("#people-0", "2")
    klass.settle(lambda: page.click("#save"))
    assert klass.record.plan.of_lesson(5) == ()


def test_a_slip_in_the_lesson_form_loses_nothing_that_was_typed(klass: Class) -> None:
    """Even teams without a rating: the page says what to choose, and all that was typed is still there."""
    page = klass.open("/unit/lesson/3")
    page.fill("#name-1", "Games at the end")
    page.select_option("#aim-1", "balanced")
    page.click("#save")
    page.wait_for_selector("#notice:not([hidden])")
    assert "under 'By rating'" in page.inner_text("#notice-text")
    assert page.input_value("#name-1") == "Games at the end"
    page.fill("#strand-1", "throwing")
    klass.settle(lambda: page.click("#save"))
    assert klass.record.lesson(3).activities[-1].name == "Games at the end"


def test_half_steps_can_still_be_tapped(klass: Class) -> None:
    """A suggested rating of 1.5 was accepted: the row shows it, and a tap on a step replaces it."""
    with klass.file.change("accepted") as edit:
        student = edit.record.roster.by_id["0002"]
        rated = replace(student, ratings={**student.ratings, "throwing": 1.5})
        edit.record = replace(edit.record, roster=edit.record.roster.with_student(rated))
    page = klass.open("/class?strand=throwing")
    row = page.locator(".rate li", has_text="Bao")
    assert row.locator(".chip").inner_text() == "1.5"
    klass.settle(lambda: row.locator(".step", has_text="4").click())
    assert klass.record.roster.by_id["0002"].ratings["throwing"] == 4


def test_a_new_name_leaves_it_alone_who_takes_part(klass: Class) -> None:
    """Somebody who is aside until further notice gets another name and is aside still."""
    with klass.file.change("aside") as edit:
        student = replace(edit.record.roster.by_id["0002"], availability="aside")
        edit.record = replace(edit.record, roster=edit.record.roster.with_student(student))
    page = klass.open("/class")
    page.select_option("#student", "0002")
    page.fill("#called", "Bao T.")
    klass.settle(lambda: page.click("text=Save"))
    student = klass.record.roster.by_id["0002"]
    assert (student.name, student.availability) == ("Bao T.", "aside")


def test_more_groups_than_two_each_are_refused(klass: Class) -> None:
    """A slip of the hand at the door does not leave everybody alone."""
    with pytest.raises(InputError, match="groups would leave somebody alone; make it 11 at most"):
        with_other_groups(klass.record, 2, "Lighthouse game", 12, None)


def test_a_proof_is_followed_to_its_end_and_can_be_stopped(klass: Class) -> None:
    """The button starts it, the page says that it is under way and what is known, and shows the answer by itself."""
    page = klass.open("/evidence?over=unit")
    load(page, lambda: page.click("#prove"))
    assert "Looking for a proof" in page.inner_text("#progress-text")
    load(page, lambda: page.click("#stop-proof"))
    assert page.locator("#progress").count() == 0
    page.click("#prove")
    page.wait_for_selector(".proven", timeout=60_000)
    assert "Evenness of repeats" in page.inner_text(".proven >> nth=0")
