"""What can be done about what went wrong, in the buttons and links of the page."""

from __future__ import annotations

from collections.abc import Iterable

from flask import request

from grouper.errors import GrouperError, ImpossibleError
from grouper.faces.page.phones import CLASS, sees
from grouper.faces.wording.telling import Telling, all_told, telling
from grouper.words import Remedy, Said

BUTTONS = {
    Remedy.MAKE_GROUPS: "plan the unit first",
    Remedy.MAKE_CLASS: "choose another class",
    Remedy.NAME_LESSONS: "add a lesson first, or read the lessons from a file",
    Remedy.CHANGE_LESSONS: "change its lessons instead, on the page of the unit",
    Remedy.DATE_LESSONS: "give each lesson a date",
    Remedy.SEE_GROUPS: "look at them under 'Groups'",
    Remedy.CHOOSE_ROUND: "choose one",
    Remedy.SAY_WHERE_IT_ENDED: "say under 'After the lesson' in which round it ended",
    Remedy.ADD_ROUNDS_OR_END: "add them, or say in which round the lesson ended",
    Remedy.CLOSE_LESSON: "leave what has begun as it is, or close the lesson first, after round {last}",
    Remedy.PUT_REST: "put it into another lesson under 'After the lesson'",
    Remedy.PLAN_LESSONS: "plan the unit again to make its groups",
    Remedy.TAKE_BACK: "take that back with 'Undo'",
    Remedy.SAME_STUDENT: "if they are one student, write the name here as it was before",
    Remedy.WHO_IS_WHO: "say which under 'Who is who?'",
    Remedy.RESTORE_COPY: "close this page, and put your last copy of the file in its place",
    Remedy.GIVE_CLASS_FILE: "choose another class",
    Remedy.SEE_TEMPLATE: "add it",
    Remedy.ADD_HEADERS: "put a row above them that says what each column is, such as 'name'",
    Remedy.SEE_LADDERS: "a row has an activity, a lever, a setting, its order from 1 on, and words",
    Remedy.GIVE_TASKS: "set some up under 'Tasks'",
    Remedy.CHOOSE_STRAND: "choose one under 'By rating'",
    Remedy.PLAN_GAMES: "plan them under 'Games'",
    Remedy.PLAN_STATIONS: "plan them under 'Stations'",
    Remedy.PLAN_REST: "'Plan the rest again' keeps them",
    Remedy.SAY_SLOTS_OVER: "choose after which one play goes on",
    Remedy.SAY_SLOTS_LEFT: "give the minutes of a slot first",
    Remedy.CHOOSE_SLOT: "choose slot {slots:or}",
    Remedy.CORRECT_OR_OPEN: "correct how it went under 'After the lesson', or open it again there",
    Remedy.CHOOSE_KIND: "choose a kind for each",
    Remedy.CHOOSE_CLASS: "say which one",
    Remedy.INSTALL_PHONE: "ask whoever installed grouper to add what phones need",
    Remedy.ANY_PORT: "choose another port",
}

DOORS = ("door", "by_hand")
"""The addresses that students may look at."""


def sentences(error: GrouperError) -> list[str]:
    """What went wrong first, then what belongs to it; at the door, which students may look at, nothing of a request."""
    tells = telling(error, BUTTONS)
    if isinstance(error, ImpossibleError) and (request.blueprint in DOORS or not sees(CLASS)):
        # Who is to be apart from whom is nobody's business but the teacher's.
        hint = "A request does not allow it; requests are listed under Class."
        tells = Telling(tells.first, (), (hint, *tells.standing[-1:]))
    return [tells.first, *tells.items, *([" ".join(tells.standing)] if tells.standing else [])]


def said_here(said: Iterable[Said]) -> list[str]:
    """What a verb said, for the page."""
    return list(all_told(said, BUTTONS))
