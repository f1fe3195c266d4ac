"""The list of constructions, and the longest design that they give."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice

from grouper.engines.designs import catalogue, circle, deleted, transversal, trios
from grouper.engines.designs.design import Design, Round, Sizes, check_sizes, largest_first


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
    longer = [parent for parent in deleted.parents(sizes) if _direct_length(parent) > least]
    return tuple(deleted.deleted_rounds(sizes, longer, _direct_rounds))


def _one_round(sizes: Sizes) -> tuple[Round, ...]:
    if not sizes or sizes[0] < 2 or sizes[0] - sizes[-1] > 1:
        return ()
    ends = [sum(sizes[: i + 1]) for i in range(len(sizes))]
    return (largest_first(range(end - size, end) for end, size in zip(ends, sizes, strict=True)),)


_DIRECT = (
    Construction("circle", circle.SOURCE, circle.circle_length, circle.circle_rounds),
    Construction("catalogue", catalogue.SOURCE, catalogue.catalogue_length, catalogue.catalogue_rounds),
    Construction("trios", trios.SOURCE, trios.trio_length, trios.trio_rounds),
    Construction("field", transversal.FIELD_SOURCE, transversal.field_length, transversal.field_rounds),
    Construction(
        "columns",
        transversal.COLUMNS_SOURCE,
        lambda sizes: transversal.columns_length(sizes, _direct_length),
        lambda sizes: transversal.columns_rounds(sizes, _direct_rounds),
    ),
    Construction("slopes", transversal.SLOPES_SOURCE, transversal.slopes_length, transversal.slopes_rounds),
    Construction("single", "one round repeats nobody", lambda sizes: len(_one_round(sizes)), _one_round),
)

CONSTRUCTIONS = (
    *_DIRECT,
    Construction("deleted", deleted.SOURCE, lambda sizes: len(_deleted(sizes)), _deleted),
)
"""The door for constructions: add one here and it takes part wherever it is the longest; the first wins a tie.

Those in ``_DIRECT`` also serve as what places are left empty in, and as rounds inside the columns of another.
"""
