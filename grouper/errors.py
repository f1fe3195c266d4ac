"""Every error that grouper raises on purpose.

::

    GrouperError
    ├── InputError        2   a file or a command that cannot be understood
    ├── ImpossibleError   3   the requests cannot all be met, with the smallest set that clashes
    ├── InUseError        4   another command is at work on the same class file
    ├── OutOfTimeError    5   neither a plan nor a proof that there is none, in the time allowed
    └── OurBugError       6   a plan that the referee rejects; it is never saved or shown

The number is the exit status of a command that ends with the error. An error carries what is wrong as ``Said``: a
sentence with places, the facts for them, and a remedy; each face decides how to tell it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice
from typing import Any

from grouper.words import Remedy, Said

MOST_NOTES = 3
"""Troubles that Python shows below an error; faces list all of them."""


@dataclass(frozen=True)
class Trouble:
    """One thing that is wrong in what was given, where it stands, and what to try.

    ``row`` counts from 1 as a spreadsheet does, 0 where no row is meant; ``file`` and ``column`` may be empty;
    ``facts`` are those that a ``Remedy`` speaks of.
    """

    message: str
    remedy: Remedy | str = ""
    file: str = ""
    row: int = 0
    column: str = ""
    facts: tuple[tuple[str, Any], ...] = ()

    @property
    def sentence(self) -> str:
        """Where, and what is wrong."""
        place = ", ".join(part for part in (self._row_of_file(), self._column()) if part)
        return f"{place}: {self.message}" if place else self.message

    def __str__(self) -> str:
        return f"{self.sentence}; {self.remedy}" if self.remedy and isinstance(self.remedy, str) else self.sentence

    def _row_of_file(self) -> str:
        if self.row and self.file:
            return f"row {self.row} of {self.file}"
        return f"row {self.row}" if self.row else self.file

    def _column(self) -> str:
        return f"column '{self.column}'" if self.column else ""


class GrouperError(Exception):
    """The root of grouper's own errors.

    Parameters
    ----------
    text
        What is wrong, with the names of its facts in braces.
    remedy
        What to try: in words where they are the same for all faces, else a ``Remedy``.
    facts
        What the sentence is about, by name.
    """

    exit_status = 1

    def __init__(self, text: str, remedy: Remedy | str = "", /, **facts: Any) -> None:
        self.said = Said(text, remedy, facts)
        super().__init__(str(self.said))

    @property
    def facts(self) -> dict[str, Any]:
        """What the sentence is about, by name."""
        return dict(self.said.facts)

    def _note(self, belongs: Iterable[str]) -> None:
        """Have Python show the first of what belongs to the error below it, for whoever reads a traceback."""
        for one in islice(belongs, MOST_NOTES):
            self.add_note(one)

    def __reduce__(self) -> tuple[Any, ...]:
        # Errors come back from other processes: Exception would call the class with the sentence alone.
        return _again, (type(self), self.args, self.__dict__)


def _again(kind: type[GrouperError], args: tuple[Any, ...], state: dict[str, Any]) -> GrouperError:
    error = kind.__new__(kind, *args)
    error.__dict__.update(state)
    return error


class InputError(GrouperError):
    """Something given cannot be understood; ``troubles`` says what, where, and what to try."""

    exit_status = 2

    def __init__(
        self, text: str, remedy: Remedy | str = "", /, *, troubles: tuple[Trouble, ...] = (), **facts: Any
    ) -> None:
        super().__init__(text, remedy, **facts)
        self.troubles = troubles
        self._note(map(str, troubles))


class ImpossibleError(GrouperError):
    """The requests cannot all be met.

    ``clash`` holds the sentences of the smallest set found that cannot hold together; ``smallest`` is false
    where the time did not suffice to show that none of them can be left out.
    """

    exit_status = 3

    def __init__(self, text: str, /, *, clash: tuple[str, ...] = (), smallest: bool = True, **facts: Any) -> None:
        super().__init__(text, **facts)
        self.clash = clash
        self.smallest = smallest
        self._note(clash)


def require(holds: bool, text: str, remedy: Remedy | str = "", /, **facts: Any) -> None:
    """Raise InputError with what is wrong and what to try unless it holds."""
    if not holds:
        raise InputError(text, remedy, **facts)


class InUseError(GrouperError):
    """Another command is at work on the same class file, or changed it meanwhile."""

    exit_status = 4


class OutOfTimeError(GrouperError):
    """No plan was found in the time allowed, nor a proof that there is none."""

    exit_status = 5


class OurBugError(GrouperError):
    """The referee rejects what an engine made: a bug of ours, whose plan is thrown away."""

    exit_status = 6

    def __init__(self, text: str, /, *, faults: tuple[str, ...] = (), **facts: Any) -> None:
        super().__init__(text, **facts)
        self.faults = faults
