"""The state of a search on a wide board: nothing in it grows with people x people x blocks.

Where ``state`` keeps what it costs each two people to share a group in each block, this keeps who sits in each group,
and works the cost out for the few people whose swaps are looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from grouper.engines.board import NOWHERE, Averages, Block, Board, Floats, Seats, Totals
from grouper.engines.seating import Seating, as_pair_changes, chained, cost_of, group_totals, is_special, turns
from grouper.engines.state import FAR


class TotalsTable:
    """The totals of one value in the groups of a block, under all windows that there are for this value.

    Attributes
    ----------
    sums
        The total of each group.
    costs
        What each group costs now.
    """

    def __init__(self, windows: Sequence[Totals], seats: Seats) -> None:
        self.windows = windows
        self.values: Seats = np.rint(windows[0].values).astype(np.int64)
        self.reach = int(np.ptp(self.values))
        groups = len(windows[0].low)
        self.sums = group_totals(seats, windows[0].values, groups)
        self.costs = np.zeros(groups)
        self.table = np.zeros((groups, 2 * self.reach + 1))
        self._look_again(np.arange(groups))

    def changes(self, rows: Seats, seats: Seats) -> Floats:
        """What it would change the cost by, were each of ``rows`` to swap with everybody: rows x people."""
        gained = self.values - self.values[rows][:, None] + self.reach
        width = self.table.shape[1]
        here = self.table.ravel()[gained + seats[rows][:, None] * width]
        there: Floats = self.table.ravel()[(seats * width + 2 * self.reach) - gained]
        there += here
        return there

    def swap(self, one: int, other: int, here: int, there: int) -> float:
        """Let two people swap out of these groups; what it changes the cost by."""
        gained = self.values[other] - self.values[one]
        both = np.array([here, there])
        before = self.costs[both].sum()
        self.sums[both] += (gained, -gained)
        self._look_again(both)
        return float(self.costs[both].sum() - before)

    def _look_again(self, groups: Seats) -> None:
        """Work the rows of these groups out afresh."""
        steps = np.arange(-self.reach, self.reach + 1)
        totals = self.sums[groups][:, None] + steps
        prices = sum((_prices(window, groups, totals) for window in self.windows), np.zeros(totals.shape))
        self.costs[groups] = prices[:, self.reach]
        self.table[groups] = prices - prices[:, self.reach, None]


def _prices(window: Totals, groups: Seats, totals: Floats) -> Floats:
    low, high, step = window.low[groups], window.high[groups], window.step[groups]
    beyond = np.maximum(low[:, None] - totals, totals - high[:, None])
    prices: Floats = step[:, None] * np.maximum(0.0, beyond)
    return prices


def tables_of(block: Block, seats: Seats) -> list[TotalsTable]:
    """The tables of a block, one for each value that its groups have totals of."""
    by_value: dict[bytes, list[Totals]] = {}
    for total in block.totals:
        by_value.setdefault(total.values.tobytes(), []).append(total)
    return [TotalsTable(windows, seats) for windows in by_value.values()]


class WideState:
    """Seats of all blocks with what swaps are scored by, kept up to date swap by swap.

    Attributes
    ----------
    seats
        blocks x people, the group or NOWHERE.
    members
        blocks x groups x places: the numbers of those who sit there; an empty place has the number ``board.size``,
        and so have all places of the last group, where those sit who are nowhere.
    company
        blocks x people: what it costs each person to share a group with those who are in it.
    tables
        For each block the tables of its totals.
    turns
        Turns in a special place, a person.
    must_link
        For each block the pairs that must be together, be it through others: the ones, and the others.
    board
        The board with windows for group totals in the place of averages.
    cost
        Of the whole seating on that board, the constant included.
    """

    def __init__(self, board: Board, seats: Seats) -> None:
        board = self.board = guided(board)
        self.crossed = board.affinity - np.diag(np.diag(board.affinity))
        self.seats = seats.copy()
        self.members = _members(board, seats)
        self.tables = [tables_of(block, row) for block, row in zip(board.blocks, seats, strict=True)]
        self.turns = turns(board, seats)
        self.must_link = [_linked_pairs(block) for block in board.blocks]
        self.company = np.array([self._company(number) for number in range(len(board.blocks))])
        self.cost = cost_of(board, seats)

    def _company(self, number: int) -> Floats:
        """The company of a block, by the places that all its groups have."""
        block, company = self.board.blocks[number], np.zeros(self.board.size)
        groups = self.members[number, : len(block.sizes)]
        for step in range(1, groups.shape[1]):
            ones, others = groups[:, :-step].ravel(), groups[:, step:].ravel()
            both = (ones < self.board.size) & (others < self.board.size)
            ones, others = ones[both], others[both]
            price = self._prices(number, ones, others)
            np.add.at(company, ones, price)
            np.add.at(company, others, price)
        return company

    def _prices(self, number: int, ones: Seats, others: Seats) -> Floats:
        """What it costs to share a group in a block, for two lists of people side by side."""
        together = (self.seats[:, ones] == self.seats[:, others]) & (self.seats[:, ones] != NOWHERE)
        prices: Floats = self.board.blocks[number].pair_cost[ones, others] + self.board.affinity[number, number]
        prices += self.crossed[number] @ together
        return prices

    def avoidable_costs(self, number: int) -> Floats:
        """What each group of a block costs as it is: without turns, and without what must-links cost."""
        block, seats = self.board.blocks[number], self.seats[number]
        costs = np.bincount(seats[block.people], self.company[number][block.people], len(block.sizes)) / 2
        ones, others = self.must_link[number]
        kept = seats[ones] == seats[others]
        ones, others = ones[kept], others[kept]
        costs -= np.bincount(seats[ones], self._prices(number, ones, others), len(block.sizes))
        for table in self.tables[number]:
            costs += table.costs
        return costs

    def rows(self, number: int, groups: Seats) -> tuple[Seats, Seats]:
        """The members of some groups, group by group, and where each group begins among them."""
        places = self.members[number, groups]
        taken = places < self.board.size
        return places[taken], np.concatenate([[0], np.cumsum(taken.sum(axis=1))[:-1]])

    def swap_changes(self, number: int, rows: Seats, begins: Seats) -> Floats:
        """What it would change the cost by, were each of ``rows`` to swap with everybody: rows x people.

        ``rows`` and ``begins`` are those of whole groups (see ``rows``); inf where it is no swap. Linear in rows x
        people and in rows x blocks x size of a group.
        """
        seats, company = self.seats[number], self.company[number]
        sharing = self._sharing(number, rows)
        change = self._joining(number, sharing)[:, seats]
        lengths = np.diff(np.append(begins, len(rows)))
        change += np.repeat(np.add.reduceat(sharing[:, :-1], begins, axis=0) - company, lengths, axis=0)
        change -= 2.0 * sharing[:, :-1]
        change -= company[rows][:, None]
        for table in self.tables[number]:
            change += table.changes(rows, seats)
        if self.board.blocks[number].as_pair is not None:
            change += as_pair_changes(self.board.blocks[number], seats, rows)
        if self.board.turn_rounds[number]:
            change += self._turn_changes(number, rows)
        change[seats[rows][:, None] == seats] = np.inf
        if len(self.board.blocks[number].people) < self.board.size:
            change[:, seats == NOWHERE] = np.inf
        return change

    def _sharing(self, number: int, rows: Seats) -> Floats:
        """What it costs each of ``rows`` to share a group with everybody: rows x people, and a column of zeros."""
        width = self.board.size + 1
        blocks = np.flatnonzero(self.crossed[number])
        mates = self.members[blocks[:, None], self.seats[blocks[:, None], rows]]
        places = mates + (np.arange(len(rows)) * width)[:, None]
        weights = np.broadcast_to(self.crossed[number][blocks][:, None, None], places.shape)
        counted = np.bincount(places.ravel(), weights.ravel(), len(rows) * width)
        met = counted.astype(np.float64, copy=False).reshape(len(rows), width)
        met[:, :-1] += self.board.blocks[number].pair_cost[rows]
        if self.board.affinity[number, number]:
            met += self.board.affinity[number, number]
        met[np.arange(len(rows)), rows] = 0.0
        met[:, -1] = 0.0
        return met

    def _joining(self, number: int, sharing: Floats) -> Floats:
        """What it costs each of some people to be with all members of each group: people x groups."""
        groups = len(self.board.blocks[number].sizes)
        places = self.members[number, :groups].T
        joining: Floats = sharing[:, places[0]]
        for place in places[1 : max(self.board.blocks[number].sizes)]:
            joining += sharing[:, place]
        return joining

    def _turn_changes(self, number: int, rows: Seats) -> Floats:
        """A turn more costs rounds x turns in other blocks, and what the rounds cost by themselves."""
        block, rounds = self.board.blocks[number], self.board.turn_rounds[number]
        special = is_special(block, self.seats[number])
        elsewhere = self.turns[self.board.turn_kinds[number]] - rounds * special
        price = block.special.max() * (rounds * elsewhere + rounds * (rounds - 1) / 2)
        gain: Floats = (special[rows][:, None] - special) * (price - price[rows][:, None])
        return gain

    def swap(self, number: int, one: int, other: int) -> None:
        """Let two people of a block swap groups."""
        here, there = int(self.seats[number, one]), int(self.seats[number, other])
        change = self._keep_company(number, one, other)
        if self.board.blocks[number].as_pair is not None:
            rows = np.array([one])
            change += float(as_pair_changes(self.board.blocks[number], self.seats[number], rows)[0, other])
        for table in self.tables[number]:
            change += table.swap(one, other, here, there)
        if self.board.turn_rounds[number]:
            change += self._retake(number, one, other)
        self._reseat(number, one, there, other)
        self._reseat(number, other, here, one)
        self.cost += change

    def _reseat(self, number: int, person: int, group: int, instead_of: int) -> None:
        places = self.members[number, group]
        places[np.flatnonzero(places == instead_of)[0]] = person
        self.seats[number, person] = group

    def _keep_company(self, number: int, one: int, other: int) -> float:
        """Bring the company of all blocks up to date for a swap; what it changes the cost by."""
        left, joined = self._mates(number, one), self._mates(number, other)
        mates = np.concatenate([left, joined])
        sign = np.repeat([-1.0, 1.0], [len(left), len(joined)])
        met_by_one, met_by_other = self._meeting(one, mates), self._meeting(other, mates)
        difference = sign * (met_by_one - met_by_other)
        crossed = self.crossed[number][:, None]
        self.company[:, mates] += crossed * difference
        self.company[:, one] += self.crossed[number] * (met_by_one @ sign)
        self.company[:, other] -= self.crossed[number] * (met_by_other @ sign)
        cost_of_one = self._cost_of(number, one, mates, met_by_one)
        cost_of_other = self._cost_of(number, other, mates, met_by_other)
        self.company[number, mates] += sign * (cost_of_one - cost_of_other)
        self.company[number, one] = cost_of_one[len(left) :].sum()
        self.company[number, other] = cost_of_other[: len(left)].sum()
        return float(sign @ (cost_of_one - cost_of_other))

    def _mates(self, number: int, person: int) -> Seats:
        group = self.members[number, self.seats[number, person]]
        mates: Seats = group[(group != person) & (group < self.board.size)]
        return mates

    def _meeting(self, person: int, others: Seats) -> Floats:
        """blocks x others: 1 where the person shares a group with them."""
        own = self.seats[:, person][:, None]
        met: Floats = ((self.seats[:, others] == own) & (own != NOWHERE)).astype(np.float64)
        return met

    def _cost_of(self, number: int, person: int, others: Seats, met: Floats) -> Floats:
        cost: Floats = self.board.blocks[number].pair_cost[person, others] + self.board.affinity[number, number]
        cost += self.crossed[number] @ met
        return cost

    def _retake(self, number: int, one: int, other: int) -> float:
        rows = np.array([one])
        change = float(self._turn_changes(number, rows)[0, other])
        special = is_special(self.board.blocks[number], self.seats[number])
        taken = self.board.turn_rounds[number] * (special[other] - special[one])
        self.turns[self.board.turn_kinds[number], [one, other]] += taken, -taken
        return change

    def seating(self) -> Seating:
        """The seating as it is now."""
        return Seating(self.seats.copy(), self.cost)


def _linked_pairs(block: Block) -> tuple[Seats, Seats]:
    present = block.people[:, None], block.people
    ones, others = np.nonzero(np.triu(chained(block.must_link[present])))
    return block.people[ones], block.people[others]


def _members(board: Board, seats: Seats) -> Seats:
    groups = max(len(block.sizes) for block in board.blocks)
    places = max(max(block.sizes, default=1) for block in board.blocks)
    members = np.full((len(board.blocks), groups + 1, places), board.size, dtype=np.int64)
    for table, row in zip(members, seats, strict=True):
        for person in np.flatnonzero(row != NOWHERE):
            group = table[row[person]]
            group[np.argmax(group == board.size)] = person
    return members


def guided(board: Board) -> Board:
    """The board with a window for each group's total in the place of averages, which no single group can tell.

    The window lies about the average of those who take part, so that totals within it are averages within the
    tolerance; hundreds of people have room enough there.
    """
    blocks = tuple(
        replace(block, totals=(*block.totals, *(_windows(block, item) for item in block.averages)), averages=())
        if block.averages
        else block
        for block in board.blocks
    )
    return replace(board, blocks=blocks)


def _windows(block: Block, averages: Averages) -> Totals:
    parts = averages.scale * block.sizes
    if not averages.all_count or not np.allclose(parts, parts[:1]):
        return _windows_of_sides(block, averages)
    sizes = np.array(block.sizes, dtype=np.float64)
    mean = float(averages.values[block.people].mean())
    if len(set(block.sizes)) == 1:
        wide = np.floor(averages.free / averages.scale + 1e-9)
        low = np.round(mean * sizes - wide / 2)
        high = low + wide
    else:
        half = averages.free / averages.scale / 2
        low, high = np.ceil(mean * sizes - half - 1e-9), np.floor(mean * sizes + half + 1e-9)
        none = low > high
        low, high = np.where(none, np.floor(mean * sizes), low), np.where(none, np.ceil(mean * sizes), high)
    step = np.maximum(1.0, np.round(averages.price(averages.free + averages.scale)))
    return Totals(averages.values, low, high, step)


def _windows_of_sides(block: Block, averages: Averages) -> Totals:
    """Of sides that differ on purpose: each about its own share of what all have; who floats is left alone."""
    counts = averages.scale > 0
    part = np.where(counts, 1.0 / np.where(counts, averages.scale, 1.0), 0.0)
    values = averages.values[block.people]
    of_floaters = float(values.mean()) * float(np.array(block.sizes)[~counts].sum())
    share = (float(values.sum()) - of_floaters) * part / max(float(part.sum()), 1e-9)
    half = averages.free * part / 2
    low = np.where(counts, np.floor(share - half), -FAR)
    high = np.where(counts, np.ceil(share + half), FAR)
    step = np.maximum(1.0, np.round(averages.price(averages.free + averages.scale)))
    return Totals(averages.values, low, high, np.where(counts, step, 0.0))
