"""What no plan can beat: lower bounds on repeats and on the meeting cost, by counting.

Three countings, of which the largest holds (see ``docs/numbers.md``):

* meetings against pairs: L meetings over N pairs that may meet;
* the same for each student: D meetings over P possible partners;
* round against round: two rounds of g and h groups share at least so many pairs as must fall together; and where
  only so many rounds of everybody in some sizes are without a repeat (`most_rounds`), more share pairs all the same.

Rounds that are fixed count as they stand, requests and presence are taken into account, and rounds in which groups
stay are counted as the repeats that they are. All bounds are for plain counts (every meeting counts one).
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from functools import cache
from math import comb

import numpy as np

from grouper.engines.board import NOWHERE, Block, Board, Flags, Floats, Seats
from grouper.engines.designs import most_rounds
from grouper.engines.seating import chained, pairs_in_both, pairs_of

Kind = tuple[tuple[int, ...], tuple[int, ...]]
"""Who takes part in a round, and in which sizes."""


@dataclass(frozen=True)
class Bounds:
    """No plan has fewer repeats, nor a lower meeting cost, than these."""

    repeats: int
    meeting_cost: int


def bounds_of(board: Board) -> Bounds:
    """The bounds for a board; quadratic in blocks and in people."""
    facts = _Facts(board)
    return Bounds(_repeats_bound(facts), max(_pair_bound(facts), _student_bound(facts), _overlap_bound(facts)))


def fewest_met_before(board: Board, before: Flags, repeats: int) -> int:
    """The fewest meetings of two who have met ``before`` (people x people), of all seatings without more repeats.

    Two countings: in each round everybody has company, of which so many at most can be new; and of all meetings only
    the repeats are not of a pair of their own, of which so many at most can be new.
    """
    facts = _Facts(board)
    return max(_met_before_by_round(facts, before), _met_before_by_unit(facts, before, repeats))


def _met_before_by_round(facts: _Facts, before: Flags) -> int:
    total = 0
    for block, rounds, fixed in zip(facts.blocks, facts.rounds, facts.fixed, strict=True):
        if fixed is not None:
            ones, others = pairs_of(fixed)
            total += rounds * int(before[ones, others].sum())
        else:
            new = (_allowed(block, facts.board.size) & ~before).sum(axis=1)[block.people]
            total += rounds * (-(-int(np.maximum(0, block.sizes[-1] - 1 - new).sum()) // 2))
    return total


def _met_before_by_unit(facts: _Facts, before: Flags, repeats: int) -> int:
    new = facts.may_meet & ~before
    by_pair = facts.meetings - repeats - int(new.sum()) // 2
    by_student = int(np.maximum(0, facts.least_company() - new.sum(axis=1)).sum()) - 2 * repeats
    return max(by_pair, -(-by_student // 2))


def fewest_in_a_lesson(board: Board) -> int:
    """The fewest second meetings within a lesson, all lessons together, as repeats are counted.

    Groups that stay for several rounds of a lesson do so on purpose, and count as one of its rounds.
    """
    lessons: dict[int, list[Block]] = {}
    for block in board.blocks:
        for lesson in {key.lesson: None for key in block.keys}:
            lessons.setdefault(lesson, []).append(replace(block, keys=block.keys[:1]))
    several = (tuple(blocks) for blocks in lessons.values() if len(blocks) > 1)
    return sum(_repeats_bound(_Facts(replace(board, blocks=blocks))) for blocks in several)


def cost_floor(board: Board, bounds: Bounds) -> float:
    """What no seating of a board can cost less than: repeats and trio turns as even as they can be, all else free."""
    return board.repeat * bounds.meeting_cost + least_turn_cost(board)


def least_turn_cost(board: Board) -> float:
    """What turns cost that are as even as they can be, given those from before the first block."""
    price = max((float(block.special.max(initial=0.0)) for block in board.blocks), default=0.0)
    return price * sum(_least_turns(board, kind) for kind in range(len(board.turns_before)))


def _least_turns(board: Board, kind: int) -> int:
    turns = sum(
        rounds * block.sizes[place]
        for block, rounds, of_kind in zip(board.blocks, board.turn_rounds, board.turn_kinds, strict=True)
        if of_kind == kind
        for place in np.flatnonzero(block.special)
    )
    before = board.turns_before[kind].astype(np.int64)
    apart = int((before * (before - 1)).sum()) // 2
    return _spread_above(int(turns + before.sum()), board.size, before[before > 0]) - apart


def may_meet(board: Board) -> Flags:
    """People x people: who may share a group in some round, or does so in one that is fixed."""
    return _Facts(board).may_meet


class _Facts:
    """What the countings need of a board."""

    def __init__(self, board: Board) -> None:
        self.board = board
        self.blocks = [block for block in board.blocks if len(block.people)]
        self.rounds = [len(block.keys) for block in self.blocks]
        self.fixed = [None if block.free else block.seats for block in self.blocks]
        self.met = self._met()
        self.may_meet = self._may_meet()
        self.partners = self.may_meet.sum(axis=1)
        self.pairs = int(self.may_meet.sum()) // 2
        self.block_pairs = [sum(comb(size, 2) for size in block.sizes) for block in self.blocks]
        self.meetings = sum(k * pairs for k, pairs in zip(self.rounds, self.block_pairs, strict=True))
        self.kinds = [(tuple(block.people.tolist()), block.sizes) for block in self.blocks]
        proven = {kind: most_rounds(kind[1]) for kind in self.kinds}
        self.most = {kind: most for kind, most in proven.items() if most is not None}

    def _met(self) -> Flags:
        """Who meets in a fixed round."""
        met = np.zeros((self.board.size, self.board.size), dtype=np.bool_)
        for fixed in self.fixed:
            if fixed is not None:
                ones, others = pairs_of(fixed)
                met[ones, others] = met[others, ones] = True
        return met

    def _may_meet(self) -> Flags:
        may = self.met.copy()
        for block, fixed in zip(self.blocks, self.fixed, strict=True):
            if fixed is None:
                may |= _allowed(block, self.board.size)
        return may

    def most_partners(self) -> Floats:
        """How many different others each student can have met: in fixed rounds as it is, in each block all new ones."""
        total: Floats = self.met.sum(axis=1).astype(np.float64)
        for block, fixed in zip(self.blocks, self.fixed, strict=True):
            if fixed is None:
                total[block.people] += block.sizes[0] - 1
        return total

    def most_pairs(self) -> int:
        """How many different pairs can have met: in fixed rounds as it is, in each block all new ones."""
        new = (pairs for pairs, fixed in zip(self.block_pairs, self.fixed, strict=True) if fixed is None)
        return int(self.met.sum()) // 2 + sum(new)

    def least_company(self) -> Floats:
        """How many others each student meets at least, counted by round."""
        total = np.zeros(self.board.size)
        for block, rounds, fixed in zip(self.blocks, self.rounds, self.fixed, strict=True):
            if fixed is not None:
                total += rounds * _company(fixed)
            else:
                total[block.people] += rounds * (block.sizes[-1] - 1)
        return total

    def sure_meetings(self) -> Seats:
        """people x people: how often two meet in any case, in fixed rounds and where they must be together."""
        sure = np.zeros((self.board.size, self.board.size), dtype=np.int64)
        for block, rounds, fixed in zip(self.blocks, self.rounds, self.fixed, strict=True):
            if fixed is not None:
                ones, others = pairs_of(fixed)
                sure[ones, others] += rounds
                sure[others, ones] += rounds
            elif block.free:
                here = block.people[:, None], block.people
                sure[here] += rounds * chained(block.must_link)[here]
        return sure

    def linked_again(self) -> Floats:
        """people x people: in how many blocks beyond the first two must be together; nothing new comes of those."""
        count = np.zeros((self.board.size, self.board.size))
        for block in self.blocks:
            present = np.zeros(self.board.size, dtype=np.bool_)
            present[block.people] = block.free
            count += chained(block.must_link) & present[:, None] & present
        return np.maximum(0.0, count - 1)


def _company(seats: Seats) -> Seats:
    """How many others are in each person's group."""
    sizes = np.bincount(seats[seats != NOWHERE], minlength=1)
    return np.where(seats == NOWHERE, 0, sizes[seats] - 1)


def _allowed(block: Block, size: int) -> Flags:
    present = np.zeros(size, dtype=np.bool_)
    present[block.people] = block.sizes[0] > 1
    allowed: Flags = present[:, None] & present & ~block.cannot_link
    np.fill_diagonal(allowed, False)
    return allowed


def _repeats_bound(facts: _Facts) -> int:
    """All meetings less the most different pairs that can have met; or the rounds that cannot be without a repeat.

    Those of a kind in which nobody meets again are free of repeats among themselves: so many at most. Groups that stay
    are all repeats, and their first round is one of its kind.
    """
    again = facts.linked_again()
    by_student = np.minimum(facts.partners, facts.most_partners() - again.sum(axis=1))
    by_block = facts.most_pairs() - int(again.sum()) // 2
    different = min(facts.pairs, by_block, int(np.maximum(0, by_student).sum()) // 2)
    staying = sum((k - 1) * pairs for k, pairs in zip(facts.rounds, facts.block_pairs, strict=True))
    blocks = Counter(facts.kinds)
    by_kind = sum(_at_once(kind) * max(0, blocks[kind] - most) for kind, most in facts.most.items())
    return max(facts.meetings - different, staying + by_kind)


def _spread(items: int, places: int) -> int:
    """The least sum of C(x, 2) when so many items are spread over so many places."""
    if places <= 0:
        return 0
    each, over = divmod(items, places)
    return (places - over) * comb(each, 2) + over * comb(each + 1, 2)


def _pair_bound(facts: _Facts) -> int:
    return _spread(facts.meetings, facts.pairs)


def _student_bound(facts: _Facts) -> int:
    company, sure = facts.least_company(), facts.sure_meetings()
    each = zip(company, facts.partners, sure, strict=True)
    # Each pair is counted from both sides, and half a pair is none.
    halves = sum(_spread_above(int(meetings), int(partners), row[row > 0]) for meetings, partners, row in each)
    return -(-halves // 2)


def _spread_above(items: int, places: int, floors: Seats) -> int:
    """The least sum of C(x, 2) when so many items are spread over places, some of which hold so many already.

    The rest goes where least is, level by level; one more in a place of x costs x.
    """
    rest = items - int(floors.sum())
    levels = np.bincount(floors, minlength=1)
    levels[0] = max(0, places - len(floors))
    cost, height, raised = int((floors * (floors - 1)).sum()) // 2, 0, 0
    while rest > 0 and places > 0:
        here = raised + (int(levels[height]) if height < len(levels) else 0)
        raised = min(rest, here)
        cost, rest, height = cost + height * raised, rest - raised, height + 1
    return cost


def _overlap_bound(facts: _Facts) -> int:
    """Meeting cost is the pairs shared by each two rounds; count what each two must share."""
    total, of_kind, sharing = 0, Counter[Kind](), Counter[Kind]()
    for later, (kind, rounds) in enumerate(zip(facts.kinds, facts.rounds, strict=True)):
        # Groups that stay meet themselves again in each round after their first.
        total += comb(rounds, 2) * facts.block_pairs[later]
        of_kind[kind] += rounds
        sharing[kind] += comb(rounds, 2)
        for earlier in range(later):
            ways, pairs = facts.rounds[earlier] * rounds, _shared(facts, earlier, later)
            total += ways * pairs
            sharing[kind] += ways * (pairs > 0 and facts.kinds[earlier] == kind)
    # Of each `most` + 1 rounds two share a pair. The fewest twos for which that is so are those within `most` parts, as
    # even as they can be (P. Turan 1941, On an extremal problem in graph theory). Some of them may be counted already.
    further = {kind: max(0, _spread(of_kind[kind], most) - sharing[kind]) for kind, most in facts.most.items()}
    return total + sum(_at_once(kind) * twos for kind, twos in further.items())


def _at_once(kind: Kind) -> int:
    """How many pairs two such rounds share at least, if they share any.

    Where a group has as many people as there are groups, and two of its people are in one group of the other round,
    it leaves out a group there. If that is as large, its people are in one group fewer, and two of them together.
    """
    _, sizes = kind
    return 2 if sizes[-1] == len(sizes) else 1


def _shared(facts: _Facts, one: int, other: int) -> int:
    fixed, also = facts.fixed[one], facts.fixed[other]
    if fixed is not None and also is not None:
        return pairs_in_both(fixed, also)
    block, second = facts.blocks[one], facts.blocks[other]
    if np.array_equal(block.people, second.people):
        return max(_forced(block.sizes, len(second.sizes)), _forced(second.sizes, len(block.sizes)))
    common = len(np.intersect1d(block.people, second.people))
    return _spread(common, len(block.sizes) * len(second.sizes))


@cache
def _forced(sizes: tuple[int, ...], groups: int) -> int:
    """Pairs of these groups that must fall together when they are spread over so many other groups."""
    return sum(_spread(size, groups) for size in sizes)
