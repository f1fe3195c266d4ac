"""What the catalogue is made of: for each design its symmetry, and how its base rounds are looked for."""

from __future__ import annotations

from dataclasses import dataclass, field

from design_search.climb import Climb
from design_search.cover import Cover
from design_search.doubling import Doubling
from design_search.puzzle import Puzzle
from design_search.squares import Squares
from design_search.symmetry import Permutation, Turning, group_orbit, power
from design_search.words import Words
from grouper.engines.designs.catalogue import BaseRound, Entry, sizes_from
from grouper.engines.designs.design import Group

_AROUND = (1, 2, 0)
_FIVE_AND_FIVE = (1, 2, 3, 4, 0, 6, 7, 8, 9, 5)


@dataclass(frozen=True)
class Twist:
    """A further symmetry: place x of cycle i goes to place ``factor`` * x of cycle ``goes_to[i]``.

    Cycles beyond ``goes_to`` stay; cycles that change places have one length.
    """

    factor: int
    goes_to: tuple[int, ...]

    def permutation(self, cycles: tuple[int, ...]) -> Permutation:
        """Where each place goes."""
        targets = self.goes_to + tuple(range(len(self.goes_to), len(cycles)))
        starts = [sum(cycles[:i]) for i in range(len(cycles))]
        return tuple(
            starts[targets[i]] + self.factor * x % length for i, length in enumerate(cycles) for x in range(length)
        )


@dataclass(frozen=True)
class Recipe:
    """One design to look for; ``spans`` as in `Puzzle`, by default one base round turned all the way."""

    key: str
    cycles: tuple[int, ...]
    spans: tuple[int, ...] = ()
    twist: Twist | None = None
    method: Cover | Climb = field(default_factory=Cover)

    def entry(self) -> Entry | None:
        """The design, or None where the search does not find it."""
        puzzle = self._puzzle()
        bases = self.method.bases(puzzle)
        if bases is None:
            return None
        stored = [
            BaseRound(span, _first_of_each(groups, power(puzzle.turning.step, span)))
            for span, groups in zip(puzzle.spans, bases, strict=True)
        ]
        return Entry(puzzle.sizes, self.cycles, tuple(stored))

    def _puzzle(self) -> Puzzle:
        turning = Turning(self.cycles)
        twist = self.twist.permutation(self.cycles) if self.twist else None
        return Puzzle(sizes_from(self.key), turning, self.spans or (turning.order,), twist)


@dataclass(frozen=True)
class Written:
    """Base rounds that a faster program found, and that the searches here do not come to within minutes."""

    key: str
    cycles: tuple[int, ...]
    rounds: int
    bases: tuple[str, ...]

    def entry(self) -> Entry:
        """The design as it is written: groups with a stroke between, each base round turned so often."""
        groups = (tuple(tuple(map(int, group.split())) for group in base.split("|")) for base in self.bases)
        return Entry(sizes_from(self.key), self.cycles, tuple(BaseRound(self.rounds, round_) for round_ in groups))


def _first_of_each(groups: tuple[Group, ...], still: Permutation) -> tuple[Group, ...]:
    return tuple(sorted({min(group_orbit(group, (still,))) for group in groups}))


def _triples(cycles: int, start: int = 0) -> tuple[int, ...]:
    """So many cycles, from ``start`` on, that go around three by three."""
    return tuple(start + i - i % 3 + (i + 1) % 3 for i in range(cycles))


def _threes(groups: int) -> Recipe:
    """Kirkman's schoolgirls, or nearly: threes for as many rounds as there can be, on two or three cycles."""
    people = 3 * groups
    if people % 12 == 9:
        spans = (groups,) + (1,) * (groups // 2)
        return Recipe(f"{groups}x3", (groups,) * 3, spans, _twist_from(15, groups, Twist(7, (0, 1, 2))))
    fixed = 2 - people % 2
    cycle = (people - fixed) // 2
    swap = Twist(1, (1, 0)) if fixed == 1 else Twist(1, (1, 0, 3, 2))
    return Recipe(f"{groups}x3", (cycle,) * 2 + (1,) * fixed, twist=_twist_from(17, groups, swap))


def _twist_from(least: int, groups: int, twist: Twist) -> Twist | None:
    """A twist for large puzzles alone: small ones need none, and may have no solution with one."""
    return twist if groups >= least else None


def _fours(people: int, factor: int) -> Recipe:
    """A resolvable design of fours: three cycles that are moved around, and one place that stays."""
    cycle = people // 3
    return Recipe(f"{people // 4}x4", (cycle,) * 3 + (1,), twist=Twist(factor, _AROUND))


def _spread(key: str, rounds: int, temperature: float = 0.2, seed: int = 1) -> Recipe:
    """As many full cycles as go in, everybody else stays: for schedules near what counting pairs allows."""
    people = sum(sizes_from(key))
    return Recipe(
        key, (rounds,) * (people // rounds) + (1,) * (people % rounds), method=Climb(2_000_000, temperature, seed)
    )


Search = Recipe | Squares | Doubling | Words | Written
"""Whatever looks for a design: a ``key``, and an ``entry``."""

RECIPES: tuple[Search, ...] = (
    Recipe("6x3", (4, 4, 4, 4, 1, 1), (4, 4)),
    *(_threes(groups) for groups in (5, 7, 8, 9, 10, 11, 12, 13, 16, 17, 19)),
    Recipe("6x4", (7, 7, 7, 1, 1, 1), twist=Twist(1, (*_AROUND, 4, 5, 3))),
    Recipe("7x4", (7, 7, 7, 7), (7, 1, 1)),
    Recipe("9x4", (11, 11, 11, 1, 1, 1), twist=Twist(1, (*_AROUND, 4, 5, 3))),
    _fours(40, -1),
    _fours(52, -1),
    Recipe("6x5", (6,) * 5),
    Recipe("10x5", (9,) * 5 + (1,) * 5, method=Climb()),
    Recipe("10x6", (7,) * 8 + (1,) * 4, method=Climb()),
    Recipe("10x7", (7,) * 9 + (1,) * 7, twist=Twist(2, _triples(15)), method=Climb()),
    Recipe("10x8", (5,) * 16, method=Climb()),
    Recipe("10x9", (5,) * 18, (), Twist(1, _triples(18)), Climb(2_000_000, 0.3)),
    Squares(),
    Recipe("2x3+2x2", (5, 5)),
    Recipe("1x3+3x2", (1,) * 9, (1,) * 6),
    Recipe("3x3+2x2", (1,) * 13, (1,) * 7, method=Climb(2_500_000, 0.23, 13)),
    _spread("14x3", 20),
    _spread("18x3", 25),
    _spread("20x3", 28),
    Recipe("11x4", (13,) * 3 + (1,) * 5, (), Twist(3, _triples(6)), Climb()),
    _spread("12x4", 13),
    _spread("9x4+3x3", 14, 0.3, 3),
    _spread("14x4", 16, 0.2, 3),
    _spread("15x4", 17),
    _spread("2x5+4x4", 6, 0.3, 3),
    # Annealing as by `Climb`, but in C++: after 76, 81 and 205 million swaps in three of five trials.
    Written(
        "3x5+3x4",
        (3,) * 9,
        3,
        (
            "2 6 7 9 13 | 10 11 18 22 25 | 4 8 17 19 20 | 0 12 21 26 | 1 5 14 16 | 3 15 23 24",
            "0 16 20 22 23 | 1 2 4 10 26 | 3 5 8 13 21 | 9 12 14 18 | 7 11 15 17 | 6 19 24 25",
        ),
    ),
    Recipe("12x5", (11,) * 5 + (1,) * 5, (), Twist(3, _FIVE_AND_FIVE), Climb()),
    Recipe("1x6+5x5", (6,) * 5 + (1,), method=Climb(500_000, 0.3, 2)),
    Recipe("2x6+4x5", (4,) * 7 + (2, 2), method=Climb()),
    Recipe("3x6+3x5", (4,) * 7 + (2, 2, 1), method=Climb()),
    Words("4x6+2x5", 4),
    Doubling(),
)
