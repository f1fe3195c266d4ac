"""The figures of every run, one row a case, so that a change that makes something worse shows."""

from __future__ import annotations

import csv
from dataclasses import asdict, dataclass, fields
from pathlib import Path

PATH = Path(__file__).resolve().parents[2] / "docs" / "quality" / "history.csv"


@dataclass(frozen=True)
class Entry:
    """One figure of one run.

    ``figure`` is what is to be small (repeats, or milliseconds for repair), ``second`` the spread or another one;
    ``loop`` the CPU seconds of the machine's small loop, ``cpu`` and ``wall`` seconds of the case.
    """

    date: str
    loop: float
    part: str
    case: str
    figure: float
    second: float
    cpu: float
    wall: float


def entries() -> list[Entry]:
    """All that were kept, oldest first."""
    if not PATH.exists():
        return []
    with PATH.open(encoding="utf-8", newline="") as file:
        return [_entry(row) for row in csv.DictReader(file)]


def _entry(row: dict[str, str]) -> Entry:
    figures = {name: float(row[name]) for name in ("loop", "figure", "second", "cpu", "wall")}
    return Entry(row["date"], figures["loop"], row["part"], row["case"], figures["figure"], figures["second"],
                 figures["cpu"], figures["wall"])


def keep(new: list[Entry]) -> None:
    """Add the entries of a run."""
    begun = PATH.exists()
    with PATH.open("a", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, [field.name for field in fields(Entry)], lineterminator="\n")
        if not begun:
            writer.writeheader()
        writer.writerows(asdict(entry) for entry in new)


def worse(old: list[Entry], new: list[Entry], slack: float = 0.0) -> list[tuple[Entry, Entry]]:
    """Cases whose figure, or whose second one, is above that of the last run which had them: before and now."""
    last = {(entry.part, entry.case): entry for entry in old}
    both = ((last.get((entry.part, entry.case)), entry) for entry in new)
    return [(before, now) for before, now in both if before is not None and _is_worse(before, now, slack)]


def _is_worse(before: Entry, now: Entry, slack: float) -> bool:
    if now.part in ("repair", "designs"):
        return now.figure > before.figure + max(slack, 0.25) * abs(before.figure)
    return now.figure > before.figure + slack or now.second > before.second + 1e-9
