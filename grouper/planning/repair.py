"""Repair: after somebody is absent, back, new or gone, the rounds are mended with as few moves as can be.

What decides, in this order: hard wishes hold; as few students as possible change their group; the gap window and even
teams; the trio goes to whoever has had fewest; new partners; and for who comes back, the groups as they were planned.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from grouper.engines.board import Block, Board, Floats
from grouper.engines.exact import Answer
from grouper.engines.fewest_moves import Prices, Standing, Total, mend
from grouper.engines.seating import together
from grouper.model.plan import Group, Plan, Round
from grouper.model.problem import Need, Problem, problem_of
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.assemble import regrouped
from grouper.planning.boards import board_for
from grouper.planning.compare import RoundChange, changes_between
from grouper.planning.explain import refuse, verdict
from grouper.planning.loosen import loosened
from grouper.planning.roles import with_roles
from grouper.rules.coaching import gap_fits
from grouper.rules.referee import insist
from grouper.rules.trio_turns import TRIO, trio_turns, works_in_pairs

TRIO_TURN_PRICE = 20.0
"""An earlier turn in the trio weighs as much as so many repeats; a later one, that may still change, a hundredth."""


@dataclass(frozen=True)
class Repair:
    """A mended record, what changed in it, and a word on what could not be kept."""

    record: ClassRecord
    changes: tuple[RoundChange, ...] = ()
    remarks: tuple[str, ...] = ()


def repair(record: ClassRecord, pinned_only: bool = False) -> Repair:
    """Mend every round not yet taught whose groups do not fit who takes part, or have not the right sizes.

    With ``pinned_only`` just the pinned ones, as before a new plan of all others.

    Raises
    ------
    ImpossibleError
        The requests cannot all be met with those who are there.
    """
    stale = frozenset(_stale(record, pinned_only))
    if not stale:
        return Repair(record)
    problem, remarks = loosened(problem_of(record, stale))
    plan = _mended(problem, record.plan)
    insist(problem, plan)
    return Repair(replace(record, plan=plan), changes_between(record.plan, plan), remarks)


def _stale(record: ClassRecord, pinned_only: bool) -> Iterable[RoundKey]:
    open_rounds = [
        round_
        for round_ in record.plan.rounds
        if round_.key.lesson not in record.taught and (round_.pinned or not pinned_only)
    ]
    wanted = problem_of(record, frozenset(round_.key for round_ in open_rounds)).by_key
    for round_ in open_rounds:
        need = wanted[round_.key]
        if set(round_.students) != set(need.students) or round_.sizes != need.sizes:
            yield round_.key


def _mended(problem: Problem, plan: Plan) -> Plan:
    board = board_for(problem)
    unchanged: set[tuple[RoundKey, str]] = set()
    for need in problem.needs:
        if need.fixed is None:
            stood = plan.by_key[need.key]
            groups = _groups(problem, board, need, plan)
            unchanged |= {(need.key, group.label) for group in groups if group in stood.groups}
            plan = plan.with_rounds({need.key: replace(stood, groups=groups)})
    return with_roles(problem, plan, frozenset(unchanged))


def _groups(problem: Problem, board: Board, need: Need, plan: Plan) -> tuple[Group, ...]:
    stays = _groups_that_stay(problem, need, plan)
    if stays is not None:
        return stays
    return _with_old_roles(_fewest_moves(problem, board, need, plan), plan.by_key[need.key])


def _groups_that_stay(problem: Problem, need: Need, plan: Plan) -> tuple[Group, ...] | None:
    """The groups of the leader, or else of the last round that stays with it, where the same people are there."""
    if need.leader is None:
        return None
    followers = [other for other in problem.needs if other.leader == need.leader and other.key < need.key]
    for other in (problem.by_key[need.leader], *reversed(followers)):
        if set(other.students) == set(need.students):
            return plan.by_key[other.key].groups
    return None


def _with_old_roles(groups: tuple[Group, ...], stood: Round) -> tuple[Group, ...]:
    """A group with the same members as before is the same group, roles and order included."""
    before = {(group.label, frozenset(group.members)): group for group in stood.groups}
    return tuple(before.get((group.label, frozenset(group.members)), group) for group in groups)


def _fewest_moves(problem: Problem, board: Board, need: Need, plan: Plan) -> tuple[Group, ...]:
    stood = plan.by_key[need.key]
    here = set(need.students)
    number = {student: place for place, student in enumerate(need.students)}
    seated = {student for group in stood.groups for student in group.members}
    standing = Standing(
        groups=tuple(tuple(number[s] for s in group.members if s in here) for group in stood.groups),
        joining=tuple(number[student] for student in need.students if student not in seated),
        sizes=need.sizes,
        homes=_homes(stood, number),
        prices=_Pricing(problem, board, need, plan).prices(),
    )
    mended = mend(standing)
    labels = [group.label for group in stood.groups]
    if not mended.kept:
        return _exact(problem, need, stood)
    return regrouped(mended.groups, labels, need.students)


def _homes(stood: Round, number: dict[str, int]) -> dict[int, int]:
    labels = {group.label: place for place, group in enumerate(stood.groups)}
    return {
        number[student]: labels.get(group.label, len(labels))
        for group in stood.planned
        for student in group.members
        if student in number
    }


def _exact(problem: Problem, need: Need, stood: Round) -> tuple[Group, ...]:
    """Where no mending was found: groups from the exact engine, each under the label that most of it had."""
    found = verdict(problem, need)
    if found.answer is not Answer.YES:
        raise refuse(problem, need, found.answer)
    free = [group.label for group in stood.groups]
    places: list[tuple[str, tuple[int, ...]]] = []
    for people in found.groups:
        names = {need.students[person] for person in people}
        label = max(free, key=lambda lb: len(names & set(_members(stood, lb))), default=str(len(places) + 1))
        free = [other for other in free if other != label]
        places.append((label, people))
    return regrouped(tuple(people for _, people in places), [label for label, _ in places], need.students)


def _members(round_: Round, label: str) -> tuple[str, ...]:
    return next((group.members for group in round_.groups if group.label == label), ())


class _Pricing:
    """What groups cost in one round, given all others: taken from the board, in plain lists."""

    def __init__(self, problem: Problem, board: Board, need: Need, plan: Plan) -> None:
        self.problem, self.board, self.need, self.plan = problem, board, need, plan
        self.place = self._block_of(need.key)
        self.people = np.array([board.students.index(student) for student in need.students], dtype=np.int64)

    @property
    def block(self) -> Block:
        return self.board.blocks[self.place]

    def prices(self) -> Prices:
        """All prices of groups in the round."""
        outside = self._outside()
        here = np.ix_(self.people, self.people)
        return Prices(
            pair_cost=(self._sharing()[here] - self.board.hard * outside).tolist(),
            outside=outside.astype(bool).tolist(),
            wishes=int(self.block.glued[here].sum()) // 2,
            hard=self.board.hard,
            turn_cost=self._turn_cost(),
            turn_size=TRIO,
            totals=self._totals(),
        )

    def _sharing(self) -> Floats:
        """What it costs each two people to share a group here: for itself, and for every other round they share."""
        sharing = self.block.pair_cost.copy()
        number = {student: place for place, student in enumerate(self.board.students)}
        for round_ in self.plan.rounds:
            if round_.key not in self.block.keys:
                affinity = self.board.affinity[self.place, self._block_of(round_.key)]
                sharing += affinity * together(_seats(round_, number))
        return sharing

    def _block_of(self, key: RoundKey) -> int:
        return next(place for place, block in enumerate(self.board.blocks) if key in block.keys)

    def _outside(self) -> Floats:
        students, activity = self.need.students, self.need.activity
        outside = np.zeros((len(students), len(students)))
        if activity.aim == "coaching":
            for one, student in enumerate(students):
                for other in range(one):
                    pair = (student, students[other])
                    outside[one, other] = outside[other, one] = not gap_fits(self.problem, activity, pair)
        return outside

    def _turn_cost(self) -> list[float]:
        in_pairs = [r for r in self.plan.rounds if r.key != self.need.key and works_in_pairs(self.problem, r)]
        had = trio_turns(r for r in in_pairs if r.key < self.need.key)
        planned = trio_turns(r for r in in_pairs if r.key > self.need.key)
        price = TRIO_TURN_PRICE * self.board.repeat if (self.block.special > 0).any() else 0.0
        return [price * (had[student] + planned[student] / 100) for student in self.need.students]

    def _totals(self) -> tuple[Total, ...]:
        return tuple(
            Total(
                total.values[self.people].tolist(),
                {
                    size: (float(total.low[group]), float(total.high[group]), float(total.step[group]))
                    for group, size in enumerate(self.block.sizes)
                },
            )
            for total in self.block.totals
        )


def _seats(round_: Round, number: dict[str, int]) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    seats = np.full(len(number), -1, dtype=np.int64)
    for place, group in enumerate(round_.groups):
        seats[[number[student] for student in group.members if student in number]] = place
    return seats
