"""A class for its next teacher: who worked with whom, and nothing that was thought or happened besides."""

from __future__ import annotations

import struct
from dataclasses import replace
from pathlib import Path

import pytest

from grouper.files.store import ClassFile
from grouper.model.ledger import earlier_of
from grouper.model.record import ClassRecord
from grouper.model.unit import Lesson, Unit
from grouper.planning.ran import next_unit
from grouper.privacy.less import handed_over
from tests.builders import count_pairs, pairs
from tests.cli.shell import grouper
from tests.sheets.examples import planned

from .classes import invented_class, met_in

LEFT_BEHIND = (
    "throwing",
    "quarrelled",
    "tired",
    "小明很好",
    "loud",
    "sprained",
    "ankle",
    "Team Amina",
    "apart",
    "easy",
)


def handed(tmp_path: Path, record: ClassRecord, *options: str) -> ClassFile:
    """The file that the command makes from a class file."""
    old = ClassFile(tmp_path / "7b.class")
    old.create(record, "absent: Chloé Dubois")
    grouper("handover", old.path, "--to", tmp_path / "8b.class", *options)
    return ClassFile(tmp_path / "8b.class")


def test_who_met_whom_comes_along(record: ClassRecord) -> None:
    """The rounds taught and the earlier unit, pair by pair, counted anew."""
    taught = [r for r in record.plan.rounds if r.key.lesson in record.taught]
    new = handed_over(record)
    counted = count_pairs([*(p.as_round for p in record.past), *taught])
    assert met_in(tuple(past.as_round for past in new.past)) == counted
    assert [past.unit for past in new.past] == [1] + [2] * len(taught)


def test_the_next_unit_counts_it_as_if_the_teacher_had_stayed(record: ClassRecord) -> None:
    """Meetings, trios and coach turns fade as they do where a class goes on with its teacher."""
    unit = Unit((Lesson(1, (pairs(2),), "2027-01-11"),))
    stayed = next_unit(record, unit).record
    assert earlier_of(handed_over(record).past, unit, 12.0) == earlier_of(stayed.past, unit, 12.0)


def test_nothing_else_is_in_the_file(tmp_path: Path, record: ClassRecord) -> None:
    """Searched byte by byte: ratings, requests, notes, roles, labels, the log; and the old file has them all."""
    new = handed(tmp_path, record)
    left, was = new.path.read_bytes(), (tmp_path / "7b.class").read_bytes()
    for text in LEFT_BEHIND:
        assert text.encode() in was and text.encode() not in left, text
    ratings = [struct.pack(">d", student.ratings["throwing"]) for student in record.roster.students]
    assert all(rating in was and rating not in left for rating in ratings)
    assert [change.what for change in new.history()] == ["handed over"]


def test_the_record_is_the_roster_and_the_past(tmp_path: Path, record: ClassRecord) -> None:
    """No unit, size bands, availability or absences; names and ids are there."""
    new = handed(tmp_path, record).read().record
    assert [(s.id, s.name) for s in new.roster.students] == [(s.id, s.name) for s in record.roster.students]
    assert all(not s.ratings and not s.size_band and not s.availability for s in new.roster.students)
    assert replace(new, roster=record.roster, past=()) == ClassRecord(record.roster)


def test_ratings_and_requests_come_along_when_asked_for(tmp_path: Path, record: ClassRecord) -> None:
    """Of the requests those for all lessons."""
    asked = replace(record.requests[1], first_lesson=2)
    new = handed(tmp_path, replace(record, requests=(record.requests[0], asked)), "--with-ratings", "--with-requests")
    found = new.read().record
    assert [s.ratings for s in found.roster.students] == [s.ratings for s in record.roster.students]
    assert found.roster.strands == ("throwing",) and found.requests == (record.requests[0],)
    assert all(not s.size_band for s in found.roster.students)


def test_who_left_is_a_number_in_the_groups(tmp_path: Path, record: ClassRecord) -> None:
    """Their name is nobody's business any more, and the sizes of groups stay."""
    gone = replace(record.roster.students[1], last_lesson=2)
    new = handed(tmp_path, replace(record, roster=record.roster.with_student(gone)), "--with-requests")
    found = new.read().record
    assert gone.name.encode() not in new.path.read_bytes() and gone.id.encode() not in new.path.read_bytes()
    assert [s.name for s in found.roster.students if s.archived] == ["left 1"]
    sizes = [[len(g.members) for g in past.groups] for past in found.past[1:]]
    assert sizes == [[len(g.members) for g in r.groups] for r in record.plan.rounds if r.key.lesson in record.taught]
    assert found.requests == (record.requests[1],)


def test_only_turns_that_count_keep_their_role(record: ClassRecord) -> None:
    """Coach and learner; 'observer' and what else was typed is gone."""
    odd = planned(replace(record, absences=()))
    before = {role for round_ in odd.plan.of_lesson(2) for group in round_.groups for role in group.roles}
    roles = {role for past in handed_over(odd).past for group in past.groups for role in group.roles}
    assert before == {"coach", "learner", "observer"} and roles == {"coach", "learner", ""}


def test_the_next_teacher_plans_with_it(tmp_path: Path, record: ClassRecord) -> None:
    """With lessons of their own, the roster being there."""
    new = handed(tmp_path, record)
    lessons = tmp_path / "lessons.csv"
    lessons.write_text("lesson,activity,size,rounds\n1,Throwing,2,2\n", encoding="utf-8")
    grouper("plan", new.path, "--lessons", lessons, "--effort", "quick")
    assert len(new.read().record.plan.rounds) == 2 and new.read().record.earlier.meetings


def test_a_file_that_is_there_is_not_overwritten(tmp_path: Path, record: ClassRecord) -> None:
    """The next teacher's file may have a unit in it already."""
    new = handed(tmp_path, record)
    before = new.path.read_bytes()
    grouper("handover", tmp_path / "7b.class", "--to", new.path, status=2)
    assert new.path.read_bytes() == before


@pytest.mark.parametrize("taught", [frozenset(), frozenset({1, 2, 3})])
def test_before_the_first_lesson_and_after_the_last(taught: frozenset[int]) -> None:
    """Just the rounds that were taught."""
    record = replace(invented_class(), taught=taught)
    rounds = [r for r in record.plan.rounds if r.key.lesson in taught]
    assert len(handed_over(record).past) == len(record.past) + len(rounds)
