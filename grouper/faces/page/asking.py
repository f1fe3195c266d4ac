"""Asking before something is lost: the page says what it would be, and the same form is sent again with a yes."""

from __future__ import annotations

from collections.abc import Iterable

from flask import request

from grouper.errors import InputError
from grouper.faces.page.desk import Verb
from grouper.model.record import ClassRecord
from grouper.planning.noting import dropped

SURE = "sure"
"""The field of a form that says yes."""


class AskFirst(InputError):
    """Nothing was done: ``lines`` say what would be lost, ``yes`` is the word on the button that does it."""

    def __init__(self, question: str, lines: Iterable[str], yes: str) -> None:
        super().__init__(question)
        self.lines = tuple(lines)
        self.yes = yes


def is_sure() -> bool:
    """Whether the form that was sent says yes."""
    return request.form.get(SURE) == "yes"


def asking_for_losses(verb: Verb) -> Verb:
    """The verb, which asks first where something noted, pinned or said of who is away would be lost."""

    def asked(record: ClassRecord) -> tuple[ClassRecord, str]:
        after, what = verb(record)
        lost = tuple(dropped(record, after))
        if lost and not is_sure():
            raise AskFirst("Some of what you have noted would be lost.", lost, "Change it all the same")
        return after, what

    return asked
