"""Cautions for the teacher: what to settle before the lesson, for activities that ask for care.

The tool organises people. It does not assess risk, and it defers to the school's policy and to qualified staff.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterator
from dataclasses import dataclass
from unicodedata import combining, normalize

from grouper.faces.views.names import name_order
from grouper.files.table import texts_of_words
from grouper.files.words.levers import kind_of_activity
from grouper.model.levers import Challenge
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity
from grouper.words import listed

_PATTERNS = {
    key: re.compile("|".join(f"(?<= )(?:{words})" for words in text.splitlines()))
    for key, text in texts_of_words("cautions").items()
}
"""What points to a caution, by its key; ``otherwise`` are names that hold such a word and mean something else."""


def guess_cautions(name: str) -> tuple[str, ...]:
    """Keys of the cautions that the name of an activity points to, in a fixed order.

    Examples
    --------
    >>> guess_cautions("Geräteturnen"), guess_cautions("Lancer de javelot"), guess_cautions("Tischtennis")
    (('gymnastics',), ('striking',), ())
    """
    bare = "".join(char for char in normalize("NFKD", name.casefold()) if not combining(char))
    # In small letters without accents, words between single blanks.
    plain = _PATTERNS["otherwise"].sub("", " ".join(["", *re.findall(r"[^\W_]+", bare), ""]))
    return tuple(key for key in CAUTIONS_BY_KEY if _PATTERNS[key].search(plain))


def caution_notes(record: ClassRecord, lesson: int, names: dict[str, str]) -> tuple[CautionNote, ...]:
    """A note for each kind of caution that an activity of the lesson has."""
    notes = []
    for caution in CAUTIONS_BY_KEY.values():
        activities = record.lesson(lesson).activities
        meant = {
            place: activity
            for place, activity in enumerate(activities, start=1)
            if caution in cautions_for(activity, record.challenge(activity.name))
        }
        if meant:
            every = tuple(activity.name for activity in meant.values())
            guessed = tuple(activity.name for activity in meant.values() if not activity.caution)
            notes.append(CautionNote(caution, every, guessed, tuple(_warnings(record, lesson, names, caution, meant))))
    return tuple(notes)


def _warnings(
    record: ClassRecord, lesson: int, names: dict[str, str], caution: Caution, places: Container[int]
) -> Iterator[str]:
    rounds = [round_ for round_ in record.plan.of_lesson(lesson) if round_.key.activity in places]
    groups = [group for round_ in rounds for group in round_.groups]
    if caution.key == "contact":
        grouped = {student for group in groups for student in group.members}
        without = [names[student] for student in grouped if not record.roster.by_id[student].size_band]
        if without:
            yield f"No size band is filled in for {listed(sorted(without, key=name_order))}."
    if caution.key == "swimming":
        alone = {names[group.members[0]] for group in groups if len(group.members) == 1}
        if alone:
            yield f"In a group of one in the water: {listed(sorted(alone, key=name_order))}. Put them with others."


DEFERS = "Your school's policy and qualified staff decide; this sheet only says who is with whom."


@dataclass(frozen=True)
class Caution:
    """One kind of care: its key in CAUTIONS of the unit, a title, and what to settle beforehand."""

    key: str
    title: str
    advice: tuple[str, ...]


@dataclass(frozen=True)
class CautionNote:
    """A caution as it concerns one lesson: for which activities, which of them were guessed from their name, and
    warnings that come from this lesson's groups."""

    caution: Caution
    activities: tuple[str, ...]
    guessed: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


CONTACT = Caution(
    "contact",
    "Contact",
    (
        "Look at the size bands in each group before it starts, and change a group that does not look right.",
        "Bands are for you alone. No weight is kept, and none is needed.",
    ),
)
GYMNASTICS = Caution(
    "gymnastics",
    "Gymnastics",
    ("Nobody here is named to support another student; whoever does so is chosen, taught and watched by you.",),
)
STRIKING = Caution(
    "striking",
    "Striking and throwing",
    (
        "Set the spacing, the direction of play and when to collect as your school does.",
        "No distance is given here, because it depends on the place and the equipment.",
    ),
)
SWIMMING = Caution(
    "swimming",
    "Swimming",
    (
        "Nobody swims alone: an odd class makes a group of three.",
        "Staff to swimmers, depth and rescue cover are for you to fill in and for your pool's rules to fix.",
    ),
)

CAUTIONS_BY_KEY = {caution.key: caution for caution in (CONTACT, GYMNASTICS, STRIKING, SWIMMING)}


OF_KINDS = {
    "Throwing and catching": "striking",
    "Striking": "striking",
    "Target game": "striking",
    "Balance": "gymnastics",
}
"""The cautions of kinds of activity whose levers come along (common practice, no source)."""


def cautions_for(activity: Activity, challenge: Challenge | None = None) -> tuple[Caution, ...]:
    """The cautions of an activity: the one it names, or those guessed; none where it says ``none``.

    They are guessed from its name and from what its levers ask for: who throws at a target or swings a bat does so
    whatever the activity is called.
    """
    keys = (activity.caution,) if activity.caution else guess_cautions(activity.name)
    if not activity.caution and challenge and challenge.levers:
        by_kind = OF_KINDS.get(kind_of_activity(activity.name), "")
        items = (needed.item for setting in challenge.all_settings for needed in setting.needs)
        told = (*(setting.shown for setting in challenge.all_settings), *items)
        keys = (*keys, by_kind, *guess_cautions(" 0 ".join(told)))
    return tuple(caution for key, caution in CAUTIONS_BY_KEY.items() if key in keys)
