"""What was given is refused in one line where it makes no sense."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from grouper.errors import InputError
from grouper.words import Remedy


def require(holds: bool, text: str, remedy: Remedy | str = "", /, **facts: Any) -> None:
    """Raise InputError with what is wrong and what to try unless it holds."""
    if not holds:
        raise InputError(text, remedy, **facts)


def within(numbers: Iterable[int], most: int, what: str) -> None:
    """Raise InputError where a number of a court, a team or a station is not one of those there are."""
    for number in numbers:
        require(1 <= number <= most, f"there is no {what} {number}; they are numbered 1 to {most}")
