"""Even teams and groups alike by kinds first: which kinds of people make up the teams of a round, then who of each.

People of one kind have the same values and take part in the same rounds (``kinds``). How even a round is, and how alike
its groups are, depends on kinds alone, and how often two kinds meet says how many repeats they cannot avoid. So the
best kinds of teams for the whole unit are an integer programme of a few hundred numbers, which SCIP (in OR-Tools)
solves in hundredths of a second for twos and in tenths for threes. Swaps of single people hardly find such teams: on
the way there most swaps make a round less even, or a group of four out of one that was alike, at forty repeats' price.
Who of each kind goes where is drawn here, and left to exchange search.

Nodes of the search are counted, not seconds, so that the same board and seed give the same seats.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from grouper.engines.board import Block, Board, Seats
from grouper.engines.kinds import Alike, KindModel, Team, kind_meetings, kinds_of_teams, levels_of
from grouper.engines.wide import is_wide

WIDEST = 2.0
"""So many tolerances beyond what is free a round may be uneven."""

LARGEST = 3
"""Members of a group, in some of the rounds. In fours and more many kinds of teams are even, the best ones are hardly
better than others, and swaps that set out from them, not too warm, end above those that set out from anywhere. Beside
rounds of pairs or threes they end as low, in half the time."""

MOST_CHOICES = 3_000
"""Kinds of teams, over all windows: with more the programme takes longer than it brings."""

MOST_ALIKE = 60
"""Kinds of groups of a size where groups are to be alike: with all of them the programme ends as low, and later."""

FEW = 10
"""Kinds of people where groups are to be alike: with eleven the programme takes some seconds. Skills in finer steps are
taken together."""

GRAIN = 10.0
"""Prices of pairs to the nearest ten repeats: groups alike cost tens of them, and what is left of meetings in earlier
units a few, of each two people something else."""

LIMITS = "limits/nodes = 20\nlimits/gap = 0.05\nlimits/absgap = 1.0"
"""A repeat from the best is near enough to begin from: to prove more takes ten times as long."""

ONE_ROUND = "\nseparating/maxroundsroot = 2"
"""Cutting planes for a round by itself take five seconds where it is dealt in a tenth without them."""

MEETINGS = 6
"""So many meetings of a pair have prices of their own; one more costs as much as the last."""


@dataclass(frozen=True)
class _Window:
    """Averages from one level to another: what a round that lies there costs, and the kinds of teams that do."""

    price: float
    teams: list[Team]


@dataclass(frozen=True)
class _Choice:
    """So many rounds in a window, and how often each kind of team is used in all of them."""

    alike: Alike
    window: _Window
    rounds: int
    used: dict[Team, int]


class KindPlan:
    """The best kinds of teams for a unit, looked for once; ``rounds`` is empty where there are too many or none.

    ``alike`` says whether rounds are among them whose groups are to be alike.
    """

    def __init__(self, board: Board) -> None:
        self.board = board
        self.rounds: dict[int, list[Team]] = {}
        self.alike = False
        if is_wide(board):
            return
        self.model = KindModel(board, priced=True, grain=GRAIN * board.repeat, few=FEW)
        self.alike = any(alike.is_priced for alike in self.model.alike)
        free = [board.blocks[number] for number in board.free]
        # Groups that stand already are to change little: no others are looked for.
        is_new = all(block.seats is None for block in free)
        if is_new and (self.alike or _small_and_balanced(free)) and (choices := self._choices()):
            self._split(_best(self.model, choices))

    def _choices(self) -> list[tuple[Alike, list[_Window]]]:
        """What each kind of rounds can be, groups alike first; nothing where the kinds of teams are too many.

        Beside groups alike, rounds with too many are left to the search.
        """
        found: list[tuple[Alike, list[_Window]]] = []
        left = MOST_CHOICES
        for alike in sorted(self.model.alike, key=lambda alike: not alike.is_priced):
            choice, teams = [], 0
            for window in _windows(self.model, alike):
                choice.append(window)
                teams += len(window.teams)
                if teams > left:
                    choice = []
                    break
            if choice:
                found.append((alike, choice))
                left -= teams
            elif not found or not found[0][0].is_priced:
                return []
        return found

    def _split(self, chosen: list[_Choice]) -> None:
        """Deal the teams of each window out to its rounds."""
        left = {id(choice.alike): list(choice.alike.numbers) for choice in chosen}
        for choice in chosen:
            # Which of the rounds get which teams is open, and drawn later.
            for teams in _dealt(choice, self.model):
                self.rounds[left[id(choice.alike)].pop()] = teams

    def seats(self, start: Seats, rng: np.random.Generator) -> Seats:
        """Seats with these kinds of teams; which round has which, and who of each kind sits where, is drawn.

        Blocks without such teams stay as they are.
        """
        seats = start.copy()
        for alike in self.model.alike if self.rounds else ():
            numbers = [number for number in alike.numbers if number in self.rounds]
            for number, source in zip(numbers, rng.permutation(numbers).tolist(), strict=True):
                self._seat(seats[number], alike, self.rounds[source], rng)
        return seats

    def _seat(self, row: Seats, alike: Alike, teams: list[Team], rng: np.random.Generator) -> None:
        waiting: dict[int, list[int]] = defaultdict(list)
        for person in rng.permutation(alike.block.people).tolist():
            waiting[self.model.kind[person]].append(person)
        by_size: dict[int, list[Team]] = defaultdict(list)
        for team in teams:
            by_size[len(team)].append(team)
        for group, size in enumerate(alike.block.sizes):
            for kind in by_size[size].pop():
                row[waiting[kind].pop()] = group


def _small_and_balanced(free: list[Block]) -> bool:
    """Whether there are balanced rounds, and some rounds have groups of LARGEST at most.

    Not for a round by itself, which several short runs find. Nor with people who must be together: they are drawn
    here by their kind alone, and swaps that bring them together undo more than was won. Where groups are to be alike,
    what is won is more.
    """
    small = len(free) > 1 and any(max(block.sizes, default=0) <= LARGEST for block in free)
    return small and any(block.averages for block in free) and not any(block.must_link.any() for block in free)


def _scip(further: str = "") -> Any:
    """A solver for integer programmes, the same on any machine: one thread, limits in nodes, and ``further`` limits."""
    from ortools.linear_solver import pywraplp

    solver = pywraplp.Solver.CreateSolver("SCIP")
    solver.SetSolverSpecificParametersAsString(LIMITS + further)
    return solver


def _solved(solver: Any) -> bool:
    """Whether there is a solution, the best one or not."""
    return solver.Solve() in (solver.OPTIMAL, solver.FEASIBLE)


def _windows(model: KindModel, alike: Alike) -> Iterator[_Window]:
    """Each place of a window, as wide as is free and then ever wider; all teams where averages do not count.

    Of teams that are to be alike those that are most so, MOST_ALIKE of each size: the others only take time.
    """
    teams, sizes = kinds_of_teams(alike, model.kind), set(alike.block.sizes)
    if alike.averages is None:
        if alike.is_priced:
            teams.sort(key=lambda team: model.price(alike, team))
            teams = [team for size in sizes for team in [team for team in teams if len(team) == size][:MOST_ALIKE]]
        yield _Window(0.0, teams)
        return
    level = levels_of(alike, model.kind, teams)
    levels, free = sorted(set(level.values())), alike.averages.free
    for low in levels:
        for high in [low + free, *(end for end in levels if free < end - low <= (1 + WIDEST) * free)]:
            inside = [team for team in teams if team not in level or low <= level[team] <= high]
            if {len(team) for team in inside} == sizes:
                yield _Window(alike.averages.price_of(high - low), inside)


def _best(model: KindModel, choices: list[tuple[Alike, list[_Window]]]) -> list[_Choice]:
    """The cheapest kinds of teams, all blocks together: what they are uneven, and repeats that kinds cannot avoid."""
    solver = _scip()
    met: dict[tuple[int, int], list[Any]] = defaultdict(list)
    for pair, times in model.known().items():
        met[pair].append(times)
    cost, uses = [], []
    for alike, choice in choices:
        here = []
        for window in choice:
            rounds = solver.IntVar(0, alike.times, "")
            here.append(rounds)
            cost.append(window.price / model.board.repeat * rounds)
            uses.append((alike, window, rounds, _used(solver, alike, window, rounds, model.kind)))
            for team, number in uses[-1][3].items():
                if price := model.price(alike, team):
                    cost.append(price / model.board.repeat * number)
                for pair, times in kind_meetings(team).items():
                    met[pair].append(alike.rounds * times * number)
        solver.Add(sum(here) == alike.times)
    pairs = model.pairs()
    # In a fixed order: SCIP finds another solution of the same cost where its variables come in another one.
    for pair, meetings in sorted(met.items()):
        cost.append(_repeats(solver, sum(meetings), pairs.get(pair, 0)))
    solver.Minimize(sum(cost))
    if not _solved(solver):
        return []
    return [_Choice(alike, window, round(rounds.solution_value()),
                    {team: round(number.solution_value()) for team, number in used.items()})
            for alike, window, rounds, used in uses if rounds.solution_value() > 0.5]


def _used(solver: Any, alike: Alike, window: _Window, rounds: Any, kind: list[int]) -> dict[Team, Any]:
    """How often each kind of team is used in so many rounds: the groups of each size, and everybody once a round."""
    used = {team: solver.IntVar(0, alike.times * len(alike.block.sizes), "") for team in window.teams}
    for size, groups in Counter(alike.block.sizes).items():
        solver.Add(sum(number for team, number in used.items() if len(team) == size) == groups * rounds)
    for one, people in Counter(kind[person] for person in alike.block.people.tolist()).items():
        solver.Add(sum(team.count(one) * number for team, number in used.items()) == people * rounds)
    return used


def _repeats(solver: Any, meetings: Any, pairs: int) -> Any:
    """The least meeting cost of so many meetings among so many pairs: a first one of each, then a second, and so on.

    Each costs one more than the one before, so that they are taken in this order by themselves.
    """
    layers = [solver.NumVar(0, pairs, "") for _ in range(MEETINGS)]
    layers.append(solver.NumVar(0, solver.infinity(), ""))
    solver.Add(sum(layers) == meetings)
    return sum(earlier * layer for earlier, layer in enumerate(layers))


def _dealt(choice: _Choice, model: KindModel) -> list[list[Team]]:
    """The teams of each of the rounds in a window, as nearly as they can be those that were chosen for all of them.

    They cannot always be dealt out: pairs of three kinds may go round in a triangle. Groups alike are of so many kinds
    that all rounds at once take seconds: there each round gets its share of what is left.
    """
    if choice.rounds == 1:
        return [[team for team, number in choice.used.items() for _ in range(number)]]
    if not choice.alike.is_priced:
        return _dealt_at_once(choice, model, choice.used, choice.rounds)
    left, found = Counter(choice.used), list[list[Team]]()
    for rounds in range(choice.rounds, 0, -1):
        share = {team: left[team] / rounds for team in choice.used}
        if not (one := _dealt_at_once(choice, model, share, 1)):
            return []
        found += one
        left -= Counter(one[0])
    return found


def _dealt_at_once(
    choice: _Choice, model: KindModel, wanted: Mapping[Team, float], rounds: int
) -> list[list[Team]]:
    """The teams of so many rounds, together as nearly as they can be those that are wanted."""
    solver, away = _scip(ONE_ROUND if rounds == 1 else ""), []
    dealt = []
    for _ in range(rounds):
        one = solver.IntVar(1, 1, "")
        dealt.append(_used(solver, choice.alike, choice.window, one, model.kind))
    for team, number in wanted.items():
        more, fewer = solver.NumVar(0, solver.infinity(), ""), solver.NumVar(0, solver.infinity(), "")
        solver.Add(sum(round_[team] for round_ in dealt) == number + more - fewer)
        away += [more, fewer]
    # A team that was not chosen must not be one of people who are unlike, if it can be helped.
    prices = {team: model.price(choice.alike, team) / model.board.repeat for team in choice.used}
    away += [price * number for round_ in dealt for team, number in round_.items() if (price := prices[team])]
    solver.Minimize(sum(away))
    if not _solved(solver):
        return []
    return [[team for team, number in round_.items() for _ in range(round(number.solution_value()))]
            for round_ in dealt]
