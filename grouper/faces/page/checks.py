"""Whether a unit can be planned as it stands, and why not: asked at once after each change of lessons or requests."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import GrouperError
from grouper.faces.page.remedies import BUTTONS
from grouper.faces.wording.telling import telling
from grouper.model.record import ClassRecord
from grouper.planning.plan import refuse_impossible
from grouper.planning.requests import refuse_contradictions


@dataclass(frozen=True)
class Check:
    """``fine``, or what cannot be met and why, in sentences."""

    fine: bool
    said: tuple[str, ...] = ()


def check_unit(record: ClassRecord) -> Check:
    """Look for groups that keep every hard wish; no plan is made."""
    try:
        refuse_contradictions(record)
        refuse_impossible(record)
    except GrouperError as error:
        tells = telling(error, BUTTONS)
        # The last of how things stand is that nothing was changed: here nothing was asked for.
        return Check(False, (tells.first, *tells.items, *tells.standing[:-1]))
    return Check(True)
