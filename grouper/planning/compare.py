"""Two plans side by side: which groups are different."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.model.plan import Group, Plan, Round
from grouper.model.unit import RoundKey


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


def _change(old: Round, new: Round) -> RoundChange:
    return RoundChange(
        old.key,
        tuple(group for group in old.groups if group not in new.groups),
        tuple(group for group in new.groups if group not in old.groups),
    )
