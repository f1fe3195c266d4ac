"""A table of text cells, whatever file it came from."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Row:
    """The tidy cells of one row and its number as the spreadsheet shows it, from 1."""

    number: int
    cells: tuple[str, ...]

    @property
    def filled(self) -> tuple[str, ...]:
        """The cells that are not empty."""
        return tuple(cell for cell in self.cells if cell)

    @property
    def width(self) -> int:
        """Number of cells up to the last one that is not empty."""
        return max((place for place, cell in enumerate(self.cells, start=1) if cell), default=0)

    def cell(self, place: int) -> str:
        """The cell at a place counted from 0; empty where the row is shorter."""
        return self.cells[place] if place < len(self.cells) else ""


@dataclass(frozen=True)
class Sheet:
    """The rows of a text file or of one sheet of a workbook, blank ones left out.

    ``remarks`` are kind, text and rows of what was noticed while the file was opened; ``unknown`` the places (row,
    column letter) of formulas without a stored value.
    """

    file: str
    title: str
    rows: tuple[Row, ...]
    remarks: tuple[tuple[str, str, tuple[int, ...]], ...] = ()
    unknown: tuple[tuple[int, str], ...] = ()

    @property
    def place(self) -> str:
        """The file, and the sheet where it has a name, for messages."""
        return f"{self.file} (sheet '{self.title}')" if self.title else self.file
