"""A table of test results as measures of students, whichever face was given it."""

from __future__ import annotations

from grouper.errors import InputError, Trouble
from grouper.files.measures import MeasuresReading
from grouper.learning.measured import Measured
from grouper.learning.shuttle import vo2max
from grouper.model.record import ClassRecord

KINDS = ("shuttle", "higher", "lower")
"""The 20 m shuttle run; a number of which higher, or lower, is better."""


def columns_of(kind: str) -> tuple[str, ...]:
    """The columns of numbers that a kind of test needs."""
    return ("stage", "age") if kind == "shuttle" else ("value",)


def rank_line(record: ClassRecord, measured: Measured) -> str:
    """A word where not all of the class were measured, as a rank is one among those who were; else empty.

    Whoever is measured later gets a rank among the late ones alone, whatever they do.
    """
    count, people = len(measured.values), len(record.roster.active)
    if count >= people:
        return ""
    return f"{count} of {people} students were measured; ranks are among these, so test the others in the same table"


def measured_from(reading: MeasuresReading, kind: str) -> Measured:
    """One number a student: of a shuttle run, what it says about the uptake of oxygen.

    Raises
    ------
    InputError
        A stage or an age makes no sense; with the rows.
    """
    if kind != "shuttle":
        return Measured({measure.student: measure.numbers[0] for measure in reading.measures}, kind == "higher")
    troubles, values = [], {}
    for measure in reading.measures:
        try:
            values[measure.student] = vo2max(*measure.numbers)
        except InputError as error:
            troubles.append(Trouble(str(error), "put this row right, or leave it empty", reading.file, measure.row))
    if troubles:
        raise InputError(
            "{file} cannot be used: {count:problem}", troubles=tuple(troubles), file=reading.file, count=len(troubles)
        )
    return Measured(values, unit="ml/kg/min")
