"""Orders that tell nothing: names by the alphabet, groups by their label."""

from __future__ import annotations

import re
from unicodedata import combining, normalize

NUMBER = re.compile(r"([0-9]{1,15})")


def name_order(name: str) -> tuple[str, str, str]:
    """A sort key for names: accents and case matter only between names that are otherwise the same."""
    bare = "".join(char for char in normalize("NFKD", name.casefold()) if not combining(char))
    return bare, name.casefold(), name


def label_order(label: str) -> tuple[tuple[int, int, str], ...]:
    """A sort key for labels: numbers by value, so that 2 stands before 10.

    Examples
    --------
    >>> sorted(["10", "2", "A"], key=label_order)
    ['2', '10', 'A']
    """
    pieces = (piece for piece in NUMBER.split(label) if piece)
    return tuple((0, int(piece), piece) if NUMBER.fullmatch(piece) else (1, 0, piece.casefold()) for piece in pieces)
