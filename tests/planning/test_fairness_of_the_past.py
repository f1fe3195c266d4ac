"""What fairness says of lessons taught, when ratings have changed since or are gone."""

from __future__ import annotations

from dataclasses import replace

from builders import STRAND, class_of_eight, groups, key, pairs, with_plan

from grouper.faces.wording.fairness import summary_lines, summary_parts
from grouper.model.ledger import PastRound
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity
from grouper.planning.fairness import fairness_of

HELP = Activity("Help", "coaching", size=2, strand=STRAND, min_gap=1, max_gap=2)
ONE_APART = "ana cem | ben dia | eva gil | fin hana"


def rated_anew(record: ClassRecord, student: str, value: float) -> ClassRecord:
    person = replace(record.roster.by_id[student], ratings={STRAND: value})
    return replace(record, roster=record.roster.with_student(person))


def test_a_taught_lesson_is_not_accused_of_a_rating_that_came_later() -> None:
    """All pairs were one or two apart; hana is rated 6 since. That is told as of today, and as no request."""
    record = replace(with_plan(class_of_eight(HELP), ONE_APART), taught=frozenset({1}))
    assert fairness_of(record).breaches == ()
    later = fairness_of(rated_anew(record, "hana", 6))
    assert later.broken_requests == () and len(later.gaps_outside) == 1
    assert later.gaps_outside[0].sentence.endswith("by the ratings of today")
    coming = fairness_of(rated_anew(replace(record, taught=frozenset()), "hana", 6))
    assert "of today" not in coming.gaps_outside[0].sentence


def test_even_teams_cannot_be_told_without_ratings() -> None:
    """Nothing is claimed of averages where nobody is rated."""
    game = Activity("Game", "balanced", groups=2, strand=STRAND)
    record = with_plan(class_of_eight(game), "ana ben cem dia | eva fin gil hana")
    assert any("averages of" in line for line in summary_lines(record, fairness_of(record)))
    bare = tuple(replace(student, ratings={}) for student in record.roster.students)
    record = replace(record, roster=replace(record.roster, students=bare))
    assert fairness_of(record).spreads == () and fairness_of(record).worst_spread is None
    assert not any("averages of" in line for line in summary_lines(record, fairness_of(record)))


def said_of(record: ClassRecord, label: str) -> str:
    (text,) = [part.text for part in summary_parts(record, fairness_of(record)) if part.label == label]
    return text


def test_more_than_a_bound_is_never_called_proven() -> None:
    """The same pairs three times over: 8 repeats where 0 would do; a partner of an earlier unit met without need."""
    record = with_plan(class_of_eight(pairs(3)), *[ONE_APART] * 3)
    assert "8 repeats" in said_of(record, "New partners") and "proven" not in said_of(record, "New partners")
    past = (PastRound(1, key(1), "", "Passing", False, groups("ana cem | ben dia")),)
    again = replace(with_plan(class_of_eight(pairs()), ONE_APART), past=past)
    assert "2 meetings" in said_of(again, "Earlier units") and "proven" not in said_of(again, "Earlier units")


def test_groups_that_stay_do_not_meet_twice_in_a_lesson() -> None:
    """A pair that works on in the next activity, as it was told to, has met once."""
    record = with_plan(class_of_eight(pairs(), Activity("Again", "stay")), ONE_APART, ONE_APART)
    assert fairness_of(record).twice_in_a_lesson == 0
    assert fairness_of(with_plan(class_of_eight(pairs(2)), ONE_APART, ONE_APART)).twice_in_a_lesson == 4


def test_who_joined_late_is_not_the_one_with_the_fewest_partners() -> None:
    """Hana is there from the second of two lessons on; of the others each has two partners, or three."""
    record = with_plan(
        class_of_eight(pairs(), lessons=2), "ana cem | ben dia | eva fin gil", "ana ben | cem dia | eva gil | fin hana"
    )
    late = replace(record.roster.by_id["hana"], first_lesson=2)
    record = replace(record, roster=record.roster.with_student(late))
    assert fairness_of(record).fewest_partners == 2
