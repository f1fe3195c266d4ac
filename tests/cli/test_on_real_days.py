"""Days that do not go as planned, through the commands: the bell rings early, a plan comes while a lesson runs."""

from __future__ import annotations

import json
from itertools import combinations
from pathlib import Path

import pytest

from grouper.files.store import ClassFile

from .shell import grouper
from .tables import ClassOnDisk, a_class, activity, rows_of, write_rows

Row = dict[str, str]


@pytest.fixture
def disk(tmp_path: Path) -> ClassOnDisk:
    """Twelve students, three lessons of three rounds in pairs and one in threes, planned."""
    lessons = [row for n in (1, 2, 3) for row in (activity(n, "pairs", 2, rounds=3), activity(n, "threes", 3))]
    made = a_class(tmp_path / "class", 12, lessons)
    made.plan()
    return made


def exported(disk: ClassOnDisk) -> list[Row]:
    disk.exported()
    return rows_of(disk.folder / "groups.csv")


def of_round(rows: list[Row], lesson: int, name: str, round_: int) -> set[tuple[str, str]]:
    """Who was in which group."""
    at = (str(lesson), name, str(round_))
    return {(row["group"], row["student_id"]) for row in rows if (row["lesson"], row["activity"], row["round"]) == at}


def repeats(rows: list[Row]) -> int:
    """Meetings after the first of each two, counted from an export."""
    groups: dict[tuple[str, ...], list[str]] = {}
    for row in rows:
        groups.setdefault((row["lesson"], row["activity"], row["round"], row["group"]), []).append(row["student_id"])
    met = [pair for members in groups.values() for pair in combinations(sorted(members), 2)]
    return len(met) - len(set(met))


def fairness(disk: ClassOnDisk) -> dict[str, object]:
    found: dict[str, object] = json.loads(grouper("fairness", disk.file, "--json").out)
    return found


def test_the_bell_rings_early(disk: ClassOnDisk) -> None:
    """Two of four rounds were held: the export has no row of the others, the numbers are those of the export, and
    undo brings all back."""
    before = exported(disk)
    said = grouper("taught", disk.file, "--lesson", 1, "--up-to-round", 2).out
    assert "Rounds 3 to 4 were not held and count nowhere." in said and "--rest-to N" in said
    held = exported(disk)
    assert {(r["activity"], r["round"]) for r in held if r["lesson"] == "1"} == {("pairs", "1"), ("pairs", "2")}
    assert [row for row in before if row in held] == held and len(before) - len(held) == 24
    assert fairness(disk)["repeats"] == repeats(held) and fairness(disk)["rounds"] == 10
    assert "Rounds 3 to 4 were not held" in grouper("lesson", disk.file, 1).out
    grouper("undo", disk.file)
    assert exported(disk) == before and fairness(disk)["rounds"] == 12


@pytest.mark.parametrize("closed", [False, True])
def test_ran_says_it_too_before_and_after_closing(disk: ClassOnDisk, closed: bool) -> None:
    """The lesson is closed by it; a later word puts it right, back to the whole lesson."""
    before = exported(disk)
    if closed:
        grouper("taught", disk.file, "--lesson", 1)
    grouper("ran", disk.file, "--lesson", 1, "--up-to-round", 1)
    assert fairness(disk)["lessons_taught"] == [1] and len(exported(disk)) == len(before) - 36
    grouper("ran", disk.file, "--lesson", 1, "--up-to-round", 4)
    assert exported(disk) == before
    assert "rounds 1 to 4, not 5" in grouper("ran", disk.file, "--lesson", 1, "--up-to-round", 5, status=2).err


def test_what_was_left_is_planned_in_the_next_lesson(disk: ClassOnDisk) -> None:
    """It stands first there, and the next plan makes groups of it with few repeats."""
    grouper("taught", disk.file, "--lesson", 1, "--up-to-round", 2, "--rest-to", 2)
    assert "has no groups yet" not in grouper("lesson", disk.file, 2).out
    grouper("plan", disk.file, "--effort", "quick")
    rows = [row for row in exported(disk) if row["lesson"] == "2"]
    assert list(dict.fromkeys((r["activity"], r["round"]) for r in rows)) == [
        ("pairs, from lesson 1", "1"), ("threes, from lesson 1", "1"),
        ("pairs", "1"), ("pairs", "2"), ("pairs", "3"), ("threes", "1"),
    ]  # fmt: skip
    said = grouper("ran", disk.file, "--lesson", 1, "--up-to-round", 3).out
    assert "had been put into lesson 2; take out there what was held after all" in said


def test_what_was_left_has_groups_at_once_where_the_rest_is_planned_again(disk: ClassOnDisk) -> None:
    """No second command is needed, and none is asked for."""
    said = grouper("taught", disk.file, "--lesson", 1, "--up-to-round", 2, "--rest-to", 2, "--plan-again").out
    assert "is in lesson 2 now" in said and "grouper plan makes" not in said
    rows = [row for row in exported(disk) if row["lesson"] == "2"]
    assert {row["activity"] for row in rows} >= {"pairs, from lesson 1", "threes, from lesson 1"}
    assert all(row["group"] for row in rows) and fairness(disk)["rounds"] == 12


def test_a_round_that_the_file_says_nothing_of_is_asked_for(disk: ClassOnDisk) -> None:
    """Without the rows of the last round, exit 2 with both ways out; with each of them it is closed as it was."""
    rows = exported(disk)
    table = disk.folder / "ran.csv"

    def write(kept: list[Row]) -> None:
        write_rows(table, list(kept[0]), [list(row.values()) for row in kept])

    write([row for row in rows if (row["lesson"], row["activity"]) == ("1", "pairs")])
    said = grouper("taught", disk.file, "--lesson", 1, "--groups", table, status=2).err
    assert "no row for round 4 of lesson 1" in said and "--up-to-round 3" in said and "add them" in said
    assert exported(disk) == rows
    grouper("taught", disk.file, "--lesson", 1, "--groups", table, "--up-to-round", 3)
    assert len(exported(disk)) == len(rows) - 12
    write([row for row in rows if row["lesson"] == "1" and row["round"] != "2"])
    said = grouper("taught", disk.file, "--lesson", 1, "--groups", table, status=2).err
    assert "no row for round 2 of lesson 1" in said and "--up-to-round" not in said
    write([row for row in rows if row["lesson"] == "1"])
    grouper("taught", disk.file, "--lesson", 1, "--groups", table, "--up-to-round", 4)
    assert exported(disk) == rows


def test_nothing_planned_beside_the_page_changes_what_has_begun(disk: ClassOnDisk) -> None:
    """Round 2 of lesson 2 is on the screen: plan, absent, import, regroup and new lessons leave rounds 1 and 2."""
    before = exported(disk)
    ClassFile(disk.file).begin(2, 2)
    roster = rows_of(disk.roster)
    write_rows(disk.roster, list(roster[0]), [[*row.values()] for row in roster[1:]] + [["k13", "New Comer", 3]])
    for command in (
        ("plan", disk.file, "--seed", 9, "--effort", "quick"),
        ("absent", disk.file, "--lesson", 2, "k02"),
        ("import", disk.file, "--roster", disk.roster),
        ("join", disk.file, "--lesson", 2, "Another One"),
        ("regroup", disk.file, "--lesson", 2, "--activity", "pairs", "--size", 3),
        ("plan", disk.file, "--lessons", disk.lessons, "--effort", "quick"),
    ):
        grouper(*command)
        now = exported(disk)
        for round_ in (1, 2):
            assert of_round(now, 2, "pairs", round_) == of_round(before, 2, "pairs", round_), command
    assert of_round(exported(disk), 2, "pairs", 3) != of_round(before, 2, "pairs", 3)
    assert "from round 3 on" in grouper("history", disk.file).out


def test_undo_asks_before_it_changes_what_has_begun(disk: ClassOnDisk) -> None:
    """A plan was taken before the lesson began: with nobody to ask it is refused, with --yes done; and redo."""
    before = exported(disk)
    grouper("plan", disk.file, "--seed", 9, "--effort", "quick")
    planned = exported(disk)
    ClassFile(disk.file).begin(1, 2)
    said = grouper("undo", disk.file, status=2).err
    assert "rounds 1 and 2 of lesson 1, which have begun, would change" in said and "--yes" in said
    assert exported(disk) == planned
    said = grouper("undo", disk.file, "--yes").out
    assert said.splitlines() == ["Taken back: plan.", "The groups of lessons 1, 2 and 3 have changed."]
    assert exported(disk) == before
    assert grouper("redo", disk.file, "--yes").out.startswith("Done again: plan.")
    assert exported(disk) == planned
    assert "nothing to do again" in grouper("redo", disk.file, status=2).err


def test_a_screen_that_was_only_tried_is_forgotten_by_a_word(disk: ClassOnDisk) -> None:
    """An open lesson is not begun after all, and plans may change it again."""
    before = exported(disk)
    ClassFile(disk.file).begin(1, 4)
    grouper("plan", disk.file, "--seed", 9, "--effort", "quick")
    assert [row for row in exported(disk) if row["lesson"] == "1"] == [row for row in before if row["lesson"] == "1"]
    assert "No round of lesson 1 has begun" in grouper("taught", disk.file, "--lesson", 1, "--take-back").out
    grouper("plan", disk.file, "--seed", 9, "--effort", "quick")
    assert of_round(exported(disk), 1, "pairs", 1) != of_round(before, 1, "pairs", 1)


def test_other_lessons_say_first_what_is_lost(disk: ClassOnDisk) -> None:
    """A round less takes a pin and a result: with nobody to ask nothing is changed; a new name takes nothing."""
    grouper("pin", disk.file, "--lesson", 3, "--round", 3)
    grouper("felt", disk.file, "--lesson", 3, "--round", 3, "1=hard")
    rows = rows_of(disk.lessons)
    named = [{**row, "activity": row["activity"].replace("pairs", "Catching")} for row in rows]
    write_rows(disk.lessons, list(rows[0]), [list(row.values()) for row in named])
    said = grouper("plan", disk.file, "--lessons", disk.lessons, "--effort", "quick").out
    assert "dropped" not in said and "Catching" in {row["activity"] for row in exported(disk)}
    fewer = [{**row, "rounds": "2" if (row["lesson"], row["rounds"]) == ("3", "3") else row["rounds"]} for row in named]
    write_rows(disk.lessons, list(rows[0]), [list(row.values()) for row in fewer])
    kept = exported(disk)
    said = grouper("plan", disk.file, "--lessons", disk.lessons, "--effort", "quick", status=2).all
    assert "The pinned groups of lesson 3, round 3 are gone." in said and "--yes" in said and exported(disk) == kept
    grouper("plan", disk.file, "--lessons", disk.lessons, "--effort", "quick", "--yes")
    assert len(exported(disk)) == len(kept) - 12


def test_what_was_left_moves_no_group(disk: ClassOnDisk) -> None:
    """The rounds of the other lesson stand later than before and are the same, so that no group is told as changed."""
    for command in ("taught", "ran"):
        said = grouper(command, disk.file, "--lesson", 1, "--up-to-round", 3, "--rest-to", 2).out
        assert "is in lesson 2 now" in said and "group 1:" not in said
        grouper("undo", disk.file)


def test_attendance_of_lessons_taught_goes_by_their_groups(disk: ClassOnDisk) -> None:
    """Somebody hurt in the second week, aside on the list from then on, was in the groups of the first."""
    grouper("taught", disk.file, "--lesson", 1)
    rows = [(row["student_id"], row["name"], "aside" * (row["student_id"] == "k01")) for row in rows_of(disk.roster)]
    write_rows(disk.folder / "hurt.csv", ("student_id", "name", "availability"), rows)
    grouper("import", disk.file, "--roster", disk.folder / "hurt.csv")
    grouper("export", disk.file, "--table", "attendance", "--to", disk.folder / "there.csv")
    own = [row for row in rows_of(disk.folder / "there.csv") if row["student_id"] == "k01"]
    assert [(row["rounds_here"], row["rounds_aside"], row["rounds_away"]) for row in own] == [
        ("4", "0", "0"), ("0", "4", "0"), ("0", "4", "0"),
    ]  # fmt: skip


def test_a_table_of_scores_decides_as_the_game_was_decided(disk: ClassOnDisk) -> None:
    """Twelve won and four lost is eight, and loses against nine; bonus and penalty have columns of their own."""
    grouper("games", disk.file, "--lesson", 1, "--activity", "threes", "--courts", 2)
    grouper("score", disk.file, "--lesson", 1, "1=12", "2=9", "--lost", "1=4", "--bonus", "2=1", "--penalty", "1=2")
    grouper("export", disk.file, "--table", "scores", "--to", disk.folder / "scores.csv")
    (game,) = [row for row in rows_of(disk.folder / "scores.csv") if row["home_points"]]
    one, two = ("home", "away") if game["home"] == "1" else ("away", "home")
    assert [int(game[f"{side}_points"]) - int(game[f"{side}_lost"]) for side in (one, two)] == [8, 9]
    assert [float(game[f"{two}_bonus"]), float(game[f"{one}_penalty"])] == [1, 2]


def test_namesakes_are_told_apart_in_what_is_said(disk: ClassOnDisk) -> None:
    """Two of one name have the number that the sheets show, in what is said and in what may be typed; a table has their
    names as they are, beside ids."""
    grouper("join", disk.file, "Kid01 Fam01", "--namesake", "--lesson", 1)
    assert "Absent in lesson 1: Kid01 Fam01 (2)." in grouper("absent", disk.file, "--lesson", 1, "Kid01 Fam01 (2)").out
    said = grouper("lesson", disk.file, 2).out
    assert said.count("Kid01 Fam01 (1)") == said.count("Kid01 Fam01 (2)") == said.count("Kid01 Fam01") / 2 == 4
    asked = grouper("absent", disk.file, "--lesson", 1, "kid01", status=2).err
    assert "Kid01 Fam01 (1) (k01) or Kid01 Fam01 (2)" in asked
    assert {row["name"] for row in exported(disk) if row["name"].startswith("Kid01")} == {"Kid01 Fam01"}


def test_games_that_were_not_held_are_not_games_that_were_never_planned(tmp_path: Path) -> None:
    """The lesson ended before its cup: a score is refused with what became of the games, and no advice to plan them."""
    klass = a_class(tmp_path, 8, [activity(1, "Pairs", 2), activity(1, "Cup", groups=4)])
    klass.plan()
    grouper("games", klass.file, "--lesson", 1, "--activity", "Cup", "--courts", 2)
    grouper("taught", klass.file, "--lesson", 1, "--up-to-round", 1)
    said = grouper("score", klass.file, "--lesson", 1, "1=3", "2=4", status=2).err
    assert "the games of lesson 1 were not held, as the lesson ended after round 1" in said and "--up-to-round" in said
    grouper("taught", klass.file, "--lesson", 1, "--up-to-round", 2)
    grouper("score", klass.file, "--lesson", 1, "1=3", "2=4")
