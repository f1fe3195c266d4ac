"""Where everybody stands on a ladder when a round begins: their start, moved by the results of groups they were in.

Groups change every round, so what is known is carried by student: all members of a group move alike, and a group
stands where its members stand on average. Nothing of this is stored; it is worked out from the results each time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from grouper.model.ladder import Ladder
from grouper.model.ledger import LEARNER
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.model.task_result import TaskResult
from grouper.model.unit import RoundKey
from grouper.tasks.response import ability_for, step_for
from grouper.tasks.staircase import move, sight_of
from grouper.tasks.start import starting_ability

BEYOND = 0.5
"""Nobody stands further than so many steps beyond an end of the ladder, so that the way back is not long."""


@dataclass(frozen=True)
class Seen:
    """A result, the step that it was seen at, and the members of the group then (ids)."""

    result: TaskResult
    step: int
    members: tuple[str, ...]


@dataclass
class Climb:
    """Abilities by student, in steps of the ladder, and the last result of each student.

    ``strand`` is what students start from, ``success`` the share of attempts that is wanted.
    """

    record: ClassRecord
    steps: int
    strand: str
    abilities: dict[str, float] = field(default_factory=dict)
    latest: dict[str, Seen] = field(default_factory=dict)

    @property
    def success(self) -> float:
        """The share of attempts that should succeed."""
        return self.record.settings.success

    def ability(self, student: str) -> float:
        """Where a student stands."""
        if student not in self.abilities:
            self.abilities[student] = starting_ability(self.record.roster, self.strand, student, self.steps)
        return self.abilities[student]

    def group_ability(self, members: Iterable[str]) -> float:
        """Where a group stands: its members' average."""
        abilities = [self.ability(member) for member in members]
        return sum(abilities) / len(abilities)

    def step(self, members: Iterable[str]) -> int:
        """The step that fits a group."""
        return step_for(self.group_ability(members), self.success, self.steps)

    def take(self, result: TaskResult, members: tuple[str, ...]) -> None:
        """Move the members of a group for what was seen; without a step they worked at the one that fitted."""
        step = min(result.step or self.step(members), self.steps)
        moved = move(self.group_ability(members), step, sight_of(result, self.success))
        seen = Seen(result, step, members)
        for member in members:
            self.abilities[member] = self._within(self.ability(member) + moved)
            self.latest[member] = seen

    def _within(self, ability: float) -> float:
        low, high = (ability_for(self.success, end) for end in (1 - BEYOND, self.steps + BEYOND))
        return min(high, max(low, ability))


def at_work(group: Group) -> tuple[str, ...]:
    """Whose task it is that stands on a group's card: the learners' where somebody coaches them, else everybody's."""
    learners = tuple(member for member in group.members if group.role(member) == LEARNER)
    return learners or group.members


def climb_before(record: ClassRecord, ladder: Ladder, key: RoundKey, strand: str) -> Climb:
    """Where everybody stands when a round begins: results of earlier rounds on this ladder, and of none after."""
    climb = Climb(record, len(ladder.steps), strand)
    for result, members in _results_before(record, ladder, key):
        climb.take(result, members)
    return climb


def _results_before(record: ClassRecord, ladder: Ladder, key: RoundKey) -> Iterator[tuple[TaskResult, tuple[str, ...]]]:
    """Results in the order of play with the members of their groups; those whose group is no more say nothing."""
    in_unit = set(record.unit.keys)
    for result in record.results:
        if result.key < key and result.key in in_unit and ladder.fits(record.unit.activity(result.key).name):
            round_ = record.plan.by_key.get(result.key)
            members = [at_work(group) for group in round_.groups if group.label == result.label] if round_ else []
            if members and members[0]:
                yield result, members[0]
