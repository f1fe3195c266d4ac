"""Fewest repeats where all balanced rounds are even: a bound by kinds of people, by exact means.

People are of one kind who have the same values and take part in the same rounds. A plan uses each kind of team (how
many of each kind) so and so often, and every round uses each kind of person as often as there are such people. An even
round has all its averages in one window as wide as the tolerance, wherever it lies. Two kinds can meet for the first
time only as often as there are pairs of them that may meet. So the fewest meetings beyond, over all ways to use kinds
of teams, is a bound on the repeats of plans whose balanced rounds are all even. It is a small integer programme for
CP-SAT.

It is no bound on the repeats of any plan, because evenness has a price only: a plan may buy fewer repeats with a less
even round. ``least_weighed`` is a bound for any plan: there a round may lie in a wider window, at the price of it, and
all that stands on the first levels of the order of preference is added up as it is weighed.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations_with_replacement
from math import comb
from typing import Any

import numpy as np

from grouper.engines.board import Averages, Block, Board, Floats, Seats
from grouper.engines.bounds import bounds_of, may_meet
from grouper.engines.exact import cp_sat
from grouper.engines.seating import group_totals, pairs_of, together

Team = tuple[int, ...]
"""The kinds of its members, in ascending order."""

Width = tuple[float, float]
"""How wide a window is, and what a round costs that needs one as wide."""

MOST_TEAMS = 20_000
MOST_KINDS = 40
EFFORT = 1.0
"""CP-SAT's deterministic time: a second or two."""

WIDER = 3
"""Windows wider than the tolerance, each at the price of the next wider spread; beyond them one that holds any round,
at the price of the spread that is wider still."""


@dataclass(frozen=True)
class Alike:
    """Rounds of the same people in teams of the same sizes, under the same wish for even averages, or none.

    ``numbers`` are those of the blocks, each of which stands for so many ``rounds``.
    """

    numbers: tuple[int, ...]
    block: Block
    averages: Averages | None
    rounds: int
    prices: Floats

    @property
    def times(self) -> int:
        """How many blocks there are."""
        return len(self.numbers)

    @cached_property
    def is_priced(self) -> bool:
        """Whether groups are to be alike: some two cost something together."""
        return bool(self.prices.any())


def least_repeats_with_even_teams(board: Board) -> int | None:
    """The bound; None where no round is balanced, no round can be even, or the kinds of teams are too many.

    Needs OR-Tools.
    """
    if not any(block.free and block.averages for block in board.blocks):
        return None
    model = KindModel(board)
    return model.least() if 0 < model.teams <= MOST_TEAMS else None


def weighed(board: Board, seats: Seats) -> float:
    """What seats cost on the first levels of the order of preference, all meetings taken alike.

    That is groups alike in ability and gaps for coaching, even teams, and the meeting cost.
    """
    met = np.zeros((board.size, board.size))
    for block, row in zip(board.blocks, seats, strict=True):
        met += len(block.keys) * together(row)
    total = board.repeat * float((met * (met - 1)).sum()) / 4
    for block, row in zip(board.blocks, seats, strict=True):
        total += float(prices_of(board, block)[pairs_of(row)].sum())
        total += sum(item.cost(group_totals(row, item.values, len(block.sizes))) for item in block.averages)
    return total


def least_weighed(board: Board) -> float | None:
    """What no seats can cost less than, as ``weighed`` counts; where the kinds of teams are too many by counting alone.

    Needs OR-Tools. None where groups of a round follow from others that are not there yet.
    """
    if any(block.seats is None and not block.free and len(block.people) for block in board.blocks):
        return None
    model = KindModel(board, priced=True)
    counted = board.repeat * bounds_of(board).meeting_cost
    return max(counted, model.least_weighed()) if 0 < model.teams <= MOST_TEAMS else counted


def prices_of(board: Board, block: Block) -> Floats:
    """People x people: what two cost who share a group of a block, without what requests and gap windows make of it."""
    return np.maximum(0.0, block.pair_cost - board.hard * np.round(block.pair_cost / board.hard))


class KindModel:
    """The kinds of people, the rounds that are alike, and the kinds of teams that each of these can have."""

    def __init__(self, board: Board, priced: bool = False, grain: float = 0.0, few: int = 0) -> None:
        """With ``priced`` people are of one kind only if all others cost the same with them, and teams have a price.

        Prices are taken to the nearest whole number of grains. With ``few``, where there are more kinds than that,
        people are of one kind whose prices differ by a grain, by two, and so on: no bound any more, but a way to begin.
        """
        tables = [prices_of(board, block) if priced else np.zeros((board.size, board.size)) for block in board.blocks]
        if grain:
            tables = [grain * np.round(table / grain) for table in tables]
        self.board = board
        self.kind, near = _kinds(board, tables, 0.0), 0.0
        highest = max((float(table.max(initial=0.0)) for table in tables), default=0.0)
        while few and len(set(self.kind)) > few and near < highest:
            near += grain
            self.kind = _kinds(board, tables, near)
        self.alike = _alike(board, tables)
        self.priced = priced
        self._cheapest_of: dict[tuple[int, ...], Floats] = {}

    @cached_property
    def choices(self) -> list[tuple[Alike, list[tuple[float, list[Team]]]]]:
        """For each kind of rounds its windows; none where people are of too many kinds."""
        if len(set(self.kind)) > MOST_KINDS:
            return []
        return [(alike, list(_windows(alike, self.kind, self.priced))) for alike in self.alike]

    @cached_property
    def teams(self) -> int:
        """How many kinds of teams there are, over all windows."""
        counted = [sum(len(teams) for _, teams in windows) for _, windows in self.choices]
        # Rounds without a window have too many kinds of teams to list, or cannot be even at all.
        return sum(counted) if all(counted) else 0

    def least(self) -> int | None:
        from ortools.sat.python import cp_model

        model = cp_model.CpModel()
        met: dict[tuple[int, int], list[Any]] = defaultdict(list)
        for pair, times in self.known().items():
            met[pair].append(times)
        for alike, windows in self.choices:
            self._add_rounds(model, alike, windows, met)
        beyond = []
        pairs = self.pairs()
        for pair, meetings in sorted(met.items()):
            over = model.new_int_var(0, 1_000_000, "")
            model.add(over >= sum(meetings) - pairs.get(pair, 0))
            beyond.append(over)
        model.minimize(sum(beyond))
        solver = cp_sat(EFFORT)
        if solver.solve(model) == cp_model.INFEASIBLE:
            return None
        return max(0, int(np.ceil(solver.best_objective_bound - 1e-6)))

    def least_weighed(self) -> float:
        """Meetings of two kinds are spread over their pairs: C(m, 2) from below by its tangents, as whole numbers."""
        from ortools.sat.python import cp_model

        model, met, costs = cp_model.CpModel(), defaultdict[tuple[int, int], list[Any]](list), []
        for pair, times in self.known().items():
            met[pair].append(times)
        for alike, windows in self.choices:
            costs += self._add_rounds(model, alike, windows, met)
        pairs, most, again = self.pairs(), sum(len(block.keys) for block in self.board.blocks), []
        for pair, meetings in sorted(met.items()):
            over = model.new_int_var(0, 1_000_000, "")
            # A tangent for each whole number of meetings: between them no plan lies.
            for each in range(1, most):
                model.add(over >= each * sum(meetings) - pairs.get(pair, 0) * each * (each + 1) // 2)
            again.append(over)
        # Counting by rounds sees what counting by kinds does not; together they bound more than either.
        model.add(sum(again) >= bounds_of(self.board).meeting_cost)
        model.minimize(round(self.board.repeat) * sum(again) + sum(costs))
        solver = cp_sat(EFFORT)
        solver.solve(model)
        return max(0.0, float(np.ceil(solver.best_objective_bound - 1e-6))) + self._settled()

    def _settled(self) -> float:
        """What rounds that are fixed cost by themselves."""
        blocks = [block for block in self.board.blocks if not block.free and block.seats is not None]
        alone = replace(self.board, blocks=tuple(blocks), repeat=0.0)
        return weighed(alone, np.array([block.seats for block in blocks])) if blocks else 0.0

    def _add_rounds(self, model: Any, alike: Alike, windows: list[tuple[float, list[Team]]], met: Any) -> list[Any]:
        """So many rounds in each window, made of teams that lie in it; what windows and teams cost."""
        people = Counter(self.kind[person] for person in alike.block.people.tolist())
        sizes = Counter(alike.block.sizes)
        here = [model.new_int_var(0, alike.times, "") for _ in windows]
        model.add(sum(here) == alike.times)
        costs = []
        for rounds, (price, teams) in zip(here, windows, strict=True):
            costs.append(round(price) * rounds)
            used = {team: model.new_int_var(0, alike.times * len(alike.block.sizes), "") for team in teams}
            for size, groups in sizes.items():
                model.add(sum(number for team, number in used.items() if len(team) == size) == groups * rounds)
            for kind, number in people.items():
                model.add(sum(team.count(kind) * each for team, each in used.items()) == number * rounds)
            for team, number in used.items():
                costs.append(round(self.price(alike, team)) * number)
                for pair, times in kind_meetings(team).items():
                    met[pair].append(alike.rounds * times * number)
        return costs

    def price(self, alike: Alike, team: Team) -> float:
        """What a team of this kind costs at least in these rounds, by how unlike its members are."""
        if not alike.is_priced:
            return 0.0
        cheapest = self._cheapest(alike)
        return sum(times * float(cheapest[pair]) for pair, times in kind_meetings(team).items())

    def _cheapest(self, alike: Alike) -> Floats:
        """Kinds x kinds: the least that two of them cost in these rounds."""
        if alike.numbers in self._cheapest_of:
            return self._cheapest_of[alike.numbers]
        kind, people = np.array(self.kind), alike.block.people
        cheapest = np.full((max(self.kind) + 1,) * 2, np.inf)
        ones, others = np.triu_indices(len(people), 1)
        one, other = people[ones], people[others]
        for first, second in ((one, other), (other, one)):
            may = ~alike.block.cannot_link[first, second]
            np.minimum.at(cheapest, (kind[first][may], kind[second][may]), alike.prices[first, second][may])
        # Two kinds of whom no two may meet have no team of their own; a team of theirs is not made dearer here.
        self._cheapest_of[alike.numbers] = np.where(np.isinf(cheapest), 0.0, cheapest)
        return self._cheapest_of[alike.numbers]

    def known(self) -> Counter[tuple[int, int]]:
        """Meetings of kinds in rounds that are fixed."""
        known: Counter[tuple[int, int]] = Counter()
        for block in self.board.blocks:
            if not block.free and block.seats is not None:
                for one, other in zip(*pairs_of(block.seats), strict=True):
                    known[self._pair(int(one), int(other))] += len(block.keys)
        return known

    def pairs(self) -> Counter[tuple[int, int]]:
        """How many pairs of each two kinds may meet."""
        ones, others = np.nonzero(np.triu(may_meet(self.board)))
        return Counter(self._pair(one, other) for one, other in zip(ones.tolist(), others.tolist(), strict=True))

    def _pair(self, one: int, other: int) -> tuple[int, int]:
        first, second = sorted((self.kind[one], self.kind[other]))
        return first, second


def _kinds(board: Board, tables: list[Floats], near: float) -> list[int]:
    """The kind of each person, as a number."""
    marks: dict[bytes, Floats] = {}
    for block, table in zip(board.blocks, tables, strict=True):
        if block.free:
            here = np.isin(np.arange(board.size), block.people).astype(np.float64)
            marks |= {values.tobytes(): values for values in (here, *(item.values for item in block.averages))}
            if table.any() and table.tobytes() not in marks:
                marks[table.tobytes()] = _same_rows(table, near)
    rows = [tuple(row) for row in np.array([*marks.values()]).T.tolist()]
    numbers = {row: number for number, row in enumerate(sorted(set(rows)))}
    return [numbers[row] for row in rows]


def _same_rows(table: Floats, near: float) -> Floats:
    """One entry a person: the same number for those who stand in the same way to everybody else, or nearly so."""
    first: list[int] = []
    numbers = np.zeros(len(table))
    for person, row in enumerate(table):
        for number, other in enumerate(first):
            differs = np.abs(row - table[other]) > near
            differs[[person, other]] = False
            if not differs.any():
                numbers[person] = number
                break
        else:
            numbers[person] = len(first)
            first.append(person)
    return numbers


def _alike(board: Board, tables: list[Floats]) -> list[Alike]:
    found: dict[tuple[object, ...], list[int]] = defaultdict(list)
    prices: dict[tuple[object, ...], Floats] = {}
    for number, (block, price) in enumerate(zip(board.blocks, tables, strict=True)):
        if block.free and len(block.people):
            wish = next(iter(block.averages), None)
            said = (price.tobytes(), block.cannot_link.tobytes())
            sort = (block.people.tobytes(), block.sizes, len(block.keys), *said)
            mark = (*sort, wish.values.tobytes(), wish.free) if wish else sort
            found[mark].append(number)
            prices[mark] = price
    firsts = [board.blocks[numbers[0]] for numbers in found.values()]
    return [
        Alike(tuple(numbers), first, next(iter(first.averages), None), len(first.keys), prices[mark])
        for first, (mark, numbers) in zip(firsts, found.items(), strict=True)
    ]


def _windows(alike: Alike, kind: list[int], priced: bool) -> Iterator[tuple[float, list[Team]]]:
    """For each place of a window its price, and the kinds of teams in it; all teams where averages do not count.

    A window that holds a round can be moved up to its lowest average, so that those are all there is to try.
    """
    teams, sizes = kinds_of_teams(alike, kind), sorted(set(alike.block.sizes))
    if not teams:
        return
    if alike.averages is None:
        yield 0.0, teams
        return
    level = levels_of(alike, kind, teams)
    others = [team for team in teams if team not in level]
    lows = sorted(set(level.values()))
    widths = _widths(alike.averages, lows) if priced else [(alike.averages.free, 0.0)]
    for width, price in widths:
        for low in lows:
            inside = [team for team in level if low <= level[team] <= low + width] + others
            if {len(team) for team in inside} == set(sizes):
                yield price, inside
            if low + width >= lows[-1]:
                break


def kinds_of_teams(alike: Alike, kind: list[int]) -> list[Team]:
    """The kinds of teams that requests allow; nothing where they are too many to list."""
    people, sizes = Counter(kind[person] for person in alike.block.people.tolist()), sorted(set(alike.block.sizes))
    if sum(comb(len(people) + size - 1, size) for size in sizes) > MOST_TEAMS:
        return []
    may = _may(alike.block, kind)
    return [
        team for size in sizes for team in combinations_with_replacement(sorted(people), size)
        if all(number <= people[one] for one, number in Counter(team).items()) and may.issuperset(kind_meetings(team))
    ]


def levels_of(alike: Alike, kind: list[int], teams: list[Team]) -> dict[Team, float]:
    """The average of each kind of team, as it counts; teams whose average does not count are left out."""
    if alike.averages is None:
        return {}
    value = {kind[person]: float(alike.averages.values[person]) for person in alike.block.people.tolist()}
    scale = dict(zip(alike.block.sizes, alike.averages.scale.tolist(), strict=True))
    return {team: scale[len(team)] * sum(value[one] for one in team) for team in teams if scale[len(team)]}


def _may(block: Block, kind: list[int]) -> set[tuple[int, int]]:
    """Each two kinds of which somebody may be with somebody in a block."""
    people = block.people
    ones, others = np.nonzero(np.triu(~block.cannot_link[np.ix_(people, people)], 1))
    pairs = ((kind[one], kind[other]) for one, other in zip(people[ones], people[others], strict=True))
    return {(min(pair), max(pair)) for pair in pairs}


def _widths(averages: Averages, levels: list[float]) -> list[Width]:
    """The tolerance at no price, some wider windows, and one without an end."""
    spreads = np.unique(np.subtract.outer(levels, levels))
    beyond = spreads[spreads > averages.free].tolist()
    widest: dict[float, float] = {}
    for spread in beyond:
        widest[averages.price_of(spread)] = spread
    prices = sorted(widest)
    endless = [(np.inf, prices[WIDER])] if len(prices) > WIDER else []
    return [(averages.free, 0.0), *((widest[price], price) for price in prices[:WIDER]), *endless]


def kind_meetings(team: Team) -> Counter[tuple[int, int]]:
    """How often each two kinds meet in a team of this kind."""
    count = Counter(team)
    found = {(one, other): count[one] * count[other] for one in count for other in count if one < other}
    return Counter({**found, **{(one, one): comb(number, 2) for one, number in count.items() if number > 1}})
