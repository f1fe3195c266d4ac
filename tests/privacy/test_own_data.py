"""All that is held on one student: complete, and without anybody else."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from grouper.faces.sheets.report import own_data_text
from grouper.faces.views.report_student import fact_tables
from grouper.files.store import ClassFile
from grouper.model.noted import ChosenTask, Note
from grouper.model.play import Score
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.privacy.own_data import own_data
from tests.cli.shell import grouper
from tests.sheets.page_text import PageText
from tests.sheets.test_student_page import traces_of_others

from .classes import OUT_OF, demo_class, invented_class


@pytest.mark.parametrize("record", [demo_class(), invented_class()], ids=["demo", "invented"])
def test_no_other_student_is_in_it(record: ClassRecord) -> None:
    """For everybody of two classes, with a log that names all: no name, word of a name or id of anybody else."""
    log = [f"absent: {student.name}" for student in record.roster.students]
    log += [f"absent: {', '.join(student.name for student in record.roster.students)}"]
    for student in record.roster.students:
        facts = own_data(record, student.id, log)
        page = "\n".join(PageText(own_data_text(facts)).texts)
        text = json.dumps(facts, ensure_ascii=False)
        assert traces_of_others(record, student, text) == [], student.name
        assert traces_of_others(record, student, page) == [], student.name


def test_through_the_command_too(tmp_path: Path) -> None:
    """For everybody of the demo class, from a file with a real log."""
    record = demo_class()
    file = ClassFile(tmp_path / "demo.class")
    file.create(record, "first plan")
    for student in record.roster.students:
        with file.change(f"rated anew: {student.name}") as edit:
            new = replace(student, ratings={**student.ratings, "throwing": 4.0})
            edit.record = replace(edit.record, roster=edit.record.roster.with_student(new))
    for place, student in enumerate(record.roster.students):
        path = tmp_path / f"{place}.{'json' if place % 2 else 'html'}"
        grouper("own-data", file.path, student.id, "--to", path)
        shown = path.read_text(encoding="utf-8")
        text = shown if place % 2 else "\n".join(PageText(shown).texts)
        assert traces_of_others(record, student, text) == [], student.name
        assert student.name in text


def test_everything_is_in_it(record: ClassRecord) -> None:
    """The first student's facts of every kind, each as it stands in the record."""
    student = record.roster.students[0]
    facts = own_data(record, student.id)
    assert facts["student"]["id"] == f"{OUT_OF}000" and facts["student"]["size_band"] == "S"
    assert facts["ratings"] == [
        {"strand": "throwing", "rating": 1.123456},
        {
            "strand": "throwing",
            "first_guess": 0.0625,
            "rating_suggested_from_results": 1.123456,
            "results_through_lesson": 1,
        },
    ]
    assert len(facts["rounds"]) == sum(r.group_of(student.id) is not None for r in record.plan.rounds)
    assert facts["earlier_units"] == [
        {
            "unit": 1,
            "lesson": 1,
            "date": "2026-05-04",
            "activity": "Rounders",
            "round": 1,
            "people_in_group": 2,
            "role": "",
        }
    ]
    assert facts["requests"] == [{"kind": "apart", "with": "one classmate", "first_lesson": None, "last_lesson": None}]


def test_page_and_data_have_the_same_tables(record: ClassRecord) -> None:
    """Every list of rows in the data is a table on the page, with the same rows; chosen steps among them."""
    key = record.unit.keys[4]
    label, member = next((group.label, group.members[0]) for group in record.plan.by_key[key].groups)
    record = replace(record, chosen_tasks=(ChosenTask(key, label, (6,)),))
    facts = own_data(record, member)
    (step,) = facts["chosen_tasks"]
    assert step["settings"] == [6]
    tables = [len(rows) for rows in facts.values() if isinstance(rows, list)][:-1]
    assert tables == [len(table.rows) for table in fact_tables(facts)][1:]
    shown = PageText(own_data_text(facts)).texts
    assert "Tasks that the teacher chose for the own group" in shown


def test_sizes_and_roles_are_those_of_the_rounds(record: ClassRecord) -> None:
    """For everybody and each round."""
    for student in record.roster.students:
        groups = {r.key: group for r in record.plan.rounds if (group := r.group_of(student.id))}
        told = [(row["people_in_group"], row["role"]) for row in own_data(record, student.id)["rounds"]]
        assert told == [(len(group.members), group.role(student.id)) for group in groups.values()]


def test_absences_are_in_it_with_the_role_that_was_typed(record: ClassRecord) -> None:
    """It is the student's own fact, whatever the teacher wrote."""
    facts = own_data(record, record.roster.students[3].id)
    assert facts["attendance"] == [
        {"lesson": 1, "state": "aside", "from_round": 2, "to_round": None, "role": "sprained ankle"}
    ]


def test_of_games_only_the_own_teams_points(record: ClassRecord) -> None:
    """Each of the four teams has its own points of 11, 7, 31 and 37, and nobody reads another's."""
    points = set()
    for student in record.roster.students:
        played = [game for game in own_data(record, student.id)["games"] if game["own_team"] == "plays"]
        assert len(played) <= 1
        points |= {game["points"] for game in played}
        for game in played:
            others = {"11", "7", "31", "37"} - {str(game["points"])}
            assert all(f'"points": {other}' not in json.dumps(game) for other in others)
    assert points == {11, 7, 31, 37}


def test_points_lost_in_play_are_told_of_the_own_team(record: ClassRecord) -> None:
    """Won and lost stand apart, as they were entered."""
    day = record.games[0]
    lost = day.with_assignment(replace(day.assignments[0], score=Score(11, 9, home_lost=3, away_lost=4)))
    at_home = record.plan.by_key[record.unit.keys[4]].groups[0].members[0]
    played = [game for game in own_data(replace(record, events=(lost,)), at_home)["games"] if "points" in game]
    assert [(game["points"], game["lost_in_play"]) for game in played] == [(11, 3)]


def test_the_other_team_may_score_what_it_likes(record: ClassRecord) -> None:
    """What is written on one who is at home is the same, whatever the guests scored."""
    day = record.games[0]
    score = Score(11, 99, home_bonus=2, away_penalty=5, away_lost=4)
    other = day.with_assignment(replace(day.assignments[0], score=score))
    at_home = record.plan.by_key[record.unit.keys[4]].groups[0].members[0]
    assert own_data(record, at_home) == own_data(replace(record, events=(other,)), at_home)


def test_how_a_task_went_is_told_for_the_group(record: ClassRecord) -> None:
    """As it is held for the group, not for one."""
    member = record.plan.by_key[record.unit.keys[4]].groups[0].members[0]
    (task,) = own_data(record, member)["tasks"]
    assert (task["hits_of_the_group"], task["tries_of_the_group"], task["people_in_group"]) == (7, 10, 6)


def test_notes_that_name_the_student_are_in_it_with_others_masked(record: ClassRecord) -> None:
    """'Chloe' is Chloé; the note on both reads differently for each of the two."""
    chloe, ben = record.roster.students[2].id, record.roster.students[1].id
    assert [note["text"] for note in own_data(record, chloe)["notes"]] == ["Chloe and [classmate] quarrelled"]
    assert [note["text"] for note in own_data(record, ben)["notes"]] == ["[classmate] and Ben Okafor quarrelled"]
    assert own_data(record, record.roster.students[0].id)["notes"] == []


def test_a_note_on_one_of_two_with_the_same_given_name_is_left_out_and_counted(record: ClassRecord) -> None:
    """'Mia was tired' may be about either; the teacher decides, and nobody's file tells the other's story."""
    for place in (3, 4):
        facts = own_data(record, record.roster.students[place].id)
        assert facts["notes"] == [] and facts["notes_left_out"]["places"] == [{"lesson": 1, "round": 1}]
        assert "tired" not in json.dumps(facts)


def test_names_in_other_scripts_are_found_in_notes(record: ClassRecord) -> None:
    """A given name amid a sentence without spaces."""
    xiaoming = next(s for s in record.roster.students if s.name == "王小明")
    assert [note["text"] for note in own_data(record, xiaoming.id)["notes"]] == ["今天小明很好"]


def test_labels_are_not_in_it_and_typed_names_are_masked(record: ClassRecord) -> None:
    """The team of an earlier unit was called after a classmate."""
    partner = record.roster.students[7]
    text = json.dumps(own_data(record, partner.id), ensure_ascii=False)
    assert "Amina" not in text and '"people_in_group": 2' in text


def test_with_whom_leaves_no_trace(record: ClassRecord) -> None:
    """Classmates with other names, ratings and places on the roster leave the file of one student the same."""
    one = record.roster.students[24]
    quiet = replace(
        record, notes=(Note(2, 0, "a loud lesson"),), learnt=(), requests=(), events=(), past=(), absences=()
    )
    other = _renamed(quiet, one.id)
    assert own_data(quiet, one.id) == own_data(other, one.id)


def _renamed(record: ClassRecord, keep: str) -> ClassRecord:
    """Everybody but one with other names and ratings, in another order on the roster."""
    students = [
        s if s.id == keep else replace(s, name=f"Other{place}", ratings={"throwing": 9.0 - place / 10})
        for place, s in enumerate(record.roster.students)
    ]
    return replace(record, roster=Roster(tuple(reversed(students)), record.roster.strands))


def test_the_command_says_what_it_left_out(tmp_path: Path, record: ClassRecord) -> None:
    """And refuses a name of a file whose kind it does not know."""
    file = ClassFile(tmp_path / "7b.class")
    file.create(record, "made")
    said = grouper("own-data", file.path, "Mia Berger", "--to", tmp_path / "mia.json")
    assert "a classmate has that name too: notes on lesson 1, round 1." in said.out
    refused = grouper("own-data", file.path, "Mia Berger", "--to", tmp_path / "mia.csv", status=2)
    assert "neither .json nor .html" in refused.err
    assert json.loads((tmp_path / "mia.json").read_text(encoding="utf-8"))["student"]["name"] == "Mia Berger"
