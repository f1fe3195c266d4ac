"""Every verb of the door before, while and after a lesson: done or refused in words, and undo takes it back."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from builders import class_of_eight, pairs, with_plan

from grouper.model.record import ClassRecord
from grouper.planning.adjust import taught
from grouper.planning.attend import absent

from .clients import NAME, House

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
