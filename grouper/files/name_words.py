"""Names in what a teacher has typed: whole, in part, in other letters of the same name, and in scripts without spaces.

Upper and lower case are alike, and so are letters with and without marks, however they are coded: a note on 'Jose'
speaks of José. A name is found with an s at its end, and if it is not short at the beginning of a word ('Lukasza' is
Lukasz's in Polish); in scripts that put no spaces between words it is found anywhere. What is not found: nicknames,
misspellings, and endings that change the name's own last letters. Whoever hands a text on reads it first.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from unicodedata import category, name, normalize

UNSPACED = ("CJK", "HIRAGANA", "KATAKANA", "HANGUL", "THAI", "LAO", "KHMER", "MYANMAR", "TIBETAN")
"""First words of Unicode's names for letters of scripts in which a name may stand amid a word."""

SHORTEST = 2
"""Letters of a word that is looked for by itself: initials are no help to find anybody."""
BEGINS_WORDS = 4
"""Letters from which on a name is found at the beginning of a longer word; shorter ones begin too many of them."""

ALIKE = {"ł": "l", "ø": "o", "đ": "d", "ð": "d", "ħ": "h", "ı": "i", "æ": "ae", "œ": "oe", "þ": "th", "ə": "e"}
"""Letters whose mark is a part of them, and how they are typed where the keyboard has none."""


def words_of(full: str) -> tuple[str, ...]:
    """What could stand for a name, folded: the whole of it first, then its words, the longest first.

    A name in Chinese or Korean letters without a space is taken without its first letter, the family name, too.

    Examples
    --------
    >>> words_of("Mia B. van Berg"), words_of("王小明")
    (('mia b van berg', 'berg', 'mia', 'van'), ('王小明', '小明'))
    """
    parts = re.findall(r"[^\W_]+", folded(full).text)
    words = {word for word in parts if len(word) >= SHORTEST}
    words |= {word[1:] for word in words if unspaced(word) and len(word) > SHORTEST}
    whole = [" ".join(parts)] if parts else []
    return tuple(dict.fromkeys([*whole, *sorted(words, key=lambda word: (-len(word), word))]))


def given_word(full: str) -> str:
    """The first word of the given name, folded: after the comma in 'Berg, Mia'; empty for initials.

    Examples
    --------
    >>> given_word("Berg, Mia"), given_word("Mia Berg")
    ('mia', 'mia')
    """
    family, comma, given = full.partition(",")
    words = re.findall(r"[^\W_]+", folded(given if comma and given.strip() else family).text)
    return next((word for word in words if len(word) >= SHORTEST), "")


def unspaced(word: str) -> bool:
    """Whether a word is in a script that puts no spaces between words, or sticks endings to names."""
    return any(name(char, "").startswith(UNSPACED) for char in word)


@dataclass(frozen=True)
class Folded:
    """A text as compared, and the place in the text as typed that each of its letters comes from (and its end)."""

    text: str
    places: tuple[int, ...]


@lru_cache(maxsize=2048)
def folded(typed: str) -> Folded:
    """A text in small letters without marks."""
    letters: list[str] = []
    places: list[int] = []
    for place, cluster in _clusters(typed):
        plain = _bare(cluster)
        letters += plain
        places += [place] * len(plain)
    return Folded("".join(letters), (*places, len(typed)))


def _clusters(typed: str) -> Iterator[tuple[int, str]]:
    """Letters with the marks, or the later parts of a Korean syllable, that are typed behind them."""
    start = 0
    for place in range(1, len(typed) + 1):
        if place == len(typed) or not _goes_on(typed[place]):
            yield start, typed[start:place]
            start = place


def _goes_on(char: str) -> bool:
    return category(char).startswith("M") or "\u1160" <= char <= "\u11ff"


def _bare(cluster: str) -> str:
    letters = (one for one in normalize("NFKD", normalize("NFKC", cluster).casefold()))
    return normalize("NFC", "".join(ALIKE.get(one, one) for one in letters if not category(one).startswith("M")))


@dataclass(frozen=True)
class Found:
    """A place in a text as typed where a word stands, the word looked for, and the whole word that begins with it."""

    start: int
    end: int
    word: str
    whole: str


def find(typed: str, words: Iterable[str], whole: bool = False) -> Iterator[Found]:
    """Where folded words begin a word of a text, the longest first; with ``whole`` only where they are all of it,
    but for an s at the end."""
    wanted = sorted(dict.fromkeys(words), key=lambda word: (-len(word), word))
    if not wanted:
        return
    text = folded(typed)
    for match in re.finditer("|".join(f"({_pattern(word, whole)})" for word in wanted), text.text):
        start, end = text.places[match.start()], text.places[match.end()]
        yield Found(start, end, wanted[(match.lastindex or 1) - 1], match.group())


def _pattern(word: str, whole: bool) -> str:
    if unspaced(word):
        return r"\W*".join(re.escape(part) for part in word.split(" "))
    parts = r"\W+".join(re.escape(part) for part in word.split(" "))
    return rf"(?<!\w){parts}s?(?!\w)" if whole or len(word) < BEGINS_WORDS else rf"(?<!\w){parts}\w*"


def replaced(typed: str, found: Iterable[Found], by: str) -> str:
    """A text with what was found in it replaced; the same text where nothing was."""
    pieces, last = [], 0
    for one in found:
        pieces += [typed[last : one.start], by]
        last = one.end
    return "".join([*pieces, typed[last:]]) if pieces else typed
