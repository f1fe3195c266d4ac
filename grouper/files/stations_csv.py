"""A circuit as a CSV file: a row a group a slot, in order of slot and station."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from grouper.files.csv_text import write_csv

HEADERS = ("slot", "station", "group")


def write_stations(path: Path, visits: Iterable[tuple[int, int, int]]) -> None:
    """Write visits (slot, station and group, all numbers from 1).

    Raises
    ------
    InputError
        The file cannot be written.
    """
    write_csv(path, [HEADERS, *(tuple(map(str, visit)) for visit in visits)])
