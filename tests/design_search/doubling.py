"""Eight groups of four in ten rounds: two affine planes of order 4, and everybody in them twice.

Thirty-two places are sixteen points with two faces each, 2 p and 2 p + 1. A line of a plane with a sign at each of
its points stands for two groups: the faces that the signs name, and the other faces. A parallel class of four lines
is so a round, and the two planes have ten. Each two points lie on one line of each plane: their faces meet only once
if the sum of their signs differs between these two lines. These are linear equations modulo 2. They can only be met
where no three points are on a line in both planes; planes that are laid so are tried until it comes out.

(Signed block designs: M. Bhaskar Rao 1970, from memory. That a pair of planes can be signed so was found here.)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from random import Random

from design_search.parity import solution
from grouper.engines.designs.catalogue import BaseRound, Entry
from grouper.engines.designs.constructions import repeat_free_rounds
from grouper.engines.designs.design import Group, Round

_POINTS = 16
_LINE = 4
Cell = tuple[int, int]
"""A line, by its number, and a point on it."""


@dataclass(frozen=True)
class Doubling:
    """The design of eight groups of four; ``key`` is its short form, ``tries`` how many layings of planes to try."""

    key: str = "8x4"
    tries: int = 1000
    seed: int = 1

    def entry(self) -> Entry | None:
        """The first that is found, or None."""
        plane = _plane()
        random = Random(self.seed)
        for _ in range(self.tries):
            classes = [*plane, *_laid_across(plane, random)]
            signs = _signs(classes)
            if signs is not None:
                return Entry((_LINE,) * 8, (2,) * _POINTS, tuple(_bases(classes, signs)))
        return None


def _plane() -> tuple[Round, ...]:
    design = repeat_free_rounds((_LINE,) * _LINE)
    return design.rounds if design else ()


def _laid_across(plane: Sequence[Round], random: Random) -> list[Round]:
    """The plane with its points renamed, by swaps that leave fewer and fewer threes on a line in both."""
    threes: set[Group] = {three for groups in plane for line in groups for three in combinations(line, 3)}
    names = list(range(_POINTS))
    random.shuffle(names)
    shared = _shared(threes, names)
    while shared:
        a, b = random.sample(range(_POINTS), 2)
        names[a], names[b] = names[b], names[a]
        after = _shared(threes, names)
        if after <= shared or random.random() < 0.05:
            shared = after
        else:
            names[a], names[b] = names[b], names[a]
    return [tuple(tuple(sorted(names[point] for point in line)) for line in groups) for groups in plane]


def _shared(threes: set[Group], names: list[int]) -> int:
    return sum(tuple(sorted(names[point] for point in three)) in threes for three in threes)


def _signs(classes: list[Round]) -> dict[Cell, int] | None:
    """Signs for every point of every line, 0 or 1, or None where there are none."""
    lines = [line for groups in classes for line in groups]
    through: dict[tuple[int, int], list[int]] = {}
    for number, line in enumerate(lines):
        for pair in combinations(line, 2):
            through.setdefault(pair, []).append(number)
    equations = [[(number, point) for number in numbers for point in pair] for pair, numbers in through.items()]
    return solution([(equation, 1) for equation in equations])


def _bases(classes: list[Round], signs: dict[Cell, int]) -> list[BaseRound]:
    bases = []
    number = 0
    for groups in classes:
        faces = []
        for line in groups:
            faces.append(tuple(2 * point + signs[number, point] for point in line))
            number += 1
        bases.append(BaseRound(1, tuple(faces)))
    return bases
