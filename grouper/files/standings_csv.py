"""A table of standings as a CSV file: a row a team, best first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from grouper.files.csv_text import write_csv

HEADERS = ("rank", "team", "played", "won", "drawn", "lost", "scored", "conceded", "bonus", "penalty", "points")


def write_standings(path: Path, rows: Iterable[Sequence[str]]) -> None:
    """Write rows of texts in the order of HEADERS; a label of a team that a spreadsheet could run is guarded.

    Raises
    ------
    InputError
        The file cannot be written.
    """
    write_csv(path, [HEADERS, *rows])
