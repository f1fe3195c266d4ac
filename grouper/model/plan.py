"""Who is with whom: groups, rounds and the plan of a unit."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations

from grouper.errors import InputError
from grouper.model.unit import RoundKey


@dataclass(frozen=True)
class Group:
    """Who works together in one round: a label, the members by id, and a role for each member, empty for none."""

    label: str
    members: tuple[str, ...]
    roles: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.roles and len(self.roles) != len(self.members):
            what, members, roles = "group {label} has {members} members and {roles} roles", self.members, self.roles
            raise InputError(what, label=self.label, members=len(members), roles=len(roles))

    def only(self, students: Container[str]) -> Group:
        """The group with just these of its members, each in the role that they had."""
        kept = [at for at, member in enumerate(self.members) if member in students]
        members, roles = tuple(self.members[at] for at in kept), tuple(self.roles[at] for at in kept if self.roles)
        return replace(self, members=members, roles=roles)

    def role(self, student: str) -> str:
        """The role of a member, or an empty text."""
        return self.roles[self.members.index(student)] if self.roles else ""

    @property
    def pairs(self) -> Iterator[tuple[str, str]]:
        """Each two members once, the smaller id first."""
        return combinations(sorted(self.members), 2)


@dataclass(frozen=True)
class Round:
    """The groups of one round as they stand now, and as they were planned before anybody was absent.

    ``pinned`` groups are left by planning; ``ran`` says that they stand as they really were, which nothing changes but
    another word of the teacher.
    """

    key: RoundKey
    groups: tuple[Group, ...]
    planned: tuple[Group, ...] = ()
    pinned: bool = False
    ran: bool = False

    @cached_property
    def students(self) -> tuple[str, ...]:
        """Everybody who takes part, by group."""
        return tuple(student for group in self.groups for student in group.members)

    @property
    def sizes(self) -> tuple[int, ...]:
        """Sizes of the groups, largest first."""
        return tuple(sorted((len(group.members) for group in self.groups), reverse=True))

    @property
    def pairs(self) -> Iterator[tuple[str, str]]:
        """The meetings of the round: each two students of one group, the smaller id first."""
        return (pair for group in self.groups for pair in group.pairs)

    def group_of(self, student: str) -> Group | None:
        """The group that a student is in, or None."""
        return next((group for group in self.groups if student in group.members), None)

    def members(self, label: str) -> tuple[str, ...]:
        """Who is in the group with a label; nobody where there is none."""
        return next((group.members for group in self.groups if group.label == label), ())

    @property
    def as_sets(self) -> frozenset[frozenset[str]]:
        """The groups without labels or order, to compare two rounds by who is with whom."""
        return frozenset(frozenset(group.members) for group in self.groups)

    def as_known(self, groups: Iterable[Group]) -> tuple[Group, ...]:
        """These groups; one that stands in this round under its label is the same, roles and order included."""
        standing = {(group.label, frozenset(group.members)): group for group in self.groups}
        return tuple(standing.get((group.label, frozenset(group.members)), group) for group in groups)


@dataclass(frozen=True)
class Plan:
    """The rounds of a unit in the order of play."""

    rounds: tuple[Round, ...] = ()

    @cached_property
    def by_key(self) -> dict[RoundKey, Round]:
        """The rounds by key."""
        return {round_.key: round_ for round_ in self.rounds}

    def of_lesson(self, lesson: int) -> tuple[Round, ...]:
        """The rounds of one lesson in the order of play."""
        return tuple(round_ for round_ in self.rounds if round_.key.lesson == lesson)

    def members(self, key: RoundKey, label: str) -> tuple[str, ...]:
        """Who is in a group of a round; nobody where there is no such round or group."""
        round_ = self.by_key.get(key)
        return round_.members(label) if round_ else ()

    def with_rounds(self, changed: dict[RoundKey, Round]) -> Plan:
        """The plan with some rounds put in the place of those with the same keys, or added."""
        merged = {**self.by_key, **changed}
        # Keys sort in the order of play.
        return replace(self, rounds=tuple(merged[key] for key in sorted(merged)))
