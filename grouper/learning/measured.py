"""Suggestions from a test: a measure of each student, by rank among those measured."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from grouper.errors import InputError
from grouper.learning.ranks import ratings_by_rank
from grouper.learning.scale import scale_of
from grouper.learning.suggest import Suggestion
from grouper.model.record import ClassRecord

FEWEST = 3
"""Of fewer students a rank tells nothing."""

RANK_SPREAD = 0.5
"""How far the rating of a test may be off, in steps: a day's form, and the width of a share (common practice)."""


@dataclass(frozen=True)
class Measured:
    """What a test measured.

    Parameters
    ----------
    values
        One number a student (id).
    higher_is_better
        Or lower, as with times.
    unit
        What to call the number in a line; with one, a decimal is enough.
    """

    values: Mapping[str, float]
    higher_is_better: bool = True
    unit: str = ""

    def shown(self, value: float) -> str:
        """A value in a line."""
        return f"{value:.1f} {self.unit}" if self.unit else f"{round(value, 2):g}"


def suggestions_from(record: ClassRecord, strand: str, measured: Measured) -> tuple[Suggestion, ...]:
    """Ratings by the rank among those measured, in the order of the roster, where they differ from those on it.

    A strand that the class does not have yet is rated from 1 to 5; it comes to be when a suggestion is accepted. Only
    the rank goes into the record: neither the measure nor what it was worked out from.

    Raises
    ------
    InputError
        There are fewer than three students, or somebody is not in the class.
    """
    _refuse_if_unfit(record, measured)
    scale = scale_of(record.roster, strand)
    people = [student for student in record.roster.active if student.id in measured.values]
    values = [measured.values[student.id] for student in people]
    ratings = ratings_by_rank(values, scale, measured.higher_is_better)
    return tuple(
        Suggestion(
            student.id,
            strand,
            student.ratings.get(strand),
            rating,
            RANK_SPREAD * scale.step,
            _reason(measured, value, sorted(values, reverse=measured.higher_is_better).index(value) + 1, len(values)),
        )
        for student, value, rating in zip(people, values, ratings, strict=True)
        if student.ratings.get(strand) != rating
    )


def _refuse_if_unfit(record: ClassRecord, measured: Measured) -> None:
    if len(measured.values) < FEWEST:
        raise InputError(
            "a rank needs {fewest} students or more, got {count}", fewest=FEWEST, count=len(measured.values)
        )
    active = {student.id for student in record.roster.active}
    strangers = sorted(set(measured.values) - active)
    if strangers:
        raise InputError("not in the class: {strangers}", "leave them out", strangers=", ".join(strangers))


def _reason(measured: Measured, value: float, place: int, people: int) -> str:
    return f"{measured.shown(value)}: place {place} of {people}"
