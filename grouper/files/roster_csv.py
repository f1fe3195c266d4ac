"""Writing a roster as CSV, so that it reads back in."""

from __future__ import annotations

from pathlib import Path

from grouper.files.csv_text import write_csv
from grouper.files.numbers import number_text
from grouper.model.roster import Roster, Student


def write_roster(path: Path, roster: Roster) -> None:
    """Write the students of the class who have not left, with ids, names, ratings, size bands and availability.

    Since which lesson somebody belongs to the class is not a roster's business; it stays in the class file.

    Raises
    ------
    InputError
        The file cannot be written.
    """
    header = ("student_id", "name", *roster.strands, "size_band", "availability")
    write_csv(path, [header, *(_row(student, roster.strands) for student in roster.active)])


def _row(student: Student, strands: tuple[str, ...]) -> tuple[str, ...]:
    ratings = (number_text(student.ratings[strand]) if strand in student.ratings else "" for strand in strands)
    return (student.id, student.name, *ratings, student.size_band, student.availability)
