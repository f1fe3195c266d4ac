"""What the teacher's sheet says for a day without a device is what the tool does, and its rules keep every request.

Outside of the search that makes it: the sheet is read as a page and compared with what ``grouper absent`` writes to the
class file; what a rule makes of a round is counted here from the requests, without the sets that rules are tried on.
"""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from random import Random
from shutil import copy

import pytest

from grouper.faces.views.students import lesson_names
from grouper.files.store import ClassFile
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.unit import RoundKey
from grouper.planning.if_away import ASK, PAIR_UP, by_rule, foreseen
from tests.builders import class_of, pairs, quick

from .shell import grouper

LESSON = 1
ROW = re.compile(r"<tr><th scope=\"row\"><bdi>([^<]+)</bdi></th>((?:<td><bdi>[^<]+</bdi></td>)+)</tr>")
COLUMN = re.compile(r"<th scope=\"col\">Round (\d+)(?: to (\d+))?</th>")


@pytest.fixture(scope="module", params=["small", "odd", "hard"])
def demo(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The class file of an invented class with its plan, and the sheets of its first lesson beside it."""
    folder = tmp_path_factory.mktemp(request.param)
    grouper("demo", "--class", request.param, "--to", folder)
    return folder / f"demo-{request.param}.class"


def groups_of(record: ClassRecord) -> dict[int, dict[str, frozenset[str]]]:
    """The groups of the lesson's rounds by place in the lesson, by short names."""
    names = lesson_names(record, LESSON)
    return {
        place: {g.label: frozenset(names[s] for s in g.members) for g in record.plan.by_key[key].groups}
        for place, key in enumerate(record.lesson(LESSON).keys, start=1)
    }


def said_on(sheet: str) -> dict[str, dict[int, list[tuple[str, str]]]]:
    """What the sheet says: by who is away and by round, who goes to which group."""
    columns = [range(int(first), int(last or first) + 1) for first, last in COLUMN.findall(sheet)]
    said: dict[str, dict[int, list[tuple[str, str]]]] = {}
    for name, cells in ROW.findall(sheet):
        texts = re.findall(r"<bdi>([^<]+)</bdi>", cells)
        for rounds, text in zip(columns, texts, strict=True):
            moves = [tuple(move.split(" → ")) for move in text.split(", ")] if text != "–" else []
            said.setdefault(name, {}).update(dict.fromkeys(rounds, moves))  # type: ignore[misc]
    return said


def test_the_sheet_says_what_absent_does(demo: Path, tmp_path: Path) -> None:
    """For every student and every round: the groups after the moves on paper are those that the command makes."""
    record = ClassFile(demo).read().record
    names, before = lesson_names(record, LESSON), groups_of(record)
    said = said_on((demo.parent / "lesson-01-teacher.html").read_text(encoding="utf-8"))
    assert set(said) == set(names.values()) and len(said) == len(record.roster.students)
    file = tmp_path / "copy.class"
    for student, name in names.items():
        copy(demo, file)
        grouper("absent", file, "--lesson", LESSON, student)
        after = groups_of(ClassFile(file).read().record)
        assert set(said[name]) == set(after)
        for place, moves in said[name].items():
            moved = {label: set(members) - {name} for label, members in before[place].items()}
            for who, label in moves:
                for members in moved.values():
                    members.discard(who)
                moved[label].add(who)
            assert {label: members for label, members in moved.items() if members} == after[place], (name, place)


def kept(record: ClassRecord, key: RoundKey, groups: dict[str, set[str]]) -> bool:
    """Whether nobody is missing from their group twice, no request is broken and nobody is left alone."""
    own = {student: label for label, members in groups.items() for student in members}
    pairs_kept = all(
        (own[r.student] == own[r.other]) == (r.kind == "together")
        for r in record.requests
        if r.holds_in(key.lesson) and r.student in own and r.other in own
    )
    return pairs_kept and len(own) == sum(map(len, groups.values())) and min(map(len, groups.values())) > 1


def test_rules_for_two_and_three_keep_every_request(demo: Path) -> None:
    """All twos, and a hundred threes a round drawn anew: the rule keeps all requests, or says to ask."""
    record = ClassFile(demo).read().record
    for lesson in (1, 2):
        ahead = foreseen(record, lesson)
        for key in ahead.rounds:
            students, after = record.plan.by_key[key].students, by_rule(record, ahead, key)
            threes = [tuple(Random(n).sample(students, 3)) for n in range(100)]
            asked = 0
            for away in [*combinations(students, 2), *threes]:
                groups = after(away)
                asked += groups is None and len(away) == 2
                if groups is not None:
                    assert set(students) - set(away) == set().union(*groups.values())
                    assert kept(record, key, groups), (key, away)
            assert asked <= 6 or ahead.rules[key][0].kind == ASK


def by_hand(*requests: Request) -> ClassRecord:
    """Six in pairs ab, cd, ef."""
    record = quick(class_of(6, pairs()))
    key, names = record.unit.keys[0], [student.id for student in record.roster.students]
    made = tuple(Group(str(n), tuple(names[2 * n - 2 : 2 * n])) for n in (1, 2, 3))
    plan = record.plan.with_rounds({key: Round(key, made)})
    return replace(record, plan=plan, requests=requests)


def test_two_left_alone_pair_up() -> None:
    """Six in pairs: where one of each of two pairs is away, the two who are left work together."""
    record = by_hand()
    key, (a, b, c, d, e, f) = record.unit.keys[0], [student.id for student in record.roster.students]
    ahead = foreseen(record, 1)
    assert ahead.rules[key][0].kind == PAIR_UP
    assert by_rule(record, ahead, key)((b, d)) == {"1": {a, c}, "3": {e, f}}


def test_two_who_are_apart_do_not_pair_up() -> None:
    """The same where the two are to be kept apart: one joins the third pair, which leaves no place for the other."""
    record = by_hand()
    key, (a, b, c, d, *_) = record.unit.keys[0], [student.id for student in record.roster.students]
    record = replace(record, requests=(Request("apart", a, c),))
    ahead = foreseen(record, 1)
    groups = by_rule(record, ahead, key)((b, d))
    assert groups is None or not any({a, c} <= members for members in groups.values())
