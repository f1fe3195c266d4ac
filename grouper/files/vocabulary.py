"""Which words mean which column, or which value, in several languages."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from grouper.files.tidy import fold
from grouper.model.texts import tidy

_CLOSE = 0.87
"""Two letters swapped in a word of eight are still close (0.875), as are one missing in a word of five (0.889)."""
_SHORTEST_CLOSE = 5
_LONGEST = 300
"""Letters of a cell beyond which it is no word; a search for brackets takes the square of its length."""

_BRACKETS = re.compile(r"[(\[（].*?[)\]）]")


@dataclass(frozen=True)
class Vocabulary:
    """Words by what they mean; each text of ``words`` holds the words of one meaning, parted by ``;``.

    ``close_to`` names the meanings for which a word spelled slightly wrong is understood too.
    """

    words: Mapping[str, str]
    close_to: frozenset[str] = frozenset()

    @cached_property
    def _meanings(self) -> dict[str, str]:
        index: dict[str, str] = {}
        for meaning, words in self.words.items():
            for word in words.split(";"):
                index.setdefault(_key(word), meaning)
        return index

    def meaning(self, text: str) -> str:
        """What a word means, empty where it is not known; what stands in brackets may be missing or not."""
        if len(text) > _LONGEST:
            return ""
        return self._meanings.get(_key(text)) or self._meanings.get(_key(_BRACKETS.sub(" ", text)), "")

    def close_meaning(self, text: str) -> str:
        """What a word that is not known means if it is only spelled wrong, empty otherwise."""
        from difflib import get_close_matches

        folded = fold(text)
        if not _SHORTEST_CLOSE <= len(folded) <= _LONGEST:
            return ""
        candidates = [word for word, meaning in self._meanings.items() if meaning in self.close_to and len(word) > 4]
        near = get_close_matches(folded, candidates, n=1, cutoff=_CLOSE)
        return self._meanings[near[0]] if near else ""

    def known(self, cells: Sequence[str]) -> int:
        """How many of these cells are words that mean something, each meaning counted once."""
        return len({meaning for meaning in map(self.meaning, cells) if meaning})

    def knows_any(self, cells: Sequence[str], meanings: Iterable[str]) -> bool:
        """Whether one of the cells has one of these meanings."""
        wanted = set(meanings)
        return any(self.meaning(cell) in wanted for cell in cells)


def word_set(text: str) -> frozenset[str]:
    """The words of a text, folded, for asking whether a word is among them."""
    return frozenset(map(fold, text.split()))


def _key(text: str) -> str:
    """The folded word; the bare text for signs such as ``#`` that folding takes away."""
    return fold(text) or tidy(text)
