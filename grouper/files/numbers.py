"""Numbers as they stand in cells."""

from __future__ import annotations

import math
import re

_PLAIN = re.compile(r"[-+]?(\d+([.,]\d*)?|[.,]\d+)(e[-+]?\d+)?", re.IGNORECASE)
_SPACED = re.compile(r"[-+]?\d{1,3}([ '’]\d{3})+([.,]\d+)?")
_COMMA_GROUPS = re.compile(r"[-+]?\d{1,3}(,\d{3})+\.\d+|[-+]?\d{1,3}(,\d{3}){2,}")
_POINT_GROUPS = re.compile(r"[-+]?\d{1,3}(\.\d{3})+,\d+|[-+]?\d{1,3}(\.\d{3}){2,}")
NOT_RATED = frozenset({"-", "–", "—", ".", "n/a", "na", "#n/a", "k.a.", "k. a.", "s/d", "n.v.t."})
"""What people write into a cell that has no number on purpose."""


def number(text: str) -> float | None:
    """The number in a tidy cell, or None.

    A decimal comma, a percent sign, signs between thousands and the digits of any script are understood.

    Examples
    --------
    >>> number("3,5"), number("1.234,5"), number("80 %"), number("four")
    (3.5, 1234.5, 80.0, None)
    """
    plain = _plain(text.removesuffix("%").rstrip().replace("−", "-"))
    if not _PLAIN.fullmatch(plain):
        return None
    value = float(plain.replace(",", "."))
    return value if math.isfinite(value) else None


def _plain(text: str) -> str:
    if _SPACED.fullmatch(text):
        return re.sub("[ '’]", "", text)
    if _COMMA_GROUPS.fullmatch(text):
        return text.replace(",", "")
    if _POINT_GROUPS.fullmatch(text):
        return text.replace(".", "").replace(",", ".")
    return text


def whole_number(text: str) -> int | None:
    """The whole number in a tidy cell, or None.

    Examples
    --------
    >>> whole_number("4.0"), whole_number("4.5")
    (4, None)
    """
    value = number(text)
    return int(value) if value is not None and value.is_integer() else None


def number_text(value: float) -> str:
    """A number as text that reads back as the same number, without a needless ``.0``.

    Examples
    --------
    >>> number_text(3.0), number_text(3.5)
    ('3', '3.5')
    """
    value = float(value)
    return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)


def is_not_rated(text: str) -> bool:
    """Whether a tidy cell says that there is no rating."""
    return not text or text.casefold() in NOT_RATED
