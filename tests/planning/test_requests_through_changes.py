"""Requests through changes: kept, or refused with the smallest clash; and none ends, is narrowed or broken unsaid."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from builders import EIGHT, apart, class_of_eight, groups, hasty, key, pairs, quick, together, with_plan

from grouper.errors import ImpossibleError
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Unit
from grouper.planning.adjust import pinned, swapped, taught
from grouper.planning.admit import NewList, admit_requests, admit_roster, admit_unit, brought_in
from grouper.planning.attend import absent, aside, join, late, leave, present
from grouper.planning.plan import plan_unit
from grouper.planning.ran import moved, next_unit
from grouper.planning.repair import repair
from grouper.planning.requests import became_of_requests, broken_requests
from grouper.privacy.less import handed_over

FOUR_PAIRS = "ana ben | cem dia | eva fin | gil hana"
OTHER_PAIRS = "ana cem | ben dia | eva gil | fin hana"


def three_lessons(*requests: Request) -> ClassRecord:
    """Ana and Ben are a pair in the lessons 1 and 3, and not in 2; the first lesson has been taught."""
    record = with_plan(class_of_eight(pairs(), requests=requests, lessons=3), FOUR_PAIRS, OTHER_PAIRS, FOUR_PAIRS)
    return taught(record, 1)


def asked(record: ClassRecord, *requests: Request) -> ClassRecord:
    return admit_requests(record, (*record.requests, *requests))


def listed(record: ClassRecord, *without: str, ids: str = "", more: tuple[Student, ...] = ()) -> ClassRecord:
    """The class after a list without some, under ids that begin with ``ids``, with others more."""
    people = (replace(s, id=ids + s.id) for s in record.roster.students if s.id not in without)
    return admit_roster(record, NewList(Roster((*people, *more)))).record


NEW = Student("new", "New Newman")
KINDS = {"apart": apart("ana", "ben"), "together": together("ana", "cem"), "apart later": apart("ana", "ben", 3, 3)}

BROUGHT: dict[str, Callable[[ClassRecord, Request], ClassRecord]] = {
    "requests": asked,
    "requests and a newcomer": lambda record, wish: listed(asked(record, wish), more=(NEW,)),
    "requests and other ids": lambda record, wish: listed(asked(record, wish), ids="9-"),
    "requests and somebody gone": lambda record, wish: listed(asked(record, wish), "hana"),
    "somebody comes back": lambda record, wish: listed(asked(record, wish), "gil"),
}
STATES: dict[str, Callable[[ClassRecord], ClassRecord]] = {
    "planned": lambda record: record,
    "pinned": lambda record: pinned(record, 3, None),
    "somebody away": lambda record: absent(record, 3, ("eva",)).record,
    "not planned yet": lambda record: replace(record, plan=record.plan.__class__(record.plan.rounds[:1])),
    "nothing taught": lambda record: replace(record, taught=frozenset()),
}


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("brought", BROUGHT)
def test_what_is_brought_in_is_kept_in_every_lesson_to_come(brought: str, kind: str, state: str) -> None:
    """Whatever the state of the class: no untaught round breaks the request, and what was taught is as it was."""
    before = STATES[state](three_lessons())
    mended = brought_in(before, BROUGHT[brought](before, KINDS[kind])).record
    assert [breach.key.lesson for breach in broken_requests(mended) if breach.key.lesson not in mended.taught] == []
    if before.taught:
        kept, was = mended.plan.of_lesson(1), before.plan.of_lesson(1)
        assert [len(r.groups) for r in kept] == [len(r.groups) for r in was]
        assert not any("Not kept" in str(sentence) for sentence in became_of_requests(before, mended))
    planned = hasty(mended)
    assert [breach for breach in broken_requests(planned) if breach.key.lesson not in planned.taught] == []


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("brought", BROUGHT)
def test_what_cannot_be_kept_is_refused_with_the_clash(brought: str, state: str) -> None:
    """Apart and together at once, or one who is apart from everybody: the two requests, or all of hers, are named."""
    before = STATES[state](three_lessons(together("ana", "ben")))
    with pytest.raises(ImpossibleError) as caught:
        brought_in(before, BROUGHT[brought](before, apart("ana", "ben")))
    assert set(caught.value.clash) == {"Ana and Ben are to be kept apart", "Ana and Ben are to be together"}
    if "newcomer" in brought:
        return  # with whom she could be
    alone = STATES[state](three_lessons(*(apart("ana", other) for other in EIGHT[2:])))
    with pytest.raises(ImpossibleError) as caught:
        brought_in(alone, BROUGHT[brought](alone, apart("ana", "ben")))
    assert "Ana is to be kept apart from" in caught.value.clash[0]


def test_nothing_moves_that_keeps_the_request() -> None:
    """Two pairs of lesson 3 change, no others; lesson 2 has not been touched."""
    before = three_lessons()
    mended = brought_in(before, asked(before, apart("ana", "ben")))
    (change,) = mended.changes
    assert change.key == key(3) and len(change.after) == 2


def test_who_works_on_alone_in_one_group_is_no_way_out() -> None:
    """All in one group leaves no way to keep two apart: refused, though every round has groups."""
    before = with_plan(class_of_eight(Activity("Circle", groups=1)), " ".join(EIGHT))
    with pytest.raises(ImpossibleError):
        brought_in(before, asked(before, apart("ana", "ben")))


# --- decided by hand ---


def test_a_swap_that_breaks_a_request_is_said_and_outlives_whatever_comes() -> None:
    """The teacher decides; later repairs leave it, and a request that comes after the swap does not."""
    record = quick(class_of_eight(pairs(), requests=[apart("ana", "ben")], lessons=2))
    partner = next(s for s in record.plan.rounds[1].group_of("ana").members if s != "ana")  # type: ignore[union-attr]
    swap = swapped(record, 2, partner, "ben")
    assert "kept apart and share a group" in str(swap.breaks[0])
    after = absent(swap.record, 1, ("hana",)).record
    assert "ben" in after.plan.by_key[key(2)].group_of("ana").members  # type: ignore[union-attr]
    assert repair(after, before=record).record.plan.by_key[key(2)].as_sets != after.plan.by_key[key(2)].as_sets


def ran_together(record: ClassRecord) -> ClassRecord:
    label = record.plan.by_key[key(2)].group_of("ana").label  # type: ignore[union-attr]
    return moved(record, key(2), "ben", label)


BY_HAND: dict[str, Callable[[ClassRecord], ClassRecord]] = {
    "ran, the lesson open": ran_together,
    "ran, the lesson closed": lambda record: ran_together(taught(record, 2)),
    "taught with groups": lambda record: taught(record, 2, {key(2): groups(FOUR_PAIRS)}),
    "put right with groups": lambda record: taught(taught(record, 2), 2, {key(2): groups(FOUR_PAIRS)}),
}


@pytest.mark.parametrize("verb", BY_HAND)
def test_who_was_together_against_a_request_is_said(verb: str) -> None:
    """Once, in words, and again nothing of it when something else changes."""
    before = three_lessons(apart("ana", "ben", 2, 2))
    after = BY_HAND[verb](before)
    said = "Not kept: lesson 2: Ana and Ben are to be kept apart and share a group."
    assert [str(one) for one in became_of_requests(before, after)] == [said]
    assert became_of_requests(after, join(after, NEW, 3).record) == ()


# --- what ends ---

ENDED = "The request for Ana and Ben apart ends, as Ana has left the class."
ENDS: dict[str, tuple[Request, Callable[[ClassRecord], ClassRecord], str]] = {
    "somebody leaves": (apart("ana", "ben"), lambda r: leave(r, "ana", 2).record, ENDED),
    "somebody is not on the list": (apart("ana", "ben"), lambda r: brought_in(r, listed(r, "ana")).record, ENDED),
    "somebody is not on the list, others have other ids": (
        apart("ana", "ben"),
        lambda r: brought_in(r, listed(r, "ana", ids="9-")).record,
        ENDED,
    ),
    "both are not on the list": (
        apart("ana", "ben"),
        lambda r: brought_in(r, listed(r, "ana", "ben")).record,
        "The request for Ana and Ben apart ends, as Ana and Ben have left the class.",
    ),
    "lessons are cut": (
        together("ana", "ben", 3, 3),
        lambda r: admit_unit(r, Unit(r.unit.lessons[:2])),
        "The request for Ana and Ben together in lesson 3 ends, as the unit has no such lesson any more.",
    ),
    "another table of requests": (
        apart("ana", "ben", 2),
        lambda r: admit_requests(r, ()),
        "The request for Ana and Ben apart from lesson 2 on ends: it is not asked for any more.",
    ),
    "a narrower one": (
        apart("ana", "ben"),
        lambda r: admit_requests(r, (apart("ben", "ana", 2, 3),)),
        "The request for Ana and Ben apart is narrowed to: Ana and Ben apart in lessons 2 to 3.",
    ),
}


@pytest.mark.parametrize("how", ENDS)
def test_a_request_that_ends_is_said(how: str) -> None:
    """Which one, and why."""
    request, change, said = ENDS[how]
    before = with_plan(class_of_eight(pairs(), requests=[request], lessons=3), *[OTHER_PAIRS] * 3)
    assert [str(one) for one in became_of_requests(before, change(before))] == [said]


def test_who_comes_back_has_their_requests_back() -> None:
    """The request slept, and holds again; it is said, and the groups keep it."""
    record = three_lessons(apart("ana", "ben"))
    left = leave(record, "ana", 2).record
    back = brought_in(left, listed(replace(record, requests=(), plan=left.plan, roster=left.roster), ids="9-"))
    again = replace(back.record, requests=tuple(replace(r, student="9-ana", other="9-ben") for r in left.requests))
    assert str(became_of_requests(left, again)[0]) == "The request for Ana and Ben apart holds again."
    mended = brought_in(left, again).record
    assert [b for b in broken_requests(mended) if b.key.lesson > 1] == []


QUIET: dict[str, Callable[[ClassRecord], ClassRecord]] = {
    "absent": lambda r: absent(r, 2, ("eva", "ana")).record,
    "late": lambda r: late(r, 2, ("ben",)).record,
    "aside": lambda r: aside(r, 3, ("ben",), "scorer").record,
    "present": lambda r: present(absent(r, 2, ("ben",)).record, 2, ("ben",)).record,
    "join": lambda r: join(r, NEW, 2).record,
    "taught": lambda r: taught(r, 2),
    "other ids": lambda r: brought_in(r, listed(r, ids="9-")).record,
    "plan": lambda r: plan_unit(r, effort="quick").record,
    "next": lambda r: next_unit(taught(r, 2), r.unit).record,
    "a wider one": lambda r: admit_requests(r, (apart("ben", "ana"), r.requests[0])),
    "somebody else leaves": lambda r: leave(r, "hana", 2).record,
}


@pytest.mark.parametrize("verb", QUIET)
def test_what_ends_and_breaks_nothing_says_nothing(verb: str) -> None:
    """Nor is any request lost, or broken in a round to come."""
    before = with_plan(class_of_eight(pairs(), requests=[apart("ana", "ben")], lessons=3), *[OTHER_PAIRS] * 3)
    after = QUIET[verb](taught(before, 1))
    assert became_of_requests(before, after) == ()
    assert len(after.requests) >= 1 and broken_requests(after) == []


def test_handing_over_takes_along_what_was_asked_for_only_where_it_can_hold() -> None:
    """Requests of who has left stay behind; ``handover`` says which."""
    record = leave(taught(three_lessons(apart("ana", "ben"), together("eva", "gil")), 2), "ben", 3).record
    assert handed_over(record, requests=True).requests == (together("eva", "gil"),)


# --- two who are left ---


def test_two_who_are_apart_and_all_that_is_left_work_alone() -> None:
    """Absences can be noted whoever is left: each works alone, it is said, a new plan keeps it, and all come back."""
    record = with_plan(class_of_eight(pairs(2), requests=[apart("ana", "ben")]), OTHER_PAIRS, OTHER_PAIRS)
    mended = absent(record, 1, EIGHT[2:])
    assert [sorted(g.members for g in r.groups) for r in mended.record.plan.rounds] == [[("ana",), ("ben",)]] * 2
    assert any("so 2 work alone" in str(remark) for remark in mended.remarks)
    again = plan_unit(mended.record, effort="quick").record
    assert [sorted(g.members for g in r.groups) for r in again.plan.rounds] == [[("ana",), ("ben",)]] * 2
    assert join(mended.record, NEW, 1).record.plan.rounds[0].sizes == (2, 1)
    back = present(mended.record, 1, EIGHT[2:]).record
    assert [r.as_sets for r in back.plan.rounds] == [r.as_sets for r in record.plan.rounds]


def test_a_class_of_two_who_are_apart_is_refused() -> None:
    """Without an absence it is no matter of the day."""
    record = class_of_eight(pairs(), requests=[apart("ana", "ben")])
    two = replace(record, roster=Roster(record.roster.students[:2]))
    with pytest.raises(ImpossibleError):
        plan_unit(two, effort="quick")
