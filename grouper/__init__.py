"""Pairs, teams and rotations for a whole unit of lessons, fair and repaired in a blink.

For scripts: ``open_class`` and ``make_class`` give a ``SchoolClass``, whose facts are pandas frames; docs/scripting.md
has a worked example. Everything else in this package may change from one version to the next.
"""

from grouper.faces.public import __dir__ as __dir__
from grouper.faces.public import __getattr__ as __getattr__

__version__ = "0.1.0"

__all__ = [
    "GrouperError",
    "ImpossibleError",
    "InUseError",
    "InputError",
    "OurBugError",
    "OutOfTimeError",
    "SchoolClass",
    "make_class",
    "open_class",
]
