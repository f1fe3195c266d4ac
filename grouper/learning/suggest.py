"""Ratings that are suggested to the teacher, and what becomes of the record where they are accepted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from grouper.learning.about import named, strands_seen
from grouper.learning.learning import Learning, learn
from grouper.learning.reasons import reason_for
from grouper.learning.scale import Scale
from grouper.model.noted import Learnt
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student

WORTH = 0.4
"""A change is suggested from so many standard deviations of what is known on; chosen by simulation."""


@dataclass(frozen=True)
class Suggestion:
    """Another rating for a student.

    Parameters
    ----------
    student, strand
        Whose (id), in what.
    now
        The rating on the roster, None where there is none.
    suggested
        The rating that is suggested: rounded, and within the scale.
    uncertainty
        How far the truth may be off, in units of the scale (standard deviation).
    reason
        In one line of plain words.
    learnt
        What is kept when it is accepted, so that no result counts twice; None where it comes from a test, which is a
        new guess.
    """

    student: str
    strand: str
    now: float | None
    suggested: float
    uncertainty: float
    reason: str
    learnt: Learnt | None = None


def suggestions(record: ClassRecord, strand: str | None = None) -> tuple[Suggestion, ...]:
    """What the results of games and tasks suggest, in the order of strands and students of the roster.

    Parameters
    ----------
    record : ClassRecord
    strand : str or None
        Just this one, and results that speak about no strand count for it; all strands that results speak about where
        it is None.

    Raises
    ------
    InputError
        There is no such strand, or it has no scale.
    """
    if strand is not None:
        return tuple(_of_strand(named(record, strand), strand))
    return tuple(suggestion for seen in strands_seen(record) for suggestion in _of_strand(record, seen))


def _of_strand(record: ClassRecord, strand: str) -> Iterator[Suggestion]:
    learning = learn(record, strand)
    if learning.through:
        for student in record.roster.active:
            yield from _of_student(learning, student)


def _of_student(learning: Learning, student: Student) -> Iterator[Suggestion]:
    guesses = learning.guesses
    ability, held = guesses.now(student.id), guesses.held(student.id)
    value, uncertainty = learning.value(ability), learning.uncertainty(ability)
    suggested = worth_suggesting(guesses.scale, held, value, uncertainty)
    if suggested is not None:
        learnt = Learnt(student.id, guesses.strand, guesses.guess(ability), suggested, learning.through, ability.since)
        reason = reason_for(learning, ability, suggested - held)
        yield Suggestion(
            student.id, guesses.strand, guesses.rating(student.id), suggested, uncertainty, reason, learnt
        )


def worth_suggesting(scale: Scale, held: float, value: float, uncertainty: float) -> float | None:
    """The rating to suggest in place of the one that is held, or None where the change is not worth it.

    Worth it is a change that a teacher would see, by half a step or more once it is rounded, and that is not small
    against how far the truth may be off.

    Examples
    --------
    >>> worth_suggesting(Scale(1, 5), 3, 3.7, 0.8), worth_suggesting(Scale(1, 5), 3, 3.2, 0.8)
    (3.5, None)
    """
    suggested = scale.rounded(value)
    seen = abs(suggested - held) >= min(scale.grain, scale.step / 2) * (1 - 1e-9)
    return suggested if seen and abs(value - held) >= WORTH * uncertainty else None


def accepted(record: ClassRecord, chosen: Iterable[Suggestion]) -> ClassRecord:
    """The record with these suggestions as ratings, and with the teacher's guess kept for what is learnt next.

    Where a strand was named for results that speak about none, accept into ``about.named(record, strand)``, so that
    they go on counting for it.
    """
    for suggestion in chosen:
        record = _with(record, suggestion)
    return record


def _with(record: ClassRecord, suggestion: Suggestion) -> ClassRecord:
    roster = _rated(_with_strand(record.roster, suggestion.strand), suggestion)
    record = replace(record, roster=roster)
    learnt = suggestion.learnt
    if learnt is None:
        return record
    others = [other for other in record.learnt if (other.student, other.strand) != (learnt.student, learnt.strand)]
    places = {student.id: place for place, student in enumerate(roster.students)}
    kept = sorted([*others, learnt], key=lambda each: (places.get(each.student, len(places)), each.strand))
    return replace(record, learnt=tuple(kept))


def _with_strand(roster: Roster, strand: str) -> Roster:
    return roster if strand in roster.strands else replace(roster, strands=(*roster.strands, strand))


def _rated(roster: Roster, suggestion: Suggestion) -> Roster:
    person = roster.by_id[suggestion.student]
    return roster.with_student(replace(person, ratings={**person.ratings, suggestion.strand: suggestion.suggested}))
