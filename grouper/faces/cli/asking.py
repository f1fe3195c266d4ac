"""Asking before something that cannot be taken back."""

from __future__ import annotations

import sys
from collections.abc import Iterable

import click

from grouper.errors import InputError
from grouper.faces.cli.common import show


def agreed(yes: bool, would: Iterable[str], question: str) -> bool:
    """Whether to go on: after ``--yes``, or after a yes on the terminal to what would happen.

    Raises
    ------
    InputError
        There is nobody to ask: what would happen has been said, and nothing has been done.
    """
    show(would)
    if yes:
        return True
    if not sys.stdin.isatty():
        raise InputError("nothing was changed; add --yes to do it")
    return click.confirm(question)
