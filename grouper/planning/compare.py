"""Two plans side by side: which groups are different."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.reshape import rounds_kept


@dataclass(frozen=True)
class RoundChange:
    """What is different in a round: only those groups, before and after, by label."""

    key: RoundKey
    before: tuple[Group, ...]
    after: tuple[Group, ...]


def changes_between(before: Plan, after: Plan) -> tuple[RoundChange, ...]:
    """The rounds that both plans have and in which a group is different, in the order of play."""
    return tuple(
        _change(old, after.by_key[old.key])
        for old in before.rounds
        if old.key in after.by_key and set(old.groups) != set(after.by_key[old.key].groups)
    )


def changes_in(before: ClassRecord, after: ClassRecord) -> tuple[RoundChange, ...]:
    """The rounds that both have and in which a group is different; one that only moved in its lesson is the same."""
    moves = rounds_kept(before.unit, after.unit)
    taken = set(moves.values())
    stood = [
        replace(round_, key=moves.get(round_.key, round_.key))
        for round_ in before.plan.rounds
        if round_.key in moves or round_.key not in taken
    ]
    return changes_between(Plan(tuple(sorted(stood, key=lambda round_: round_.key))), after.plan)


def begun_that_change(before: ClassRecord, after: ClassRecord) -> tuple[RoundKey, ...]:
    """Rounds that have begun and would have other groups, or none, in the record ``after``."""
    return tuple(
        round_.key
        for round_ in before.plan.rounds
        if before.has_begun(round_.key) and _differs(round_, after.plan.by_key.get(round_.key))
    )


def _differs(round_: Round, now: Round | None) -> bool:
    return now is None or set(now.groups) != set(round_.groups)


def _change(old: Round, new: Round) -> RoundChange:
    return RoundChange(
        old.key,
        tuple(group for group in old.groups if group not in new.groups),
        tuple(group for group in new.groups if group not in old.groups),
    )
