"""Dates, minutes, ratings, lists and aims as people read them; the same on every machine, whatever its language."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import date

from grouper.model.texts import shown
from grouper.model.unit import Activity
from grouper.rules.coaching import window_in_words
from grouper.words import listed, short

_ISOLATES = re.compile("([\u2068\u2069])")
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def date_in_words(text: str) -> str:
    """A date such as 2026-09-14 as 'Mon 14 Sep 2026'; anything else as it stands.

    Examples
    --------
    >>> date_in_words("2026-09-14")
    'Mon 14 Sep 2026'
    """
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return text
    return f"{DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]} {day.year}"


def number_in_words(value: float | None, places: int = 2) -> str:
    """A number with no more decimals than needed, a true minus where it is below nothing, and a dash for none.

    Examples
    --------
    >>> [number_in_words(value) for value in (3.0, 2.5, 2.125, -1.0, None)]
    ['3', '2.5', '2.12', '−1', '–']
    """
    if value is None:
        return "–"
    # A hyphen would be read as a dash between two scores; a screen reader says 'minus' for the sign.
    text = short(abs(value), places)
    return f"−{text}" if value < 0 and text != "0" else text


def score_in_words(home: float, away: float) -> str:
    """Two sides' points in figures.

    >>> score_in_words(8, 9), score_in_words(-17, -26)
    ('8:9', '−17:−26')
    """
    return f"{number_in_words(home)}:{number_in_words(away)}"


def signed(value: float) -> str:
    """A number with its sign: '+3', '−1', '0'."""
    return f"{'+' if value > 0 else ''}{number_in_words(value)}"


def minutes_in_words(minutes: float | None) -> str:
    """The length of a round, such as '4 min'; nothing where it is not known."""
    return "" if minutes is None else f"{number_in_words(minutes)} min"


def times_in_words(times: int) -> str:
    """How often: 'once', 'twice', '3 times'."""
    return {1: "once", 2: "twice"}.get(times, f"{times} times")


def span_of_times(fewest: int, most: int) -> str:
    """How often everybody did something: 'twice' where all did alike, else '1 to 2 times'."""
    return times_in_words(most) if fewest == most else f"{fewest} to {most} times"


def lessons_in_words(lessons: Sequence[int]) -> str:
    """Lessons by number: 'lesson 3', 'lessons 1, 2 and 4'."""
    return f"lesson{'' if len(lessons) == 1 else 's'} {listed([str(lesson) for lesson in lessons])}"


def clean(value: object) -> object:
    """A text as it may stand on a page or in a file, whatever it was made from; texts in a list or table likewise.

    Isolates that close again stay (Unicode UAX 9): they keep the direction of a text within it.
    """
    if isinstance(value, dict):
        return {clean(key): clean(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [clean(each) for each in value]
    if type(value) is not str:
        return value
    if "\u2068" in value and value.count("\u2068") == value.count("\u2069"):
        return "".join(piece if piece in "\u2068\u2069" else shown(piece) for piece in _ISOLATES.split(value))
    return shown(value)


def clean_if_text(value: object) -> object:
    """The same for what stands in a template; what is no text stays as it is."""
    return clean(value) if type(value) is str else value


def aim_in_words(activity: Activity) -> str:
    """The aim with its strand and, for coaching, its window.

    Examples
    --------
    >>> aim_in_words(Activity("Game", groups=4, aim="balanced", strand="passing"))
    'even teams in passing'
    """
    strand, even = activity.strand, "sides even in all" if activity.sides else "even teams"
    if activity.sides and activity.edge:
        even = f"the larger side {abs(activity.edge)}% {'stronger' if activity.edge > 0 else 'weaker'} in all"
    has_window = activity.min_gap is not None or activity.max_gap is not None
    window = f", gap {window_in_words(activity)}" if has_window else ""
    return {
        "fresh": "new partners",
        "balanced": f"{even} in {strand}",
        "coaching": f"one coaches, one learns in {strand}{window}",
        "similar": f"alike in {strand}",
        "stay": "the groups before go on",
    }[activity.aim]


FILTERS: dict[str, Callable[..., str]] = {
    "aim": aim_in_words,
    "date": date_in_words,
    "minutes": minutes_in_words,
    "number": number_in_words,
    "times": times_in_words,
    "listed": listed,
}
"""What templates of sheets and of the page call these."""


def points_in_words(won: int, lost: int = 0) -> str:
    """Points as they count.

    >>> points_in_words(9, 2), points_in_words(1), points_in_words(1, 3)
    ('7 points (9 less 2 lost)', '1 point', '−2 points (1 less 3 lost)')
    """
    less = f" ({won} less {lost} lost)" if lost else ""
    return f"{number_in_words(won - lost)} point{'' if won - lost == 1 else 's'}{less}"
