"""Every verb before, while and after a lesson: done or refused in words, and undo takes it back."""

from __future__ import annotations

import random
import re
from collections import Counter
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from builders import class_of_eight, pairs, quick, with_plan
from werkzeug.datastructures import MultiDict

from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.adjust import taught
from grouper.planning.attend import absent, join, leave
from grouper.planning.ran import next_unit

from .clients import NAME, House
from .forms import Form, forms_of
from .states import OF_A_CLASS

FIRST, SECOND = "ana ben | cem dia | eva fin | gil hana", "ana cem | ben dia | eva gil | fin hana"
DOOR = f"/c/{NAME}/lesson/1"
VERBS = {
    "away": ("/tap", {"tap": "away", "student": "ana"}),
    "late": ("/tap", {"tap": "late", "student": "ana"}),
    "aside": ("/tap", {"tap": "aside", "student": "ana", "role": "scorer"}),
    "back": ("/tap", {"tap": "away", "back": "hana"}),
    "apart": ("/tap", {"tap": "apart", "student": "ben", "first": "ana"}),
    "guest": ("/guest", {"guest": "Ida Neu"}),
    "swap": ("/swap", {"who": "2:ana", "first": "2:ben", "counts": "on", "sure": "yes"}),
    "pin": ("/pin", {"pin": "2"}),
    "court closed": ("/groups", {"activity": "Pairs", "groups": "3"}),
    "join": ("../../class/join", {"joined": "Ida Neu"}),
    "leave": ("../../class/leave", {"student": "ana"}),
    "request": ("../../requests", {"kind": "apart", "one": "ana", "other": "fin"}),
}
STATES = ("before", "while", "after")


def in_state(state: str) -> ClassRecord:
    """Two rounds of pairs twice; Hana is away from lesson 1, of which one round has begun, or which is over."""
    record = class_of_eight(pairs(rounds=2), lessons=2)
    record = with_plan(record, FIRST, SECOND, FIRST, SECOND)
    record = absent(record, 1, ("hana",)).record
    return taught(record, 1) if state == "after" else record


def house_in(folder: Path, state: str) -> House:
    """A page on that class; the screen has turned to the first round where the lesson is under way."""
    house = House(folder, in_state(state))
    if state == "while":
        house.student().get(f"/screen/{NAME}/1/rounds?round=1&window=one")
    return house


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("verb", VERBS)
def test_a_verb_is_done_or_refused_in_words(verb: str, state: str, tmp_path: Path) -> None:
    """What has begun or is over keeps its groups; a refusal changes nothing; what was done can be taken back whole."""
    house = house_in(tmp_path, state)
    teacher, before = house.teacher(), house.file.read().record
    path, fields = VERBS[verb]
    where = f"/c/{NAME}{path.removeprefix('../..')}" if path.startswith("..") else DOOR + path
    answer = teacher.post(where, house.form(**fields))
    after = house.file.read().record
    kept = {"before": 0, "while": 1, "after": 2}[state]
    assert after.plan.of_lesson(1)[:kept] == before.plan.of_lesson(1)[:kept]
    if answer.status_code in (200, 303):
        if house.file.read().record != before:
            teacher.post(f"/c/{NAME}/undo", house.form(version=house.file.read().version, sure="yes"))
        assert house.file.read().record == before
    else:
        assert answer.status_code in (400, 409) and after == before
        said = re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True))
        assert "Traceback" not in said and len(said.split()) > 5


@pytest.mark.parametrize("state", STATES)
def test_most_verbs_do_something_where_they_may(state: str, tmp_path: Path) -> None:
    """So that the test above cannot pass by refusing all: before a lesson verbs change the class, after it few do."""
    changed = set()
    for at, (verb, (path, fields)) in enumerate(VERBS.items()):
        folder = tmp_path / str(at)
        folder.mkdir()
        house = house_in(folder, state)
        before = house.file.read().record
        where = f"/c/{NAME}{path.removeprefix('../..')}" if path.startswith("..") else DOOR + path
        house.teacher().post(where, house.form(**fields))
        if house.file.read().record != before:
            changed.add(verb)
    assert changed >= ({"join", "leave", "request"} if state == "after" else set(VERBS) - {"court closed"})


@pytest.mark.parametrize("first", ["1:ana", "2:nobody", "9:ana", "ana"])
def test_the_door_without_groups_opens_whoever_was_tapped_first(first: str, tmp_path: Path) -> None:
    """As after going back to a page of before the lesson was changed, which has no groups any more."""
    house = House(tmp_path, class_of_eight(pairs(rounds=2), lessons=2))
    assert "no groups yet" in in_words(house.teacher().get(f"{DOOR}?hand=1&first={first}").get_data(as_text=True))


PEOPLE = ("ana", "cem", "dia")
"""Who is gone, back again, and called something else, in the classes whose every form is sent; Noah is new."""

THINGS = ("group", "round", "lesson", "student", "repeat", "point", "request", "name", "result", "game", "team", "slot")
NOT_SAID = re.compile(
    r"Traceback|fault of grouper|\bNone\b(?! has begun)|\b(True|False|nan)\b|[{}]|\w+_\w+|\(s\)"
    rf"|\b1 ({'|'.join(THINGS)})s\b"
)
"""What no page says to a teacher: words of the program, and one of several."""

PRESSED = 60


def with_comings_and_goings(record: ClassRecord) -> ClassRecord:
    """From the first open lesson on Ana is gone, Cem was gone and is back, Noah is new, and Dia has another name."""
    lesson = next(one.number for one in record.unit.lessons if one.number not in record.taught)
    gone, back, renamed = PEOPLE
    for student in (gone, back):
        record = leave(record, student, lesson).record
    record = join(record, record.roster.by_id[back], lesson).record
    record = join(record, Student("new-1", "Noah Neu"), lesson).record
    other = replace(record.roster.by_id[renamed], name="Deniz Anders")
    return replace(record, roster=record.roster.with_student(other))


def of_unit(unit: int, state: str) -> ClassRecord:
    """Pairs and a game in teams, three lessons; the first is open, under way or over, in the first or second unit."""
    game = Activity("Game", groups=2, minutes=12.0, aim="balanced", strand="passing")
    record = quick(class_of_eight(pairs(rounds=2, minutes=4.0), game, lessons=3))
    if unit == 2:
        lessons = tuple(Lesson(number, record.lesson(1).activities) for number in (1, 2, 3))
        record = quick(next_unit(taught(record, 1), Unit(lessons)).record)
    record = absent(record, 1, ("hana",)).record
    return with_comings_and_goings(taught(record, 1) if state == "after" else record)


@pytest.mark.parametrize("unit", [1, 2])
@pytest.mark.parametrize("state", STATES)
def test_every_form_of_every_screen_answers_in_words(state: str, unit: int, tmp_path: Path) -> None:
    """Forms as they stand, filled in by chance: no fault, no word of the program, and a refusal changes nothing."""
    house, draw = House(tmp_path, of_unit(unit, state)), random.Random(f"{state} {unit}")
    teacher, pressed = house.teacher(), Counter[str]()
    if state == "while":
        house.student().get(f"/screen/{NAME}/1/rounds?round=1&window=one")
    screens = [path.replace("lesson/2", "lesson/1").replace("lesson/4", "lesson/2") for path in OF_A_CLASS]
    for at in range(PRESSED):
        student = draw.choice([*PEOPLE, "new-1", "hana"])
        address = f"/c/{NAME}{screens[at % len(screens)].replace('H10', student)}"
        shown = teacher.get(address)
        assert shown.status_code < 500 and not NOT_SAID.search(said := in_words(shown.get_data(as_text=True))), said
        found = [form for form in forms_of(shown.get_data(as_text=True)) if not SLOW.search(form.action)]
        if not found:
            continue
        form = min(found, key=lambda one: (pressed[_kind(one)], draw.random()))
        pressed[_kind(form)] += 1
        before = house.file.read().record
        answer = teacher.post(form.action or address, MultiDict(form.filled_in(draw)))
        assert answer.status_code in (200, 303, 400, 409, 422), (form, answer.status_code)
        if answer.status_code >= 400:
            said = in_words(answer.get_data(as_text=True))
            assert not NOT_SAID.search(said) and house.file.read().record == before, (form, said)
    assert len(pressed) > 20


@pytest.mark.parametrize("said", ["tick the ratings to accept_these first", "1 students in None", "{name} is away"])
def test_words_of_the_program_are_noticed(said: str) -> None:
    """So that the test above cannot pass by reading nothing."""
    assert NOT_SAID.search(in_words(f"<p>{said}</p>"))
    assert not NOT_SAID.search(in_words("<p>None has begun, 1 to go</p>"))


SLOW = re.compile(r"/unit/plan$|/proof$")
"""Searches that go on beside, which have tests of their own."""


def _kind(form: Form) -> str:
    return re.sub(r"\d+", "N", form.action.rpartition(NAME)[2])


def in_words(page: str) -> str:
    """What a page says, with neither its tags nor what was typed into it."""
    page = re.sub(r"(?s)<(head|script|style|option|textarea).*?</\1>", " ", page)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())
