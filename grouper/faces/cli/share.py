"""A share as teachers write it: 80% or 0.8."""

from __future__ import annotations

from grouper.errors import InputError


def share(value: str | float) -> float:
    """A part of a whole, from '80%' or '0.8'; whether it is one that makes sense is asked where it is used.

    Raises
    ------
    InputError
        It is no number.
    """
    text = str(value).strip()
    try:
        return float(text.removesuffix("%")) / (100 if text.endswith("%") else 1)
    except ValueError:
        raise InputError("'{value}' is no share", "write it as 80% or 0.8", value=value) from None
