"""What ``import grouper`` offers to scripts, each name loaded when it is used first.

An everyday command imports the package ``grouper`` too, and must not pay for pandas or the planner. The names and their
types stand in ``grouper/__init__.pyi``, for type checkers and editors.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

HOMES = {
    "GrouperError": "grouper.errors",
    "ImpossibleError": "grouper.errors",
    "InUseError": "grouper.errors",
    "InputError": "grouper.errors",
    "OurBugError": "grouper.errors",
    "OutOfTimeError": "grouper.errors",
    "SchoolClass": "grouper.faces.scripting",
    "make_class": "grouper.faces.scripting",
    "open_class": "grouper.faces.scripting",
}
"""The public names and the modules that hold them."""


def __getattr__(name: str) -> Any:
    # The package takes this function over as its own (PEP 562): it is asked for names that are not there yet.
    if name not in HOMES:
        raise AttributeError(f"module 'grouper' has no attribute '{name}'")
    return getattr(import_module(HOMES[name]), name)


def __dir__() -> list[str]:
    # Taken over in the same way: a notebook completes what dir() lists, and most names are not there yet.
    return [*HOMES, "__version__"]
