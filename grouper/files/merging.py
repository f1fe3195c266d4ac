"""Rows of one student put together, and ids for rosters that have none."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

from grouper.files.entries import Entry
from grouper.files.notes import Findings
from grouper.files.numbers import number_text
from grouper.model.roster import Roster

_ONE_EACH = "see which is right and put it into both rows, or take one row out"


def merged(entries: list[Entry], findings: Findings) -> tuple[list[Entry], int]:
    """One entry a student, in the order of their first rows, and how many rows were put together with another.

    Entries with one id are one student; where they differ in a name, a rating or another value, that is a trouble.
    """
    by_id: dict[str, Entry] = {}
    again: dict[str, list[int]] = defaultdict(list)
    for entry in entries:
        first = by_id.get(entry.id)
        if first is None:
            by_id[entry.id] = entry
        else:
            by_id[entry.id] = _together(first, entry, findings)
            again[entry.id].append(entry.row)
    for id_, rows in again.items():
        first = by_id[id_]
        findings.note("understood", f"the same student ({id_}) as in row {first.row}", tuple(rows))
    return list(by_id.values()), sum(map(len, again.values()))


def _together(first: Entry, second: Entry, findings: Findings) -> Entry:
    if first.name.casefold() != second.name.casefold():
        findings.trouble(
            f"the id '{first.id}' stands for '{first.name}' in row {first.row} and for '{second.name}' here",
            "give each student an id of their own",
            second.row,
        )
        return first
    for strand, value in second.ratings.items():
        _check_same(strand, first.ratings.get(strand), value, first, second, findings)
    _check_same("size band", first.size_band or None, second.size_band, first, second, findings)
    _check_same("availability", first.availability or None, second.availability, first, second, findings)
    return replace(
        first,
        ratings={**second.ratings, **first.ratings},
        size_band=first.size_band or second.size_band,
        availability=first.availability or second.availability,
    )


def _check_same(
    what: str, one: float | str | None, other: float | str, first: Entry, second: Entry, findings: Findings
) -> None:
    if one is None or other == "" or one == other:
        return
    values = [number_text(value) if isinstance(value, float) else value for value in (one, other)]
    message = f"{first.name} has {values[0]} in row {first.row} and {values[1]} here"
    findings.trouble(message, _ONE_EACH, second.row, what)


def with_ids(entries: list[Entry], before: Roster | None, findings: Findings) -> list[Entry]:
    """The entries of a roster without ids, each with one.

    It is the id that the student of this name has in ``before``, or the next free one of ``s01``, ``s02`` and so on.
    Two of one name cannot be told apart and become a trouble.
    """
    _check_names(entries, findings)
    taken = {student.id for student in before.students} if before else set()
    width = max(2, len(str(len(entries) + len(taken))))
    fresh = (f"s{n:0{width}d}" for n in range(1, len(entries) + len(taken) + 1))
    free = (id_ for id_ in fresh if id_ not in taken)
    numbered = [replace(entry, id=_known_id(entry.name, before) or next(free)) for entry in entries]
    findings.note("understood", "there is no column of ids, so students are told apart by their names")
    return numbered


def _known_id(name: str, before: Roster | None) -> str:
    named = [student for student in before.students if student.name.casefold() == name.casefold()] if before else []
    current = [student for student in named if not student.archived] or named
    return current[0].id if len(current) == 1 else ""


def _check_names(entries: list[Entry], findings: Findings) -> None:
    first: dict[str, Entry] = {}
    for entry in entries:
        twin = first.setdefault(entry.name.casefold(), entry)
        if twin is not entry:
            message = f"'{entry.name}' stands in row {twin.row} too, and there are no ids to tell whether they are one"
            findings.trouble(message, "add a column student_id and give each an id, or take one row out", entry.row)
