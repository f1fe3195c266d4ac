"""Cells as words: without what exports put around them, and folded for comparing."""

from __future__ import annotations

import re
import unicodedata

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
