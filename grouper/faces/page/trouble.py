"""What went wrong, in words for the page: where, what to try; at the door without anything of a request."""

from __future__ import annotations

from flask import request

from grouper.errors import GrouperError, ImpossibleError
from grouper.faces.page.phones import CLASS, sees
from grouper.faces.wording.errors import error_lines

DOOR = "door"
"""The addresses that students may look at."""


def sentences(error: GrouperError) -> list[str]:
    """What went wrong first, then what belongs to it."""
    first, *more = error_lines(error)
    if isinstance(error, ImpossibleError) and (request.blueprint == DOOR or not sees(CLASS)):
        # Who is to be apart from whom is nobody's business but the teacher's, and students may look at the door.
        more = ["A request stands against it; requests are listed under Class. Nothing was changed."]
    return [first.removeprefix("grouper: "), *(line.removeprefix("  - ") for line in more)]
