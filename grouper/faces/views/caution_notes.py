"""The cautions of one lesson, with warnings that follow from its groups."""

from __future__ import annotations

from grouper.faces.views.cautions import CAUTIONS_BY_KEY, Caution, CautionNote, cautions_for, is_guessed
from grouper.faces.views.ordering import name_order
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity
from grouper.words import listed


def caution_notes(record: ClassRecord, lesson: int, names: dict[str, str]) -> tuple[CautionNote, ...]:
    """A note for each kind of caution that an activity of the lesson has."""
    notes = (_note(record, lesson, names, caution) for caution in CAUTIONS_BY_KEY.values())
    return tuple(note for note in notes if note.activities)


def _note(record: ClassRecord, lesson: int, names: dict[str, str], caution: Caution) -> CautionNote:
    places = _places(record, lesson, caution)
    activities = [record.lesson(lesson).activities[place - 1] for place in places]
    return CautionNote(
        caution,
        tuple(activity.name for activity in activities),
        tuple(activity.name for activity in activities if is_guessed(activity)),
        _warnings(record, lesson, names, caution, places),
    )


def _places(record: ClassRecord, lesson: int, caution: Caution) -> tuple[int, ...]:
    """Which activities of the lesson, counted from 1, have the caution."""
    activities: tuple[Activity, ...] = record.lesson(lesson).activities
    return tuple(place for place, activity in enumerate(activities, 1) if caution in cautions_for(activity))


def _warnings(
    record: ClassRecord, lesson: int, names: dict[str, str], caution: Caution, places: tuple[int, ...]
) -> tuple[str, ...]:
    rounds = [round_ for round_ in record.plan.of_lesson(lesson) if round_.key.activity in places]
    groups = [group for round_ in rounds for group in round_.groups]
    if caution.key == "contact":
        grouped = {student for group in groups for student in group.members}
        without = [names[student] for student in grouped if not record.roster.by_id[student].size_band]
        return _size_band_warning(sorted(without, key=name_order))
    if caution.key == "swimming":
        alone = {names[group.members[0]] for group in groups if len(group.members) == 1}
        return _alone_warning(sorted(alone, key=name_order))
    return ()


def _size_band_warning(names: list[str]) -> tuple[str, ...]:
    return (f"No size band is filled in for {listed(names)}.",) if names else ()


def _alone_warning(names: list[str]) -> tuple[str, ...]:
    return (f"In a group of one in the water: {listed(names)}. Put them with others.",) if names else ()
