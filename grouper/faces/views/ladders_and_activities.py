"""Which activities of the unit have tasks, and which tasks belong to no activity."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.faces.wording.numbers import listed
from grouper.model.record import ClassRecord


def match_lines(record: ClassRecord) -> Iterator[str]:
    """A line on activities with tasks, one on those without, and one on tasks that no activity is called like."""
    names = list(dict.fromkeys(one.name for lesson in record.unit.lessons for one in lesson.activities))
    having = [name for name in names if any(ladder.fits(name) for ladder in record.ladders)]
    lacking = [name for name in names if name not in having]
    idle = [ladder.activity for ladder in record.ladders if not any(ladder.fits(name) for name in names)]
    if having:
        yield f"With tasks: {listed(having)}."
    if lacking:
        yield f"Without: {listed(lacking)}."
    if idle:
        yield f"No activity of the unit is called {listed(idle)}; the names must be the same as in the lessons."
