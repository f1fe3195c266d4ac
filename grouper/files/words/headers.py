"""Headers of rosters, lessons, requests and tests, cells that take one of a few words, and headers that are not wanted.

The words stand in ``headers.txt`` and ``values.txt``.
"""

from __future__ import annotations

from grouper.files.cells import fold
from grouper.files.table import Vocabulary, vocabularies, word_set

NAME_FIELDS = ("name", "given", "family", "preferred")
"""Meanings of which a roster needs at least one."""

WHO = ("student_id", "name", "given", "family", "second_family", "preferred", "preferred_family")
"""Meanings of columns that tell who a row is about, as in a roster."""

_HEADERS, _VALUES = vocabularies("headers"), vocabularies("values")
ROSTER, LESSONS, REQUESTS = (_HEADERS[table] for table in ("roster", "lessons", "requests"))
ROSTER_SHEETS, LESSON_SHEETS, REQUEST_SHEETS = (_HEADERS[f"{of} sheets"] for of in ("roster", "lesson", "request"))
_MEASURED = _HEADERS["measures"]
MEASURES = Vocabulary({**_MEASURED.words, **{who: ROSTER.words[who] for who in WHO}}, _MEASURED.close_to)
SIZE_BAND, AVAILABILITY, AIM = (_VALUES[what] for what in ("size band", "availability", "aim"))
CAUTION, KIND_OF_REQUEST, UNWANTED = (_VALUES[what] for what in ("caution", "request", "unwanted"))

_PERSONAL_PARTS = word_set("personal")


def unwanted(header: str) -> str:
    """Why the tool has no use for a column: ``personal``, as it is a person's, or ``school``, as it is no rating; empty
    for every other column."""
    meaning = UNWANTED.meaning(header)
    if meaning:
        return meaning
    parts = fold(header).split()
    return "personal" if any(part in _PERSONAL_PARTS for part in parts) else ""
