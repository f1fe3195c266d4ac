"""What goes to the terminal, clean: a name from anywhere could hold signs that steer it."""

from __future__ import annotations

import sys
from codecs import register_error
from collections.abc import Callable
from io import TextIOWrapper
from typing import Any, TextIO, cast

from grouper.model.texts import shown


class Terminal:
    """A stream that leaves out what cannot be seen in all that is written to it.

    It has no ``buffer``, so that nobody writes past it.
    """

    def __init__(self, stream: TextIO) -> None:
        self.stream = stream

    def write(self, text: str) -> int:
        """Write a text, clean."""
        return self.stream.write(shown(text))

    def __getattr__(self, name: str) -> Any:
        if name == "buffer":
            raise AttributeError(name)
        return getattr(self.stream, name)


def clean_streams() -> None:
    """From now on all that is written is clean; a letter that the terminal lacks becomes a question mark there.

    A minus becomes a hyphen there, which many terminals have that lack the sign: a score must not lose it.
    """
    register_error(_INSTEAD, cast(Callable[[UnicodeError], tuple[str | bytes, int]], _instead))
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors=_INSTEAD)
        if not isinstance(stream, Terminal):
            setattr(sys, name, cast(TextIO, Terminal(stream)))


_INSTEAD = "grouper.instead"


def _instead(error: UnicodeEncodeError) -> tuple[str, int]:
    lacking = error.object[error.start : error.end]
    return "".join("-" if letter == "−" else "?" for letter in lacking), error.end


def bare(stream: TextIO) -> TextIO:
    """The stream itself, for what steers the terminal on purpose: a bar that grows."""
    return stream.stream if isinstance(stream, Terminal) else stream
