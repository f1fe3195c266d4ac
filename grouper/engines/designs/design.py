"""A schedule for numbered places: rounds of groups, and the check that no two places meet twice.

The simplest one is here too, pairs by the circle method: for the whole house, as round robins turn it into games.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

from grouper.errors import InputError

Sizes = tuple[int, ...]
Group = tuple[int, ...]
Round = tuple[Group, ...]


@dataclass(frozen=True)
class Design:
    """Rounds that all have the same group sizes, for places numbered from 0.

    Parameters
    ----------
    sizes
        Group sizes of every round, largest first.
    rounds
        Each round's groups, in the order of ``sizes``; every place stands in exactly one group of a round.
    source
        The construction, with the author, year and title it comes from.

    Raises
    ------
    InputError
        When the sizes are not positive and descending, or a round does not place everybody once in them.

    Examples
    --------
    >>> Design((2, 2), (((0, 1), (2, 3)), ((0, 2), (1, 3))), "by hand").is_repeat_free()
    True
    """

    sizes: Sizes
    rounds: tuple[Round, ...]
    source: str

    def __post_init__(self) -> None:
        check_sizes(self.sizes)
        everybody = list(range(self.people))
        for number, groups in enumerate(self.rounds, start=1):
            if tuple(map(len, groups)) != self.sizes:
                raise InputError(
                    "round {number} has groups of {lengths}, not of {sizes}",
                    number=number,
                    lengths=[*map(len, groups)],
                    sizes=[*self.sizes],
                )
            if sorted(place for group in groups for place in group) != everybody:
                raise InputError(
                    "round {number} does not place each of {people} people exactly once",
                    number=number,
                    people=self.people,
                )

    @property
    def people(self) -> int:
        """How many places there are."""
        return sum(self.sizes)

    def repeats(self) -> list[tuple[int, int]]:
        """Pairs that meet again, once for each meeting after their first, in the order of play."""
        met: set[tuple[int, int]] = set()
        again = []
        for pair in meetings(self.rounds):
            if pair in met:
                again.append(pair)
            met.add(pair)
        return again

    def is_repeat_free(self) -> bool:
        """Whether no two places are together in two rounds: counted pair by pair, whatever made the design."""
        return not self.repeats()


def check_sizes(sizes: Sizes) -> None:
    """Refuse group sizes that are not positive and descending (InputError)."""
    if any(size < 1 for size in sizes) or list(sizes) != sorted(sizes, reverse=True):
        raise InputError("group sizes {sizes} are not positive numbers, largest first", sizes=[*sizes])


def meetings(rounds: Iterable[Round]) -> Iterator[tuple[int, int]]:
    """Every pair (smaller, larger) that is together, once for each time."""
    for groups in rounds:
        for group in groups:
            yield from combinations(sorted(group), 2)


def largest_first(groups: Iterable[Iterable[int]]) -> Round:
    """A round in the order that `Design` asks for: groups by size, then by their lowest place; places ascending."""
    return tuple(sorted((tuple(sorted(group)) for group in groups), key=lambda group: (-len(group), group)))


CIRCLE_SOURCE = "circle method (T. P. Kirkman 1847, On a problem in combinations)"


def around(length: int, centre: int) -> list[tuple[int, int]]:
    """The pairs of places across a circle of odd ``length`` from a centre, nearest first; the centre has nobody.

    >>> around(5, 0)
    [(1, 4), (2, 3)]
    """
    return [((centre + i) % length, (centre - i) % length) for i in range(1, (length + 1) // 2)]


def circle_length(sizes: Sizes) -> int:
    """Rounds of pairs, perhaps with one person alone: n - 1 for an even class, n for an odd one."""
    if not sizes or sizes[0] != 2 or set(sizes[:-1]) - {2}:
        return 0
    return sum(sizes) - 1 + (sizes[-1] == 1)


def circle_rounds(sizes: Sizes) -> Iterator[Round]:
    """In each round the places across the circle from its centre meet; the centre meets the middle, or is alone."""
    length = circle_length(sizes)
    middle = [length] if sizes[-1] == 2 else []
    for turn in range(length):
        yield largest_first([*around(length, turn), [turn, *middle]])
