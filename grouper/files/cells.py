"""What a cell says: words without what exports put around them, a number, a date, a rating in words.

Cells that are written are guarded. Spreadsheet programs run a cell that starts with ``=``, ``+``, ``-`` or ``@``, also
after a tab or a line end (OWASP ASVS 5.0, 1.2.10; the quoting of cells itself is RFC 4180). An apostrophe in front
stops that. Line feed and the full-width forms are guarded too (from memory of OWASP's advice on CSV injection). A
program that parts cells at another sign than the file does, or knows no quotation marks within a line, sees cells begin
inside of ours, after a ``;``, a bar, a tab or a line end: there an apostrophe stands in front as well.
"""

from __future__ import annotations

import datetime
import math
import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from grouper.errors import InputError
from grouper.model.texts import tidy

_LONGEST_WORD = 300
"""What is longer is compared as it stands: no vocabulary has it, and taking accents apart has its price."""

_TEXT_FORMULA = re.compile(r'="([^"]*)"')


def without_text_formula(text: str) -> str:
    """A cell written ``="00012"`` to keep its zeros, as plain text.

    Examples
    --------
    >>> without_text_formula('="00012"')
    '00012'
    """
    match = _TEXT_FORMULA.fullmatch(text.strip())
    return match[1] if match else text


def fold(text: str) -> str:
    """The text for comparing words: lower case, no accents, no punctuation, ``camelCase`` taken apart.

    Examples
    --------
    >>> fold("Prénom_(usuel):"), fold("givenName"), fold("Schüler-Nr.")
    ('prenom usuel', 'given name', 'schuler nr')
    """
    apart = re.sub("(?<=[a-z0-9])(?=[A-Z])", " ", tidy(text))
    if len(apart) > _LONGEST_WORD:
        return apart.casefold()
    letters = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", apart.casefold()).casefold())
    plain = "".join(sign if sign.isalnum() else " " for sign in letters if not unicodedata.combining(sign))
    return " ".join(plain.split())


GUARD = "'"
RISKY = frozenset("=+-@\t\r\n\0＝＋－＠")
_BEGINS = r"(\A|[;|\t\r\n])"
_THEN_RISKY = f"(?=[ \"']*[{re.escape(''.join(sorted(RISKY)))}])"
_BARE = re.compile(_BEGINS + _THEN_RISKY)
_GUARDED = re.compile(_BEGINS + GUARD + _THEN_RISKY)


def guard(text: str) -> str:
    """The text with an apostrophe wherever a spreadsheet could begin to run it.

    A text of apostrophes before a risky sign gets one more, so that ``unguard`` gives back every text unchanged.

    Examples
    --------
    >>> guard("=1+1"), guard("'=1+1"), guard("'t Hart"), guard("Ana;=1+1")
    ("'=1+1", "''=1+1", "'t Hart", "Ana;'=1+1")
    """
    return _BARE.sub(rf"\1{GUARD}", text)


def unguard(text: str) -> str:
    """The text as it was before ``guard``; every other text as it stands.

    Examples
    --------
    >>> unguard("'=1+1"), unguard("'t Hart"), unguard("Ana;'=1+1")
    ('=1+1', "'t Hart", 'Ana;=1+1')
    """
    return _GUARDED.sub(r"\1", text) if GUARD in text else text


_PLAIN = re.compile(r"[-+]?(\d+([.,]\d*)?|[.,]\d+)(e[-+]?\d+)?", re.IGNORECASE)
_SPACED = re.compile(r"[-+]?\d{1,3}([ '’]\d{3})+([.,]\d+)?")
_COMMA_GROUPS = re.compile(r"[-+]?\d{1,3}(,\d{3})+\.\d+|[-+]?\d{1,3}(,\d{3}){2,}")
_POINT_GROUPS = re.compile(r"[-+]?\d{1,3}(\.\d{3})+,\d+|[-+]?\d{1,3}(\.\d{3}){2,}")
DASHES = frozenset("-–—")
NOT_RATED = DASHES | {".", "n/a", "na", "#n/a", "k.a.", "k. a.", "s/d", "n.v.t."}
"""What people write into a cell that has no number on purpose."""


def number(text: str) -> float | None:
    """The number in a tidy cell, or None.

    A decimal comma, a percent sign, signs between thousands and the digits of any script are understood.

    Examples
    --------
    >>> number("3,5"), number("1.234,5"), number("80 %"), number("four")
    (3.5, 1234.5, 80.0, None)
    """
    # The minus of typesetting is another sign than the one on the keyboard, and comes along with what is pasted.
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
    # Larger ones are kept as a float writes them, as int() would add digits that nobody typed.
    return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)


def is_not_rated(text: str) -> bool:
    """Whether a tidy cell says that there is no rating."""
    return not text or text.casefold() in NOT_RATED


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
    # Most of the world has the day first; the other order has to be clearly better to be taken.
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
    # Nobody writes the month first with points.
    by_points = "." in match[2]
    return _valid(year, two, one) if first == "day" or by_points else _valid(year, one, two)


def _valid(year: int, month: int, day: int) -> str | None:
    try:
        return datetime.date(year, month, day).isoformat()
    except ValueError:
        return None


MOST_WORDS = 20
_LIKE = "weak=1, fair=2, good=4"

Scale = tuple[tuple[str, float], ...]


def scale_of(text: str) -> Scale:
    """The words and what each is worth, in the order typed.

    They are parted by commas, or by semicolons where numbers have a decimal comma.

    Raises
    ------
    InputError
        A part is not WORD=NUMBER, a word is a number itself or stands there twice, or there are too many.

    Examples
    --------
    >>> scale_of("weak=1, very good=4"), scale_of("weak=1; fair=2,5")
    ((('weak', 1.0), ('very good', 4.0)), (('weak', 1.0), ('fair', 2.5)))
    """
    # With a decimal comma the comma cannot part the words as well.
    parts = [tidy(part) for part in text.split(";" if ";" in text else ",")]
    scale = tuple(_worth(part) for part in parts if part)
    words = [fold(word) for word, _ in scale]
    for place, word in enumerate(words):
        if word in words[:place]:
            raise InputError("'{word}' is on the scale twice", "say once what it is worth", word=scale[place][0])
    if len(scale) > MOST_WORDS:
        what, remedy = "the scale has {count} words", "use at most {most_words}"
        raise InputError(what, remedy, count=len(scale), most_words=MOST_WORDS)
    return scale


def _worth(part: str) -> tuple[str, float]:
    word, _, worth = (tidy(piece) for piece in part.partition("="))
    value = number(worth)
    if not fold(word) or value is None:
        remedy = "write the scale like {like} (with ; for numbers like 2,5)"
        raise InputError("'{part}' is not WORD=NUMBER", remedy, part=part, like=_LIKE)
    if number(word) is not None or is_not_rated(word):
        what = "'{word}' is no word that could be a rating"
        raise InputError(what, "write the scale like {like}", word=word, like=_LIKE)
    return word, value


def scale_text(scale: Iterable[tuple[str, float]]) -> str:
    """A scale as it is typed; reads back as the same.

    Examples
    --------
    >>> scale_text((("weak", 1.0), ("very good", 4.5)))
    'weak=1, very good=4.5'
    """
    return ", ".join(f"{word}={number_text(worth)}" for word, worth in scale)


class RatingWords:
    """What a cell of a rating is worth: a number, or a word of the scale in any case, with or without accents."""

    def __init__(self, scale: Scale = ()) -> None:
        self.known = scale_text(scale)
        self._worth: Mapping[str, float] = {fold(word): worth for word, worth in scale}

    def worth(self, cell: str) -> float | None:
        """The number that a tidy cell says, or None."""
        value = number(cell)
        return self._worth.get(fold(cell)) if value is None and self._worth else value

    def are_ratings(self, cells: list[str]) -> bool:
        """Whether cells that hold something are mostly ratings, or are a few words of which some are on the scale."""
        known = sum(self.worth(cell) is not None for cell in cells)
        words = {fold(cell) for cell in cells}
        few = len(words) <= MOST_WORDS and 2 * len(words) <= len(cells)
        return 2 * known >= len(cells) or (few and any(word in self._worth for word in words))
