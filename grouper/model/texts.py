"""Texts and numbers as people mean them, and what is too long or too large to be meant: one rule for every way in."""

from __future__ import annotations

import re
import unicodedata
from math import isfinite

from grouper.errors import InputError

MOST_OF_NAME = 100
"""Letters of a name; with all given names and titles those of people have fewer (common practice, no source)."""

MOST_OF_ID = 255
"""Letters of an id: as many as an identifier of OneRoster may have (1EdTech; from memory of the specification)."""

MOST_OF_TITLE = 120
"""Letters of what an activity, a strand, a station or a group is called."""

MOST_NUMBER = 10_000_000
"""Ratings, gaps, points and scores are no larger: more than any points, seconds or centimetres of a lesson."""

MOST_MINUTES = 24 * 60.0
MOST_PEOPLE = 1000
"""Students of a class, and so the size of a group and the number of groups."""

MOST_ROUNDS = 100
MOST_LESSONS = 500
MOST_ROUNDS_OF_UNIT = 5000
MOST_SEED = 2**63 - 1

_HIDDEN = "\u00ad\u061c\u180e\u200b\u200e\u200f\u202a-\u202e\u2060-\u2064\u2066-\u206f\ufeff\ufff9-\ufffb"
_CONTROL = "\x00-\x08\x0e-\x1b\x7f-\x84\x86-\x9f"
_ALONE = "\ud800-\udfff"
_UNSEEN = re.compile(f"[{_HIDDEN}{_CONTROL}{_ALONE}]")
_STRAY_JOINER = re.compile("(?<![\u0600-\u0fff])[\u200c\u200d]|[\u200c\u200d](?![\u0600-\u0fff])")
_ODD_SPACE = re.compile("[\u00a0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000]")
_ODD_BREAK = re.compile("\r\n|[\r\x0b\x0c\x1c-\x1f\x85\u2028\u2029]")
_QUOTED = 30
# An apostrophe after a letter or a digit closes a quotation and does not open the next.
_QUOTATION = re.compile(rf"(?<!\w)'([^']{{{_QUOTED}}})[^']{{{_QUOTED // 2},}}'")
_COMPOSED = 500
"""Longer texts are no names and are not composed: a long row of accents takes the square of its length."""


def without_hidden(text: str) -> str:
    """The text without characters that cannot be seen or that turn what stands around them; its lines stay.

    Joiners between letters of Arabic and Indic scripts stay too: there they belong to the spelling.

    Examples
    --------
    >>> without_hidden("Ana\\x1b[31m\\u202e")
    'Ana[31m'
    """
    if text.isascii() and text.isprintable():
        return text
    return _STRAY_JOINER.sub("", _UNSEEN.sub("", text))


def shown(text: str) -> str:
    """The text as it may stand in a terminal or on a page: without what cannot be seen, lines parted by line feeds."""
    return text if text.isascii() and text.isprintable() else without_hidden(_ODD_BREAK.sub("\n", text))


def tidy(text: str) -> str:
    """The text in one line, in composed letters, single spaces, without hidden characters.

    Examples
    --------
    >>> tidy("  Ana\\u00a0 Mar\\u200bía ")
    'Ana María'
    """
    if text.isascii():
        plain = text if text.isprintable() else _UNSEEN.sub("", text)
        return " ".join(plain.split())
    line = " ".join(without_hidden(text).split())
    return unicodedata.normalize("NFC", line) if len(line) <= _COMPOSED else line


def has_hidden(text: str) -> bool:
    """Whether the text holds characters that cannot be seen, beyond plain spaces and line ends."""
    if text.isascii() and text.isprintable():
        return False
    return any(pattern.search(text) for pattern in (_UNSEEN, _STRAY_JOINER, _ODD_SPACE))


def called(text: str, what: str, most: int = MOST_OF_TITLE) -> str:
    """What somebody or something is called, tidy.

    Raises
    ------
    InputError
        Nothing is left of it, or it is longer than anybody would say.
    """
    name = tidy(text)
    if not name:
        raise InputError("{what} is blank", "give it letters or digits", what=what)
    check_length(name, what, most)
    return name


def check_length(text: str, what: str, most: int = MOST_OF_TITLE) -> None:
    """Raise InputError where a text is longer than ``most`` letters."""
    if len(text) > most:
        said, start = "{what} has {count} letters, '{start}…'", text[:20]
        raise InputError(said, "use {most} at most", what=what, count=len(text), start=start, most=most)


def check_id(text: str, what: str) -> None:
    """Raise InputError where an id is blank, too long, or holds what cannot be seen."""
    if not text.strip():
        raise InputError("{what} is blank", "give it letters or digits", what=what)
    check_length(text, what, MOST_OF_ID)
    if _UNSEEN.search(text):
        raise InputError("{what} holds characters that cannot be seen", "write it again", what=what)


def check_number(value: float | None, what: str, least: float, most: float) -> None:
    """Raise InputError where a number is none, or beyond what it can mean; None is no number on purpose."""
    if value is None or (isfinite(value) and least <= value <= most):
        return
    remedy = "use a number from {least:,.10g} to {most:,.10g}"
    raise InputError("{what} is {value:g}", remedy, what=what, value=value, least=least, most=most)


def check_rating(value: float | None, what: str) -> None:
    """Raise InputError where a rating is none that anybody would give."""
    check_number(value, what, -MOST_NUMBER, MOST_NUMBER)


def in_one_line(text: str, most: int = 300) -> str:
    """The text as one clean line of at most ``most`` letters: long quotations are cut first, then its middle.

    Examples
    --------
    >>> in_one_line("row 2: '" + 60 * "x" + "' is no number")
    "row 2: 'xxxxxxxxxxxxxxxxxxxxxxxxxxxxxx…' is no number"
    >>> in_one_line("'Cup' is a game of even teams; choose a rating under 'By rating'")
    "'Cup' is a game of even teams; choose a rating under 'By rating'"
    """
    # A text of megabytes is not tidied whole for one line of it.
    line = tidy(text[: 100 * most])
    if len(line) > 1.5 * _QUOTED:
        line = _QUOTATION.sub(r"'\1…'", line)
    if len(line) <= most:
        return line
    end = most // 3
    return f"{line[: most - end - 3]} … {line[-end:]}"
