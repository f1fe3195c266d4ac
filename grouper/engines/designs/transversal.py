"""Groups that take one place from each column: transversal designs over finite fields, affine planes among them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from grouper.engines.designs.design import Group, Round, Sizes, largest_first
from grouper.engines.designs.field import ring_of

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
