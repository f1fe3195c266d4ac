"""A guard for cells that a spreadsheet would take for a formula.

Spreadsheet programs run a cell that starts with ``=``, ``+``, ``-`` or ``@``, also after a tab or a line end (OWASP
ASVS 5.0, 1.2.10; the quoting of cells itself is RFC 4180). An apostrophe in front stops that. Line feed and the
full-width forms are guarded too (from memory of OWASP's advice on CSV injection).
"""

from __future__ import annotations

GUARD = "'"
RISKY = frozenset("=+-@\t\r\n\0＝＋－＠")


def guard(text: str) -> str:
    """The text with an apostrophe in front if a spreadsheet could run it.

    A text of apostrophes before a risky sign gets one more, so that ``unguard`` gives back every text unchanged.

    Examples
    --------
    >>> guard("=1+1"), guard("'=1+1"), guard("'t Hart")
    ("'=1+1", "''=1+1", "'t Hart")
    """
    return GUARD + text if _needs_guard(text) else text


def unguard(text: str) -> str:
    """The text as it was before ``guard``; every other text as it stands.

    Examples
    --------
    >>> unguard("'=1+1"), unguard("'t Hart")
    ('=1+1', "'t Hart")
    """
    guarded = text.startswith(GUARD) and _needs_guard(text[1:])
    return text[1:] if guarded else text


def _needs_guard(text: str) -> bool:
    bare = text.lstrip(GUARD)
    return bool(bare) and bare[0] in RISKY
