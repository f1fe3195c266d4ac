from grouper.errors import (
    GrouperError,
    ImpossibleError,
    InputError,
    InUseError,
    OurBugError,
    OutOfTimeError,
)
from grouper.faces.scripting import SchoolClass, make_class, open_class

__version__: str

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
