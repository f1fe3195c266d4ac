"""What people would otherwise use, in plain form: shuffling, going round by round, and one whole model for CP-SAT.

All get the same problem as the planner and give back a plan that the referee can judge. Shuffling and going round by
round score a round by the same wishes: requests and gaps first, then even teams, then new partners.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from fractions import Fraction
from itertools import combinations
from math import ceil, floor
from random import Random

from grouper.model.plan import Group, Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.rules.balanced import TOLERANCE, range_in_steps, steps
from grouper.rules.terms import Window

Teams = list[list[str]]
Met = Counter[tuple[str, str]]

BROKEN = 10_000
UNEVEN = 10
SHUFFLES = 1_000


def windows(problem: Problem, spec: RoundSpec) -> dict[int, Window]:
    """By size of team the totals within half the tolerance of the class average, or the nearest: all in one place."""
    values = steps(problem, spec).values()
    mean, half = Fraction(sum(values), len(values)), TOLERANCE * range_in_steps(problem, spec) / 2
    found = {}
    for size in set(spec.sizes):
        low, high = ceil((mean - half) * size), floor((mean + half) * size)
        found[size] = Window(size, *((low, high) if low <= high else (floor(mean * size), ceil(mean * size))), 1)
    return found


class Wishes:
    """What a round should be like, as prices: for two in a group, and for a group as a whole."""

    def __init__(self, problem: Problem, spec: RoundSpec, met: Met) -> None:
        self.spec, self.met = spec, met
        self.apart = {request.pair for request in problem.requests_in(spec, "apart")}
        self.aim = spec.activity.aim
        rated = self.aim in ("balanced", "coaching", "similar")
        self.skill = steps(problem, spec) if rated else dict.fromkeys(spec.students, 0)
        self.windows = windows(problem, spec) if self.aim == "balanced" else {}

    def pair(self, one: str, other: str) -> int:
        """The price of two in one group."""
        pair = (one, other) if one < other else (other, one)
        price = self.met[pair] + BROKEN * (pair in self.apart)
        if self.aim == "coaching" and not self._coaches(one, other):
            price += BROKEN
        gap = abs(self.skill[one] - self.skill[other])
        return price + (UNEVEN * gap if self.aim == "similar" else 0)

    def _coaches(self, one: str, other: str) -> bool:
        """Whether the gap lies in the window; with whole numbers for skills a step is one."""
        gap, activity = abs(self.skill[one] - self.skill[other]), self.spec.activity
        return (activity.min_gap or 0) <= gap and (activity.max_gap is None or gap <= activity.max_gap)

    def team(self, members: Iterable[str]) -> int:
        """The price of a group."""
        people = list(members)
        price = sum(self.pair(one, other) for one, other in combinations(people, 2))
        window = self.windows.get(len(people))
        total = sum(self.skill[student] for student in people)
        return price + (UNEVEN * max(0, window.low - total, total - window.high) if window else 0)


def shuffled(problem: Problem, seed: int) -> Plan:
    """For each round, the best of SHUFFLES random shuffles, given the rounds before."""
    chance = Random(seed)

    def one_round(spec: RoundSpec, wishes: Wishes) -> Teams:
        drawn = (_cut(chance.sample(spec.students, len(spec.students)), spec.sizes) for _ in range(SHUFFLES))
        return min(drawn, key=lambda teams: sum(map(wishes.team, teams)))

    return _round_by_round(problem, one_round)


def greedy(problem: Problem, seed: int) -> Plan:
    """Round by round: the cheapest matching for pairs, and one after the other into the best team for teams."""
    chance = Random(seed)

    def one_round(spec: RoundSpec, wishes: Wishes) -> Teams:
        return _matched(spec, wishes, chance) if spec.activity.in_pairs else _dealt(spec, wishes, chance)

    return _round_by_round(problem, one_round)


def _matched(spec: RoundSpec, wishes: Wishes, chance: Random) -> Teams:
    import networkx

    people = chance.sample(spec.students, len(spec.students))
    graph = networkx.Graph()
    graph.add_weighted_edges_from((one, other, -wishes.pair(one, other)) for one, other in combinations(people, 2))
    pairs = [sorted(pair) for pair in networkx.max_weight_matching(graph, maxcardinality=True)]
    pairs.sort()
    for student in set(people) - {student for pair in pairs for student in pair}:
        min(pairs, key=lambda pair: wishes.team([*pair, student])).append(student)
    return pairs


def _dealt(spec: RoundSpec, wishes: Wishes, chance: Random) -> Teams:
    """From the highest skill to the lowest, each into the team with room where it is cheapest, the weakest of those."""
    people = sorted(chance.sample(spec.students, len(spec.students)), key=lambda student: -wishes.skill[student])
    teams: Teams = [[] for _ in spec.sizes]
    for student in people:
        room = [team for team, size in zip(teams, spec.sizes, strict=True) if len(team) < size]
        min(room, key=lambda team: _price_of_joining(wishes, team, student)).append(student)
    return teams


def _price_of_joining(wishes: Wishes, team: list[str], student: str) -> tuple[int, int, int]:
    pairs = sum(wishes.pair(student, other) for other in team)
    return pairs, len(team), sum(wishes.skill[other] for other in team)


def _round_by_round(problem: Problem, one_round: Callable[[RoundSpec, Wishes], Teams]) -> Plan:
    met: Met = Counter()
    rounds: dict[object, Round] = {}
    for spec in problem.rounds:
        if spec.leader is not None:
            rounds[spec.key] = Round(spec.key, rounds[spec.leader].groups)
        else:
            rounds[spec.key] = _round(spec, one_round(spec, Wishes(problem, spec, met)))
        met.update(rounds[spec.key].pairs)
    return Plan(tuple(rounds.values()))


def _round(spec: RoundSpec, teams: Teams) -> Round:
    return Round(spec.key, tuple(Group(str(label), tuple(team)) for label, team in enumerate(teams, start=1)))


def _cut(people: list[str], sizes: tuple[int, ...]) -> Teams:
    ends = [sum(sizes[: place + 1]) for place in range(len(sizes))]
    return [people[end - size : end] for size, end in zip(sizes, ends, strict=True)]


# ---- one whole model ----


def whole_model(problem: Problem, seconds: float, seed: int) -> Plan | None:
    """Student x team variables for the whole unit, CP-SAT with one worker; None where it finds no plan in time."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    led = [spec for spec in problem.rounds if spec.leader is None]
    seat = {spec.key: _seats(model, spec) for spec in led}
    together = {spec.key: _togethers(model, spec, seat[spec.key]) for spec in led}
    price = [part for spec in led for part in _round_prices(model, problem, spec, seat[spec.key], together[spec.key])]
    model.minimize(sum(price) + sum(_repeats(model, problem, together)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_time_in_seconds = seconds
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None

    def one_round(spec: RoundSpec, wishes: Wishes) -> Teams:
        cells = seat[spec.key]
        return [[s for s in spec.students if solver.value(cells[s, g])] for g in range(len(spec.sizes))]

    return _round_by_round(problem, one_round)


def _seats(model, spec: RoundSpec):  # type: ignore[no-untyped-def]
    groups = range(len(spec.sizes))
    cells = {(student, group): model.new_bool_var("") for student in spec.students for group in groups}
    for student in spec.students:
        model.add_exactly_one(cells[student, group] for group in groups)
    for group in groups:
        model.add(sum(cells[student, group] for student in spec.students) == spec.sizes[group])
    return cells


def _togethers(model, spec: RoundSpec, cells):  # type: ignore[no-untyped-def]
    found = {}
    for pair in combinations(sorted(spec.students), 2):
        found[pair] = model.new_bool_var("")
        for group in range(len(spec.sizes)):
            model.add(found[pair] >= cells[pair[0], group] + cells[pair[1], group] - 1)
    return found


def _round_prices(model, problem: Problem, spec: RoundSpec, cells, together):  # type: ignore[no-untyped-def]
    """Requests and gaps are forbidden outright; uneven teams and unlike groups have a price."""
    wishes = Wishes(problem, spec, Counter())
    for (one, other), both in together.items():
        price = wishes.pair(one, other)
        if price >= BROKEN:
            model.add(both == 0)
        elif price:
            yield price * both
    for group, size in enumerate(spec.sizes):
        window = wishes.windows.get(size)
        if window:
            total = sum(wishes.skill[student] * cells[student, group] for student in spec.students)
            beyond = model.new_int_var(0, 100_000, "")
            model.add(beyond >= total - window.high)
            model.add(beyond >= window.low - total)
            yield UNEVEN * beyond


def _repeats(model, problem: Problem, together):  # type: ignore[no-untyped-def]
    """Meetings after the first of each pair; a round counts again for each round in which its groups stay."""
    times = Counter(spec.leader or spec.key for spec in problem.rounds)
    ids = sorted({student for spec in problem.rounds for student in spec.students})
    for pair in combinations(ids, 2):
        again = model.new_int_var(0, len(problem.rounds), "")
        model.add(again >= sum(times[key] * met[pair] for key, met in together.items() if pair in met) - 1)
        yield again
