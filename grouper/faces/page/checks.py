"""Whether a unit can be planned as it stands, and why not: asked at once after each change of lessons or requests."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import GrouperError
from grouper.faces.wording.errors import error_lines
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.planning.boards import board_for
from grouper.planning.plan import feasible_start


@dataclass(frozen=True)
class Check:
    """``fine``, or what cannot be met and why, in sentences."""

    fine: bool
    said: tuple[str, ...] = ()


def check_unit(record: ClassRecord) -> Check:
    """Look for groups that keep every hard wish; no plan is made."""
    if not record.unit.lessons or not record.roster.active:
        return Check(True)
    try:
        problem = problem_of(record)
        feasible_start(problem, board_for(problem), record.seed)
    except GrouperError as error:
        lines = [line.removeprefix("grouper: ").removeprefix("  - ") for line in error_lines(error)]
        return Check(False, tuple(line.replace(" Nothing was changed.", "") for line in lines))
    return Check(True)
