"""What the next unit will know of those before, and what ends with the one at hand."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.wording.changes import ending_lines
from grouper.model.record import ClassRecord
from grouper.words import counted


@dataclass(frozen=True)
class NextUnitView:
    """The end of a unit, before it is made: sentences on what stays and what goes.

    ``ready`` says whether any lesson has been taught, so that there is a unit to end.
    """

    ready: bool
    weeks: float
    remembered: str
    ending: tuple[str, ...]


def next_unit_view(record: ClassRecord) -> NextUnitView:
    """The view; it changes nothing."""
    taught = [round_ for round_ in record.plan.rounds if round_.key.lesson in record.taught]
    return NextUnitView(
        bool(record.taught),
        record.settings.half_life,
        f"{counted(len(taught), 'round')} of {counted(len(record.taught), 'lesson')}",
        tuple(ending_lines(record)),
    )
