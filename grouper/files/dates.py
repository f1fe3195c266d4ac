"""Dates as people write them, to ``YYYY-MM-DD``."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from itertools import pairwise

_YEAR_FIRST = re.compile(r"(\d{4})[-./](\d{1,2})[-./](\d{1,2})(?:[ T].*)?")
_YEAR_LAST = re.compile(r"(\d{1,2})([-./ ]+)(\d{1,2})\2(\d{2}|\d{4})")
_CJK = re.compile(r"(\d{4})年(\d{1,2})月(\d{1,2})日")


def read_dates(texts: Sequence[str]) -> tuple[list[str | None], bool]:
    """Each text as ``YYYY-MM-DD`` (None where it is no date), and whether day and month could be the other way round.

    '3/4/2025' is read with the day first unless only the month first gives dates throughout, or only that gives
    dates in the order of the texts.

    Examples
    --------
    >>> read_dates(["14.03.2025", "21.3.25"])
    (['2025-03-14', '2025-03-21'], False)
    >>> read_dates(["3/4/2025", "3/14/2025"])
    (['2025-03-04', '2025-03-14'], False)
    """
    day_first, month_first = ([_date(text, first) for text in texts] for first in ("day", "month"))
    if day_first == month_first:
        return day_first, False
    if _badness(month_first) < _badness(day_first):
        return month_first, False
    return day_first, _badness(month_first) == _badness(day_first)


def _badness(dates: list[str | None]) -> tuple[int, int]:
    known = [date for date in dates if date]
    return len(dates) - len(known), sum(a > b for a, b in pairwise(known))


def _date(text: str, first: str) -> str | None:
    match = _YEAR_FIRST.fullmatch(text) or _CJK.fullmatch(text)
    if match:
        return _valid(int(match[1]), int(match[2]), int(match[3]))
    match = _YEAR_LAST.fullmatch(text)
    if not match:
        return None
    year = int(match[4]) + (2000 if len(match[4]) == 2 else 0)
    one, two = int(match[1]), int(match[3])
    by_points = "." in match[2]
    return _valid(year, two, one) if first == "day" or by_points else _valid(year, one, two)


def _valid(year: int, month: int, day: int) -> str | None:
    try:
        return datetime.date(year, month, day).isoformat()
    except ValueError:
        return None
