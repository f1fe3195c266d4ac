"""The list of constructions, and the longest design that they give."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import combinations, islice

from grouper.engines.designs import catalogue
from grouper.engines.designs.design import (
    CIRCLE_SOURCE,
    Design,
    Group,
    Round,
    Sizes,
    check_sizes,
    circle_length,
    circle_rounds,
    largest_first,
    meetings,
)
from grouper.engines.designs.field import ring_of

# Pairs in an odd class: one trio a round, and all three of it meet.

TRIO_SOURCE = "patterned starter with one trio (after R. C. Mullin & E. Nemeth 1969, On furnishing Room squares)"
_OUTSIDE = 4
"""Fixed places outside the circle: they never meet one another, which are just the six pairs that pair counting
leaves over when there are n - 4 rounds."""


def trio_length(sizes: Sizes) -> int:
    """Rounds for sizes 3, 2, 2, ...: n - 4 of them where a starter exists, else 0."""
    if len(sizes) < 2 or sizes[0] != 3 or set(sizes[1:]) != {2}:
        return 0
    circle = sum(sizes) - _OUTSIDE
    return circle if circle > _OUTSIDE and _trio_starter(circle) else 0


def trio_rounds(sizes: Sizes) -> Iterator[Round]:
    """The base round, turned step by step around the circle; the four outside stay where they are."""
    circle = trio_length(sizes)
    for turn in range(circle):
        groups = [[(place + turn) % circle for place in group] for group in _trio_starter(circle)]
        singles = [group for group in groups if len(group) == 1]
        outside = [[*single, circle + i] for i, single in enumerate(singles)]
        yield largest_first([*(group for group in groups if len(group) > 1), *outside])


@cache
def _trio_starter(circle: int) -> tuple[Group, ...]:
    """A trio, four singles and pairs on a circle of odd length, in which every distance appears once.

    The pairs (i, -i) have every distance once. Three of them and 0 are taken apart and made into the trio, whose
    distances must be those set free, and the four singles.
    """
    half = range(1, (circle + 1) // 2)
    for opened in combinations(half, 3):
        free = {_distance(i, -i, circle) for i in opened}
        loose = [0, *opened, *((-i) % circle for i in opened)]
        for trio in combinations(loose, 3):
            if {_distance(a, b, circle) for a, b in combinations(trio, 2)} == free:
                pairs = [(i, circle - i) for i in half if i not in opened]
                return (trio, *((place,) for place in loose if place not in trio), *pairs)
    return ()


def _distance(a: int, b: int, circle: int) -> int:
    return min((a - b) % circle, (b - a) % circle)


# Groups that take one place from each column: transversal designs over finite fields, affine planes among them.

FIELD_SOURCE = (
    "transversal design over GF(q), or over a product of fields (R. C. Bose 1938, On the application of the properties "
    "of Galois fields to the construction of hyper-Graeco-Latin squares; H. F. MacNeish 1922, Euler squares)"
)
COLUMNS_SOURCE = f"{FIELD_SOURCE}, then rounds inside its columns, as in an affine plane"
SLOPES_SOURCE = "lines of few slopes on a grid modulo the number of groups"


def field_length(sizes: Sizes) -> int:
    """Rounds for g equal groups of s: g, where each prime power of g is at least s."""
    groups, size = equal_groups(sizes)
    return groups if 2 <= size <= groups and size <= ring_of(groups).spread else 0


def field_rounds(sizes: Sizes) -> Iterator[Round]:
    """Round m holds, for each b, the place a * m + b of every column a."""
    groups, size = equal_groups(sizes)
    ring = ring_of(groups)
    columns = [ring.diagonal(a) for a in range(size)]
    for slope in range(groups):
        starts = [ring.times(column, slope) for column in columns]
        yield _lines(groups, size, lambda column, b, starts=starts: ring.plus(starts[column], b))  # type: ignore[misc]


def slopes_length(sizes: Sizes) -> int:
    """Rounds for any g equal groups of s <= g: g over its largest divisor below s."""
    groups, size = equal_groups(sizes)
    if not 2 <= size <= groups:
        return 0
    return groups // max(divisor for divisor in range(1, size) if groups % divisor == 0)


def slopes_rounds(sizes: Sizes) -> Iterator[Round]:
    """Round m holds the places a * m + b modulo g of the columns a: two lines meet twice only at forbidden slopes."""
    groups, size = equal_groups(sizes)
    for slope in range(slopes_length(sizes)):
        yield _lines(groups, size, lambda column, b, slope=slope: (column * slope + b) % groups)  # type: ignore[misc]


def equal_groups(sizes: Sizes) -> tuple[int, int]:
    """Number and size of the groups, (0, 0) where they are not all equal."""
    return (len(sizes), sizes[0]) if len(set(sizes)) == 1 else (0, 0)


def columns_length(sizes: Sizes, length_of: Callable[[Sizes], int]) -> int:
    """Rounds where the columns, whose places never meet, are themselves cut into groups: s must divide g."""
    across = max(field_length(sizes), slopes_length(sizes))
    return across + length_of(_column(sizes)) if across and _column(sizes) else 0


def columns_rounds(sizes: Sizes, rounds_of: Callable[[Sizes], Sequence[Round]]) -> Iterator[Round]:
    """The rounds across the columns, then rounds within all columns at once; s = g makes an affine plane."""
    groups, size = equal_groups(sizes)
    yield from (field_rounds if field_length(sizes) else slopes_rounds)(sizes)
    for inner in rounds_of(_column(sizes)):
        yield largest_first([place + c * groups for place in group] for c in range(size) for group in inner)


def _column(sizes: Sizes) -> Sizes:
    groups, size = equal_groups(sizes)
    return () if not size or groups % size else (size,) * (groups // size)


def _lines(groups: int, size: int, height: Callable[[int, int], int]) -> Round:
    def line(b: int) -> Group:
        return tuple(column * groups + height(column, b) for column in range(size))

    return largest_first(line(b) for b in range(groups))


# Classes that do not divide: a few places of a larger design stay empty.

DELETED_SOURCE = "with places left empty that never meet, or that meet in one round which is then left out"
_STEPS = 2_000
"""Most steps of the search for places that never meet: a fraction of a second, and the same on every machine."""


def parents(sizes: Sizes) -> list[Sizes]:
    """Equal sizes from which leaving one place of some, or of all, groups empty gives these."""
    if not sizes or sizes[0] - sizes[-1] > 1:
        return []
    largest, groups = sizes[0], len(sizes)
    if largest > sizes[-1]:
        return [(largest,) * groups]
    return [(largest + 1,) * groups] if largest < groups else []


def deleted_rounds(sizes: Sizes, larger: Sequence[Sizes], rounds_of: Callable[[Sizes], Sequence[Round]]) -> list[Round]:
    """The longest of what the larger designs leave."""
    return max((_thinned(parent, sizes, rounds_of(parent)) for parent in larger), key=len, default=[])


def _thinned(parent: Sizes, sizes: Sizes, rounds: Sequence[Round]) -> list[Round]:
    spare = sum(parent) - sum(sizes)
    empty = strangers(rounds, sum(parent), spare)
    if len(empty) < spare:
        empty = list(rounds[-1][0][:spare]) if rounds and spare <= parent[0] else []
    return list(_without(set(empty), rounds, sizes)) if len(empty) == spare else []


def _without(empty: set[int], rounds: Sequence[Round], sizes: Sizes) -> Iterator[Round]:
    kept = [place for place in range(sum(sizes) + len(empty)) if place not in empty]
    number = {place: i for i, place in enumerate(kept)}
    for groups in rounds:
        thinned = largest_first([number[place] for place in group if place not in empty] for group in groups)
        if tuple(map(len, thinned)) == sizes:
            yield thinned


def strangers(rounds: Sequence[Round], people: int, wanted: int) -> list[int]:
    """So many places of which no two ever meet, or fewer where none were found within a fixed number of steps."""
    unmet = [set(range(people)) - {place} for place in range(people)]
    for a, b in meetings(rounds):
        unmet[a].discard(b)
        unmet[b].discard(a)
    return _Strangers(unmet, wanted).found([], list(range(people)))


class _Strangers:
    """A search in depth with a count of its steps."""

    def __init__(self, unmet: list[set[int]], wanted: int) -> None:
        self.unmet = unmet
        self.wanted = wanted
        self.steps = _STEPS

    def found(self, chosen: list[int], open_places: list[int]) -> list[int]:
        if len(chosen) == self.wanted:
            return chosen
        for i, place in enumerate(open_places):
            self.steps -= 1
            if self.steps < 0 or len(chosen) + len(open_places) - i < self.wanted:
                break
            rest = [other for other in open_places[i + 1 :] if other in self.unmet[place]]
            answer = self.found([*chosen, place], rest)
            if answer:
                return answer
        return []


@dataclass(frozen=True)
class Construction:
    """A way to make designs: how many rounds it has for some sizes (0: it does not apply), and the rounds."""

    key: str
    source: str
    length: Callable[[Sizes], int]
    rounds: Callable[[Sizes], Iterable[Round]]


def repeat_free_rounds(sizes: Sizes, most: int | None = None) -> Design | None:
    """The longest schedule known in which every round has these group sizes and no two people meet twice.

    Parameters
    ----------
    sizes
        Group sizes of every round, largest first. They may differ by at most one.
    most
        Stop after so many rounds; by default the whole design.

    Returns
    -------
    Design or None
        None where the sizes differ by more than one, or everybody is alone: no construction is for these.

    Raises
    ------
    InputError
        When the sizes are not positive and descending.

    Examples
    --------
    >>> len(repeat_free_rounds((4, 4, 4, 4)).rounds)
    5
    """
    check_sizes(sizes)
    best = _longest(sizes, CONSTRUCTIONS)
    if not best.length(sizes):
        return None
    return Design(sizes, tuple(islice(best.rounds(sizes), most)), best.source)


def known_length(sizes: Sizes) -> int:
    """How many rounds `repeat_free_rounds` has, mostly without making them."""
    return _longest(sizes, CONSTRUCTIONS).length(sizes)


def _longest(sizes: Sizes, constructions: tuple[Construction, ...]) -> Construction:
    return max(constructions, key=lambda construction: construction.length(sizes))


def _direct_length(sizes: Sizes) -> int:
    return _longest(sizes, _DIRECT).length(sizes)


def _direct_rounds(sizes: Sizes) -> tuple[Round, ...]:
    return tuple(_longest(sizes, _DIRECT).rounds(sizes)) if _direct_length(sizes) else ()


@lru_cache(maxsize=1024)
def _deleted(sizes: Sizes) -> tuple[Round, ...]:
    """Only from larger designs that are longer than what there is without: leaving places empty adds no round."""
    least = _direct_length(sizes)
    longer = [parent for parent in parents(sizes) if _direct_length(parent) > least]
    return tuple(deleted_rounds(sizes, longer, _direct_rounds))


def _one_round(sizes: Sizes) -> tuple[Round, ...]:
    if not sizes or sizes[0] < 2 or sizes[0] - sizes[-1] > 1:
        return ()
    ends = [sum(sizes[: i + 1]) for i in range(len(sizes))]
    return (largest_first(range(end - size, end) for end, size in zip(ends, sizes, strict=True)),)


_DIRECT = (
    Construction("circle", CIRCLE_SOURCE, circle_length, circle_rounds),
    Construction("catalogue", catalogue.SOURCE, catalogue.catalogue_length, catalogue.catalogue_rounds),
    Construction("trios", TRIO_SOURCE, trio_length, trio_rounds),
    Construction("field", FIELD_SOURCE, field_length, field_rounds),
    Construction(
        "columns",
        COLUMNS_SOURCE,
        lambda sizes: columns_length(sizes, _direct_length),
        lambda sizes: columns_rounds(sizes, _direct_rounds),
    ),
    Construction("slopes", SLOPES_SOURCE, slopes_length, slopes_rounds),
    Construction("single", "one round repeats nobody", lambda sizes: len(_one_round(sizes)), _one_round),
)

CONSTRUCTIONS = (
    *_DIRECT,
    Construction("deleted", DELETED_SOURCE, lambda sizes: len(_deleted(sizes)), _deleted),
)
"""The door for constructions: add one here and it takes part wherever it is the longest; the first wins a tie.

Those in ``_DIRECT`` also serve as what places are left empty in, and as rounds inside the columns of another.
"""
