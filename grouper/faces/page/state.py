"""What the addresses of the page share while it runs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import cast

from flask import current_app, request

from grouper.faces.page.desk import Desk, last_change
from grouper.faces.page.keys import STUDENT_HOST, Keys
from grouper.faces.page.marks import Marks
from grouper.faces.page.today import lesson_of_the_day
from grouper.files.store import Change
from grouper.model.record import ClassRecord


@dataclass(frozen=True)
class State:
    """The desk, the keys of this run and the port."""

    desk: Desk
    keys: Keys
    port: int

    def screen_address(self, name: str, lesson: int) -> str:
        """Where the students' screen of a lesson is, key included."""
        from urllib.parse import quote

        return f"http://{STUDENT_HOST}:{self.port}/screen/{quote(name, safe='')}/{lesson}?key={self.keys.students}"


TODAY = "today"
"""The part of the page that is open in front of the class."""


@dataclass(frozen=True)
class OpenClass:
    """A class as one page shows it: one state of its file, with the change that led to it.

    ``here`` is the part of the page for the navigation.
    """

    name: str
    record: ClassRecord
    version: str
    last: Change | None
    marks: Marks
    today: int | None
    here: str
    in_sight: bool

    @property
    def said(self) -> str:
        """The words of the last change; on the pages of today, which students may see, only where they may."""
        if self.last is None:
            return ""
        return self.last.what if self.in_sight or self.here != TODAY else "a change"

    @property
    def title(self) -> str:
        """The name without the ending of the file."""
        return self.name.removesuffix(".class")

    @property
    def can_undo(self) -> bool:
        """Whether the last change can be taken back."""
        return self.last is not None and not self.last.lasting


def state() -> State:
    """The state of the app that answers now."""
    return cast(State, current_app.extensions["grouper"])


def desk() -> Desk:
    """The desk of the app that answers now."""
    return state().desk


def open_class(name: str, here: str) -> OpenClass:
    """A class as it stands now (InputError where there is none)."""
    file = desk().file(name)
    found = file.read()
    return OpenClass(
        name,
        found.record,
        found.version,
        last_change(file),
        desk().marks(name, found.version),
        lesson_of_the_day(found.record, date.today()),
        here,
        desk().is_in_sight(name, found.version),
    )


def field(name: str) -> str:
    """A field of the form that was sent, empty where it is missing."""
    return " ".join(request.form.get(name, "").split())


def whole(name: str, otherwise: int) -> int:
    """A whole number of the form, or another one where it is missing or none."""
    text = field(name)
    return int(text) if text.isdecimal() and len(text) < 10 else otherwise
