"""When it cannot be done: the error, its sentences and its exit status."""

from __future__ import annotations

from itertools import combinations

import pytest
from builders import EIGHT, STRAND, apart, class_of, class_of_eight, pairs, record_of, roster_of, together, with_plan

from grouper.errors import ImpossibleError
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity
from grouper.planning.attend import absent, leave
from grouper.planning.plan import plan_unit


def refusal(record: ClassRecord) -> ImpossibleError:
    with pytest.raises(ImpossibleError) as caught:
        plan_unit(record)
    assert caught.value.exit_status == 3
    assert caught.value.smallest
    return caught.value


def test_one_apart_from_everyone() -> None:
    """Ana apart from all seven: one sentence that names all seven, and none about two others."""
    asked = [apart("ana", other) for other in EIGHT[1:]]
    error = refusal(class_of_eight(pairs(), requests=[*asked, apart("gil", "hana")]))
    assert error.clash == ("Ana is to be kept apart from 7 others: Ben, Cem, Dia, Eva, Fin, Gil, Hana",)


def test_together_and_apart_both() -> None:
    """The two sentences that say opposite things."""
    asked = (together("ana", "ben"), apart("ben", "ana"), apart("cem", "dia"))
    error = refusal(class_of_eight(pairs(), requests=asked))
    assert sorted(error.clash) == ["Ana and Ben are to be kept apart", "Ana and Ben are to be together"]


def test_more_apart_than_groups() -> None:
    """Three who are all apart in two teams: three sentences, and where."""
    asked = [apart(*two) for two in combinations(("ana", "ben", "cem"), 2)]
    error = refusal(class_of_eight(Activity("Game", groups=2), requests=[*asked, apart("gil", "hana")]))
    assert len(error.clash) == 3
    assert "lesson 1, 'Game', 8 students in 2 groups of 4" in str(error)


def test_three_together_in_pairs() -> None:
    """A pair has no room for three."""
    error = refusal(class_of_eight(pairs(), requests=(together("ana", "ben"), together("ben", "cem"))))
    assert sorted(error.clash) == ["Ana and Ben are to be together", "Ben and Cem are to be together"]


def test_gap_window_that_nobody_fits() -> None:
    """Ratings 1 to 5 have no two with a gap of 6: the window is the clash, in words."""
    coaching = Activity("Peer work", "coaching", size=2, strand=STRAND, min_gap=6)
    error = refusal(record_of(roster_of(4, (1, 2, 4, 5)), coaching))
    assert error.clash == (f"coaching pairs of 'Peer work' are to differ in {STRAND} by 6 or more",)


def test_gap_window_against_a_request() -> None:
    """The one whom hana could coach is apart from her: the window and the request."""
    coaching = Activity("Peer work", "coaching", size=2, strand=STRAND, min_gap=2)
    record = record_of(roster_of(4, (1, 3, 3, 5)), coaching, requests=(apart("s01", "s02"), apart("s01", "s03")))
    assert any("coaching" in sentence for sentence in refusal(record).clash)


def test_request_of_one_lesson_clashes_in_that_lesson() -> None:
    """The lesson that cannot be grouped is named, not the first."""
    asked = (together("ana", "ben", 2, 2), apart("ana", "ben", 2, 3))
    assert "lesson 2," in str(refusal(class_of_eight(pairs(), lessons=3, requests=asked)))


def test_absence_that_leaves_no_way_but_to_work_alone() -> None:
    """Of four the one is away whom a third could work with: no trio, so she works alone, and it is said.

    An absence is a fact and can be noted; that somebody joins for good is refused where nobody could work with them.
    """
    asked = (apart("s01", "s02"), apart("s01", "s03"))
    record = with_plan(class_of(4, pairs(), requests=asked), "s01 s04 | s02 s03")
    mended = absent(record, 1, ("s04",))
    assert mended.record.plan.rounds[0].as_sets == {frozenset({"s01"}), frozenset({"s02", "s03"})}
    assert any("one works alone" in str(remark) for remark in mended.remarks)
    with pytest.raises(ImpossibleError) as caught:
        leave(record, "s04", 1)
    assert caught.value.clash
    assert len(record.plan.rounds[0].students) == 4


def test_what_just_holds_is_planned() -> None:
    """Ana apart from all but hana: they are together in every round, and it is no error."""
    asked = [apart("ana", other) for other in EIGHT[1:-1]]
    planned = plan_unit(class_of_eight(pairs(3), requests=asked), effort="quick").record
    assert all(set(round_.group_of("ana").members) == {"ana", "hana"} for round_ in planned.plan.rounds)  # type: ignore[union-attr]
