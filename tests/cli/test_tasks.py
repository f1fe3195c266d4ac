"""Tasks and handicaps, through the commands."""

from __future__ import annotations

import json
from html import unescape
from pathlib import Path

import pytest
from builders import ladder

from grouper.files.levers import write_levers
from grouper.files.store import ClassFile

from .shell import grouper
from .tables import ClassOnDisk, a_class, activity, rows_of

PASSING = "Passing in pairs"
STEPS = tuple(f"Dribble around {cones} cones." for cones in range(3, 9))


@pytest.fixture
def disk(tmp_path: Path) -> ClassOnDisk:
    """Twelve students, pairs alike in ability, three even teams and two teams, planned; six steps for dribbling."""
    rows = [
        activity(1, PASSING, 2, rounds=2, aim="similar"),
        activity(1, "Cup", groups=3, aim="balanced"),
        activity(2, "Tag", groups=2),
    ]
    made = a_class(tmp_path, 12, rows)
    made.plan()
    write_levers(tmp_path / "dribbling.csv", [ladder(PASSING, *STEPS)])
    return made


def with_steps(disk: ClassOnDisk) -> None:
    """The pairs get a ladder of six."""
    grouper("tasks", disk.file, "--ladders", disk.folder / "dribbling.csv")


def test_the_library_goes_out_is_changed_and_comes_in(disk: ClassOnDisk) -> None:
    """A task in the teacher's words is on the wall; other ladders stay when one more is taken in."""
    library = disk.folder / "tasks.csv"
    grouper("tasks", "--write", library)
    text = library.read_text(encoding="utf-8").replace("big steps apart", "giant steps apart")
    library.write_text(text.replace("Throwing and catching", PASSING), encoding="utf-8")
    said = grouper("tasks", disk.file, "--levers", library).out
    assert f"With tasks: {PASSING}." in said and "Without: Cup and Tag." in said
    other = disk.folder / "other.csv"
    other.write_text("activity,step,along,task\nTag,1,,walk\nTag,2,,run\n", encoding="utf-8")
    assert f"With tasks: {PASSING} and Tag." in grouper("tasks", disk.file, "--ladders", other).out
    grouper("sheets", disk.file, "--lesson", 1, "--to", disk.folder / "out")
    assert "giant steps apart" in unescape((disk.folder / "out" / "lesson-01-tasks.html").read_text(encoding="utf-8"))
    grouper("tasks", disk.file, "--write", library)
    assert {row["activity"] for row in rows_of(library)} > {PASSING, "Tag"}
    assert {row["lever"] for row in rows_of(library)} > {"distance", "ball", "task"}


def test_a_task_that_names_a_student_is_pointed_out(disk: ClassOnDisk) -> None:
    """The name with a capital, whole or with an s; not the same letters as a common word."""
    name = rows_of(disk.folder / "roster.csv")[0]["name"].split()[0]
    own = disk.folder / "own.csv"
    own.write_text(
        f"activity,step,along,task\nTag,1,,walk like {name}s hero\nTag,2,,run {name.lower()} wise\n", encoding="utf-8"
    )
    said = grouper("tasks", disk.file, "--ladders", own).out
    assert f"'{name}s' in task 1 for Tag is the name of a student" in said and "task 2" not in said


def test_each_group_has_a_task_with_step_and_reason(disk: ClassOnDisk) -> None:
    """Two lines a group, and after a result the reason is that result."""
    with_steps(disk)
    before = grouper("tasks", disk.file, "--lesson", 1).out.splitlines()
    assert [line for line in before if not line.startswith(" ")] == [f"Round 1, {PASSING}:", f"Round 2, {PASSING}:"]
    assert sum("of 6: nothing seen yet, skill" in line for line in before) == 12
    grouper("felt", disk.file, "--lesson", 1, "--round", 1, "1=10/10")
    after = grouper("tasks", disk.file, "--lesson", 1, "--activity", PASSING).out
    assert "10 of 10 at step" in after and after.splitlines()[:13] == before[:13]


def test_tasks_are_taken_off_and_the_sheets_are_as_before(disk: ClassOnDisk) -> None:
    """Byte for byte."""
    out = disk.folder / "out"

    def sheets() -> list[bytes]:
        grouper("sheets", disk.file, "--lesson", 1, "--to", out)
        return [(out / f"lesson-01-{kind}.html").read_bytes() for kind in ("wall", "teacher")]

    before = sheets()
    with_steps(disk)
    assert all(one != other for one, other in zip(before, sheets(), strict=True))
    grouper("tasks", disk.file, "--off", "--activity", PASSING)
    assert sheets() == before
    assert "no tasks yet" in grouper("tasks", disk.file, "--lesson", 1, status=2).err


def test_a_harder_share_gives_easier_steps(disk: ClassOnDisk) -> None:
    """The share is kept in the class file."""
    with_steps(disk)
    usual = grouper("tasks", disk.file, "--lesson", 1).out
    grouper("tasks", disk.file, "--success", 0.95)
    assert grouper("tasks", disk.file, "--lesson", 1).out != usual
    harder = grouper("tasks", disk.file, "--lesson", 1).out
    grouper("tasks", disk.file, "--success", "75%")
    assert grouper("tasks", disk.file, "--lesson", 1).out == usual
    grouper("tasks", disk.file, "--success", "95 %")
    assert grouper("tasks", disk.file, "--lesson", 1).out == harder
    assert "50% to 95%" in grouper("tasks", disk.file, "--success", 1.5, status=2).err
    assert "write it as 80% or 0.8" in grouper("tasks", disk.file, "--success", "most", status=2).err


def test_a_step_of_your_own(disk: ClassOnDisk) -> None:
    """Chosen for two groups of a round, said with what was suggested, on the wall sheet, and taken back."""
    with_steps(disk)
    usual = grouper("tasks", disk.file, "--lesson", 1).out
    said = grouper("step", disk.file, "--lesson", 1, "--round", 1, "1=6", "2=1").out
    assert said.startswith("Round 1, ") and "step 6 of 6, your choice; step" in said and "step 1 of 6, your" in said
    assert said in grouper("tasks", disk.file, "--lesson", 1).out
    hardest = STEPS[-1]
    told = grouper("sheets", disk.file, "--lesson", 1, "--to", disk.folder / "out").out
    wall, cards = (
        unescape((disk.folder / "out" / f"lesson-01-{sheet}.html").read_text(encoding="utf-8"))
        for sheet in ("wall", "tasks")
    )
    assert hardest not in wall and cards.count(hardest) == 1 and "your choice" not in cards
    assert "Groups have different tasks in rounds 1 and 2. Give each group its own card" in told
    told = grouper("sheets", disk.file, "--lesson", 1, "--to", disk.folder / "out", "--tasks", "places").out
    assert "who compares two tasks can tell which is harder" in told
    grouper("step", disk.file, "--lesson", 1, "--round", 1, "1", "2", "--take-back")
    assert grouper("tasks", disk.file, "--lesson", 1).out == usual
    grouper("felt", disk.file, "--lesson", 1, "--round", 1, "1=7/10")
    said = grouper("step", disk.file, "--lesson", 1, "--round", 1, "1=6").out
    assert "What was entered for group 1, 7 of 10, is of step 6 now." in said
    refused = {"1=7": "1 to 6: step 1", "9=2": "no group 9", "1=hard": "no setting", "=2": "is no task"}
    for wrong, word in refused.items():
        assert word in grouper("step", disk.file, "--lesson", 1, "--round", 1, wrong, status=2).err
    assert "--round 1 to" in grouper("step", disk.file, "--lesson", 1, "1=2", status=2).err


def test_levers_are_set_up_by_what_activities_are_called(disk: ClassOnDisk) -> None:
    """In one command; one of them goes off and on again, and what is in the cupboard is never exceeded."""
    said = grouper("tasks", disk.file, "--set-up").out
    assert f"With tasks: {PASSING}, Cup and Tag." in said
    grouper("tasks", disk.file, "--off", "--activity", PASSING, "--lever", "catch")
    grouper("tasks", disk.file, "--like", "Throwing and catching", "--activity", PASSING, "--lever", "catch")
    cupboard = disk.folder / "cupboard.csv"
    cupboard.write_text("item,count\nlarge soft ball,2\nsmall soft ball,2\nsmall ball,2\n", encoding="utf-8")
    assert "3 kinds of things" in grouper("tasks", disk.file, "--cupboard", cupboard).out
    shown = grouper("tasks", disk.file, "--lesson", 1, "--activity", PASSING).out
    assert shown.count("to lay out: 2 × large soft ball, 2 × small soft ball, 2 × small ball") == 2
    cupboard.write_text("item,count\nlarge soft ball,2\nsmall soft ball,2\nsmall ball,1\n", encoding="utf-8")
    grouper("tasks", disk.file, "--cupboard", cupboard)
    shown = grouper("tasks", disk.file, "--lesson", 1, "--activity", PASSING).out
    assert "1 more '" in shown and "lend some" in shown
    assert "which lever moves this class most" in grouper("tasks", disk.file, "--moves").out


def test_easier_and_harder_are_ways_to_choose_from(disk: ClassOnDisk) -> None:
    """Three at most, nothing is changed by looking, and each is typed as it stands there."""
    grouper("tasks", disk.file, "--set-up")
    before = disk.file.read_bytes()
    said = grouper("step", disk.file, "--lesson", 1, "--round", 1, "2=harder").out.splitlines()
    assert said[0] == "Group 2, harder:" and 2 <= len(said) <= 4 and disk.file.read_bytes() == before
    typed = said[1].split("  ")[1]
    shown = grouper("step", disk.file, "--lesson", 1, "--round", 1, typed).out
    assert "your choice" in shown


def test_what_is_kept_for_a_child_is_in_each_of_their_tasks(disk: ClassOnDisk) -> None:
    """On the teacher's sheet with the name, on the cards as nothing but the task; by table too, and taken off again."""
    grouper("tasks", disk.file, "--set-up")
    name = rows_of(disk.folder / "roster.csv")[0]["name"]
    said = grouper("adapt", disk.file, name, "--always", "large ball", "--also", "seated", "--not-at", "4").out
    assert "always large ball (in " in said and "not at station 4" in said
    grouper("sheets", disk.file, "--lesson", 1, "--to", disk.folder / "out")
    wall, cards, teacher = (
        unescape((disk.folder / "out" / f"lesson-01-{sheet}.html").read_text(encoding="utf-8"))
        for sheet in ("wall", "tasks", "teacher")
    )
    assert "Always kept" in teacher and "kept for" in teacher
    assert "Seated." in cards and "kept" not in cards and "always" not in cards.casefold() and "Seated" not in wall
    table = disk.folder / "kept.csv"
    table.write_text(f"student,kind,what\n{name},never,jogging\n", encoding="utf-8")
    assert "never jogging" in grouper("adapt", disk.file, "--table", table).out
    grouper("adapt", disk.file, name, "--off", "all")
    assert "Nothing is kept for anybody." in grouper("adapt", disk.file).out
    table.write_text(f"student,kind,what\n{name},often,jogging\n", encoding="utf-8")
    assert "always, never, also, not at" in grouper("adapt", disk.file, "--table", table, status=2).err


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (["--like", "Dribling", "--activity", PASSING], "did you mean 'Dribbling'?"),
        (["--like", "Dribbling", "--activity", "Passing in pair"], f"did you mean '{PASSING}'?"),
        (["--like", "Dribbling"], "--activity NAME"),
        (["--off", "--activity", "Cup"], "has no tasks"),
        (["--lesson", "9"], "no lesson 9"),
        (["--ladders", "nowhere.csv"], "no such file"),
        ([], "give one of"),
    ],
)
def test_what_cannot_be_is_said_and_changes_nothing(disk: ClassOnDisk, arguments: list[str], word: str) -> None:
    """Wrong names, and more or less than one thing asked for."""
    before = disk.file.read_bytes()
    assert word in grouper("tasks", disk.file, *arguments, status=2).err
    assert disk.file.read_bytes() == before


def test_handicaps_of_planned_games_and_of_two_teams(disk: ClassOnDisk) -> None:
    """Every game that is planned, or every two teams where none is; one pair where two are named."""
    assert grouper("handicap", disk.file, "--lesson", 1, "--activity", "Cup").out.count("(") == 3
    grouper("games", disk.file, "--lesson", 1, "--activity", "Cup", "--courts", 1)
    said = grouper("handicap", disk.file, "--lesson", 1, "--activity", "cup", "--to", 11).out
    assert said.splitlines()[0] == "For games to 11 points:" and said.count("slot ") == 3
    two = grouper("handicap", disk.file, "--lesson", 2, "--teams", 1, 2, "--strand", "skill", "--zone", 0.3).out
    assert "about 20 points" in two and "zone for" in two


def test_a_handicap_says_where_the_plan_calls_teams_even(tmp_path: Path) -> None:
    """Even within the tolerance of `fairness`: said beside each such game, and once why it may get a start."""
    made = a_class(
        tmp_path, 12, [activity(1, "Cup", groups=3, aim="balanced"), activity(2, "Tag", groups=2, aim="similar")]
    )
    made.plan()
    (cup,) = [
        one for one in json.loads(grouper("fairness", made.file, "--json").out)["spreads"] if one["activity"] == "Cup"
    ]
    assert cup["spread"] <= cup["tolerance"]
    said = grouper("handicap", made.file, "--lesson", 1, "--to", 40).out
    assert said.count("even teams, ") == 3
    assert ("starts with" in said) == ("Where the ratings are rough, even teams play without one." in said)
    uneven = grouper("handicap", made.file, "--lesson", 2).out
    assert "starts with" in uneven and "even teams" not in uneven.casefold()


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (["--lesson", 2, "--strand", "speed"], "no rating 'speed'"),
        (["--lesson", 2, "--strand", "skill", "--teams", 1, 9], "no group 9"),
        (["--lesson", 2, "--teams", 1, 1], "against itself"),
        (["--lesson", 2, "--strand", "skill", "--to", 11, "--about", 20], "--to or --about"),
        (["--lesson", 2, "--strand", "skill", "--to", 0], "1 to 200"),
        (["--lesson", 2, "--strand", "skill", "--zone", 2], "0 to 1"),
        (["--lesson", 2, "--trust", 0], "above 0 to 1"),
        (["--lesson", 1], "2 activities"),
    ],
)
def test_handicaps_that_cannot_be_told(disk: ClassOnDisk, arguments: list[object], word: str) -> None:
    """With what to say instead."""
    assert word in grouper("handicap", disk.file, *arguments, status=2).err


@pytest.mark.parametrize(
    "arguments",
    [
        ("report", "--to", "unit.pdf"),
        ("export", "--groups", "groups.xlsx"),
        ("calendar", "--to", "unit.csv"),
        ("games", "--teams", "4", "--courts", "1", "--to", "games.pdf"),
        ("tasks", "--write", "tasks.xlsx"),
    ],
)
def test_a_file_is_not_named_as_another_kind(disk: ClassOnDisk, arguments: tuple[str, ...]) -> None:
    """A page called .pdf opens nowhere: refused with the ending that it has, and nothing is written."""
    name, *rest = arguments
    file = disk.folder / rest.pop()
    own = () if "--teams" in rest else (disk.file,)
    assert f"not {file.suffix}" in grouper(name, *own, *rest, file, status=2).err
    assert not file.exists()


def test_a_way_of_scoring_stands_on_every_sheet_and_its_points_make_the_table(disk: ClassOnDisk) -> None:
    """One sentence for wall, courts and teacher; by hand, 12 won and 5 lost is 7: team 2 wins by its 9."""
    said = grouper("tasks", disk.file, "--activity", "cup", "--scoring", "Gefahrenzone 5").out
    rule = "1 point for each hit; whoever is in the danger zone loses 5."
    assert f"Points in Cup (danger zone 5): {rule}" in said
    grouper("games", disk.file, "--lesson", 1, "--activity", "Cup", "--courts", 1, "--to", disk.folder / "games.csv")
    grouper("sheets", disk.file, "--lesson", 1, "--to", disk.folder / "out")
    for sheet in ("wall", "teacher", "activity-2-games-wall", "activity-2-games-courts"):
        page = (disk.folder / "out" / f"lesson-01-{sheet}.html").read_text(encoding="utf-8")
        assert rule in page, sheet
    grouper("score", disk.file, "--lesson", 1, "--activity", "Cup", "1=12", "2=9", "--lost", "1=5")
    table = grouper("standings", disk.file).out
    assert [line.split()[1] for line in table.splitlines() if line.split()[:1] == ["1"]] == ["2"]
    grouper("tasks", disk.file, "--activity", "Cup", "--scoring", "class total")
    assert "makes no table" in grouper("standings", disk.file, status=2).err
    assert "the class: 16 points" in grouper("tasks", disk.file, "--lesson", 1).out
    for wrong, word in {"whatever": "no way of scoring", "danger zone 99": "use 1 to 50"}.items():
        assert word in grouper("tasks", disk.file, "--activity", "Cup", "--scoring", wrong, status=2).err
    told = grouper("tasks", disk.file, "--activity", "Cup", "--scoring", "per hit", "--rule", "for beginners", status=2)
    assert "'beginners' tells them" in told.err
    grouper("tasks", disk.file, "--activity", "Cup", "--scoring", "open")
    assert "Points in" not in grouper("tasks", disk.file, "--set-up").out


def test_points_of_groups_are_typed_beside_how_it_went(disk: ClassOnDisk) -> None:
    """Won less lost; again replaces, and a word or a count of the same group stays."""
    grouper("tasks", disk.file, "--activity", PASSING, "--scoring", "danger zone")
    felt = ("felt", disk.file, "--lesson", 1, "--round", 1)
    assert "group 2: 7 of 10" in grouper(*felt, "2=7/10").out
    said = grouper(*felt, "2=12-5", "1=8").out
    assert "group 2: 7 of 10, 7 points (12 less 5 lost)" in said and "group 1: 8 points" in said
    assert "appears twice with points" in grouper(*felt, "2=1", "2=2", status=2).err
    grouper("tasks", disk.file, "--activity", PASSING, "--scoring", "own best")
    told = grouper("tasks", disk.file, "--lesson", 1).out
    assert "Count your own points" in told and "  last time" not in told
    rows = rows_of_export(disk, "results")
    assert {(row["group"], row["points"], row["lost"]) for row in rows} == {("1", "8", "0"), ("2", "12", "5")}


@pytest.mark.parametrize("way", ["own best", "class total"])
def test_nothing_is_lost_where_points_are_counted_up(disk: ClassOnDisk, way: str) -> None:
    """Refused in words; with a rule of the teacher's own, which may take some off, it is theirs to say."""
    grouper("tasks", disk.file, "--activity", PASSING, "--scoring", way)
    felt = ("felt", disk.file, "--lesson", 1, "--round", 1)
    before = disk.file.read_bytes()
    told = grouper(*felt, "1=4-40", status=2).err
    assert "group 1 cannot lose 40" in told and way in told and disk.file.read_bytes() == before
    grouper(*felt, "1=4", "2=4-0")
    grouper("tasks", disk.file, "--activity", PASSING, "--scoring", way, "--rule", "The red cone takes 5. ")
    grouper(*felt, "1=4-5")
    grouper("tasks", disk.file, "--activity", PASSING, "--scoring", way)
    grouper(*felt, "1=easy")
    rows = {row["group"]: row["lost"] for row in rows_of_export(disk, "results")}
    assert rows["1"] == "5", "what was entered stays"


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (["--scoring", ""], "no way of scoring is named"),
        (["--scoring", "  "], "no way of scoring is named"),
        (["--scoring", "open", "--rule", "Five at the red cone."], "a rule is for a way of scoring"),
        (["--ways", "two", "--rule", "Five at the red cone."], "give it with --scoring"),
    ],
)
def test_ways_of_scoring_that_say_nothing_are_refused(disk: ClassOnDisk, arguments: list[str], word: str) -> None:
    """An empty way, and a rule without one."""
    with_steps(disk)
    before = disk.file.read_bytes()
    assert word in grouper("tasks", disk.file, "--activity", PASSING, *arguments, status=2).err
    assert disk.file.read_bytes() == before


def test_a_rule_has_no_spaces_at_its_ends_and_goes_with_its_way(disk: ClassOnDisk) -> None:
    """As it is printed."""
    grouper("tasks", disk.file, "--activity", "Cup", "--scoring", "danger zone", "--rule", "  Five  at the red cone. ")
    assert ClassFile(disk.file).read().record.challenges[0].own_rule == "Five at the red cone."
    grouper("tasks", disk.file, "--activity", "Cup", "--scoring", "open", "--rule", "Five at the red cone. ")
    assert not ClassFile(disk.file).read().record.challenges


def test_names_of_teams_and_stations_that_order_by_ability_are_told(disk: ClassOnDisk) -> None:
    """Where they are given, and with the tasks; colours say nothing."""
    games = ("games", disk.file, "--lesson", 1, "--activity", "Cup")
    said = grouper(*games, "--courts", 1, "--called", "1=Red", "--called", "2=The slow ones").out
    assert "students read 'The slow ones'" in said.replace("Students", "students") and "'Red'" not in said
    assert "tells them how able" in grouper(*games, "--called", "1=A-team").out
    grouper("stations", disk.file, "--lesson", 1, "--activity", PASSING, "--name", "Bottom group", "--name", "Mats")
    told = grouper("tasks", disk.file, "--set-up").out
    assert all(f"Students read '{name}'" in told for name in ("A-team", "The slow ones", "Bottom group"))


def test_points_of_so_many_attempts_teach_and_points_alone_say_that_they_do_not(disk: ClassOnDisk) -> None:
    """Hits and attempts follow from points where a hit is all that wins any; elsewhere it is said what to give."""
    with_steps(disk)
    felt = ("felt", disk.file, "--lesson", 1, "--round", 1)
    grouper("tasks", disk.file, "--activity", PASSING, "--scoring", "danger zone 5")
    before = grouper("tasks", disk.file, "--lesson", 1).out
    assert "Points alone teach nothing about tasks" in grouper(*felt, "2=12-5").out
    assert grouper("tasks", disk.file, "--lesson", 1).out == before
    said = grouper(*felt, "2=18-5/20").out
    assert "group 2: 18 of 20, 13 points (18 less 5 lost)" in said and "teach nothing" not in said
    assert grouper("tasks", disk.file, "--lesson", 1).out != before
    assert "cannot have succeeded" in grouper(*felt, "2=21-5/20", status=2).err
    grouper("tasks", disk.file, "--activity", PASSING, "--scoring", "per hit 3")
    assert "group 1: 4 of 10, 12 points" in grouper(*felt, "1=12-0/10").out
    assert "do not tell how many hits" in grouper(*felt, "1=13-0/10", status=2).err
    grouper("tasks", disk.file, "--activity", PASSING, "--scoring", "near misses")
    assert "do not tell how many hits" in grouper(*felt, "1=12-0/10", status=2).err
    assert "teach nothing" not in grouper(*felt, "1=12", "1=right").out


def rows_of_export(disk: ClassOnDisk, table: str) -> list[dict[str, str]]:
    path = disk.folder / f"{table}.csv"
    grouper("export", disk.file, "--table", table, "--to", path)
    return rows_of(path)


def test_cards_offer_two_ways_and_what_was_done_is_noted(disk: ClassOnDisk) -> None:
    """The two by the alphabet; what children took is what counts, in results and for later tasks."""
    with_steps(disk)
    grouper("tasks", disk.file, "--activity", PASSING, "--ways", "two")
    shown = grouper("tasks", disk.file, "--lesson", 1).out
    assert "Choose: Dribble around " in shown and "to choose: task step" in shown
    grouper("sheets", disk.file, "--lesson", 1, "--to", disk.folder / "out")
    cards = unescape((disk.folder / "out" / "lesson-01-tasks.html").read_text(encoding="utf-8"))
    assert cards.count("Choose:") == 12
    said = grouper("felt", disk.file, "--lesson", 1, "--round", 1, "2=task:step 6", "2=5/10").out
    assert f"group 2 did: {STEPS[-1]}" in said
    assert [row["settings"] for row in rows_of_export(disk, "results")] == ["step 6"]
    grouper("tasks", disk.file, "--activity", PASSING, "--ways", "one")
    assert "Choose: " not in grouper("tasks", disk.file, "--lesson", 1).out
