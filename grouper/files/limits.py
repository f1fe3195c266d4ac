"""How much a table may hold, counted while it is read: whatever a file is, it takes seconds and no more."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.files.notes import refuse

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
