"""Values that belong to a team, as typed: ``4=12`` for team 4."""

from __future__ import annotations

from collections.abc import Iterable

from grouper.errors import InputError


def team_and_number(text: str, what: str) -> tuple[str, float]:
    """A team's label and a number.

    Raises
    ------
    InputError
        The text is not of the form ``TEAM=NUMBER``.

    Examples
    --------
    >>> team_and_number("4=12", "score")
    ('4', 12.0)
    """
    label, sign, number = text.rpartition("=")
    if not sign or not label.strip():
        raise InputError(
            "'{text}' is no {what} of a team", "write it as TEAM=NUMBER, such as 4=12", text=text, what=what
        )
    try:
        value = float(number)
    except ValueError:
        raise InputError(
            "'{number}' in '{text}' is no number", "write it as TEAM=NUMBER, such as 4=12", number=number, text=text
        ) from None
    if not 0 <= value < 1e6:
        raise InputError("'{text}': a {what} is 0 or more, and below a million", text=text, what=what)
    return label.strip(), value


def whole(value: float, text: str) -> int:
    """A whole number (InputError where it is not)."""
    if value != int(value):
        raise InputError("'{text}': scores are whole numbers", "enter points on top with --bonus", text=text)
    return int(value)


def by_team(texts: Iterable[str], what: str) -> dict[str, float]:
    """Values of teams by label, added up where a team has several."""
    values: dict[str, float] = {}
    for text in texts:
        label, value = team_and_number(text, what)
        values[label] = values.get(label, 0.0) + value
    return values
