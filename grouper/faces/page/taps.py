"""Taps that come together: a quick thumb is faster than a class file, so the page sends what waits in line at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from urllib.parse import parse_qsl

from flask import request

from grouper.errors import GrouperError
from grouper.faces.page.remedies import sentences

Refused = tuple[tuple[int, str], ...]
"""Taps that were not taken: their place in line, from 1, and why."""

MOST = 500
"""Taps in one request; the rest is refused, as no hand makes so many while one answer is under way."""


def each_tap(change: Callable[[Mapping[str, str]], None]) -> Refused:
    """Carry out the taps of a request in their order, each with its own fields; one that is refused stops no other."""
    refused = []
    for place, tap in enumerate(request.form.getlist("taps"), start=1):
        if place > MOST:
            refused.append((place, "too many taps at once; tap this one again"))
            continue
        try:
            change(dict(parse_qsl(tap, keep_blank_values=True)))
        except GrouperError as error:
            first, *more = sentences(error)
            refused.append((place, " ".join([first, *more])))
    return tuple(refused)
