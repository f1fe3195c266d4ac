"""From terms to arrays: the board of a problem."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from math import lcm

import numpy as np

from grouper.engines.board import NOWHERE, Averages, Block, Board, Flags, Floats, Seats, Totals
from grouper.model.plan import Round
from grouper.model.problem import Problem, RoundSpec
from grouper.model.unit import RoundKey
from grouper.rules.terms import (
    CannotLink,
    EvenAverages,
    EvenTotals,
    Level,
    MeetingCost,
    MustLink,
    PairCost,
    Term,
    Turns,
    weight,
)


@dataclass(frozen=True)
class PairPart:
    """What one term says of pairs: the numbers of the two, what they cost, and its mark.

    That is ``cannot_link``, ``must_link`` or nothing.
    """

    ones: Seats
    others: Seats
    amounts: Floats
    mark: str = ""


@dataclass(frozen=True)
class PairTable:
    """People x people, symmetric, not to be written to: the sum of some parts."""

    pair_cost: Floats
    cannot_link: Flags
    must_link: Flags


class PairTables:
    """The parts that were said, and the tables that they add up to."""

    def __init__(self, people: int) -> None:
        self.people = people
        self._parts: list[PairPart] = []
        self._made: dict[tuple[int, ...], PairTable] = {}

    def add(self, part: PairPart) -> int:
        """Remember a part; its number is what ``table`` asks for."""
        self._parts.append(part)
        return len(self._parts) - 1

    def table(self, numbers: Iterable[int]) -> PairTable:
        """The table of the parts with these numbers; a part that is named twice counts twice."""
        wanted = tuple(sorted(numbers))
        if wanted not in self._made:
            self._made[wanted] = self._sum([self._parts[number] for number in wanted])
        return self._made[wanted]

    def _sum(self, parts: list[PairPart]) -> PairTable:
        cost = np.zeros((self.people, self.people))
        marks = {mark: np.zeros((self.people, self.people), dtype=np.bool_) for mark in ("cannot_link", "must_link")}
        for part in parts:
            np.add.at(cost, (part.ones, part.others), part.amounts)
            np.add.at(cost, (part.others, part.ones), part.amounts)
            if part.mark:
                marks[part.mark][part.ones, part.others] = marks[part.mark][part.others, part.ones] = True
        # One table serves all blocks of which the same is asked; whoever wrote to it would change the others.
        for array in (cost, *marks.values()):
            array.flags.writeable = False
        return PairTable(cost, marks["cannot_link"], marks["must_link"])


@dataclass
class _Draft:
    """A block while terms are being added to it."""

    leader: RoundSpec
    keys: list[RoundKey]
    pair_parts: list[int] = field(default_factory=list)
    totals: list[Totals] = field(default_factory=list)
    averages: list[Averages] = field(default_factory=list)
    special: Floats = field(default_factory=lambda: np.zeros(0))
    as_pair_parts: list[int] = field(default_factory=list)


def board_of(problem: Problem, terms: Iterable[Term], start: Mapping[RoundKey, Round] | None = None) -> Board:
    """Compile the terms of a problem's rules.

    Parameters
    ----------
    problem
        Who takes part in which round.
    terms
        What all rules say.
    start
        Groups to begin from, for rounds that are free; they must have the sizes that the round needs.
    """
    return _Compiler(problem).board(terms, start or {})


class _Compiler:
    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        ids = {student for spec in problem.rounds for student in spec.students}
        self.students = tuple(student.id for student in problem.roster.students if student.id in ids)
        self.number = {student: place for place, student in enumerate(self.students)}
        self.tables = PairTables(len(self.students))
        self.drafts: list[_Draft] = []
        self.block_of: dict[RoundKey, int] = {}
        self.constant = 0.0
        self.repeat = 1.0
        for spec in problem.rounds:
            self._open(spec)
        self.affinity = np.zeros((len(self.drafts), len(self.drafts)))
        self.turn_rounds = np.zeros(len(self.drafts))
        self.turn_kinds = np.zeros(len(self.drafts), dtype=np.int64)
        self.turns_before: list[Floats] = []

    def _open(self, spec: RoundSpec) -> None:
        """Give a round a block: its own, or its leader's where the groups stay and the same people are there.

        Where groups stay and others are there, the groups follow later from the leader's: nobody sits in such a block.
        """
        if spec.leader is not None and spec.fixed is None and self._same_people(spec):
            self.block_of[spec.key] = self.block_of[spec.leader]
            self.drafts[self.block_of[spec.leader]].keys.append(spec.key)
            return
        self.block_of[spec.key] = len(self.drafts)
        self.drafts.append(_Draft(spec, [spec.key], special=np.zeros(len(spec.sizes))))

    def _same_people(self, spec: RoundSpec) -> bool:
        leader = self.problem.by_key[spec.leader] if spec.leader else spec
        return set(leader.students) == set(spec.students)

    def board(self, terms: Iterable[Term], start: Mapping[RoundKey, Round]) -> Board:
        for term in terms:
            self._add(term)
        blocks = tuple(self._block(draft, start) for draft in self.drafts)
        return Board(
            students=self.students,
            blocks=blocks,
            affinity=self.affinity,
            turn_rounds=self.turn_rounds,
            turn_kinds=self.turn_kinds,
            turns_before=np.array(self.turns_before or [np.zeros(len(self.students))]),
            constant=self.constant,
            hard=float(self._weight(Level.MUST)),
            repeat=self.repeat,
        )

    def _weight(self, level: Level) -> int:
        return weight(self.problem.settings.prefer, level)

    def _add(self, term: Term) -> None:
        match term:
            case CannotLink():
                self._add_pairs(term.rounds, dict.fromkeys(term.pairs, self._weight(Level.MUST)), "cannot_link")
            case MustLink():
                self._add_pairs(term.rounds, dict.fromkeys(term.pairs, -self._weight(Level.MUST)), "must_link")
                # A wish that is kept is a gain here; the constant makes the sum the referee's, who charges broken ones.
                self.constant += self._weight(Level.MUST) * len(term.pairs) * len(term.rounds)
            case PairCost():
                self._add_costs(term)
            case MeetingCost():
                self._add_meetings(term)
            case EvenTotals():
                self._add_totals(term)
            case EvenAverages():
                self._add_averages(term)
            case Turns():
                self._add_turns(term)

    def _add_costs(self, term: PairCost) -> None:
        """A hard cost bars the pair where all groups are pairs; in larger groups it is a price."""
        factor = self._weight(term.level)
        costs = {pair: factor * cost for pair, cost in term.costs.items()}
        if term.as_pair:
            self._add_pairs(term.rounds, costs, as_pair=True)
            return
        only_pairs = [key for key in term.rounds if term.level is Level.MUST and self._in_pairs_only(key)]
        self._add_pairs(only_pairs, costs, "cannot_link")
        self._add_pairs([key for key in term.rounds if key not in only_pairs], costs)

    def _in_pairs_only(self, key: RoundKey) -> bool:
        return set(self.drafts[self.block_of[key]].leader.sizes) == {2}

    def _add_pairs(
        self, rounds: Sequence[RoundKey], costs: dict[tuple[str, str], int], mark: str = "", as_pair: bool = False
    ) -> None:
        known = [pair for pair in costs if pair[0] in self.number and pair[1] in self.number]
        if not known or not rounds:
            return
        ones = np.array([self.number[one] for one, _ in known], dtype=np.int64)
        others = np.array([self.number[other] for _, other in known], dtype=np.int64)
        amounts = np.array([costs[pair] for pair in known], dtype=np.float64)
        part = self.tables.add(PairPart(ones, others, amounts, mark))
        for key in rounds:
            draft = self.drafts[self.block_of[key]]
            (draft.as_pair_parts if as_pair else draft.pair_parts).append(part)

    def _add_meetings(self, term: MeetingCost) -> None:
        """Blocks of weights v and w that a pair shares cost it v x w; a block of several rounds costs it by itself."""
        total, squares = np.zeros(len(self.drafts)), np.zeros(len(self.drafts))
        for key, each in zip(term.rounds, term.weights, strict=True):
            total[self.block_of[key]] += each
            squares[self.block_of[key]] += each * each
        crossed = np.outer(total, total)
        # A block of several rounds is met with itself: each two of its rounds once, and no round with itself.
        np.fill_diagonal(crossed, (total**2 - squares) / 2)
        self.affinity += self._weight(term.level) * crossed
        if term.level is Level.FRESH:
            self.repeat = float(self._weight(term.level) * min(term.weights, default=1) ** 2)

    def _add_totals(self, term: EvenTotals) -> None:
        values = np.array([term.values.get(student, 0) for student in self.students], dtype=np.float64)
        windows = {window.size: window for window in term.windows}
        factor = self._weight(term.level)
        for key in term.rounds:
            draft = self.drafts[self.block_of[key]]
            fitting = [windows[size] for size in draft.leader.sizes]
            bounds = np.array([(w.low, w.high, w.step * factor) for w in fitting], dtype=np.float64)
            draft.totals.append(Totals(values, *bounds.T))

    def _add_averages(self, term: EvenAverages) -> None:
        """In units of which a total, divided by any size, a unit of the value and the tolerance are whole numbers."""
        values = np.array([term.values.get(student, 0) for student in self.students], dtype=np.float64)
        for key in term.rounds:
            draft = self.drafts[self.block_of[key]]
            # In fractions an average that is just even enough could be just not, by a rounding.
            parts = [term.divisor(size) for size in draft.leader.sizes]
            one = lcm(*(part.numerator for part in parts if part)) * term.tolerance.denominator
            averages = Averages(
                values=values,
                scale=np.array([float(one / part) if part else 0.0 for part in parts]),
                free=float(term.tolerance * one),
                step=float(term.step.numerator),
                unit=float(one * term.step.denominator),
                least=float(term.least),
                weight=float(self._weight(term.level)),
            )
            draft.averages.append(averages)

    def _add_turns(self, term: Turns) -> None:
        kind = len(self.turns_before)
        self.turns_before.append(np.array([term.before.get(student, 0) for student in self.students], dtype=np.float64))
        for key, sizes in zip(term.rounds, term.sizes, strict=True):
            block = self.block_of[key]
            draft = self.drafts[block]
            here = np.isin(draft.leader.sizes, list(sizes))
            if here.any():
                self.turn_kinds[block] = kind
                draft.special = np.where(here, float(self._weight(term.level)), draft.special)
                self.turn_rounds[block] += 1

    def _block(self, draft: _Draft, start: Mapping[RoundKey, Round]) -> Block:
        spec = draft.leader
        people = np.array([self.number[student] for student in spec.students], dtype=np.int64)
        people.sort()
        table = self.tables.table(draft.pair_parts)
        stands = spec.fixed or start.get(spec.key)
        seats = None if stands is None else self._seats(stands)
        return Block(
            keys=tuple(draft.keys),
            people=people,
            sizes=spec.sizes,
            pair_cost=table.pair_cost,
            cannot_link=table.cannot_link,
            must_link=table.must_link,
            totals=tuple(draft.totals),
            averages=tuple(draft.averages),
            special=draft.special,
            seats=seats,
            free=spec.free,
            as_pair=self.tables.table(draft.as_pair_parts).pair_cost if draft.as_pair_parts else None,
        )

    def _seats(self, round_: Round) -> Seats:
        """Seats by group, the largest group first, so that places fit the sizes that a round needs."""
        seats = np.full(len(self.students), NOWHERE, dtype=np.int64)
        groups = sorted(round_.groups, key=lambda group: -len(group.members))
        for place, group in enumerate(groups):
            for student in group.members:
                seats[self.number[student]] = place
        return seats
