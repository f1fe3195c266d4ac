"""Standing adaptations: kept in every task of the child, told to the teacher, shown as nothing but the task."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from grouper.errors import InputError, require
from grouper.games.circuits import replan_circuit
from grouper.games.days.groups import is_stale, members_of
from grouper.model.levers import Adaptation, Challenge, Setting
from grouper.model.play import Event
from grouper.model.record import ClassRecord

_LITTLE = frozenset(["a", "an", "and", "at", "in", "of", "on", "one's", "or", "the", "their", "to", "with"])


def adapted(record: ClassRecord, new: Iterable[Adaptation]) -> ClassRecord:
    """The record with adaptations added.

    Raises
    ------
    InputError
        Nobody in the class has the id, or one thing would be kept always and never.
    """
    added = tuple(new)
    kept = dict.fromkeys((*record.adaptations, *added))
    said = {(one.student, one.kind, one.what.casefold()) for one in kept}
    for one in added:
        known = one.student in record.roster.by_id
        require(known, "no student '{student}' in this class", "see the roster", student=one.student)
        other = {"always": "never", "never": "always"}.get(one.kind, "")
        clash, name = (one.student, other, one.what.casefold()) in said, record.roster.name(one.student)
        both = "'{what}' cannot be kept always and never for {name}"
        require(not clash, both, "take one of the two off", what=one.what, name=name)
    # In the order of the roster; of somebody who is on none any more, at the end.
    places = {student.id: place for place, student in enumerate(record.roster.students)}
    return replace(record, adaptations=tuple(sorted(kept, key=lambda one: (places.get(one.student, len(places)), one))))


def not_adapted(record: ClassRecord, student: str, what: str = "") -> ClassRecord:
    """The record without what is kept for a student, or without this one of it (InputError where there is none)."""
    own = [one for one in record.adaptations if one.student == student]
    gone = [one for one in own if what.casefold() in ("", one.what.casefold())]
    if not gone:
        kept, name = ", ".join(f"{one.kind} {one.what}" for one in own), record.roster.name(student)
        require(bool(own), "nothing is kept for {name}", name=name)
        raise InputError("'{what}' is not kept for {name}", "there is {kept}", what=what, name=name, kept=kept)
    return replace(record, adaptations=tuple(one for one in record.adaptations if one not in gone))


def allowed_for(record: ClassRecord, challenge: Challenge, members: Sequence[str]) -> Callable[[int, int], bool] | None:
    """Whether a setting (lever from 0, place from 1) is right for all of these; None where they can have any."""
    kept = [one for one in record.adaptations if one.student in members]
    barred = {
        (number, place)
        for number, lever in enumerate(challenge.levers)
        for one in kept
        for place in _barred(one, lever.settings)
    }
    return (lambda lever, place: (lever, place) not in barred) if barred else None


def _barred(one: Adaptation, settings: Sequence[Setting]) -> list[int]:
    """The places of settings that an adaptation bars; what is always kept bars the others of a lever that has it."""
    meant = [place for place, setting in enumerate(settings, start=1) if is_meant(one.what, setting)]
    if one.kind == "always" and meant:
        return [place for place in range(1, len(settings) + 1) if place not in meant]
    return meant if one.kind == "never" else []


def is_meant(what: str, setting: Setting) -> bool:
    """Whether a teacher who says this means the setting: all its words stand in the name or in what students read.

    Examples
    --------
    >>> ball = Setting("large", "large soft ball")
    >>> is_meant("the large ball", ball), is_meant("small ball", ball), is_meant("no hopping", Setting("hop"))
    (True, False, False)
    """
    words = _words(what)
    return bool(words) and any(
        all(any(_alike(word, there) for there in _words(text)) for word in words)
        for text in (setting.name, setting.words, f"{setting.name} {setting.words}")
    )


def _words(text: str) -> list[str]:
    return [word for word in re.findall(r"\w+", text.casefold()) if word not in _LITTLE]


def _alike(one: str, other: str) -> bool:
    """Two forms of a word: 'hop' and 'hopping', 'ball' and 'balls'."""
    # The words of most languages change at their end; four letters of it at most, and three are the least to go by.
    shared = next((n for n, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))
    return one == other or shared >= max(3, max(len(one), len(other)) - 4)


def also_for(record: ClassRecord, members: Sequence[str]) -> tuple[str, ...]:
    """Words that go with every task of these, each once."""
    said = (one.what for one in record.adaptations if one.student in members and one.kind == "also")
    return tuple(dict.fromkeys(f"{words[:1].upper()}{words[1:]}".rstrip(".") for words in said))


def bears_on(one: Adaptation, challenge: Challenge) -> bool:
    """Whether an adaptation changes anything about the tasks of an activity."""
    return one.kind == "also" or any(_barred(one, lever.settings) for lever in challenge.levers)


def visits_kept_from(record: ClassRecord, event: Event) -> frozenset[tuple[int, int]]:
    """Groups and stations, by number, that one of the group is not to be at; none for games."""
    members = members_of(record, event)
    return frozenset(
        (group, place)
        for place, name in enumerate(() if event.is_games else event.places, start=1)
        for student in kept_from(record, name, place)
        for group, there in enumerate(members, start=1)
        if student in there
    )


def rotations_kept(record: ClassRecord, before: ClassRecord) -> ClassRecord:
    """The record whose rotations go round stations that somebody is kept from again, where a change of groups since
    ``before`` has brought them there; not of lessons that have begun, and not with other groups than planned for."""
    for event in record.events:
        if event.is_games or record.begun_in(event.lesson) or event.lesson in record.taught:
            continue
        barred = visits_kept_from(record, event)
        if barred == visits_kept_from(before, event) or is_stale(record, event):
            continue
        if any((group, one.place) in barred for one in event.assignments for group in one.teams):
            record = record.with_event(replan_circuit(event, event.played, event.setback, barred))
    return record


def kept_from(record: ClassRecord, station: str, number: int) -> tuple[str, ...]:
    """Those (ids) who are not to be at a station, by its number or a word of its name."""
    return tuple(one.student for one in record.adaptations if _is_of(one, station, number))


def _is_of(one: Adaptation, station: str, number: int) -> bool:
    said = one.what.casefold().removeprefix("station").strip()
    return one.kind == "not at" and (said == str(number) or is_meant(one.what, Setting(station or str(number))))


def bears_on_a_station(one: Adaptation, record: ClassRecord) -> bool:
    """Whether any rotation of the unit has the station that somebody is kept from."""
    circuits = (event.places for event in record.events if not event.is_games)
    return any(_is_of(one, name, number) for places in circuits for number, name in enumerate(places, start=1))
