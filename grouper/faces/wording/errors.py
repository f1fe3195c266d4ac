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
        yield "There may be a smaller set; the time did not suffice to tell."
    elif len(error.clash) > 1:
        yield "Leave out any one of these, and the others can be met. Nothing was changed."
    else:
        yield "Nothing was changed."
