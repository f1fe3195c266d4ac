"""Facts are checked when they are written down."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import EIGHT, STRAND, apart, class_of_eight, groups, key, pairs, plan_of, roster_of, with_plan

from grouper.errors import InputError
from grouper.model.noted import Absence
from grouper.model.plan import Group, Round
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.request import Request, Settings
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, RoundKey, Unit

FOUR_PAIRS = "ana ben | cem dia | eva fin | gil hana"


@pytest.mark.parametrize(
    ("wrong", "word"),
    [
        ({"aim": "fun"}, "fun"),
        ({"size": 0}, "size"),
        ({"size": None}, "neither"),
        ({"groups": 2}, "both"),
        ({"size": None, "groups": 0}, "groups"),
        ({"rounds": 0}, "rounds"),
        ({"minutes": 0.0}, "minutes"),
        ({"aim": "balanced"}, "needs a rating"),
        ({"aim": "coaching", "strand": STRAND, "min_gap": 2.0, "max_gap": 1.0}, "above"),
        ({"caution": "boredom"}, "boredom"),
    ],
)
def test_activity_that_makes_no_sense(wrong: dict[str, object], word: str) -> None:
    """Each fault of an activity is refused with its name and a word on what is wrong."""
    with pytest.raises(InputError, match=word) as caught:
        Activity(**{"name": "Passing", "size": 2, **wrong})  # type: ignore[arg-type]
    assert "Passing" in str(caught.value)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Request("friends", "a", "b"),
        lambda: Request("apart", "a", "a"),
        lambda: Request("apart", "a", "b", 3, 2),
        lambda: Student("", "Ana"),
        lambda: Student("1", ""),
        lambda: Student("1", "Ana", size_band="XL"),
        lambda: Student("1", "Ana", availability="ill"),
        lambda: Roster((Student("1", "Ana"), Student("1", "Ben"))),
        lambda: Absence(1, "a", "ill"),
        lambda: Absence(1, "a", since=0),
        lambda: Group("1", ("a", "b"), ("coach",)),
        lambda: Lesson(0, (pairs(),)),
        lambda: Lesson(1, ()),
        lambda: Lesson(1, (pairs(), pairs())),
        lambda: Unit((Lesson(2, (pairs(),)), Lesson(1, (pairs(),)))),
        lambda: Unit((Lesson(1, (pairs(),)), Lesson(1, (pairs(),)))),
        lambda: Settings("friends"),
        lambda: Settings(closeness="warm"),
    ],
)
def test_facts_that_cannot_be(make) -> None:  # type: ignore[no-untyped-def]
    """Wrong words, twos of one and spans that end before they begin are refused as wrong input."""
    with pytest.raises(InputError):
        make()


def test_keys_are_in_the_order_of_play() -> None:
    """Lesson, activity, round."""
    unit = Unit((Lesson(1, (pairs(2), pairs(1, "Shots"))), Lesson(3, (pairs(),))))
    assert unit.keys == ((1, 1, 1), (1, 1, 2), (1, 2, 1), (3, 1, 1))
    assert list(unit.keys) == sorted(unit.keys)


def test_request_holds_between_its_lessons() -> None:
    """Both ends belong to the span, and an open end has none."""
    assert [lesson for lesson in range(1, 6) if apart("a", "b", 2, 4).holds_in(lesson)] == [2, 3, 4]
    assert [lesson for lesson in range(1, 6) if apart("a", "b", last=2).holds_in(lesson)] == [1, 2]
    assert all(apart("a", "b").holds_in(lesson) for lesson in range(1, 6))


def test_range_and_middle_of_a_strand() -> None:
    """1, 2 and 5 with one not rated: range 4, middle 2, which stands in for the one."""
    roster = roster_of(4, (1, None, 2, 5))
    assert (roster.span(STRAND), roster.middle(STRAND), roster.rating("s02", STRAND)) == (4, 2, 2)


def test_found_by_name_whatever_the_case_or_spaces() -> None:
    """An id or a unique name finds a student."""
    roster = class_of_eight(pairs()).roster
    assert roster.find(" ANA ").id == roster.find("Ana").id == roster.find("ana").id == "ana"


def test_name_of_two_needs_an_id() -> None:
    """Two of one name are told apart by ids, which the message lists; near names are proposed."""
    roster = Roster((Student("01", "Mia"), Student("02", "Mia"), Student("03", "Noor")))
    with pytest.raises(InputError, match="01, 02"):
        roster.find("mia")
    with pytest.raises(InputError, match="Noor"):
        roster.find("Nor")


def test_absence_from_a_round_on() -> None:
    """Away since round 2 of the lesson: there in round 1, whatever activity the rounds belong to."""
    record = class_of_eight(pairs(1), pairs(2, "Shots"))
    record = replace(record, absences=(Absence(1, "ana", since=2),))
    assert ["ana" in record.taking_part(k) for k in record.unit.keys] == [True, False, False]


def test_who_joins_and_leaves_takes_part_in_between() -> None:
    """First and last lesson belong to the time in class."""
    record = class_of_eight(pairs(), lessons=4)
    guest = Student("zoe", "Zoe", first_lesson=2, last_lesson=3)
    record = replace(record, roster=record.roster.with_student(guest))
    assert [k.lesson for k in record.unit.keys if "zoe" in record.taking_part(k)] == [2, 3]


def test_taught_and_pinned_rounds_are_fixed() -> None:
    """Of three lessons the first is taught, the second pinned: only the third is free."""
    record = with_plan(class_of_eight(pairs(), lessons=3), FOUR_PAIRS, FOUR_PAIRS, FOUR_PAIRS)
    rounds = {key(2): replace(record.plan.rounds[1], pinned=True)}
    record = replace(record, plan=record.plan.with_rounds(rounds), taught=frozenset({1}))
    assert [spec.key for spec in problem_of(record).free] == [key(3)]
    assert [spec.key for spec in problem_of(record, frozenset({key(2)})).free] == [key(2)]


def test_stay_follows_the_round_that_leads() -> None:
    """Two lessons that stay keep the groups of the round before the first of them."""
    stay = Activity("Again", "stay")
    unit = Unit((Lesson(1, (pairs(2),)), Lesson(2, (stay,)), Lesson(3, (stay,))))
    problem = problem_of(ClassRecord(roster_of(4), unit))
    assert [spec.leader for spec in problem.rounds] == [None, None, RoundKey(1, 1, 2), RoundKey(1, 1, 2)]


def test_unit_that_begins_with_stay_is_refused() -> None:
    """There are no groups to stay in."""
    record = ClassRecord(roster_of(4), Unit((Lesson(1, (Activity("Again", "stay"),)),)))
    with pytest.raises(InputError, match="stay"):
        problem_of(record)


def test_plan_takes_rounds_in_the_order_of_play() -> None:
    """A round that is put in stands where it is played, and replaces the one with its key."""
    plan = plan_of(class_of_eight(pairs(), lessons=2), FOUR_PAIRS, FOUR_PAIRS)
    other = Round(key(1), groups("ana cem | ben dia | eva fin | gil hana"))
    changed = plan.with_rounds({key(3): Round(key(3), ()), key(1): other})
    assert [round_.key.lesson for round_ in changed.rounds] == [1, 2, 3]
    assert changed.rounds[0] == other


def test_round_knows_who_is_where() -> None:
    """Students by group, sizes largest first, pairs with the smaller id first."""
    round_ = Round(key(1), groups("hana ana | cem ben dia"))
    assert round_.students == ("hana", "ana", "cem", "ben", "dia")
    assert round_.sizes == (3, 2)
    assert set(round_.pairs) == {("ana", "hana"), ("ben", "cem"), ("cem", "dia"), ("ben", "dia")}
    assert round_.group_of("ben") == round_.groups[1]
    assert round_.group_of(EIGHT[4]) is None
