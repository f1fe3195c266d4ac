"""Ratings that results suggest, for the teacher to accept or not; and test results as measures of students."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from grouper.errors import InputError, Trouble
from grouper.faces.wording.words import lessons_in_words, number_in_words
from grouper.files.measures import MeasuresReading
from grouper.learning.about import lessons_outdated, named, strands_seen, without_strand
from grouper.learning.measured import Measured, vo2max
from grouper.learning.suggest import Suggestion, learn, suggestions
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
            troubles.append(Trouble(str(error), "correct this row, or leave it empty", reading.file, measure.row))
    if troubles:
        raise InputError(
            "{file} cannot be used: {count:problem}", troubles=tuple(troubles), file=reading.file, count=len(troubles)
        )
    return Measured(values, unit="ml/kg/min")


CERTAINTIES = ((1.28, "quite sure"), (0.8, "likely"), (0.0, "a hint"))
"""From so many standard deviations on that the change is large."""


@dataclass(frozen=True)
class SuggestionRow:
    """A suggestion: the student by id and name, ratings as texts (``now`` is a dash for none), how sure, and why.

    ``value`` is the suggested rating as a form sends it back.
    """

    student: str
    name: str
    now: str
    suggested: str
    certainty: str
    reason: str
    value: str


@dataclass(frozen=True)
class StrandSuggestions:
    """The suggestions in one strand, in the order of the roster, and how many games and tasks they come from."""

    strand: str
    rows: tuple[SuggestionRow, ...]
    games: int = 0
    tasks: int = 0


@dataclass(frozen=True)
class SuggestionsView:
    """All suggestions, a part for each strand that results speak about.

    ``lessons_without_strand`` have results that speak about no strand until the teacher names one; ``strands`` are
    those that could be named. ``lessons_outdated`` have scores of teams that are not there any more.
    """

    parts: tuple[StrandSuggestions, ...]
    lessons_without_strand: tuple[int, ...] = ()
    strands: tuple[str, ...] = ()
    lessons_outdated: tuple[int, ...] = ()

    @property
    def count(self) -> int:
        """How many suggestions there are."""
        return sum(len(part.rows) for part in self.parts)

    @property
    def outdated(self) -> str:
        """Which scores do not count, and why; empty where all do."""
        if not self.lessons_outdated:
            return ""
        return f"Scores of {lessons_in_words(self.lessons_outdated)} do not count: those teams are not there any more."

    @property
    def nothing_yet(self) -> bool:
        """Whether no result was entered at all."""
        return not (self.parts or self.lessons_without_strand or self.lessons_outdated)


def suggestions_view(record: ClassRecord, strand: str | None = None) -> SuggestionsView:
    """What results suggest, in one strand that the teacher names or in all that they speak about.

    Raises
    ------
    InputError
        There is no such strand, or it has no scale.
    """
    found = suggestions(record, strand)
    parts = []
    for name in strands_seen(record) if strand is None else (strand,):
        learning = learn(record if strand is None else named(record, strand), name)
        part = strand_part(record, name, found)
        parts.append(replace(part, games=len(learning.games), tasks=len(learning.taps)))
    lost = without_strand(record) if strand is None else ()
    lessons = tuple(dict.fromkeys(key.lesson for key in lost))
    return SuggestionsView(tuple(parts), lessons, record.roster.strands, lessons_outdated(record))


def strand_part(record: ClassRecord, strand: str, found: Iterable[Suggestion]) -> StrandSuggestions:
    """The suggestions of one strand."""
    rows = []
    for each in (each for each in found if each.strand == strand):
        now, suggested = number_in_words(each.now), number_in_words(each.suggested)
        how = (certainty(record, each), each.reason, f"{each.suggested:g}")
        rows.append(SuggestionRow(each.student, record.roster.name(each.student), now, suggested, *how))
    return StrandSuggestions(strand, tuple(rows))





def certainty(record: ClassRecord, suggestion: Suggestion) -> str:
    """How sure a suggestion is, in a word or two; what a test says is measured."""
    if suggestion.learnt is None:
        return "measured"
    held = record.roster.rating(suggestion.student, suggestion.strand)
    sure = abs(suggestion.suggested - held) / suggestion.uncertainty
    return next(word for least, word in CERTAINTIES if sure >= least)
