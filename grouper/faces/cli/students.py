"""Which student a person means by what they type at the gym door."""

from __future__ import annotations

from grouper.errors import InputError
from grouper.files.names import students_named
from grouper.model.roster import Roster


def student_meant(roster: Roster, text: str) -> str:
    """The id of the student with this id, this name, or this name as it stands on the sheets; or a unique first name.

    Raises
    ------
    InputError
        Nobody, or more than one, is meant; the message lists who could be.
    """
    try:
        return roster.find(text).id
    except InputError as error:
        near = _by_short_name(roster, text) or [student.id for student in students_named(roster, text)]
        if len(near) == 1:
            return near[0]
        if not near:
            raise
        raise InputError(_which_of(roster, text, near)) from error


def _by_short_name(roster: Roster, text: str) -> list[str]:
    from grouper.faces.views.names import display_names, folded, full_name, given_name

    wanted = folded(" ".join(text.split()).rstrip("."))
    names = display_names(roster.active, roster.in_unit)
    numbered = [student.id for student in roster.active if folded(roster.name(student.id)) == wanted]
    shown = numbered or [student for student, name in names.items() if folded(name.rstrip(".")) == wanted]
    given = [student.id for student in roster.active if folded(given_name(full_name(student))) == wanted]
    return shown or given


def _which_of(roster: Roster, text: str, near: list[str]) -> str:
    could_be = " or ".join(f"{roster.name(student)} ({student})" for student in near)
    return f"'{text}' could be {could_be}; give the whole name, or the id"
