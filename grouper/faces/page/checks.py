"""Whether a unit can be planned as it stands, and why not: asked at once after each change of lessons or requests."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from grouper.errors import GrouperError
from grouper.faces.views.ordering import name_order
from grouper.faces.wording.errors import error_lines
from grouper.faces.wording.numbers import listed
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.planning.boards import board_for
from grouper.planning.plan import feasible_start


@dataclass(frozen=True)
class Check:
    """``fine``, or what cannot be met and why, in sentences."""

    fine: bool
    said: tuple[str, ...] = ()


def _crossed(record: ClassRecord) -> Iterator[str]:
    """Two who are to be apart and together at once, lessons or not."""
    for one, other in combinations(record.requests, 2):
        if set(one.pair) == set(other.pair) and one.kind != other.kind and _at_once(one, other):
            names = listed(sorted((record.roster.name(student) for student in one.pair), key=name_order))
            yield f"{names} are to be kept apart, and to be together"


def _at_once(one: Request, other: Request) -> bool:
    begins = max(one.first_lesson or 1, other.first_lesson or 1)
    return all(request.last_lesson is None or begins <= request.last_lesson for request in (one, other))


def check_unit(record: ClassRecord) -> Check:
    """Look for groups that keep every hard wish; no plan is made."""
    crossed = tuple(_crossed(record))
    if crossed:
        return Check(False, ("These requests cannot both be met", *crossed))
    if not record.unit.lessons or not record.roster.active:
        return Check(True)
    try:
        problem = problem_of(record)
        feasible_start(problem, board_for(problem))
    except GrouperError as error:
        lines = [line.removeprefix("grouper: ").removeprefix("  - ") for line in error_lines(error)]
        return Check(False, tuple(line.replace(" Nothing was changed.", "") for line in lines))
    return Check(True)
