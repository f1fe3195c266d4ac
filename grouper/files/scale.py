"""Ratings in words: what each word is worth, said once for a class."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from grouper.errors import InputError
from grouper.files.numbers import is_not_rated, number, number_text
from grouper.files.tidy import fold
from grouper.model.texts import tidy

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
    parts = [tidy(part) for part in text.split(";" if ";" in text else ",")]
    scale = tuple(_worth(part) for part in parts if part)
    words = [fold(word) for word, _ in scale]
    for place, word in enumerate(words):
        if word in words[:place]:
            raise InputError(f"'{scale[place][0]}' is on the scale twice; say once what it is worth")
    if len(scale) > MOST_WORDS:
        raise InputError(f"the scale has {len(scale)} words; use at most {MOST_WORDS}")
    return scale


def _worth(part: str) -> tuple[str, float]:
    word, _, worth = (tidy(piece) for piece in part.partition("="))
    value = number(worth)
    if not fold(word) or value is None:
        raise InputError(f"'{part}' is not WORD=NUMBER; write the scale like {_LIKE} (with ; for numbers like 2,5)")
    if number(word) is not None or is_not_rated(word):
        raise InputError(f"'{word}' is no word that could be a rating; write the scale like {_LIKE}")
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
