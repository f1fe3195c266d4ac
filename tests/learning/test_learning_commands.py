"""The commands felt, suggest and measure, as a teacher types them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from played import GAMES, class_with_teams, rating, with_game

from grouper.faces.cli.entry import main
from grouper.files.store import ClassFile
from grouper.model.noted import TaskResult
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, RoundKey


class Desk:
    """A folder with a class file, and what the last command wrote."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self.capsys = folder, capsys
        self.file = ClassFile(folder / "7b.class")
        self.out = self.err = ""

    def put(self, record: ClassRecord) -> None:
        """Make the class file."""
        self.file.create(record, "plan")

    def run(self, *arguments: str, status: int = 0) -> str:
        """Run a command on the class; all that it wrote."""
        name, *rest = arguments
        with pytest.raises(SystemExit) as ended:
            main([name, str(self.file.path), *rest])
        written = self.capsys.readouterr()
        assert ended.value.code == status, written
        return written.out + written.err

    @property
    def record(self) -> ClassRecord:
        """What the file holds."""
        return self.file.read().record

    def csv(self, *lines: str) -> str:
        """A file of measures."""
        path = self.folder / "run.csv"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        return str(path)


@pytest.fixture
def desk(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Desk:
    """A class of eight in two teams, in two lessons."""
    made = Desk(tmp_path, capsys)
    made.put(class_with_teams())
    return made


def played(desk: Desk) -> None:
    """Team 1 has lost eight games by far."""
    record = desk.record
    for _ in range(8):
        record = with_game(record, 1, 2, 14)
    desk.file.save(record, "results", read_at=desk.file.read().version)


KEY = RoundKey(1, 1, 1)


def test_felt_records_words_and_successes(desk: Desk) -> None:
    """A word and a count for one group, a word for the other; a word entered anew leaves the count."""
    desk.run("felt", "--lesson", "1", "1=easy", "1=9/10", "2=Hard")
    assert desk.record.results == (TaskResult(KEY, "1", "easy", 9, 10), TaskResult(KEY, "2", "hard"))
    assert "group 1: right, 9 of 10" in desk.run("felt", "--lesson", "1", "1=right")
    assert desk.record.results[0] == TaskResult(KEY, "1", "right", 9, 10)


def test_felt_takes_back(desk: Desk) -> None:
    """What was entered by mistake goes."""
    desk.run("felt", "--lesson", "1", "1=easy", "2=hard")
    desk.run("felt", "--lesson", "1", "1", "--take-back")
    assert [result.label for result in desk.record.results] == ["2"]
    assert "nothing was entered for group 1" in desk.run("felt", "--lesson", "1", "1", "--take-back", status=2)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("1", "GROUP=easy"),
        ("1=great", "GROUP=7/10"),
        ("1=7/x", "GROUP=7/10"),
        ("1=11/10", "cannot have succeeded"),
        ("9=easy", "there is no group 9"),
        ("=easy", "says nothing of a group"),
    ],
)
def test_felt_says_what_is_wrong(desk: Desk, typed: str, says: str) -> None:
    """Exit status 2, a line with what to write, and nothing changed."""
    assert says in desk.run("felt", "--lesson", "1", "2=easy", typed, status=2)
    assert desk.record.results == ()


def test_felt_asks_which_round(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A lesson of several rounds needs --round, counted over the lesson."""
    desk = Desk(tmp_path, capsys)
    desk.put(class_with_teams(GAMES, Activity("Tournament", aim="stay"), lessons=1))
    assert "--round 1 to --round 2" in desk.run("felt", "--lesson", "1", "1=easy", status=2)
    desk.run("felt", "--lesson", "1", "--round", "2", "1=easy")
    assert desk.record.results[0].key == RoundKey(1, 2, 1)


def test_suggest_shows_reasons_and_changes_nothing(desk: Desk) -> None:
    """A line for each, with its reason and how to accept; the file is as it was."""
    played(desk)
    before = desk.record
    said = desk.run("suggest")
    assert "Eva" in said and "in 8 games their teams did" in said and "points worse than expected" in said
    assert "Nothing is changed yet. Accept with: grouper suggest 7b.class --accept all" in said
    assert desk.record == before
    assert "Laplace" not in said and "posterior" not in said


def test_suggest_accepts_one_then_all(desk: Desk) -> None:
    """By name, then all that is left; then there is nothing more, and undo brings back the last step."""
    played(desk)
    desk.run("suggest", "--accept", "eva")
    assert [learnt.student for learnt in desk.record.learnt] == ["eva"]
    assert rating(desk.record, "eva") < 3 and rating(desk.record, "hana") == 5
    desk.run("suggest", "--accept", "all")
    assert len(desk.record.learnt) > 4
    assert "nothing more to suggest" in desk.run("suggest")
    assert "nothing to accept" in desk.run("suggest", "--accept", "all", status=2)
    desk.run("undo")
    assert [learnt.student for learnt in desk.record.learnt] == ["eva"]


def test_the_log_of_changes_names_nobody(desk: Desk) -> None:
    """Whose rating went where is not for a list that somebody may look over."""
    played(desk)
    desk.run("suggest", "--accept", "eva")
    said = desk.run("history")
    assert "1 suggested rating accepted in passing" in said and "Eva" not in said


def test_suggest_without_a_suggestion_for_somebody(desk: Desk) -> None:
    """An error that names those who have one."""
    played(desk)
    said = desk.run("suggest", "--accept", "ana", status=2)
    assert "no rating is suggested for Ana; there are suggestions for" in said and "Eva" in said
    assert desk.record.learnt == ()


def test_suggest_before_any_result(desk: Desk) -> None:
    """Where results come from."""
    assert "no results yet: enter games with grouper score" in desk.run("suggest")


def test_suggest_names_a_strand_for_games_that_have_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without it a hint; with it suggestions; accepted, the activity keeps the strand."""
    desk = Desk(tmp_path, capsys)
    desk.put(class_with_teams(Activity("Games", groups=2)))
    played(desk)
    assert "Which rating the results of lesson 1 are for is not known; say it with --strand passing" in desk.run(
        "suggest"
    )
    desk.run("suggest", "--strand", "passing", "--accept", "all")
    assert desk.record.lesson(1).activities[0].strand == "passing"
    assert desk.record.lesson(2).activities[0].strand == ""
    assert "nothing more to suggest" in desk.run("suggest")


def test_measure_by_shuttle_run(desk: Desk) -> None:
    """Stage and age become a strand of its own; the younger of two at one stage stands higher; no age is kept."""
    file = desk.csv("student,stage,age", "ana,8,12", "Ben,8,13.5", "cem,4,12", "dia,6.5,12")
    shown = desk.run("measure", file, "--strand", "fitness", "--by", "shuttle")
    assert "53.0 ml/kg/min: place 1 of 4" in shown and "Nothing is changed yet" in shown
    assert desk.record.roster.strands == ("passing",)
    desk.run("measure", file, "--strand", "fitness", "--by", "shuttle", "--accept")
    fitness = {s.id: s.ratings["fitness"] for s in desk.record.roster.students if "fitness" in s.ratings}
    assert fitness["ana"] > fitness["ben"] > fitness["dia"] > fitness["cem"]
    assert b"13.5" not in desk.file.path.read_bytes() and b"52.99" not in desk.file.path.read_bytes()


@pytest.mark.parametrize(("by", "best"), [("higher", "cem"), ("lower", "ana")])
def test_measure_by_any_number(desk: Desk, by: str, best: str) -> None:
    """Times, widths, hits: the best by rank gets the highest rating; who has no number was not measured."""
    file = desk.csv("student_id;Sprint 30 m", "ana;5,2", "ben;5,9", "cem;6,4", "dia;")
    said = desk.run("measure", file, "--strand", "sprint", "--by", by, "--accept")
    assert "the only column of numbers" in said and "row 5: not measured" in said
    ratings = {s.id: s.ratings["sprint"] for s in desk.record.roster.students if "sprint" in s.ratings}
    assert max(ratings, key=lambda student: ratings[student]) == best and len(ratings) == 3


@pytest.mark.parametrize(
    ("lines", "row", "says"),
    [
        (("student,stage,age", "ana,8,12", "Zoe,8,12", "cem,1,12"), 3, "no student with the id or name 'Zoe'"),
        (("student,stage,age", "ana,8,12", "ben,eight,12", "cem,1,12"), 3, "'eight' is no number"),
        (("student,stage,age", "ana,8,12", "ben,8,", "cem,1,12"), 3, "the number is missing"),
        (("student,stage,age", "ana,8,12", "ben,8,12", "Ana,7,12"), 4, "the same student as in row 2"),
        (("student,stage,age", "ana,8,12", "ben,8,5", "cem,1,12"), 3, "cannot be read at the age of 5"),
        (("student,stage,age", "ana,80,12", "ben,8,12", "cem,1,12"), 2, "stage 80 is none"),
        (("student,stage", "ana,8", "ben,8", "cem,1"), 0, "there is no column 'age'"),
        (("stage,age", "8,12", "8,12", "1,12"), 0, "student"),
    ],
)
def test_measure_says_which_row_is_wrong(desk: Desk, lines: tuple[str, ...], row: int, says: str) -> None:
    """The row, what is wrong with it, and status 2; nothing is changed."""
    before = desk.record
    said = desk.run("measure", desk.csv(*lines), "--strand", "fitness", "--by", "shuttle", "--accept", status=2)
    assert says in said
    assert not row or f"row {row} of run.csv" in said
    assert desk.record == before


def test_scores_of_teams_that_are_no_more_are_told_apart_from_none(desk: Desk) -> None:
    """The games of lesson 1 were between teams 1 and 2; its groups are called otherwise now, so they tell of nobody."""
    assert "There are no results yet" in desk.run("suggest")
    played(desk)
    assert "do not count" not in desk.run("suggest")
    with desk.file.change("other teams") as edit:
        key = RoundKey(1, 1, 1)
        round_ = edit.record.plan.by_key[key]
        groups = tuple(replace(group, label=f"{group.label} new") for group in round_.groups)
        edit.record = replace(edit.record, plan=edit.record.plan.with_rounds({key: replace(round_, groups=groups)}))
    said = desk.run("suggest")
    assert "Scores of lesson 1 do not count: those teams are not there any more." in said
    assert "There are no results yet" not in said
