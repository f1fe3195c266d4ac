"""Who has met whom, counted on paper."""

from __future__ import annotations

from builders import class_of_eight, groups, key, pairs, plan_of

from grouper.model.ledger import COACH, LEARNER, ledger_of
from grouper.model.plan import Group, Round


def test_two_lessons_on_paper() -> None:
    """Ana and ben meet three times, all others once: 2 repeats, cost C(3, 2) = 3."""
    record = class_of_eight(pairs(), lessons=3)
    ledger = ledger_of(
        plan_of(
            record,
            "ana ben | cem dia | eva fin | gil hana",
            "ana ben | cem eva | dia gil | fin hana",
            "ben ana | cem fin | dia hana | eva gil",
        ).rounds
    )
    assert (ledger.repeats, ledger.meeting_cost, ledger.most_meetings) == (2, 3, 3)
    assert ledger.met("ana", "ben") == ledger.met("ben", "ana") == 3
    assert ledger.met("ana", "cem") == 0


def test_trio_is_three_meetings() -> None:
    """In a trio each meets both others."""
    ledger = ledger_of([Round(key(1), groups("ana ben cem | dia eva"))])
    assert sum(ledger.meetings.values()) == 4
    assert ledger.partners(("ana", "dia", "zoe")) == {"ana": 2, "dia": 1, "zoe": 0}


def test_coach_turns_count_coaches_only() -> None:
    """Who learns has no turn, and a group without roles gives none."""
    coached = Group("1", ("ana", "ben"), (COACH, LEARNER))
    ledger = ledger_of([Round(key(1), (coached, Group("2", ("cem", "dia")))), Round(key(2), (coached,))])
    assert ledger.coach_turns == {"ana": 2}


def test_nothing_adds_up_to_nothing() -> None:
    """A ledger of no rounds is all zeros."""
    ledger = ledger_of([])
    assert (ledger.repeats, ledger.meeting_cost, ledger.most_meetings) == (0, 0, 0)
