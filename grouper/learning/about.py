"""Which strand a result speaks about: that of its activity, or the one that the teacher names."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from grouper.games.days.groups import goes_with
from grouper.model.play import Event
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey, Unit


def strand_of(record: ClassRecord, key: RoundKey) -> str:
    """The strand of a round's activity; groups that stay have that of the activity they were made for. Or none."""
    rounds = record.unit.keys
    for earlier in reversed(rounds[: rounds.index(key) + 1]):
        activity = record.unit.activity(earlier)
        if activity.strand or activity.aim != "stay":
            return activity.strand
    return ""


def events_played(record: ClassRecord) -> Iterator[tuple[Event, RoundKey]]:
    """The games with results, each with its round, where it is known who played.

    A score knows who was in the two teams; those that were entered before that was kept tell of the groups of today, as
    long as these have the same labels.
    """
    for event in record.games:
        round_ = record.round_of(event)
        known = round_ and (goes_with(round_, event) or any(game.lineup for game in event.scored))
        # Who plays for an own best, or all for one total, does not play against the others.
        if event.scored and round_ and known and record.is_ranked(event.activity):
            yield event, round_.key


def lessons_outdated(record: ClassRecord) -> tuple[int, ...]:
    """The lessons with scores of teams that are not there any more, and of which nobody knows who played in them."""
    count = {event.key for event, _ in events_played(record)}
    ranked = (event for event in record.games if event.scored and record.is_ranked(event.activity))
    return tuple(sorted({event.lesson for event in ranked if event.key not in count}))


def rounds_seen(record: ClassRecord) -> list[RoundKey]:
    """The rounds that have results of games or of tasks, in the order of play."""
    tasks = {one.key for one in record.results if one.tells_of_ability and one.key in record.plan.by_key}
    return sorted({key for _, key in events_played(record)} | {key for key in tasks if key in record.unit.keys})


def strands_seen(record: ClassRecord) -> tuple[str, ...]:
    """The strands that results speak about, in the order of the roster."""
    seen = {strand_of(record, key) for key in rounds_seen(record)}
    return tuple(strand for strand in record.roster.strands if strand in seen)


def without_strand(record: ClassRecord) -> tuple[RoundKey, ...]:
    """The rounds with results that speak about no strand yet."""
    return tuple(key for key in rounds_seen(record) if not strand_of(record, key))


def named(record: ClassRecord, strand: str) -> ClassRecord:
    """The record in which results that speak about no strand speak about this one: their activities get it.

    Raises
    ------
    InputError
        The class has no such strand.
    """
    record.roster.check_strand(strand)
    places = {(key.lesson, key.activity) for key in without_strand(record)}
    lessons = []
    for lesson in record.unit.lessons:
        activities = tuple(
            replace(activity, strand=strand) if (lesson.number, place) in places else activity
            for place, activity in enumerate(lesson.activities, start=1)
        )
        lessons.append(replace(lesson, activities=activities))
    return replace(record, unit=Unit(tuple(lessons)))
