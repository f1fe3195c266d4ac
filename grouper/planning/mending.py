"""Rounds put together: the plan of a seating, a round mended with fewest moves, and what a search leaves open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from grouper.engines.board import Averages, Block, Board, Floats, Seats
from grouper.engines.compile import board_of
from grouper.engines.exact import Answer
from grouper.engines.fewest_moves import Average, Prices, Standing, Total, with_fewest_moves
from grouper.engines.seating import together
from grouper.model.plan import Group, Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.model.unit import RoundKey
from grouper.planning.explain import refuse, verdict
from grouper.planning.turns import with_roles
from grouper.rules.balanced import even_averages
from grouper.rules.catalogue import RULES
from grouper.rules.coaching import gap_fits
from grouper.rules.turns import SIDE_TURNS, TRIO_TURNS


def board_for(problem: Problem, start: Mapping[RoundKey, Round] | None = None) -> Board:
    """The board of a problem under all rules; ``start`` gives groups to begin from, for free rounds."""
    return board_of(problem, (term for rule in RULES for term in rule.terms(problem)), start)


def plan_from(problem: Problem, board: Board, seats: Seats) -> Plan:
    """The plan that a seating stands for.

    Labels are numbers dealt at random, and so is who is named first, so that neither tells anything; a group keeps its
    label while it stays.
    """
    rounds: dict[RoundKey, Round] = {}
    leaders = {block.keys[0]: row for block, row in zip(board.blocks, seats, strict=True) if block.free}
    for spec in problem.rounds:
        rounds[spec.key] = _round(problem, spec, board, leaders, rounds)
    plan = with_roles(problem, Plan(tuple(rounds.values())))
    return as_planned(problem, plan)


def as_planned(problem: Problem, plan: Plan) -> Plan:
    """The plan in which the groups of free rounds are what a repair goes back to when everybody is there again."""
    free = (plan.by_key[spec.key] for spec in problem.rounds if spec.fixed is None)
    return plan.with_rounds({round_.key: replace(round_, planned=round_.groups) for round_ in free})


def _round(
    problem: Problem, spec: RoundSpec, board: Board, leaders: dict[RoundKey, Seats], before: dict[RoundKey, Round]
) -> Round:
    if spec.fixed is not None:
        return spec.fixed
    if spec.leader is not None:
        return Round(spec.key, staying_groups(problem, spec, before[spec.leader]))
    seats = leaders[spec.key]
    teams = [
        problem.drawn(spec.key, (board.students[person] for person in np.flatnonzero(seats == place)))
        for place in range(len(spec.sizes))
    ]
    deal = np.random.default_rng([problem.draw, *spec.key]).permutation(len(teams))
    return Round(spec.key, tuple(Group(str(label), teams[number]) for label, number in enumerate(deal, start=1)))


def staying_groups(problem: Problem, spec: RoundSpec, leader: Round) -> tuple[Group, ...]:
    """The leader's groups for a later round: as they are, or mended with fewest moves where others are there."""
    here = set(spec.students)
    if set(leader.students) == here:
        return leader.groups
    students = problem.drawn(spec.key, spec.students)
    number = {student: place for place, student in enumerate(students)}
    standing = Standing(
        groups=tuple(tuple(number[s] for s in group.members if s in here) for group in leader.groups),
        joining=tuple(number[s] for s in students if s not in set(leader.students)),
        sizes=spec.sizes,
        prices=Prices(np.zeros((len(number), len(number))).tolist(), hard=1.0),
    )
    labels = [group.label for group in leader.groups]
    return regrouped(with_fewest_moves(standing).groups, labels, students)


def regrouped(places: tuple[tuple[int, ...], ...], labels: list[str], students: tuple[str, ...]) -> tuple[Group, ...]:
    """Groups by place, the empty ones left out; places beyond the labels get the lowest free numbers."""
    used = list(labels)
    while len(used) < len(places):
        number = 1
        while str(number) in used:
            number += 1
        used.append(str(number))
    return tuple(
        Group(label, tuple(students[person] for person in sorted(place)))
        for label, place in zip(used, places, strict=True)
        if place
    )


TURN_PRICE = 20.0
"""An earlier turn in the trio, on the smaller side or as floater weighs as much as so many repeats; a later one, that
may still change, a hundredth."""

TO_COME = 0.5
"""What it counts to meet again in a lesson to come."""


class _Pricing:
    """What groups cost in one round, given all others: taken from the board, in plain lists."""

    def __init__(self, problem: Problem, board: Board, spec: RoundSpec, plan: Plan) -> None:
        self.problem, self.board, self.spec, self.plan = problem, board, spec, plan
        self.place = self._block_of(spec.key)
        self.people = np.array([board.students.index(student) for student in spec.students], dtype=np.int64)

    @property
    def block(self) -> Block:
        return self.board.blocks[self.place]

    def prices(self) -> Prices:
        """All prices of groups in the round."""
        outside = self._outside()
        here = np.ix_(self.people, self.people)
        rule = SIDE_TURNS if SIDE_TURNS.sizes(self.problem, self.spec) else TRIO_TURNS
        before = rule.beforehand(self.problem, self.spec.key)
        had = rule.turns(self.problem, (r for r in self.plan.rounds if r.key < self.spec.key))
        planned = rule.turns(self.problem, (r for r in self.plan.rounds if r.key > self.spec.key))
        # Without such a place in the round no turn is given out, and nobody's turns are to weigh against partners.
        price = TURN_PRICE * self.board.repeat if (self.block.special > 0).any() else 0.0
        return Prices(
            pair_cost=(self._sharing()[here] - self.board.hard * outside).tolist(),
            outside=outside.astype(bool).tolist(),
            wishes=self._wishes(outside),
            hard=self.board.hard,
            turn_cost=[price * (before.get(s, 0) + had[s] + planned[s] / 100) for s in self.spec.students],
            turn_sizes=rule.sizes(self.problem, self.spec),
            totals=self._totals(),
            averages=self._averages(),
        )

    def _wishes(self, outside: Floats) -> int:
        """Wishes for together; one in several rounds of a block counts several times, as its price does.

        The board adds what a gap outside of the window costs to the price of a wish: it is taken off again.
        """
        here = np.ix_(self.people, self.people)
        gained = np.round(outside - self.block.pair_cost[here] / self.board.hard)
        return int(np.where(self.block.must_link[here], gained, 0).sum()) // 2

    def _sharing(self) -> Floats:
        """What it costs each two people to share a group here: for itself, and for every other round they share.

        Those of lessons to come count half: somebody will be away then too, and a meeting need not come about.
        """
        sharing = self.block.pair_cost.copy()
        number = {student: place for place, student in enumerate(self.board.students)}
        for round_ in self.plan.rounds:
            if round_.key not in self.block.keys:
                affinity = self.board.affinity[self.place, self._block_of(round_.key)]
                share = TO_COME if round_.key.lesson > self.spec.key.lesson else 1.0
                sharing += np.round(share * affinity) * together(_seats(round_, number))
        return sharing

    def _block_of(self, key: RoundKey) -> int:
        return next(place for place, block in enumerate(self.board.blocks) if key in block.keys)

    def _outside(self) -> Floats:
        """Who is outside of the window of the round, or of the round whose groups stay in it."""
        students, activity = self.spec.students, self.problem.by_key[self.block.keys[0]].activity
        outside = np.zeros((len(students), len(students)))
        if activity.aim == "coaching":
            for one, student in enumerate(students):
                for other in range(one):
                    pair = (student, students[other])
                    outside[one, other] = outside[other, one] = not gap_fits(self.problem, activity, pair)
        return outside


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

    def _averages(self) -> tuple[Average, ...]:
        """From averages in the units of the value to the board's finer ones."""

        def average(item: Averages) -> Average:
            parts = even_averages(self.problem, self.problem.by_key[self.block.keys[0]]).parts
            at = next(place for place, scale in enumerate(item.scale) if scale)
            one = float(item.scale[at]) * float(parts.get(self.block.sizes[at], self.block.sizes[at]))
            return Average(
                item.values[self.people].tolist(),
                lambda spread: item.price_of(round(spread * one)),
                {size: float(part) for size, part in parts.items()},
            )

        return tuple(average(item) for item in self.block.averages)


def _seats(round_: Round, number: dict[str, int]) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    seats = np.full(len(number), -1, dtype=np.int64)
    for place, group in enumerate(round_.groups):
        seats[[number[student] for student in group.members if student in number]] = place
    return seats


def mended_groups(problem: Problem, board: Board, spec: RoundSpec, plan: Plan) -> tuple[Group, ...]:
    """Groups for a round that keep all hard wishes: those that stay where they do, else with fewest moves.

    Between ways that are worth the same the draw decides, and not who stands first on the roster.

    Raises
    ------
    ImpossibleError, OutOfTimeError
        There are none, or none were found in time.
    """
    stays = groups_that_stay(problem, spec, plan)
    if stays is not None and not breaks_hard_rule(problem, spec, stays):
        return stays
    drawn = replace(spec, students=problem.drawn(spec.key, spec.students))
    groups = _fewest_moves(problem, board, drawn, plan)
    if breaks_hard_rule(problem, spec, groups):
        # Wishes that contradict each other cancel out in the prices of a mending; the exact engine says so.
        groups = _exact(problem, board, spec, plan.by_key[spec.key])
    return plan.by_key[spec.key].as_known(groups)


def groups_that_stay(problem: Problem, spec: RoundSpec, plan: Plan) -> tuple[Group, ...] | None:
    """The groups of the leader, or else of the last round that stays with it, where the same people are there."""
    if spec.leader is None:
        return None
    followers = [other for other in problem.rounds if other.leader == spec.leader and other.key < spec.key]
    for other in (problem.by_key[spec.leader], *reversed(followers)):
        if set(other.students) == set(spec.students):
            return plan.by_key[other.key].groups
    return None


def _fewest_moves(problem: Problem, board: Board, spec: RoundSpec, plan: Plan) -> tuple[Group, ...]:
    stood = plan.by_key[spec.key]
    here = set(spec.students)
    number = {student: place for place, student in enumerate(spec.students)}
    seated = {student for group in stood.groups for student in group.members}
    place_of = {group.label: place for place, group in enumerate(stood.groups)}
    standing = Standing(
        groups=tuple(tuple(number[s] for s in group.members if s in here) for group in stood.groups),
        joining=tuple(number[student] for student in spec.students if student not in seated),
        sizes=spec.sizes,
        homes={
            number[student]: place_of.get(group.label, len(place_of))
            for group in stood.planned
            for student in group.members
            if student in number
        },
        prices=_Pricing(problem, board, spec, plan).prices(),
    )
    mended = with_fewest_moves(standing)
    labels = [group.label for group in stood.groups]
    if not mended.kept:
        return _exact(problem, board, spec, stood)
    return regrouped(mended.groups, labels, spec.students)


def _exact(problem: Problem, board: Board, spec: RoundSpec, stood: Round) -> tuple[Group, ...]:
    """Where no mending was found: groups from the exact engine, each under the label that most of it had.

    They suit the rounds too in which they stay, if any groups do.
    """
    together = next(block.keys for block in board.blocks if spec.key in block.keys)
    # Asked of all rounds with these groups first: what suits this one alone would have to be mended again in the next.
    found = verdict(problem, *(problem.by_key[key] for key in together))
    # No groups suit all of them: those that stay are then mended round by round.
    if found.answer is not Answer.YES and len(together) > 1:
        found = verdict(problem, spec)
    if found.answer is not Answer.YES:
        raise refuse(problem, found.answer, spec)
    free = [group.label for group in stood.groups]
    places: list[tuple[str, tuple[int, ...]]] = []
    for people in found.groups:
        names = {spec.students[person] for person in people}
        label = max(free, key=lambda lb: len(names & set(stood.members(lb))), default=str(len(places) + 1))
        free = [other for other in free if other != label]
        places.append((label, people))
    return regrouped(tuple(people for _, people in places), [label for label, _ in places], spec.students)


def breaks_hard_rule(problem: Problem, spec: RoundSpec, groups: tuple[Group, ...]) -> bool:
    """Whether these groups break a request or a gap window in this round."""
    alone = Plan((Round(spec.key, groups),))
    return any(rule.breaches(problem, alone) for rule in RULES)


def settled(problem: Problem, board: Board, plan: Plan) -> Plan:
    """The plan with every round that breaks a hard rule mended, and the rounds that stay with it alike.

    Raises
    ------
    ImpossibleError, OutOfTimeError
        A round cannot keep all hard wishes, or no way was found in time.
    """
    mended = plan
    for spec in problem.rounds:
        if spec.fixed is not None:
            continue
        groups = groups_that_stay(problem, spec, mended) or mended.by_key[spec.key].groups
        if breaks_hard_rule(problem, spec, groups):
            groups = mended_groups(problem, board, spec, mended)
        if groups != mended.by_key[spec.key].groups:
            mended = mended.with_rounds({spec.key: replace(mended.by_key[spec.key], groups=groups)})
    return plan if mended is plan else as_planned(problem, with_roles(problem, mended))
