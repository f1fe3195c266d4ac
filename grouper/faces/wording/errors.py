"""Errors in words for a teacher."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.errors import GrouperError, ImpossibleError, InputError, OurBugError


def error_lines(error: GrouperError) -> Iterator[str]:
    """The lines to show: the message, then its facts."""
    yield f"grouper: {error}"
    if isinstance(error, InputError):
        yield from (f"  - {trouble}" for trouble in error.troubles)
    if isinstance(error, ImpossibleError):
        yield from _clash(error)
    if isinstance(error, OurBugError):
        yield from (f"  - {fault}" for fault in error.faults)


def _clash(error: ImpossibleError) -> Iterator[str]:
    yield from (f"  - {sentence}" for sentence in error.clash)
    if not error.smallest:
        yield "A part of these may clash already; the time did not suffice to tell. Nothing was changed."
    elif len(error.clash) > 1:
        yield "Without any one of these the others on this list can be met. Nothing was changed."
    else:
        yield "Nothing was changed."
