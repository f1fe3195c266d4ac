"""Text cut where a reader would cut it: a letter keeps its marks."""

from __future__ import annotations

from unicodedata import category, combining, normalize

ZERO_WIDTH_JOINER = "\u200d"
VIRAMA = 9
"""The canonical combining class of signs that tie two consonants into one (Unicode Standard, section 4.3)."""


def letters_of(text: str) -> list[str]:
    """The letters of a text, each with its marks: a short form of the extended clusters of UAX #29.

    Examples
    --------
    >>> letters_of("Zoé")
    ['Z', 'o', 'é']
    >>> len(letters_of("क्षमा"))
    2
    """
    letters: list[str] = []
    for char in normalize("NFC", text):
        if letters and _clings(letters[-1], char):
            letters[-1] += char
        else:
            letters.append(char)
    return letters


def _clings(letter: str, char: str) -> bool:
    """Whether a character belongs to the letter before it."""
    if category(char).startswith("M") or char in (ZERO_WIDTH_JOINER, "\u200c") or "\U0001f3fb" <= char <= "\U0001f3ff":
        return True
    return letter[-1] == ZERO_WIDTH_JOINER or (combining(letter[-1]) == VIRAMA and category(char) == "Lo")
