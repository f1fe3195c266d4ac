"""Cautions for the teacher: what to settle before the lesson, for activities that ask for care.

The tool organises people. It does not assess risk, and it defers to the school's policy and to qualified staff.
"""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.views.caution_guess import guess_cautions
from grouper.model.unit import Activity

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


def cautions_for(activity: Activity) -> tuple[Caution, ...]:
    """The cautions of an activity: the one it names, or those guessed from its name; none where it says ``none``."""
    keys = (activity.caution,) if activity.caution else guess_cautions(activity.name)
    return tuple(CAUTIONS_BY_KEY[key] for key in keys if key in CAUTIONS_BY_KEY)


def is_guessed(activity: Activity) -> bool:
    """Whether the activity's cautions, if it has any, come from its name."""
    return not activity.caution
