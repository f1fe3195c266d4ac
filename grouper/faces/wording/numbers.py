"""Numbers and lists in words."""

from __future__ import annotations

from collections.abc import Sequence


def counted(count: int, noun: str, nouns: str = "") -> str:
    """A number with its noun.

    Examples
    --------
    >>> counted(1, "repeat"), counted(3, "repeat"), counted(2, "class", "classes")
    ('1 repeat', '3 repeats', '2 classes')
    """
    return f"{count} {noun if count == 1 else nouns or noun + 's'}"


def listed(items: Sequence[str]) -> str:
    """Items as people list them.

    Examples
    --------
    >>> listed(["Ann"]), listed(["Ann", "Ben", "Cid"])
    ('Ann', 'Ann, Ben and Cid')
    """
    return f"{', '.join(items[:-1])} and {items[-1]}" if len(items) > 1 else "".join(items)


def from_to(least: int, most: int) -> str:
    """A span of numbers: '3' where both ends are alike, else '3 to 5'."""
    return f"{least}" if least == most else f"{least} to {most}"


def short(number: float) -> str:
    """A number with two decimals at most.

    Examples
    --------
    >>> short(0.6666), short(12.5), short(2.0)
    ('0.67', '12.5', '2')
    """
    return f"{number:.2f}".rstrip("0").rstrip(".")
