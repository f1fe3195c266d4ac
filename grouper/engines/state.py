"""The state of a search: who sits where, and what it would cost each two people to share a group."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from grouper.engines.board import NOWHERE, Averages, Board, Floats, Seats, Totals
from grouper.engines.seating import Seating, as_pair_changes, cost_of, group_totals, is_special, together, turns


class State:
    """Seats of all blocks with everything that swaps are scored by, kept up to date swap by swap.

    Blocks have places of their own here: those that may change come first, so that a few of them side by side are
    scored at once, without copying.

    Attributes
    ----------
    seats
        blocks x people, the group or NOWHERE, by the block's number.
    moving
        How many blocks may change and have more than one group: the first places.
    cost
        Of the whole seating, the constant of the board included.
    """

    def __init__(self, board: Board, seats: Seats) -> None:
        self.board = board
        can_move = [number for number in board.free if len(board.blocks[number].sizes) > 1]
        order = [*can_move, *(number for number in range(len(board.blocks)) if number not in can_move)]
        self.moving, self.order = len(can_move), order
        self.place_of = {number: place for place, number in enumerate(order)}
        self.crossed = (board.affinity - np.diag(np.diag(board.affinity)))[np.ix_(order, order)]
        self.seats = seats.copy()
        self.shared = np.array([together(seats[number]) for number in order])
        self.prices: Floats = np.tensordot(self.crossed, self.shared, axes=1)
        for place, number in enumerate(order):
            self.prices[place] += board.blocks[number].pair_cost + board.affinity[number, number]
            # Nobody meets themselves: whoever joins a group is counted with its members, not with who leaves it.
            np.fill_diagonal(self.prices[place], 0.0)
        self.turns = turns(board, seats)
        self.special = np.array([is_special(board.blocks[number], seats[number]) for number in order])
        self.cost = cost_of(board, seats)
        self.rest = np.zeros_like(self.prices)
        self.sums = [
            [group_totals(seats[number], item.values, len(board.blocks[number].sizes)) for item in averages]
            for number, averages in ((number, board.blocks[number].averages) for number in order)
        ]
        self.swap_prices = swap_prices_of([board.blocks[number].averages for number in order])
        self.stale = set(range(len(order)))
        self.scores: Floats = np.empty_like(self.prices)
        self.half: Floats = np.empty_like(self.prices)

    def sharing(self, number: int) -> Floats:
        """People x people: what it costs two to share a group in a block, given all other blocks."""
        prices: Floats = self.prices[self.place_of[number]]
        return prices

    def swap_changes(self, number: int) -> Floats:
        """What every swap of a block would change the cost by: people x people, inf where it is no swap."""
        place = self.place_of[number]
        changes: Floats = self.changes(place, place + 1)[0].copy()
        return changes

    def changes(self, first: int, end: int) -> Floats:
        """The same for the blocks in some places at once; the array is written over by the next call."""
        for place in range(first, end):
            if place in self.stale:
                self._look_again(place)
        here = slice(first, end)
        half, scores = self.half[here], self.scores[here]
        np.matmul(self.prices[here], self.shared[here], out=half)
        # The diagonal is written over while it is taken off.
        own = half.diagonal(axis1=1, axis2=2).copy()
        half -= own[:, :, None]
        np.add(half, half.swapaxes(1, 2), out=scores)
        scores += self.rest[here]
        return scores

    def _look_again(self, place: int) -> None:
        """What swaps change beside meetings: totals, averages and turns; and which swaps are none."""
        self.stale.discard(place)
        number = self.order[place]
        block, seats, rest = self.board.blocks[number], self.seats[number], self.rest[place]
        rest.fill(0.0)
        for total in block.totals:
            half = _totals_change(seats, total, group_totals(seats, total.values, len(block.sizes)))
            rest += half + half.T
        for prices, sums in zip(self.swap_prices[place], self.sums[place], strict=True):
            rest += prices.changes(seats, sums)
        if block.as_pair is not None:
            rest += as_pair_changes(block, seats)
        if self.board.turn_rounds[number]:
            rest += self._turn_changes(place)
        np.copyto(rest, np.inf, where=seats[:, None] == seats)
        if len(block.people) < len(seats):
            rest[seats == NOWHERE, :] = np.inf
            rest[:, seats == NOWHERE] = np.inf

    def _turn_changes(self, place: int) -> Floats:
        """A turn more costs rounds x turns in other blocks, and what the rounds cost by themselves."""
        number, special = self.order[place], self.special[place]
        block, rounds = self.board.blocks[number], self.board.turn_rounds[number]
        elsewhere = self.turns[self.board.turn_kinds[number]] - rounds * special
        price = block.special.max() * (rounds * elsewhere + rounds * (rounds - 1) / 2)
        gain: Floats = (special[:, None] - special) * (price - price[:, None])
        return gain

    def swap(self, number: int, one: int, other: int, change: float) -> None:
        """Let two people of a block swap groups; ``change`` is what the scores said of it."""
        place, seats = self.place_of[number], self.seats[number]
        shared = self.shared[place]
        self._reshare(place, one, other, shared[other] - shared[one])
        if self.board.turn_rounds[number]:
            self._retake(place, one, other)
        here, there = int(seats[one]), int(seats[other])
        seats[one], seats[other] = there, here
        rows = shared[one].copy(), shared[other].copy()
        for person, row, mate in ((one, rows[1], other), (other, rows[0], one)):
            row[mate] = row[person]
            row[person] = 0.0
            shared[person] = row
            shared[:, person] = row
        self._keep_rest(place, one, other, here, there)
        self.cost += change

    def _keep_rest(self, place: int, one: int, other: int, here: int, there: int) -> None:
        """Two of the same value change places in what swaps cost, as in the groups; else it is to be worked out."""
        block, moved = self.board.blocks[self.order[place]], False
        for averages, sums in zip(block.averages, self.sums[place], strict=True):
            gained = averages.differences.item(one, other)
            if gained:
                sums[here] += gained
                sums[there] -= gained
                moved = True
        if moved or block.totals or block.as_pair is not None or self.board.turn_rounds[self.order[place]]:
            self.stale.add(place)
        elif place not in self.stale:
            rest, pair, turned = self.rest[place], [one, other], [other, one]
            rest[pair] = rest[turned]
            rest[:, pair] = rest[:, turned]

    def _reshare(self, place: int, one: int, other: int, gained: Floats) -> None:
        """``gained`` is 1 for whom ``one`` now meets and -1 for whom no longer; for ``other`` it is the opposite."""
        # The two leave one another's company no more than they join it.
        gained[one] = gained[other] = 0.0
        step = self.crossed[:, place, None] * gained
        for change, person in ((np.add, one), (np.subtract, other)):
            for mine in (self.prices[:, person], self.prices[:, :, person]):
                change(mine, step, out=mine)

    def _retake(self, place: int, one: int, other: int) -> None:
        special = self.special[place]
        taken = self.board.turn_rounds[self.order[place]] * (special[other] - special[one])
        if taken:
            self.turns[self.board.turn_kinds[self.order[place]], [one, other]] += taken, -taken
            special[[one, other]] = special[[other, one]]
            # A turn more is dearer in every other round of the kind, too.
            self.stale.update(self.place_of[int(block)] for block in np.flatnonzero(self.board.turn_rounds))

    def seating(self) -> Seating:
        """The seating as it is now."""
        return Seating(self.seats.copy(), self.cost)


def _totals_change(seats: Seats, total: Totals, sums: Floats) -> Floats:
    """What each person's group would cost more, were the person exchanged for each other person: people x people."""
    low, high, step, now = total.low[seats], total.high[seats], total.step[seats], sums[seats]
    before = step * np.maximum(0.0, np.maximum(low - now, now - high))
    after = (now - total.values)[:, None] + total.values
    beyond = np.maximum(low[:, None] - after, after - high[:, None])
    np.maximum(beyond, 0.0, out=beyond)
    beyond *= step[:, None]
    beyond -= before[:, None]
    changed: Floats = beyond
    return changed


class SwapPrices:
    """What swaps change in the price of a round, remembered by what the totals of its groups were.

    It depends on the two groups and the two values alone, and groups of one size are alike: a round that cools comes
    back to the same totals, whichever groups have them, 19 times in 20.
    """

    def __init__(self, averages: Averages) -> None:
        self.averages = averages
        values, self.kind = np.unique(averages.values, return_inverse=True)
        self.kinds, groups = len(values), len(averages.scale)
        self.width = self.kinds * groups
        # In order by size and then by total: a large total never moves a group among those of another size.
        self.by_size = np.unique(averages.scale, return_inverse=True)[1] * (np.abs(averages.values).sum() * 2 + 1)
        self.one_of_each = replace(averages, values=np.tile(values, groups), scale=np.sort(averages.scale))
        self.their_seats = np.repeat(np.arange(groups), self.kinds)
        self.tables: dict[bytes, Floats] = {}

    def changes(self, seats: Seats, totals: Floats) -> Floats:
        """People x people; of two who share a group the entry means nothing, nor that of somebody who is NOWHERE."""
        if self.width > WIDEST_TABLE:
            return swap_prices(self.averages, seats, totals) - self.averages.cost(totals)
        # Groups of a size are alike: in order, many seatings share a table that each would need for itself.
        order = (totals + self.by_size).argsort()
        ranked = totals[order]
        table = self.tables.get(key := ranked.tobytes())
        if table is None:
            # Warm rounds come by thousands of totals once: they are not kept for ever.
            if len(self.tables) * self.width**2 >= MOST_PRICES:
                self.tables.clear()
            table = swap_prices(self.one_of_each, self.their_seats, ranked) - self.one_of_each.cost(ranked)
            self.tables[key] = table
        rank = np.empty_like(order)
        rank[order] = np.arange(len(order))
        place = rank[seats] * self.kinds + self.kind
        found: Floats = table.take((place * self.width)[:, None] + place, mode="wrap")
        return found


def swap_prices_of(wishes: Sequence[Sequence[Averages]]) -> list[list[SwapPrices]]:
    """For each round those of its wishes; rounds of which the same is asked remember together."""
    by_key = {item.key: SwapPrices(item) for items in wishes for item in items}
    return [[by_key[item.key] for item in items] for items in wishes]


WIDEST_TABLE = 100
"""Values times groups: with more of them the table takes longer than the round, and comes back less often."""

MOST_PRICES = 1_250_000
"""In all tables of a wish: ten megabytes. A thousand tables of seven teams and five values, a hundred of the widest."""


FAR = 1e15
"""Further than any average: stands for the others where there are no others."""


def swap_prices(averages: Averages, seats: Seats, totals: Floats) -> Floats:
    """What a round with these totals would cost after each swap of two people: people x people.

    Of two who share a group the entry means nothing, nor that of somebody who is NOWHERE.
    """
    if not averages.all_count:
        return _swap_prices_of_some(averages, seats, totals)
    # How far a round is apart goes by its outermost groups: of the two that swap, and of all others.
    now = totals * averages.scale
    groups = len(now)
    both = (seats * groups)[:, None] + seats
    after = averages.scale[seats][:, None] * averages.differences
    after += now[seats][:, None]
    high, low = np.maximum(after, after.T), np.minimum(after, after.T)
    levels = now.tolist()
    order = sorted(range(groups), key=levels.__getitem__)
    np.maximum(high, _outermost(levels, order[::-1], -FAR).take(both, mode="wrap"), out=high)
    np.minimum(low, _outermost(levels, order, FAR).take(both, mode="wrap"), out=low)
    high -= low
    return averages.price(high)


def _swap_prices_of_some(averages: Averages, seats: Seats, totals: Floats) -> Floats:
    """The same where some groups do not count, as floaters do not: what those have is neither high nor low."""
    counts, now = averages.scale > 0, totals * averages.scale
    after = averages.scale[seats][:, None] * averages.differences + now[seats][:, None]
    one, other = counts[seats][:, None], counts[seats][None, :]
    high = np.maximum(np.where(one, after, -FAR), np.where(other, after.T, -FAR))
    low = np.minimum(np.where(one, after, FAR), np.where(other, after.T, FAR))
    levels, both = now.tolist(), (seats * len(now))[:, None] + seats
    order = sorted(np.flatnonzero(counts).tolist(), key=levels.__getitem__)
    if order:
        np.maximum(high, _outermost(levels, order[::-1], -FAR).take(both, mode="wrap"), out=high)
        np.minimum(low, _outermost(levels, order, FAR).take(both, mode="wrap"), out=low)
    return averages.price(np.maximum(0.0, high - low))


def _outermost(levels: list[float], order: list[int], none: float) -> Floats:
    """Groups x groups: for each two of them the level of the first in order that is neither; ``none`` without one."""
    ranked = [*(levels[group] for group in order[:3]), none, none]
    table = np.full((len(levels), len(levels)), ranked[0])
    first = order[0]
    table[first] = table[:, first] = ranked[1]
    if len(order) > 1:
        table[first, order[1]] = table[order[1], first] = ranked[2]
    return table
