"""Text as people mean it: without the hidden characters and odd spaces that exports carry."""

from __future__ import annotations

import re
import unicodedata

_HIDDEN = re.compile("[\u00ad\u061c\u180e\u200b\u200e\u200f\u202a-\u202e\u2060-\u2064\u2066-\u206f\ufeff\ufff9-\ufffb]")
_STRAY_JOINER = re.compile("(?<![\u0600-\u0fff])[\u200c\u200d]|[\u200c\u200d](?![\u0600-\u0fff])")
_CONTROL = re.compile("[\x00-\x08\x0e-\x1b\x7f-\x84\x86-\x9f]")
_ODD_SPACE = re.compile("[\u00a0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000]")
_TEXT_FORMULA = re.compile(r'="([^"]*)"')


def tidy(text: str) -> str:
    """The text in one line, in composed letters, single spaces, without hidden characters.

    Joiners between letters of Arabic and Indic scripts stay: there they belong to the spelling.

    Examples
    --------
    >>> tidy("  Ana\\u00a0 Mar\\u200bía ")
    'Ana María'
    """
    shown = _CONTROL.sub("", _HIDDEN.sub("", text))
    return " ".join(unicodedata.normalize("NFC", _STRAY_JOINER.sub("", shown)).split())


def has_hidden(text: str) -> bool:
    """Whether the text holds characters that cannot be seen, beyond plain spaces and line ends."""
    return any(pattern.search(text) for pattern in (_HIDDEN, _STRAY_JOINER, _CONTROL, _ODD_SPACE))


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
    letters = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", apart.casefold()).casefold())
    plain = "".join(sign if sign.isalnum() else " " for sign in letters if not unicodedata.combining(sign))
    return " ".join(plain.split())
