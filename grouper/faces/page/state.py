"""What the addresses of the page share while it runs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import isfinite, nan
from typing import TYPE_CHECKING, cast
from urllib.parse import quote

from flask import current_app, request

from grouper.errors import InputError
from grouper.faces.page.desk import Desk
from grouper.faces.page.keys import Keys
from grouper.faces.page.marks import Marks
from grouper.faces.page.phones import CLASS, sees
from grouper.faces.page.today import lesson_of_the_day
from grouper.files.store import Change
from grouper.model.record import ClassRecord

if TYPE_CHECKING:
    from grouper.faces.page.phone_site import PhoneSite

SOON = 60.0
"""Seconds in which a browser has gone on from one page to the next."""


@dataclass(frozen=True)
class State:
    """The desk, the keys of this run, the port, and the way for phones where there is one."""

    desk: Desk
    keys: Keys
    port: int
    phones: PhoneSite | None = None

    @property
    def screen_site(self) -> str:
        """The site of the students' screen."""
        return f"http://{self.keys.students.host}:{self.port}"

    def screen_key(self, name: str, lesson: int) -> str:
        """A key that opens the students' screen of a lesson, once and soon."""
        return self.keys.students.new_key(f"/screen/{quote(name, safe='')}/{lesson}", SOON)


@dataclass(frozen=True)
class OpenClass:
    """A class as one page shows it: one state of its file, with the change that led to it.

    ``here`` is the part of the page for the navigation. ``door`` is the lesson at whose door the page is, in sight of
    students, 0 for no door, and ``running`` the round that the screen shows there. ``veiled`` says that the page shows
    nothing about requests: at a door, and on a phone without leave. ``in_sight`` says that all may
    read the words of the last change; ``dropped`` is what it took from groups with other people now, and
    ``of_requests`` what it did to requests, for no door; ``undone`` is the change that was taken back and can be done
    again.
    """

    name: str
    record: ClassRecord
    version: str
    last: Change | None
    marks: Marks
    today: int | None
    here: str
    in_sight: bool
    door: int
    veiled: bool
    running: int
    dropped: tuple[str, ...]
    of_requests: tuple[str, ...]
    undone: Change | None

    @property
    def again(self) -> str:
        """The words of the change that can be done again, empty for none; at the door those that all may read."""
        if self.undone is None:
            return ""
        return "a change" if self.veiled and not desk().is_in_sight(self.name, self.undone) else self.undone.what

    @property
    def said(self) -> str:
        """The words of the last change; at the door, which students may see, only where they may."""
        if self.last is None:
            return ""
        return self.last.what if self.in_sight or not self.veiled else "a change"

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


def open_class(name: str, here: str, door: int = 0) -> OpenClass:
    """A class as it stands now (InputError where there is none); ``door`` is the lesson at whose door the page is."""
    found = desk().file(name).read()
    veiled = bool(door) or not sees(CLASS)
    return OpenClass(
        name,
        found.record,
        found.version,
        found.last,
        desk().marks(name, found.version),
        lesson_of_the_day(found.record, date.today()),
        here,
        desk().is_in_sight(name, found.last),
        door,
        veiled,
        desk().begun_round(name, found.record, door),
        desk().dropped_by(found.version, name),
        () if veiled else desk().of_requests(found.version, name),
        found.undone,
    )


def field(name: str) -> str:
    """A field of the form that was sent, empty where it is missing."""
    return " ".join(request.form.get(name, "").split())


def whole(name: str, otherwise: int) -> int:
    """A whole number of the form, or another one where it is missing or none."""
    text = field(name)
    return int(text) if text.isdecimal() and len(text) < 10 else otherwise


def minutes_of(name: str) -> float | None:
    """Minutes in a field of the form, None where it is empty (InputError where it is no number)."""
    text = field(name).replace(",", ".")
    try:
        minutes = float(text) if text else None
    except ValueError:
        minutes = nan
    if minutes is not None and not isfinite(minutes):
        raise InputError(f"'{text}' is no number of minutes; write one, or leave it empty")
    return minutes


def numbers_of(name: str) -> frozenset[int]:
    """The numbers that were ticked under a name."""
    return frozenset(int(text) for text in request.form.getlist(name) if text.isdecimal() and len(text) < 5)
