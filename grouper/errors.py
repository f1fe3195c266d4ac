"""Every error that grouper raises on purpose.

::

    GrouperError
    ├── InputError        2   a file or a command that cannot be understood
    ├── ImpossibleError   3   the requests cannot all be met, with the smallest set that clashes
    ├── InUseError        4   another command is at work on the same class file
    ├── OutOfTimeError    5   neither a plan nor a proof that there is none, in the time allowed
    └── OurBugError       6   a plan that the referee rejects; it is never saved or shown

The number is the exit status of a command that ends with the error. An error carries its facts as
attributes; a face decides how to show them.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Trouble:
    """One thing that is wrong in what was given, where it stands, and what to try.

    ``row`` counts from 1 as a spreadsheet does, 0 where no row is meant; ``file`` and ``column`` may be empty.
    """

    message: str
    remedy: str = ""
    file: str = ""
    row: int = 0
    column: str = ""

    def __str__(self) -> str:
        place = ", ".join(part for part in (self._row_of_file(), self._column()) if part)
        text = f"{place}: {self.message}" if place else self.message
        return f"{text}; {self.remedy}" if self.remedy else text

    def _row_of_file(self) -> str:
        if self.row and self.file:
            return f"row {self.row} of {self.file}"
        return f"row {self.row}" if self.row else self.file

    def _column(self) -> str:
        return f"column '{self.column}'" if self.column else ""


class GrouperError(Exception):
    """The root of grouper's own errors."""

    exit_status = 1


class InputError(GrouperError):
    """Something given cannot be understood; ``troubles`` says what, where, and what to try."""

    exit_status = 2

    def __init__(self, message: str, troubles: tuple[Trouble, ...] = ()) -> None:
        super().__init__(message)
        self.troubles = troubles


class ImpossibleError(GrouperError):
    """The requests cannot all be met.

    ``clash`` holds the sentences of the smallest set found that cannot hold together; ``smallest`` is false
    where the time did not suffice to show that none of them can be left out.
    """

    exit_status = 3

    def __init__(self, message: str, clash: tuple[str, ...] = (), smallest: bool = True) -> None:
        super().__init__(message)
        self.clash = clash
        self.smallest = smallest


class InUseError(GrouperError):
    """Another command is at work on the same class file, or changed it meanwhile."""

    exit_status = 4


class OutOfTimeError(GrouperError):
    """No plan was found in the time allowed, nor a proof that there is none."""

    exit_status = 5


class OurBugError(GrouperError):
    """The referee rejects what an engine made: a bug of ours, whose plan is thrown away."""

    exit_status = 6

    def __init__(self, message: str, faults: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.faults = faults
