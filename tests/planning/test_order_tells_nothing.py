"""Nothing can be read from order: labels, places, the trio, who is named first and who begins as coach."""

from __future__ import annotations

from builders import hasty
from order_signs import Signs, listed_class

WORDS = ("named first", "named last", "coach first", "in the trio", "group 1", "group in place 1")


def test_order_tells_nothing_of_ability() -> None:
    """Over sixty classes listed from the least able, no sign is three standard errors from nothing.

    ``tests/bench/test_order.py`` looks at two hundred in each order, and at every label of every round.
    """
    signs = Signs()
    for number in range(60):
        signs.add(listed_class(number))
    found = signs.in_standard_errors
    assert {word: round(found[word], 2) for word in WORDS if abs(found[word]) >= 3} == {}


def test_labels_are_dealt_for_each_class_anew() -> None:
    """With the same seed, and the same ids, group 1 of a round stands in other places of the roster."""
    record = listed_class(0)
    first_groups = {hasty(listed_class(6 * number)).plan.rounds[0].groups[0].members for number in range(4)}
    assert len(record.roster.students) == 22
    assert len(first_groups) == 4
