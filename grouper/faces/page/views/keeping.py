"""What would happen to the data of a class, before it is done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from grouper.faces.views.names import full_names, name_order
from grouper.faces.wording.privacy import RETENTION, elsewhere_lines, erasing_lines, purging_lines
from grouper.model.record import ClassRecord
from grouper.planning.attend import leaving_lesson
from grouper.privacy.erase import erasure_of, is_erased
from grouper.privacy.less import Clearing

CLEAR = "clear away"
"""What is typed before a file is cleared."""


@dataclass(frozen=True)
class KeepingView:
    """The students by id and name, those who have left but not the erased, and sentences on what would happen.

    ``student`` is the one who was picked, by id, empty for none; ``erased`` what erasing would do to them.
    """

    students: tuple[tuple[str, str], ...]
    student: str
    name: str
    erased: tuple[str, ...]
    clearing: Clearing
    cleared: tuple[str, ...]
    elsewhere: tuple[str, ...]
    retention: str


def keeping_view(record: ClassRecord, student: str, clearing: Clearing, backups: Sequence[Path]) -> KeepingView:
    """The view; a student who is not there, or erased, is none."""
    there = {each.id: each for each in record.roster.students if not is_erased(each)}
    person = there.get(student)
    named = full_names(there.values(), record.roster.in_unit).items()
    erased = erasing_lines(record, person, erasure_of(record, person.id), leaving_lesson(record)) if person else ()
    return KeepingView(
        tuple(sorted(named, key=lambda each: name_order(each[1]))),
        person.id if person else "",
        person.name if person else "",
        tuple(erased),
        clearing,
        tuple(purging_lines(record, clearing)),
        tuple(elsewhere_lines(backups)),
        RETENTION,
    )
