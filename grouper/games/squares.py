"""Latin squares for stations: orthogonal ones, and ones in which every station follows every other equally often."""

from __future__ import annotations

from grouper.engines.designs.field import ring_of

Square = list[list[int]]


def zigzag(size: int) -> list[int]:
    """0, 1, -1, 2, -2, ... modulo ``size``: its steps are all different for even ``size``."""
    return [(step + 1) // 2 % size if step % 2 else -(step // 2) % size for step in range(size)]


def balanced_square(size: int) -> Square:
    """Row i, column t: the station of group i in slot t. For even ``size`` every station follows every other once.

    Source: E. J. Williams, Experimental designs balanced for the estimation of residual effects of treatments,
    Australian Journal of Scientific Research A 2, 1949.

    >>> balanced_square(4)
    [[0, 1, 3, 2], [1, 2, 0, 3], [2, 3, 1, 0], [3, 0, 2, 1]]
    """
    return [[(place + row) % size for place in zigzag(size)] for row in range(size)]


def mirrored_square(size: int) -> Square:
    """The balanced square backwards in time; for odd ``size`` both together have every station follow every
    other twice.

    For odd ``size`` the two are also orthogonal: a group of one meets a group of the other in one slot only, as place t
    less place -t of the zigzag takes every value once.
    """
    return [row[::-1] for row in balanced_square(size)]


def rotation_square(size: int) -> Square:
    """Everyone moves to the next station."""
    return [[(row + slot) % size for slot in range(size)] for row in range(size)]


def orthogonal_squares(size: int, most: int) -> list[Square]:
    """As many mutually orthogonal squares as fields give, at most ``most``: no two rows of two squares agree twice.

    A square for each element k below the spread: station x + k t for group x in slot t (H. F. MacNeish 1922 for sizes
    that are no prime power).
    """
    if size < 3:
        return [rotation_square(size)] if size > 0 else []
    ring = ring_of(size)
    factors = [ring.diagonal(a) for a in range(1, ring.spread)][:most]
    return [[[ring.plus(x, ring.times(k, t)) for t in range(size)] for x in range(size)] for k in factors]
