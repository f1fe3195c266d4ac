"""Rows to the text of a CSV file (RFC 4180), every cell guarded."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

from grouper.files.atomic import write_whole
from grouper.files.guard import guard
from grouper.model.texts import shown


def csv_text(rows: Iterable[Sequence[str]]) -> str:
    """The rows as CSV with commas and line ends as RFC 4180 has them, clean and guarded against formulas."""
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\r\n").writerows([guard(shown(cell)) for cell in row] for row in rows)
    return text.getvalue()


def write_csv(path: Path, rows: Iterable[Sequence[str]]) -> None:
    """Write the rows as CSV in UTF-8, whole or not at all.

    There is no byte order mark: programs that do not know it read it as part of the first header.
    """
    write_whole(Path(path), csv_text(rows).encode("utf-8"))
