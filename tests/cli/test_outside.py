"""The outsider of these tests sees what is wrong: each kind of damage to a sound plan is a fault."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from .outside import OneRound, Seen, faults
from .tables import a_class, activity


def _gone(round_: OneRound) -> None:
    next(iter(round_.groups.values())).pop()


def _twice(round_: OneRound) -> None:
    one, other = list(round_.groups.values())[:2]
    other[0] = one[0]


def _uneven(round_: OneRound) -> None:
    one, other = list(round_.groups.values())[:2]
    other.append(one.pop())


def _turned(round_: OneRound) -> None:
    labels = list(round_.groups)
    members = [m for label in labels for m in round_.groups[label]]
    for place, label in enumerate(labels):
        round_.groups[label] = members[place :: len(labels)]


def _no_coach(round_: OneRound) -> None:
    round_.roles.update(dict.fromkeys(round_.roles, "learner"))


@pytest.mark.parametrize(
    ("place", "damage"),
    [
        ((1, "pairs", 1), _gone),
        ((1, "pairs", 1), _twice),
        ((1, "pairs", 1), _turned),
        ((2, "teams", 1), _uneven),
        ((2, "again", 1), _turned),
        ((3, "coach", 1), _no_coach),
        ((3, "coach", 1), _turned),
    ],
)
def test_damage_is_seen(tmp_path: Path, place: tuple[int, str, int], damage: Callable[[OneRound], None]) -> None:
    """Somebody gone, twice or moved; groups that did not stay; no coach; a window, a request that does not hold."""
    rows = [
        activity(1, "pairs", 2),
        activity(2, "teams", groups=2),
        activity(2, "again", aim="stay"),
        activity(3, "coach", 2, aim="coaching", gaps=(1, 4)),
    ]
    disk = a_class(tmp_path, 8, rows, [("together", "k01", "k02", 1, 1), ("together", "k03", "k05", 1, 1)], seed=4)
    disk.plan()
    seen = Seen(disk)
    assert faults(seen) == []
    damage(next(round_ for round_ in seen.rounds if round_.place == place))
    assert any(fault.startswith(str(place)) for fault in faults(seen))
