"""A guard for cells that a spreadsheet would take for a formula.

Spreadsheet programs run a cell that starts with ``=``, ``+``, ``-`` or ``@``, also after a tab or a line end (OWASP
ASVS 5.0, 1.2.10; the quoting of cells itself is RFC 4180). An apostrophe in front stops that. Line feed and the
full-width forms are guarded too (from memory of OWASP's advice on CSV injection).

A program that parts cells at another sign than the file does, or knows no quotation marks within a line, sees cells
begin inside of ours, after a ``;``, a bar, a tab or a line end: there an apostrophe stands in front as well.
"""

from __future__ import annotations

import re

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
