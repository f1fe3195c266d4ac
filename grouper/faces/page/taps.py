"""Taps that come together: a quick thumb is faster than a class file, so the page sends what waits in line at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from urllib.parse import parse_qsl

from flask import request

from grouper.errors import GrouperError
from grouper.faces.page.remedies import sentences
from grouper.faces.page.state import desk

Refused = tuple[tuple[int, str], ...]
"""Taps that were not taken: their place in line, from 1, and why."""

LONGEST_NAME = 60
MOST = 500
"""Taps in one request; the rest is refused, as no hand makes so many while one answer is under way."""


def each_tap(change: Callable[[Mapping[str, str]], None]) -> Refused:
    """Carry out the taps of a request in their order, each with its own fields; one that is refused stops no other."""
    refused = []
    for place, tap in enumerate(request.form.getlist("taps"), start=1):
        if place > MOST:
            refused.append((place, "too many taps at once; tap this one again"))
            continue
        fields = dict(parse_qsl(tap, keep_blank_values=True))
        once, known = fields.get("once", "")[:LONGEST_NAME], desk().taps_done
        # A tap whose answer was lost on the way comes again under the same name, and is not done twice.
        why = known.get(once) if once else None
        if why is None:
            why = _carried_out(change, fields)
            if once:
                known.put(once, why)
        if why:
            refused.append((place, why))
    return tuple(refused)


def _carried_out(change: Callable[[Mapping[str, str]], None], fields: Mapping[str, str]) -> str:
    """Why a tap was not taken, empty where it was."""
    try:
        change(fields)
    except GrouperError as error:
        first, *more = sentences(error)
        return " ".join([first, *more])
    return ""
