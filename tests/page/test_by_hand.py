"""Groups changed by hand at the door: two names swap, a round is pinned, and what is worse for it is said before."""

from __future__ import annotations

from dataclasses import replace
from urllib.parse import urljoin

from grouper.files.store import ClassFile
from grouper.model.request import Request
from grouper.planning.adjust import swapped

from .conftest import Class, load

LESSON = 2
PLACES = "() => [...document.querySelectorAll('.member, .pin')].map(e => e.getBoundingClientRect().y + scrollY)"


def two_of(klass: Class, place: int = 1) -> tuple[str, str]:
    """The first students of two groups of a round."""
    record = klass.record
    first, second, *_ = record.plan.by_key[record.lesson(LESSON).keys[place - 1]].groups
    return first.members[0], second.members[0]


def labels(klass: Class, student: str) -> list[str]:
    """The student's group in each round of the lesson."""
    record = klass.record
    groups = [record.plan.by_key[key].group_of(student) for key in record.lesson(LESSON).keys]
    return [group.label if group else "" for group in groups]


def tap(klass: Class, place: int, student: str) -> None:
    klass.page.click(f"#by-hand-{place}-{student}")


def swap(klass: Class, place: int, one: str, other: str) -> None:
    tap(klass, place, one)
    klass.page.wait_for_selector(f"#by-hand-{place}-{one}.chosen")
    tap(klass, place, other)


def test_two_names_swap_in_one_round_and_back(klass: Class) -> None:
    """In that round alone: the two have each other's group, others are as before, the round is pinned; undo undoes."""
    page = klass.open(f"/lesson/{LESSON}")
    load(page, lambda: page.click("#to-hand"))
    one, other = two_of(klass)
    before = labels(klass, one), labels(klass, other)
    page.check("#counts-alone", force=True)
    swap(klass, 1, one, other)
    page.wait_for_selector("#pin-1[aria-pressed=true], #ask")
    if page.query_selector("#ask"):
        load(page, lambda: page.click("#sure"))
    after = labels(klass, one), labels(klass, other)
    assert (after[0][0], after[1][0]) == (before[1][0], before[0][0])
    assert (after[0][1:], after[1][1:]) == (before[0][1:], before[1][1:])
    assert klass.record.plan.by_key[klass.record.lesson(LESSON).keys[0]].pinned
    klass.file.undo()
    assert (labels(klass, one), labels(klass, other)) == before


def test_a_broken_request_is_asked_about_without_names_of_the_request(klass: Class) -> None:
    """Two who are together: a swap of one is asked about first; the door does not say whose request it is."""
    one, other = two_of(klass)
    record = klass.record
    group = record.plan.by_key[record.lesson(LESSON).keys[0]].group_of(one)
    assert group is not None
    mate = next(student for student in group.members if student != one)
    with ClassFile(klass.file.path).change("together") as edit:
        edit.record = replace(edit.record, requests=(Request("together", one, mate),))
    before = labels(klass, one)
    page = klass.open(f"/lesson/{LESSON}?hand=1")
    swap(klass, 1, one, other)
    page.wait_for_selector("#ask")
    said = page.inner_text("#content")
    assert "1 request would not be kept" in said
    assert klass.record.roster.name(mate) not in said
    assert labels(klass, one) == before


def test_a_round_is_pinned_and_let_go(klass: Class) -> None:
    """One tap pins a round, the next lets go of it; nothing in the groups changes and no name moves."""
    page = klass.open(f"/lesson/{LESSON}?hand=1")
    plan = klass.record.plan
    where = page.evaluate(PLACES)
    page.click("#pin-2")
    page.wait_for_selector("#pin-2[aria-pressed=true]")
    assert page.evaluate(PLACES) == where
    page.click("#pin-2")
    page.wait_for_selector("#pin-2[aria-pressed=false]")
    assert klass.record.plan == plan


def test_a_name_is_dragged_onto_another(klass: Class) -> None:
    """With a mouse: from one name to another of the round is a swap too."""
    one, other = two_of(klass)
    before = labels(klass, one)[0], labels(klass, other)[0]
    page = klass.open(f"/lesson/{LESSON}?hand=1")
    page.drag_and_drop(f"#by-hand-1-{one}", f"#by-hand-1-{other}")
    page.wait_for_selector("#pin-1[aria-pressed=true], #ask")
    if page.query_selector("#ask"):
        load(page, lambda: page.click("#sure"))
    assert (labels(klass, one)[0], labels(klass, other)[0]) == (before[1], before[0])


def test_names_do_not_move_because_of_the_first_tap(klass: Class) -> None:
    """All names and pins stay where they are when the first of two is tapped, and when that is taken back."""
    one, _ = two_of(klass)
    page = klass.open(f"/lesson/{LESSON}?hand=1")
    where = page.evaluate(PLACES)
    tap(klass, 1, one)
    page.wait_for_selector(f"#by-hand-1-{one}.chosen")
    assert page.evaluate(PLACES) == where
    tap(klass, 1, one)
    page.wait_for_selector(f"#by-hand-1-{one}:not(.chosen)")
    assert page.evaluate(PLACES) == where


def three_and_pair(klass: Class) -> tuple[int, str, str]:
    """A round in pairs with its three: its place in lesson 1, somebody of the three, and the label of a pair."""
    record = klass.record
    for place, key in enumerate(record.lesson(1).keys, start=1):
        groups = record.plan.by_key[key].groups
        three = next((group for group in groups if len(group.members) == 3), None)
        if three is not None:
            pair = next(group for group in groups if len(group.members) == 2)
            return place, three.members[-1], pair.label
    raise AssertionError("an odd class has a three in every round of pairs")


def test_one_moves_to_a_group_that_is_one_short(klass: Class) -> None:
    """The groups that can take the name that was tapped say so, and no others; nothing moves before; undo undoes."""
    place, student, label = three_and_pair(klass)
    page = klass.open("/lesson/1?hand=1")
    where = page.evaluate(PLACES)
    assert page.locator(".label.to.may").count() == 0
    tap(klass, place, student)
    page.wait_for_selector(f"#by-hand-{place}-{student}.chosen")
    assert page.evaluate(PLACES) == where
    assert page.locator(".label.to.may").count() == 10  # of 23 in pairs there are ten pairs, and one three
    before = klass.record
    target = page.locator(f".label.to[value='{place}:{label}']")
    worse = target.locator("small").inner_text() == "worse"
    target.click()
    if worse:
        page.wait_for_selector("#ask")
        load(page, lambda: page.click("#sure"))
    page.wait_for_selector(f"#pin-{place}[aria-pressed=true]")
    group = klass.record.plan.by_key[klass.record.lesson(1).keys[place - 1]].group_of(student)
    assert group is not None and group.label == label and len(group.members) == 3
    klass.settle(lambda: page.click("#undo"))
    assert klass.record == before


def test_what_a_swap_makes_worse_stands_on_the_tiles_before(klass: Class) -> None:
    """A tile says 'worse' exactly where the swap would ask first, and not why, as students may look."""
    place, student, _ = three_and_pair(klass)
    page = klass.open("/lesson/1?hand=1")
    tap(klass, place, student)
    page.wait_for_selector(f"#by-hand-{place}-{student}.chosen")
    round_ = klass.record.plan.by_key[klass.record.lesson(1).keys[place - 1]]
    tiles = {
        other: page.inner_text(f"#by-hand-{place}-{other} .mark-worse")
        for group in round_.groups
        for other in group.members
        if student not in group.members
    }
    assert set(tiles.values()) <= {"", "worse"} and "worse" in tiles.values()
    for other, said in list(tiles.items())[:6]:
        made = swapped(klass.record, 1, student, other, since=place)
        assert bool(said) == bool(made.repeats > 0 or made.breaches or made.dropped)


def test_a_name_that_is_held_pins_its_round(klass: Class) -> None:
    """A long press pins the round and chooses nobody; another lets go of it."""
    one, _ = two_of(klass)
    page = klass.open(f"/lesson/{LESSON}?hand=1")
    for pressed in ("true", "false"):
        box = page.locator(f"#by-hand-1-{one}").bounding_box()
        assert box is not None
        page.mouse.move(box["x"] + 20, box["y"] + 10)
        page.mouse.down()
        page.wait_for_selector(f"#pin-1[aria-pressed={pressed}]")
        page.mouse.up()
    assert page.locator(".member.chosen").count() == 0


def test_a_name_is_dragged_to_a_group(klass: Class) -> None:
    """Dropped on the number of a group that is one short, the name is in it."""
    place, student, label = three_and_pair(klass)
    page = klass.open("/lesson/1?hand=1")
    page.drag_and_drop(f"#by-hand-{place}-{student}", f".label.to[value='{place}:{label}']")
    page.wait_for_selector(f"#pin-{place}[aria-pressed=true], #ask")
    if page.query_selector("#ask"):
        load(page, lambda: page.click("#sure"))
    group = klass.record.plan.by_key[klass.record.lesson(1).keys[place - 1]].group_of(student)
    assert group is not None and group.label == label


def test_sheets_are_opened_from_the_door_to_be_printed(klass: Class) -> None:
    """The teacher's sheet has the table for who is away; that for the wall opens too, and has no rating."""
    page = klass.open(f"/lesson/{LESSON}")
    address = page.get_attribute("#teacher-sheet", "href")
    assert address is not None
    page.goto(urljoin(page.url, address))
    assert "If somebody is away" in page.inner_text("main")
    assert page.evaluate("getComputedStyle(document.querySelector('.moves')).borderCollapse") == "collapse"
