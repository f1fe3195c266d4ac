"""What is told of a table beside its contents, and how much a table may hold.

Nothing is dropped silently: whatever is not used stands in a note, whatever cannot be understood in a trouble. Size is
counted while a table is read: whatever a file is, it takes seconds and no more.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from grouper.errors import InputError, Trouble
from grouper.model.texts import in_one_line
from grouper.words import Remedy

MOST_TROUBLES = 100
"""After so many the reading stops: whoever mends a table looks at a few and runs the command again."""

_SHORT, _LONG = 50, 160
"""Letters of a header, and of a sentence, in a message: what is quoted from a file may be of any length."""

KINDS = ("plain", "understood", "left out", "mended")


@dataclass(frozen=True)
class Note:
    """One thing that a reader did with what it was given.

    Parameters
    ----------
    kind
        ``plain`` (read as it plainly says), ``understood`` (taken to mean something, worth a look), ``left out`` (not
        used) or ``mended`` (put right).
    text
        What was done, as a sentence without its place.
    file, rows, column
        Where; rows as the spreadsheet shows them, from 1. Each may be empty.
    meaning
        What the column was read as, where the note is about that: ``name``, ``student_id`` ...
    summed_up
        Whether the summary of the table says it too.
    """

    kind: str
    text: str
    file: str = ""
    rows: tuple[int, ...] = ()
    column: str = ""
    meaning: str = ""
    summed_up: bool = False

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise InputError("a note is one of {kinds}, not '{kind}'", kinds=", ".join(KINDS), kind=self.kind)

    @property
    def row(self) -> int:
        """The first row meant, 0 where no row is."""
        return self.rows[0] if self.rows else 0

    def __str__(self) -> str:
        places = (self.file, rows_in_words(self.rows), f"column '{self.column}'" if self.column else "")
        place = ", ".join(part for part in places if part)
        return f"{place}: {self.text}" if place else self.text


def rows_in_words(rows: tuple[int, ...]) -> str:
    """Row numbers as people write them.

    Examples
    --------
    >>> rows_in_words((3,)), rows_in_words((3, 4, 5, 9))
    ('row 3', 'rows 3-5, 9')
    """
    stretches: list[list[int]] = []
    for row in sorted(set(rows)):
        if stretches and row == stretches[-1][-1] + 1:
            stretches[-1].append(row)
        else:
            stretches.append([row])
    said = ", ".join(f"{s[0]}-{s[-1]}" if len(s) > 2 else ", ".join(map(str, s)) for s in stretches)
    return f"row{'s' * (len(rows) > 1)} {said}" if rows else ""


@dataclass
class Findings:
    """Collects the notes and troubles of one file while it is read."""

    file: str
    _notes: list[Note] = field(default_factory=list)
    _troubles: list[Trouble] = field(default_factory=list)
    _troubled_rows: set[int] = field(default_factory=set)

    def note(
        self,
        kind: str,
        text: str,
        rows: tuple[int, ...] = (),
        column: str = "",
        meaning: str = "",
        summed_up: bool = False,
    ) -> None:
        """Add a note about this file."""
        # What is quoted may hold line ends, or letters by the thousand.
        text, column = in_one_line(text, 1000), in_one_line(column, _SHORT)
        self._notes.append(Note(kind, text, self.file, tuple(rows), column, meaning, summed_up))

    def trouble(self, message: str, remedy: Remedy | str, row: int = 0, column: str = "") -> None:
        """Add something that stops the reading; it goes on for now, so that all troubles are found at once.

        Raises
        ------
        InputError
            There are MOST_TROUBLES now.
        """
        self._troubles.append(_short(Trouble(message, remedy, self.file, row, column)))
        self._troubled_rows.add(row)
        if len(self._troubles) == MOST_TROUBLES:
            raise self.error()

    @property
    def notes(self) -> tuple[Note, ...]:
        """The notes so far."""
        return tuple(self._notes)

    @property
    def troubled(self) -> bool:
        """Whether anything stops the reading."""
        return bool(self._troubles)

    def troubled_in(self, row: int) -> bool:
        """Whether anything is wrong with a row."""
        return row in self._troubled_rows

    def error(self) -> InputError:
        """One InputError with all troubles so far, in the order of rows."""
        found = tuple(sorted(self._troubles, key=lambda trouble: trouble.row))
        count = "1 problem" if len(found) == 1 else f"{len(found)} problems"
        more = " or more" if len(found) == MOST_TROUBLES else ""
        return InputError(
            "{file} cannot be read: {count}{more}", troubles=found, file=self.file, count=count, more=more
        )

    def stop_if_troubled(self) -> None:
        """Raise the error with all troubles, if there are any."""
        if self._troubles:
            raise self.error()


def refuse(file: str, message: str, remedy: Remedy | str, row: int = 0) -> InputError:
    """The error for a file that cannot be read at all."""
    return InputError(
        "{file} cannot be read: 1 problem", troubles=(_short(Trouble(message, remedy, file, row)),), file=file
    )


def _short(trouble: Trouble) -> Trouble:
    """The same, its quotations from the file clean and short."""
    return replace(
        trouble,
        message=in_one_line(trouble.message, _LONG),
        remedy=in_one_line(trouble.remedy, _LONG) if isinstance(trouble.remedy, str) else trouble.remedy,
        column=in_one_line(trouble.column, _SHORT),
    )


_ALONE = "export one class alone"


@dataclass(frozen=True)
class Limits:
    """The most of each in one file.

    Parameters
    ----------
    lines
        Lines or rows, blank ones counted: as many as a sheet of a spreadsheet has (2**20).
    line
        Letters of one line of a text.
    rows, columns, cells
        Those with something in them.
    cell
        Letters of a cell: as many as a spreadsheet keeps (2**15 - 1).
    letters
        Letters in all.
    """

    lines: int = 1_048_576
    line: int = 1_000_000
    rows: int = 20_000
    columns: int = 500
    cells: int = 250_000
    cell: int = 32_767
    letters: int = 20_000_000


LIMITS = Limits()
OF_A_SCHOOL = Limits(rows=100_000, cells=1_000_000)
"""For the files of a OneRoster zip, in which one class of many is looked for."""


@dataclass
class Budget:
    """What has been read of a file, held against the limits.

    Raises
    ------
    InputError
        From each method: the file holds more than a table does.
    """

    file: str
    most: Limits = LIMITS
    rows: int = 0
    cells: int = 0
    letters: int = 0

    def check_line(self, number: int, letters: int = 0) -> None:
        """One more line."""
        if number > self.most.lines:
            raise refuse(self.file, f"it has more than {self.most.lines:,} lines", _ALONE)
        if letters > self.most.line:
            raise refuse(self.file, f"a line is longer than {self.most.line:,} letters", _ALONE, number)

    def check_letters(self, letters: int, row: int) -> None:
        """A cell of so many letters, as far as it has been read."""
        if letters > self.most.cell:
            message = f"a cell has more than {self.most.cell:,} letters"
            raise refuse(self.file, message, "take it out, or look for a quotation mark that is not closed", row)

    def check_cell(self, letters: int, row: int) -> None:
        """One more cell, of so many letters."""
        self.check_letters(letters, row)
        self.letters += letters
        if self.letters > self.most.letters:
            raise refuse(self.file, "there is more text in it than in any table", _ALONE)

    def check_row(self, number: int, width: int, filled: int) -> None:
        """One more row, of this number, width and number of cells with something in them."""
        self.rows += 1
        self.cells += filled
        if self.rows > self.most.rows:
            raise refuse(self.file, f"it has more than {self.most.rows:,} rows", _ALONE)
        if width > self.most.columns:
            raise refuse(self.file, f"it has more than {self.most.columns:,} columns", _ALONE, number)
        if self.cells > self.most.cells:
            raise refuse(self.file, f"it has more than {self.most.cells:,} cells", _ALONE)
