"""How many rounds without a repeat are proven to be all, where counting pairs would allow more.

The proofs are in ``docs/quality/designs.md``; `most_rounds` is the door.
"""

from __future__ import annotations

from collections.abc import Iterator

from grouper.engines.designs.catalogue import sizes_from
from grouper.engines.designs.design import Sizes

_PROVEN = {
    # No two orthogonal Latin squares of order six (G. Tarry 1900); a thirty-sixth person would make 35 such a pair.
    3: ("6x6", "5x6+1x5"),
    # All schedules looked through, up to names (tests/design_search/exhaust.py); equal groups are in OEIS A107431 too.
    4: ("4x3", "3x3+1x2", "1x4+3x3", "2x6+4x5", "3x6+3x5", "4x6+2x5"),
    5: ("5x4", "4x4+1x3", "3x4+2x3", "2x4+3x3"),
    6: ("6x5", "1x6+5x5"),
}
_TABLE = {sizes_from(key): rounds for rounds, keys in _PROVEN.items() for key in keys}


def most_rounds(sizes: Sizes) -> int | None:
    """No schedule of rounds with these group sizes, largest first, has more without a repeat; None: nothing is proven.

    Examples
    --------
    >>> most_rounds((6,) * 6)
    3
    """
    return min([*_beside_a_square(sizes), *([_TABLE[sizes]] if sizes in _TABLE else [])], default=None)


def _beside_a_square(sizes: Sizes) -> Iterator[int]:
    """At most g rounds for g groups of g and g - 1 people, where g + 1 would ask too much of those in small groups.

    With d small groups in each of g + 1 rounds everybody is in a small group d times, and so meets everybody, or
    always. As many as are always in one must fail to meet g + 1 - d others of their kind each.
    """
    groups = len(sizes)
    if not sizes or {*sizes} != {groups, groups - 1}:
        return
    small = sizes.count(groups - 1)
    unmet = groups + 1 - small
    always, over = divmod(small * (small - 1), unmet)
    if small > 1 and (over or always <= unmet or (unmet == 2 and groups % 2)):
        yield groups
