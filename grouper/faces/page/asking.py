"""Asking before something is lost: the page says what it would be, and the same form is sent again with a yes."""

from __future__ import annotations

from collections.abc import Iterable

from flask import request

from grouper.errors import InputError
from grouper.faces.page.desk import Verb
from grouper.faces.page.remedies import said_here
from grouper.model.record import ClassRecord
from grouper.planning.attend import namesakes
from grouper.planning.noting import dropped

SURE = "sure"
"""The field of a form that says yes."""


class AskFirst(InputError):
    """Nothing was done: ``lines`` say what would be lost, ``yes`` is the word on the button that does it.

    ``other`` is the word on a second button, for another way to do it; empty for none.
    """

    def __init__(self, question: str, lines: Iterable[str], yes: str, other: str = "") -> None:
        super().__init__(question)
        self.lines = tuple(lines)
        self.yes = yes
        self.other = other


def is_sure() -> bool:
    """Whether the form that was sent says yes."""
    return request.form.get(SURE) == "yes"


def wants_other() -> bool:
    """Whether the form that was sent chooses the second way that was offered."""
    return request.form.get(SURE) == "other"


def ask_about_namesake(record: ClassRecord, name: str, student: str = "") -> None:
    """Ask where somebody in the class has this name, but for one student (id); two of one name may well be meant."""
    here = next((s for s in namesakes(record, name, student) if not s.archived), None)
    if here is None or is_sure():
        return
    raise AskFirst(
        f"{here.name} is in the class already. Two of one name get a number each, such as (1) and (2); a name that "
        "tells them apart is better.",
        (),
        "It is somebody else of that name",
    )


def asking_for_losses(verb: Verb) -> Verb:
    """The verb, which asks first where something noted, pinned or said of who is away would be lost."""

    def asked(record: ClassRecord) -> tuple[ClassRecord, str]:
        after, what = verb(record)
        lost = said_here(dropped(record, after))
        if lost and not is_sure():
            raise AskFirst("Some of what you have noted would be lost.", lost, "Change it all the same")
        return after, what

    return asked
