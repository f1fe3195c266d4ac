"""What the screens share while the page runs: the class that is open, the fields of a form, what the form was about.

A group is known by its label alone, and a lesson by its number: after a new plan, or in the next unit, the same words
mean others. So forms carry a mark of what the page showed, and a tap from a page that is out of date is refused rather
than saved for whoever is there now. Before something is lost the page says what, and the same form is sent again with a
yes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from itertools import count
from typing import TYPE_CHECKING, Any, cast
from urllib.parse import parse_qsl, quote

from flask import current_app, redirect, request, url_for
from werkzeug.wrappers import Response

from grouper.errors import GrouperError, InputError, InUseError
from grouper.faces.page.desk import Desk, Done, Touched, Verb
from grouper.faces.page.keys import Keys
from grouper.faces.page.phones import CLASS, sees
from grouper.faces.page.reading import handed
from grouper.faces.page.remedies import said_here, sentences
from grouper.files.cells import number
from grouper.files.opening import Given
from grouper.files.store import Change
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.attend import namesakes
from grouper.planning.noting import dropped
from grouper.tasks.rounds import challenge_for, tasks_of_round

if TYPE_CHECKING:
    from grouper.faces.page.phone_site import PhoneSite


def lesson_of_the_day(record: ClassRecord, today: date) -> int | None:
    """The lesson of today, else the next one that has not been taught, else the last; None without any.

    A lesson of today that has been taught already gives way to another of today.
    """
    lessons = record.unit.lessons
    if not lessons:
        return None
    of_today = [lesson.number for lesson in lessons if lesson.date == today.isoformat()]
    still_open = [lesson.number for lesson in lessons if lesson.number not in record.taught]
    for choice in ([n for n in of_today if n in still_open], of_today, still_open):
        if choice:
            return choice[0]
    return lessons[-1].number


def unit_mark(record: ClassRecord) -> str:
    """Which of the class's units it is."""
    return str(max((round_.unit for round_ in record.past), default=0) + 1)


def round_marks(record: ClassRecord, lesson: int) -> dict[int, str]:
    """The unit, and who is in which group, for each round of a lesson by its place."""
    marks = {}
    for round_ in record.plan.of_lesson(lesson):
        groups = [(group.label, sorted(group.members)) for group in round_.groups]
        made = sha256(repr(groups).encode()).hexdigest()[:12]
        marks[record.place_in_lesson(round_.key)] = f"{unit_mark(record)}-{made}"
    return marks


def task_mark(record: ClassRecord, lesson: int, place: int) -> str:
    """The mark of a round, and which tasks stand on its cards."""
    keys = record.lesson(lesson).keys
    key = keys[place - 1] if 1 <= place <= len(keys) else None
    levers = challenge_for(record, key) if key else None
    tasks = sorted((label, task.at) for label, task in tasks_of_round(record, key).items()) if key else []
    return f"{round_marks(record, lesson).get(place, '')}-{sha256(repr((levers, tasks)).encode()).hexdigest()[:12]}"


def lesson_mark(record: ClassRecord, lesson: int) -> str:
    """The same of all rounds together."""
    return " ".join(round_marks(record, lesson).values())


def check_as_shown(now: str, shown: str) -> None:
    """Raise InUseError where the page showed something else than there is now."""
    if shown != now:
        raise InUseError("this page is out of date, so nothing was saved; load it again")


Refused = tuple[tuple[int, str], ...]
"""Taps that were not taken: their place in line, from 1, and why."""

MOST = 500
"""Taps in one request; the rest is refused, as no hand makes so many while one answer is under way."""


LONGEST_NAME = 60


def each_tap(change: Callable[[Mapping[str, str]], None]) -> Refused:
    """Carry out the taps of a request in their order, each with its own fields; one that is refused stops no other."""
    refused = []
    for place, tap in enumerate(request.form.getlist("taps"), start=1):
        if place > MOST:
            refused.append((place, "too many taps at once; tap this one again"))
            continue
        fields = dict(parse_qsl(tap, keep_blank_values=True))
        once = fields.get("once", "")[:LONGEST_NAME]
        why = _once(once, change, fields) if once else _carried_out(change, fields)
        if why:
            refused.append((place, why))
    return tuple(refused)


def _once(name: str, change: Callable[[Mapping[str, str]], None], fields: Mapping[str, str]) -> str:
    """A tap whose answer was lost or late comes again under its name: it waits for the first, and counts once."""
    return desk().taps_done.change(name, lambda why: _carried_out(change, fields) if why is None else why)


def _carried_out(change: Callable[[Mapping[str, str]], None], fields: Mapping[str, str]) -> str:
    """Why a tap was not taken, empty where it was."""
    try:
        change(fields)
    except GrouperError as error:
        return " ".join(sentences(error))
    return ""


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
        return f"http://{self.keys.students.host}:{self.port}"

    def screen_key(self, name: str, lesson: int) -> str:
        """A key that opens the students' screen of a lesson, once and soon."""
        return self.keys.students.new_key(f"/screen/{quote(name, safe='')}/{lesson}", SOON)


@dataclass(frozen=True)
class OpenClass:
    """A class as one page shows it: one state of its file, with the change that led to it and what that touched.

    ``here`` is the part of the page for the navigation. ``door`` is the lesson at whose door the page is, in sight of
    students, 0 for no door, and ``running`` the round that the screen shows there. ``veiled`` says that the page shows
    nothing about requests: at a door, and on a phone without leave. ``news`` is what the class file had to tell by
    itself; ``undone`` is the change that was taken back and can be done again.
    """

    name: str
    record: ClassRecord
    version: str
    last: Change | None
    undone: Change | None
    touched: Touched
    today: int | None
    here: str
    door: int
    veiled: bool
    running: int
    news: tuple[str, ...]

    def _words(self, change: Change | None) -> str:
        """The words of a change, empty for none; at the door, which students may see, only where all may read them."""
        if change is None:
            return ""
        return change.what if not self.veiled or desk().is_in_sight(self.name, change) else "a change"

    @property
    def said(self) -> str:
        return self._words(self.last)

    @property
    def again(self) -> str:
        return self._words(self.undone)

    @property
    def title(self) -> str:
        return self.name.removesuffix(".class")

    @property
    def can_undo(self) -> bool:
        return self.last is not None and not self.last.lasting

    @property
    def of_requests(self) -> tuple[str, ...]:
        """What the last change did to requests, for no door."""
        return () if self.veiled else self.touched.of_requests


def state() -> State:
    return cast(State, current_app.extensions["grouper"])


def desk() -> Desk:
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
        found.undone,
        desk().touched(name, found.version),
        lesson_of_the_day(found.record, date.today()),
        here,
        door,
        veiled,
        desk().begun_round(name, found.record, door),
        () if veiled else desk().news(name),
    )


def see(endpoint: str, **where: Any) -> Response:
    """On to a page, which is asked for anew, so that loading it again sends nothing twice; what is empty is left out of
    its address."""
    return redirect(url_for(endpoint, **{key: value for key, value in where.items() if value not in ("", None)}), 303)


def change(
    then: str,
    name: str,
    verb: Verb,
    mark: Callable[[ClassRecord], str] | None = None,
    in_sight: bool = False,
    at_door: bool = False,
    **where: Any,
) -> Response:
    """Run a verb on a class, and go on to the page ``then`` of it; ``in_sight`` and ``at_door`` are those of the desk.

    With ``mark`` the verb is run only where the form was about what is there now.
    """

    def checked(record: ClassRecord) -> Done:
        if mark is not None:
            check_as_shown(mark(record), field("shown"))
        return verb(record)

    desk().change(name, checked, in_sight, at_door)
    return see(then, name=name, **where)


def field(name: str) -> str:
    """A field of the form that was sent, empty where it is missing."""
    return " ".join(request.form.get(name, "").split())


def file_sent(what: str) -> Given:
    """The file of the form; ``what`` says what was to be chosen (InputError where nothing was)."""
    sent = request.files.get("file")
    if sent is None or not sent.filename:
        raise InputError("choose {what} first", what=what)
    return handed(sent.filename, sent.read())


def whole(name: str, otherwise: int) -> int:
    """A whole number of the form, or another one where it is missing or none."""
    text = field(name)
    return int(text) if text.isdecimal() and len(text) < 10 else otherwise


def minutes_of(name: str) -> float | None:
    """Minutes in a field of the form, None where it is empty (InputError where it is no number)."""
    text = field(name)
    minutes = number(text)
    if text and minutes is None:
        raise InputError("'{text}' is no number of minutes", "write one, or leave it empty", text=text)
    return minutes


def numbers_of(name: str) -> frozenset[int]:
    """The numbers that were ticked under a name."""
    return frozenset(int(text) for text in request.form.getlist(name) if text.isdecimal() and len(text) < 5)


def known(record: ClassRecord, student: str) -> Student:
    """The student with this id (InputError where there is none)."""
    if student not in record.roster.by_id:
        raise InputError("this student is no longer in the class; load the page again")
    return record.roster.by_id[student]


def new_id(record: ClassRecord, kind: str) -> str:
    """An id that nobody in the class has."""
    return next(made for number in count(1) if (made := f"{kind}-{number}") not in record.roster.by_id)


SURE = "sure"
"""The field of a form that says yes."""


class AskFirst(InputError):
    """Nothing was done: ``lines`` say what would be lost, ``yes`` is the word on the button that does it.

    ``other`` is the word on a second button, for another way to do it; empty for none. The question has places for
    ``facts``, as all errors have.
    """

    def __init__(self, question: str, lines: Iterable[str], yes: str, other: str = "", **facts: Any) -> None:
        super().__init__(question, **facts)
        self.lines = tuple(lines)
        self.yes = yes
        self.other = other


def is_sure() -> bool:
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
        "{name} is in the class already. Two of one name get a number each, such as (1) and (2); a name that "
        "tells them apart is better.",
        (),
        "It is somebody else of that name",
        name=here.name,
    )


def asking_for_losses(verb: Verb) -> Verb:
    """The verb, which asks first where something noted, pinned or said of who is away would be lost."""

    def asked(record: ClassRecord) -> Done:
        after, what = verb(record)
        lost = said_here(dropped(record, after))
        if lost and not is_sure():
            raise AskFirst("Some of what you have noted would be lost.", lost, "Change it all the same")
        return after, what

    return asked
