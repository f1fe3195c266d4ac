"""Fewest moves: groups that people stand in already, mended so that as few as possible change their group.

Exact where it is small, by iterative deepening (Korf 1985, "Depth-first Iterative-Deepening"): first every way with
the fewest moves that the sizes allow, then with one more, until one keeps all hard wishes; among those the cheapest.
A branch is left as soon as the sizes can't come right in the moves that remain. Beyond a number of visited positions
a greedy search takes over.
No numpy beyond reading costs: the problems are small and the start-up time counts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

POSITIONS = 6000
EXTRA_MOVES = 3


@dataclass(frozen=True)
class Total:
    """Group totals of a value: one value a person, and for each size of group a window (low, high, step)."""

    values: Sequence[float]
    windows: dict[int, tuple[float, float, float]]

    def cost(self, group: Sequence[int]) -> float:
        """What a group costs whose total lies outside of its window."""
        if len(group) not in self.windows:
            return 0.0
        low, high, step = self.windows[len(group)]
        total = sum(self.values[person] for person in group)
        return step * max(0.0, low - total, total - high)


@dataclass(frozen=True)
class Average:
    """Group averages of a value, one a person, and what it costs that the largest is so far above the smallest.

    ``parts`` has what totals are divided by, by size of group, where that is not the size; 0 for one that does not
    count.
    """

    values: Sequence[float]
    price: Callable[[float], float]
    parts: Mapping[int, float] = field(default_factory=dict)

    def cost(self, groups: Iterable[Sequence[int]]) -> float:
        """What all groups cost together."""
        averages = [
            sum(self.values[person] for person in group) / part
            for group in groups
            if group and (part := self.parts.get(len(group), len(group)))
        ]
        return self.price(max(averages) - min(averages)) if averages else 0.0


@dataclass(frozen=True)
class Prices:
    """What groups cost.

    Parameters
    ----------
    pair_cost
        What two people in one group cost; ``hard`` or more is a broken wish, ``-hard`` or less a kept one.
    hard
        What one broken wish costs.
    wishes
        How many wishes for together there are.
    outside
        Who is outside of a gap window together: like a broken wish in a pair, a thousandth of it in a larger group.
    turn_cost
        What it costs a person to be in a group of one of ``turn_sizes``.
    totals
        Group totals that should lie in windows.
    averages
        Group averages that should lie near one another.
    """

    pair_cost: Sequence[Sequence[float]]
    hard: float
    wishes: int = 0
    outside: Sequence[Sequence[bool]] = ()
    turn_cost: Sequence[float] = ()
    turn_sizes: frozenset[int] = frozenset()
    totals: tuple[Total, ...] = ()
    averages: tuple[Average, ...] = ()

    def cost(self, group: Sequence[int]) -> float:
        """What one group costs."""
        pairs = [(one, other) for one in group for other in group if one < other]
        cost = sum(self.pair_cost[one][other] for one, other in pairs)
        if self.outside:
            # In a trio all three gaps may not fit at once, so that there each is a price and no breach.
            price = self.hard if len(group) == 2 else self.hard / 1000
            cost += price * sum(self.outside[one][other] for one, other in pairs)
        if self.turn_cost and len(group) in self.turn_sizes:
            cost += sum(self.turn_cost[person] for person in group)
        return cost + sum(total.cost(group) for total in self.totals)


@dataclass(frozen=True)
class Standing:
    """What is to be mended.

    Parameters
    ----------
    groups
        Who stands where, the absent already gone; places may be empty. A place keeps its number.
    joining
        Who has no group yet; finding one is no move.
    sizes
        The sizes wanted, in any order.
    prices
        What groups cost.
    homes
        The place that each person was planned in, which decides between ways of equal cost; empty where none matters.
    """

    groups: tuple[tuple[int, ...], ...]
    joining: tuple[int, ...]
    sizes: tuple[int, ...]
    prices: Prices
    homes: dict[int, int] | None = None


@dataclass(frozen=True)
class Regrouped:
    """Groups by place, how many moved, what they cost, and whether all hard wishes are kept."""

    groups: tuple[tuple[int, ...], ...]
    moves: int
    cost: float
    kept: bool


def with_fewest_moves(standing: Standing) -> Regrouped:
    """The cheapest of the ways with the fewest moves; ``kept`` is false where none was found that keeps all wishes."""
    search = _Regrouping(standing)
    least = search.least_moves()
    for moves in range(least, least + EXTRA_MOVES + 1):
        found = search.cheapest(moves)
        if found is not None and found.kept:
            return found
        if search.exhausted:
            break
    return search.greedy()


class _Regrouping:
    def __init__(self, standing: Standing) -> None:
        self.standing = standing
        self.targets = sorted(standing.sizes, reverse=True)
        places = max(len(standing.groups), len(standing.sizes))
        self.start = [list(group) for group in standing.groups] + [[] for _ in range(places - len(standing.groups))]
        self.visited = 0
        self.best: Regrouped | None = None
        self._group_costs: dict[tuple[int, ...], float] = {}
        # Thousands of positions share a handful of sizes: what follows from sizes alone is worked out once.
        self._surpluses: dict[tuple[int, ...], int] = {}
        self._hopeful: dict[tuple[tuple[int, ...], int], tuple[tuple[int, int], ...]] = {}
        self._far: dict[tuple[int, tuple[int, ...]], int] = {}

    @property
    def exhausted(self) -> bool:
        return self.visited > POSITIONS

    def least_moves(self) -> int:
        """Moves that the sizes alone demand, whoever joins being put where there is room."""
        return self._surplus([len(group) for group in self.start])

    def _surplus(self, counts: Sequence[int]) -> int:
        """How many are too many where they stand, the largest groups given the largest sizes."""
        key = tuple(counts)
        if key not in self._surpluses:
            targets = self.targets + [0] * (len(counts) - len(self.targets))
            pairs = zip(sorted(counts, reverse=True), targets, strict=True)
            self._surpluses[key] = sum(max(0, have - want) for have, want in pairs)
        return self._surpluses[key]

    def cheapest(self, moves: int) -> Regrouped | None:
        """The cheapest way with at most so many moves."""
        self.best = None
        self._join(0, [list(group) for group in self.start], moves)
        return self.best

    def _join(self, next_one: int, groups: list[list[int]], moves: int) -> None:
        """Seat those who join, in every way, before anybody moves."""
        if self.exhausted:
            return
        if next_one == len(self.standing.joining):
            self._move(groups, moves, moves, -1)
            return
        person = self.standing.joining[next_one]
        # Every way is tried before anybody moves: who joins costs no move, wherever they sit.
        for place in self._one_empty_place(groups):
            groups[place].append(person)
            self._join(next_one + 1, groups, moves)
            groups[place].remove(person)

    def _one_empty_place(self, groups: list[list[int]]) -> Iterator[int]:
        """All places in use, and the first empty one: empty places are all alike."""
        empty = next((place for place, group in enumerate(groups) if not group), None)
        return (place for place, group in enumerate(groups) if group or place == empty)

    def _move(self, groups: list[list[int]], left: int, moves: int, last: int) -> None:
        """Move people in the order of their numbers, so that no set of moves comes twice."""
        self.visited += 1
        counts = [len(group) for group in groups]
        surplus = self._surplus(counts)
        if surplus == 0:
            self._consider(groups, moves - left)
        if left == 0 or surplus > left or self.exhausted:
            return
        for origin, goal in self._ways(counts, left):
            # The list is made first, as the group changes while it is gone through.
            for person in [person for person in groups[origin] if person > last and self._from_start(person, origin)]:
                groups[origin].remove(person)
                groups[goal].append(person)
                self._move(groups, left - 1, moves, person)
                groups[goal].remove(person)
                groups[origin].append(person)

    def _from_start(self, person: int, origin: int) -> bool:
        return person in self.start[origin]

    def _ways(self, counts: Sequence[int], left: int) -> tuple[tuple[int, int], ...]:
        """From which place to which other a move can still lead to the right sizes."""
        key = (tuple(counts), left)
        if key not in self._hopeful:
            places = range(len(counts))
            fitting: dict[tuple[int, int], bool] = {}
            for origin, goal in ((o, g) for o in places for g in places if o != g and counts[o]):
                if (counts[origin], counts[goal]) not in fitting:
                    after = list(counts)
                    after[origin] -= 1
                    after[goal] += 1
                    fitting[counts[origin], counts[goal]] = self._surplus(after) <= left - 1
            self._hopeful[key] = tuple(
                (o, g) for o in places for g in places if o != g and fitting.get((counts[o], counts[g]), False)
            )
        return self._hopeful[key]

    def _consider(self, groups: list[list[int]], moves: int) -> None:
        cost = self._cost(groups)
        if self.best is None or cost < self.best.cost:
            kept = cost < self.standing.prices.hard / 2
            self.best = Regrouped(tuple(tuple(sorted(group)) for group in groups), moves, cost, kept)

    def _cost(self, groups: list[list[int]]) -> float:
        keys = [tuple(sorted(group)) for group in groups]
        total = self.standing.prices.hard * self.standing.prices.wishes + self._far_from_home(keys)
        for key in keys:
            if key not in self._group_costs:
                self._group_costs[key] = self.standing.prices.cost(key)
            total += self._group_costs[key]
        return total + sum(average.cost(groups) for average in self.standing.prices.averages)

    def _far_from_home(self, groups: list[tuple[int, ...]]) -> float:
        homes = self.standing.homes
        return 0.001 * sum(self._strangers(homes, at) for at in enumerate(groups)) if homes else 0.0

    def _strangers(self, homes: dict[int, int], at: tuple[int, tuple[int, ...]]) -> int:
        """How many in a group at a place were planned elsewhere."""
        if at not in self._far:
            self._far[at] = sum(homes.get(person, at[0]) != at[0] for person in at[1])
        return self._far[at]

    def greedy(self) -> Regrouped:
        """One cheapest move after the other until the sizes are right; then swaps as long as they gain."""
        groups = [list(group) for group in self.start]
        for person in self.standing.joining:
            self._seat_cheaply(groups, person)
        while self._surplus([len(group) for group in groups]) > 0:
            self._cheapest_step(groups)
        self._swap_while_it_gains(groups)
        cost = self._cost(groups)
        moved = sum(person not in self.start[place] for place, group in enumerate(groups) for person in group)
        kept = cost < self.standing.prices.hard / 2
        return Regrouped(tuple(tuple(sorted(g)) for g in groups), moved - len(self.standing.joining), cost, kept)

    def _seat_cheaply(self, groups: list[list[int]], person: int) -> None:
        def price(place: int) -> tuple[int, float]:
            trial = [[*group, person] if number == place else group for number, group in enumerate(groups)]
            return self._surplus([len(group) for group in trial]), self._cost(trial)

        groups[min(range(len(groups)), key=price)].append(person)

    def _cheapest_step(self, groups: list[list[int]]) -> None:
        counts = [len(group) for group in groups]
        options = [
            (self._cost(_moved(groups, origin, goal, person)), origin, goal, person)
            for origin, goal in self._ways(counts, self._surplus(counts))
            for person in groups[origin]
        ]
        _, origin, goal, person = min(options)
        groups[origin].remove(person)
        groups[goal].append(person)

    def _swap_while_it_gains(self, groups: list[list[int]]) -> None:
        """Swaps that mend broken wishes, whoever has to move for it, or that make it cheaper without a move more."""
        for _ in range(60):
            best = min(self._swaps(groups), default=None)
            if best is None or best[0] >= self._weighed(groups) - 0.01:
                return
            _, here, one, there, other = best
            groups[here].remove(one)
            groups[there].remove(other)
            groups[here].append(other)
            groups[there].append(one)

    def _weighed(self, groups: list[list[int]]) -> float:
        moved = sum(person not in self.start[place] for place, group in enumerate(groups) for person in group)
        return self._cost(groups) + self.standing.prices.hard / 100 * moved

    def _swaps(self, groups: list[list[int]]) -> Iterator[tuple[float, int, int, int, int]]:
        for here in range(len(groups)):
            for there in range(here):
                for one in groups[here]:
                    for other in groups[there]:
                        trial = _moved(_moved(groups, here, there, one), there, here, other)
                        yield self._weighed(trial), here, one, there, other


def _moved(groups: list[list[int]], origin: int, goal: int, person: int) -> list[list[int]]:
    """The groups with one person moved."""
    after = list(groups)
    after[origin] = [other for other in groups[origin] if other != person]
    after[goal] = [*groups[goal], person]
    return after
