"""``grouper score`` and ``grouper standings``: published tables come out of their published results."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from grouper.files.cells import unguard
from grouper.files.store import ClassFile
from grouper.games.days.plan import plan
from grouper.model.play import Asked, Event, Score

from .conftest import Run, rows

# Football, men's World Cup 1994, group D, as in FIFA's published results and final table (from memory). Teams:
# 1 Argentina, 2 Greece, 3 Nigeria, 4 Bulgaria. Three have 6 points; 1 and 4 are level in difference and in goals too,
# and 4 won their game.
LEVEL_TO_THE_LAST = ("1=4 2=0", "3=3 4=0", "1=2 3=1", "4=4 2=0", "2=0 3=2", "1=0 4=2")
LEVEL_TABLE = [("3", "6", "6", "2"), ("4", "6", "6", "3"), ("1", "6", "6", "3"), ("2", "0", "0", "10")]
"""Team, points, scored, conceded, best first."""

# Rugby union, World Cup 2015, pool B, as in World Rugby's published results and final table (from memory). A win is
# worth 4, a draw 2; a bonus point for four tries and one for a loss by up to seven. Teams: 1 South Africa, 2 Scotland,
# 3 Japan, 4 Samoa, 5 USA.
WITH_BONUS = (
    ("1=32 3=34", "1=2"),
    ("4=25 5=16",),
    ("2=45 3=10", "2=1"),
    ("1=46 4=6", "1=1"),
    ("2=39 5=16", "2=1"),
    ("4=5 3=26",),
    ("1=34 2=16",),
    ("1=64 5=0", "1=1"),
    ("4=33 2=36", "4=2"),
    ("5=18 3=28",),
)
BONUS_TABLE = [("1", "16"), ("2", "14"), ("3", "12"), ("4", "6"), ("5", "0")]


def with_teams(file: ClassFile, teams: int, lesson: int = 1, legs: int = 1) -> None:
    """Games of so many teams in a lesson, whatever its groups are."""
    labels = tuple(map(str, range(1, teams + 1)))
    day = plan(Event("games", labels, ("", ""), lesson, "Games", asked=Asked(legs)))
    with file.change("games") as edit:
        edit.record = edit.record.with_event(day)


def enter(run: Run, *results: tuple[str, ...], lesson: int = 1) -> None:
    for teams, *bonus in results:
        extras = [part for text in bonus for part in ("--bonus", text)]
        assert run("score", "7b.class", *teams.split(), "--lesson", lesson, *extras).status == 0


def test_three_level_teams_as_published(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """World Cup 1994, group D: points, difference, scored, then the game between the two that are still level."""
    with_teams(file, 4)
    enter(run, *((result,) for result in LEVEL_TO_THE_LAST))
    ran = run("standings", "7b.class", "--order", "points,difference,scored,head to head", "--to", "t.csv")
    assert ran.status == 0
    table = [(row["team"], row["points"], row["scored"], row["conceded"]) for row in rows(tmp_path / "t.csv")]
    assert table == LEVEL_TABLE
    assert [row["rank"] for row in rows(tmp_path / "t.csv")] == ["1", "2", "3", "4"]


def test_without_the_last_tie_break_they_share_a_rank(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """Nothing that is chosen parts teams 1 and 4: both are second, and the next is fourth."""
    with_teams(file, 4)
    enter(run, *((result,) for result in LEVEL_TO_THE_LAST))
    run("standings", "7b.class", "--order", "points,difference,scored", "--to", "t.csv")
    assert [(row["rank"], row["team"]) for row in rows(tmp_path / "t.csv")] == [
        ("1", "3"),
        ("2", "1"),
        ("2", "4"),
        ("4", "2"),
    ]


def test_points_of_another_worth_and_bonus_points_as_published(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """World Cup 2015, pool B: 4-2-0 with bonus points."""
    with_teams(file, 5)
    enter(run, *WITH_BONUS)
    run("standings", "7b.class", "--win", 4, "--draw", 2, "--to", "t.csv")
    assert [(row["team"], row["points"]) for row in rows(tmp_path / "t.csv")] == BONUS_TABLE


def test_worth_and_order_are_remembered_and_printed(run: Run, file: ClassFile) -> None:
    """Chosen once, they hold for the next table, stand below it in words, and can be undone."""
    with_teams(file, 3)
    run("standings", "7b.class", "--win", 2, "--order", "points,wins")
    out = run("standings", "7b.class").out
    assert "A win is worth 2, a draw 1, a loss 0." in out
    assert "The order goes by who has more points; then more games won." in out
    file.undo()
    assert "A win is worth 3" in run("standings", "7b.class").out


def test_a_penalty_is_taken_off(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """A win (3) with a penalty of 2 and a fair-play point: 3 - 2 + 1 = 2 (by hand)."""
    with_teams(file, 3)
    run("score", "7b.class", "1=5", "2=3", "--lesson", 1, "--penalty", "1=2", "--bonus", "1=1")
    run("standings", "7b.class", "--to", "t.csv")
    (row,) = [row for row in rows(tmp_path / "t.csv") if row["team"] == "1"]
    assert (row["bonus"], row["penalty"], row["points"]) == ("1", "2", "2")


def test_points_lost_in_play_decide_the_game(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """12 won and 5 lost is 7, so that a team with 9 has won (by hand); undone, corrected and told as it was entered."""
    with_teams(file, 3)
    told = run("score", "7b.class", "1=12", "2=9", "--lesson", 1, "--lost", "1=5", "--bonus", "2=1")
    assert told.status == 0 and "7:9" in told.out.replace("9:7", "7:9")
    assert "team 1 won 12 and lost 5 in play" in told.out and "team 2 +1 in the table" in told.out
    run("standings", "7b.class", "--to", "t.csv")
    table = {row["team"]: row for row in rows(tmp_path / "t.csv")}
    assert [(table[t]["won"], table[t]["scored"], table[t]["conceded"]) for t in "12"] == [
        ("0", "7", "9"),
        ("1", "9", "7"),
    ]
    assert (table["2"]["points"], table["1"]["points"]) == ("4", "0")
    file.undo()
    assert not file.read().record.games[0].scored


def test_more_may_be_lost_than_won(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """2 won and 3 lost is -1, a point below a team with none; what was typed stays apart in the file."""
    with_teams(file, 3)
    assert run("score", "7b.class", "1=2", "2=0", "--lesson", 1, "--lost", "1=3").status == 0
    run("standings", "7b.class", "--to", "t.csv")
    figures = ("scored", "conceded", "won")
    table = {row["team"]: tuple(unguard(row[name]) for name in figures) for row in rows(tmp_path / "t.csv")}
    assert table["1"] == ("-1", "0", "0") and table["2"] == ("0", "-1", "1")
    (game,) = file.read().record.games[0].scored
    assert game.score and {game.score.home_lost, game.score.away_lost} == {0, 3}


def test_help_says_which_points_decide(run: Run) -> None:
    """Lost in play decides the game, bonus and penalty the table."""
    words = " ".join(run("score", "--help").out.split())
    assert "counts before the game is decided" in words
    assert "change the points in the table and nothing in the game" in words


def test_home_and_away_do_not_matter_when_a_score_is_entered(run: Run, file: ClassFile) -> None:
    """Whoever is named first, each team gets its own score."""
    with_teams(file, 3)
    run("score", "7b.class", "1=5", "2=3", "--lesson", 1)
    one = file.read().record
    file.undo()
    run("score", "7b.class", "2=3", "1=5", "--lesson", 1)
    assert file.read().record == one


def test_a_score_entered_again_replaces_the_one_before_and_can_be_taken_back(run: Run, file: ClassFile) -> None:
    """There is one result a game; taken back there is none."""
    with_teams(file, 3)
    run("score", "7b.class", "1=5", "2=3", "--lesson", 1)
    run("score", "7b.class", "1=5", "2=6", "--lesson", 1)
    (day,) = file.read().record.games
    (game,) = day.scored
    assert {game.home: game.score.home, game.away: game.score.away} == {1: 5, 2: 6} if game.score else False
    run("score", "7b.class", "1=0", "2=0", "--lesson", 1, "--take-back")
    assert not file.read().record.games[0].scored


def test_two_games_of_the_same_teams(run: Run, file: ClassFile) -> None:
    """The first without a result is meant; when both have one, the slot has to be said."""
    with_teams(file, 3, legs=2)
    for score in ("1=5 2=3", "1=0 2=7"):
        enter(run, (score,))
    (day,) = file.read().record.games
    slots = [game.slot for game in day.scored]
    assert len(slots) == 2
    ran = run("score", "7b.class", "1=1", "2=1", "--lesson", 1)
    assert ran.status == 2 and "--slot" in ran.err
    assert run("score", "7b.class", "1=1", "2=1", "--lesson", 1, "--slot", slots[1]).status == 0
    assert [game.score for game in file.read().record.games[0].scored][1] == Score(1, 1)


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (("1=5", "1=3"), "cannot play itself"),
        (("1=5", "9=3"), "there is no team 9"),
        (("1=5", "2"), "TEAM=NUMBER"),
        (("1=5", "2=x"), "is no number"),
        (("1=5", "2=-3"), "0 or more"),
        (("1=5", "2=2.5"), "whole numbers"),
        (("1=5", "2=nan"), "0 or more"),
        (("1=5", "2=3", "--bonus", "3=1"), "does not play in this game"),
        (("1=5", "2=3", "--lost", "3=1"), "does not play in this game"),
        (("1=5", "2=3", "--lost", "1=-2"), "0 or more"),
        (("1=5", "2=3", "--lost", "1=1.5"), "whole number"),
        (("1=5", "2=3", "--slot", 99), "do not meet in slot 99"),
        (("1=5", "2=3", "--activity", "Stations"), "no games yet"),
        (("1=0", "2=0", "--take-back"), "have no result to take back"),
    ],
)
def test_a_result_that_makes_no_sense_changes_nothing(
    run: Run, file: ClassFile, arguments: tuple[object, ...], word: str
) -> None:
    """Exit status 2 and what to do."""
    with_teams(file, 3)
    before = file.read()
    ran = run("score", "7b.class", *arguments, "--lesson", 1)
    assert ran.status == 2 and word in ran.err
    assert file.read() == before


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (("--order", "points,luck"), "no tie-break 'luck'"),
        (("--win", 1, "--draw", 2), "falling order"),
        (("--lesson", 9), "no lesson 9"),
        (("--lesson", 2), "no games yet"),
    ],
)
def test_a_table_that_makes_no_sense_changes_nothing(
    run: Run, file: ClassFile, arguments: tuple[object, ...], word: str
) -> None:
    """Exit status 2; a tie-break that does not exist is not remembered."""
    with_teams(file, 3)
    before = file.read()
    ran = run("standings", "7b.class", *arguments)
    assert ran.status == 2 and word in ran.err
    assert file.read() == before


def test_lessons_with_the_same_teams_add_up(run: Run, file: ClassFile) -> None:
    """Lessons 1 and 3 have the same people in each team, lesson 4 others: it stands alone, and the table says so."""
    for lesson in (1, 3):
        run("games", "7b.class", "--lesson", lesson, "--activity", "Games", "--courts", 2)
        enter(run, ("1=2 2=0",), lesson=lesson)
    assert "  team 1  3 + 3 = 6 points" in run("standings", "7b.class", "--students", "progress").out
    run("games", "7b.class", "--lesson", 4, "--courts", 2)
    enter(run, ("1=0 2=2",), lesson=4)
    out = run("standings", "7b.class").out
    assert out.startswith("Lesson 4: 1 of 15 games")
    assert "Not counted: 'Games' in lesson 1" in out and "Not counted: 'Games' in lesson 3" in out
    assert run("standings", "7b.class", "--lesson", 1, "--lesson", 3).out.startswith("Lessons 1 and 3: 2 of 30 games")


def test_students_see_the_top_or_progress_only(run: Run, file: ClassFile) -> None:
    """The top leaves out who is not in it; progress has everyone in the order of numbers, and no rank."""
    with_teams(file, 4)
    enter(run, *((result,) for result in LEVEL_TO_THE_LAST))
    top = run("standings", "7b.class", "--students", "top", "--places", 1).out
    assert "team 3" in top and not any(f"team {other}" in top for other in (1, 2, 4))
    progress = run("standings", "7b.class", "--students", "progress").out.splitlines()[1:]
    assert [line.split()[1] for line in progress] == ["1", "2", "3", "4"]
    assert not any(line.split()[0].isdigit() for line in progress)


def test_points_below_nothing_have_a_minus_and_no_hyphen(run: Run, file: ClassFile) -> None:
    """1 less 10 and 2 less 5, by hand: the game is minus 9 to minus 3, for the teacher and in the table."""
    with_teams(file, 2)
    scored = run("score", "7b.class", "1=1", "2=2", "--lost", "1=10", "--lost", "2=5", "--lesson", 1)
    assert scored.status == 0 and "−3:−9" in scored.out
    table = run("standings", "7b.class").out
    assert "−9:−3" in table and "−6" in table and "-" not in table


def test_a_terminal_without_the_sign_gets_a_hyphen_and_no_question_mark() -> None:
    """Windows-1252 has no minus (Unicode's mapping table CP1252.TXT); a score must not lose it."""
    code = "from grouper.faces.cli.terminal import clean_streams as c; c(); print('\\u22129:\\u22123', '\\u6797')"
    environment = {**os.environ, "PYTHONIOENCODING": "cp1252"}
    printed = subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, check=True).stdout
    assert printed.split() == [b"-9:-3", b"?"]
