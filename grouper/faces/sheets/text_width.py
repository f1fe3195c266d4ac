"""How wide a text is likely to be, in em: a careful guess, since the font of the reader's machine is not known."""

from __future__ import annotations

from functools import lru_cache
from unicodedata import category, combining, east_asian_width

NARROW = frozenset("iIjl.,:;'|!’-()[]")
SLIM = frozenset("frtszcJ ")
BROAD = frozenset("mwMWÆŒœæ@%")


@lru_cache(maxsize=4096)
def text_width(text: str) -> float:
    """The width of a text in bold sans-serif type, in em.

    The widths are those of wide common fonts, rounded up, so that what is planned to fit does fit.
    """
    return sum(_char_width(char) for char in text)


def _char_width(char: str) -> float:
    if combining(char) or category(char) in ("Mn", "Me", "Cf"):
        return 0.0
    if east_asian_width(char) in ("W", "F"):
        return 1.0
    if char in NARROW:
        return 0.34
    if char in SLIM:
        return 0.48
    if char in BROAD:
        return 0.98
    return 0.7 if char.isupper() else 0.63
