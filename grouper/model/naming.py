"""Whether two names mean one person: however they are written, in whatever order, with or without accents."""

from __future__ import annotations

from difflib import SequenceMatcher
from functools import lru_cache
from unicodedata import combining, normalize

_LETTERS = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "ı": "i", "æ": "ae", "œ": "oe", "þ": "th"})
"""Letters that no form of Unicode takes apart into a plain one and a mark."""

ALIKE = 0.85
"""From this share of common letters on two names may be one person's, mistyped (chosen by trial on invented names)."""

MUCH_THE_SAME = 0.6
"""A name that an id has had and the one that it has now, where they have no word in common: 'Jo' and 'Joe'."""


@lru_cache(maxsize=4096)
def name_words(name: str) -> tuple[str, ...]:
    """The words of a name in order, without accents, case and punctuation.

    Examples
    --------
    >>> name_words("Groß, Zoë-Marie"), name_words("Søren  ŁUKASZ")
    (('gross', 'zoe', 'marie'), ('soren', 'lukasz'))
    """
    letters = normalize("NFKD", normalize("NFKC", name).casefold()).translate(_LETTERS)
    plain = "".join(sign if sign.isalnum() else " " for sign in letters if not combining(sign))
    return tuple(plain.split())


def are_one_name(one: str, other: str) -> bool:
    """Whether two names have the same words, in either order; a name without any word is nobody else's.

    Examples
    --------
    >>> are_one_name("Núñez, Ana", "ana nunez"), are_one_name("Ana", "Ana Núñez")
    (True, False)
    """
    words = sorted(name_words(one))
    return bool(words) and words == sorted(name_words(other))


def is_part_of(one: str, other: str) -> bool:
    """Whether all words of one of the two names stand in the other, as in 'Kim' and 'Kim Stone'."""
    few, many = sorted((set(name_words(one)), set(name_words(other))), key=len)
    return bool(few) and few <= many


def may_be_one(one: str, other: str) -> bool:
    """Whether two names are so much alike that one may be the other, mistyped."""
    return _are_alike(one, other, ALIKE)


def is_renamed(was: str, now: str) -> bool:
    """Whether somebody with one id may have changed from one name to the other: a word of it stayed, or most letters.

    Examples
    --------
    >>> is_renamed("Kim Jung", "Kim Jung-Alt"), is_renamed("Ben Adler", "Cleo Falk")
    (True, False)
    """
    return bool(set(name_words(was)) & set(name_words(now))) or _are_alike(was, now, MUCH_THE_SAME)


def _are_alike(one: str, other: str, share: float) -> bool:
    letters = SequenceMatcher(None, " ".join(sorted(name_words(one))), " ".join(sorted(name_words(other))))
    return letters.real_quick_ratio() >= share and letters.quick_ratio() >= share and letters.ratio() >= share


def kept_name(was: str, now: str) -> str:
    """How somebody is called whose name is written anew: with the accents and the capitals that one of the two has.

    Where the order of the words differs, the one that is known stays.

    Examples
    --------
    >>> kept_name("Zoë Lam", "ZOE LAM"), kept_name("Zoe Lam", "Zoë Lam"), kept_name("Ana Ruiz", "Ruiz Ana")
    ('Zoë Lam', 'Zoë Lam', 'Ana Ruiz')
    """
    if name_words(was) != name_words(now):
        return was if are_one_name(was, now) else now
    return was if _shouts(now) > _shouts(was) or now == was.lower() or _marks(was) > _marks(now) else now


def _shouts(name: str) -> int:
    """How many words are in capitals, as offices write family names."""
    return sum(word.isupper() and len(word) > 2 for word in name.split())


def _marks(name: str) -> int:
    return sum(not sign.isascii() for sign in normalize("NFC", name))
