"""Tables as a teacher keeps them, written to files, and classes made up at random."""

from __future__ import annotations

import csv
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from shutil import copytree

from .shell import Said, grouper

LESSONS = ("lesson", "activity", "size", "groups", "rounds", "minutes", "aim", "strand", "min_gap", "max_gap")
REQUESTS = ("kind", "student", "other", "first_lesson", "last_lesson")


@dataclass(frozen=True)
class ClassOnDisk:
    """A class file that is there or will be, and the tables that it is made from."""

    folder: Path

    @property
    def file(self) -> Path:
        """The class file."""
        return self.folder / "unit.class"

    @property
    def roster(self) -> Path:
        """The roster."""
        return self.folder / "roster.csv"

    @property
    def lessons(self) -> Path:
        """The lessons."""
        return self.folder / "lessons.csv"

    @property
    def requests(self) -> Path:
        """The requests."""
        return self.folder / "requests.csv"

    def plan(self, *more: object, status: int = 0) -> Said:
        """Plan from the tables, with little effort."""
        tables = ("--roster", self.roster, "--lessons", self.lessons, "--requests", self.requests)
        return grouper("plan", self.file, *tables, "--effort", "quick", *more, status=status)

    def copied(self, folder: Path) -> ClassOnDisk:
        """The same class in another folder, to do something else with."""
        return ClassOnDisk(Path(copytree(self.folder, folder)))

    def exported(self) -> str:
        """The groups as exported just now."""
        grouper("export", self.file, "--groups", self.folder / "groups.csv")
        return (self.folder / "groups.csv").read_bytes().decode("utf-8")


def rows_of(path: Path) -> list[dict[str, str]]:
    """The rows of a CSV file by header."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def write_rows(path: Path, headers: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    """Write a CSV file, short rows filled up with empty cells."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(headers)
        writer.writerows([*row, *[""] * (len(headers) - len(row))] for row in rows)


def a_class(
    folder: Path,
    students: int,
    activities: Iterable[Sequence[object]],
    requests: Iterable[Sequence[object]] = (),
    seed: int = 1,
) -> ClassOnDisk:
    """A class of so many students, ``k01`` and so on, rated 1 to 5 in ``skill``, with these lessons and requests."""
    draw = random.Random(seed)
    folder.mkdir(parents=True, exist_ok=True)
    made = ClassOnDisk(folder)
    rows = [(f"k{n:02d}", f"Kid{n:02d} Fam{n:02d}", draw.randint(1, 5)) for n in range(1, students + 1)]
    write_rows(made.roster, ("student_id", "name", "skill"), rows)
    write_rows(made.lessons, LESSONS, activities)
    write_rows(made.requests, REQUESTS, requests)
    return made


def activity(
    lesson: int,
    name: str,
    size: object = "",
    *,
    groups: object = "",
    rounds: int = 1,
    aim: str = "",
    gaps: tuple[object, object] = ("", ""),
) -> tuple[object, ...]:
    """A row of the lessons; the strand is ``skill`` where the aim needs one."""
    strand = "skill" if aim in ("balanced", "coaching", "similar") else ""
    return (lesson, name, size, groups, rounds, 5, aim, strand, *gaps)
