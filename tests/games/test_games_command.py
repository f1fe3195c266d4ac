"""``grouper games`` from outside: the file that it writes, counted in plain words."""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grouper.faces.cli.entry import main
from grouper.files.store import ClassFile

from .conftest import Run, rows


def test_columns_are_exactly_those_promised(run: Run, tmp_path: Path) -> None:
    """The header is ``slot,court,home,away,duty``, lines end as RFC 4180 has them, and every cell is a number."""
    assert run("games", "--teams", 6, "--courts", 2, "--to", "games.csv").status == 0
    lines = (tmp_path / "games.csv").read_bytes().split(b"\r\n")
    assert lines[0] == b"slot,court,home,away,duty"
    assert all(cell.isdigit() for line in lines[1:-1] for cell in line.split(b","))


# Games on courts: slots >= ceil(n(n - 1)/2 / min(courts, n // 2)); the figures are that bound, by hand.
@pytest.mark.parametrize(("teams", "courts", "slots"), [(6, 2, 8), (7, 2, 11), (8, 3, 10), (9, 3, 12), (10, 4, 12)])
def test_as_few_slots_as_the_bound_allows(run: Run, tmp_path: Path, teams: int, courts: int, slots: int) -> None:
    """The last slot is the bound, every two teams meet once, and no team is in two places in a slot."""
    assert run("games", "--teams", teams, "--courts", courts, "--to", "g.csv").status == 0
    games = rows(tmp_path / "g.csv")
    assert max(int(game["slot"]) for game in games) == slots
    check_round_robin(games, teams, courts)


def check_round_robin(games: list[dict[str, str]], teams: int, courts: int, legs: int = 1) -> None:
    met = Counter(frozenset((int(game["home"]), int(game["away"]))) for game in games)
    assert met == {frozenset(pair): legs for pair in combinations(range(1, teams + 1), 2)}
    assert {int(game["court"]) for game in games} <= set(range(1, courts + 1))
    for slot in {game["slot"] for game in games}:
        here = [game for game in games if game["slot"] == slot]
        busy = [team for game in here for team in (game["home"], game["away"], game["duty"]) if team]
        assert len(busy) == len(set(busy))
        assert len(here) == len({game["court"] for game in here})


@settings(max_examples=12, deadline=None)
@given(teams=st.integers(2, 14), courts=st.integers(1, 8), twice=st.booleans(), duty=st.sampled_from(["spare", "none"]))
def test_any_numbers_give_a_round_robin(
    tmp_path_factory: pytest.TempPathFactory, teams: int, courts: int, twice: bool, duty: str
) -> None:
    """Whatever is asked for, every two teams meet as often as asked, and nobody is in two places."""
    path = tmp_path_factory.mktemp("games") / "g.csv"
    legs = ["--twice"] if twice else []
    with pytest.raises(SystemExit) as ended:
        main(["games", "--teams", str(teams), "--courts", str(courts), "--duty", duty, *legs, "--to", str(path)])
    assert ended.value.code == 0
    check_round_robin(rows(path), teams, courts, 2 if twice else 1)


def test_the_same_command_writes_the_same_bytes(run: Run, tmp_path: Path) -> None:
    """Nothing in it depends on the clock or on chance."""
    run("games", "--teams", 9, "--courts", 3, "--to", "one.csv")
    run("games", "--teams", 9, "--courts", 3, "--to", "other.csv")
    assert (tmp_path / "one.csv").read_bytes() == (tmp_path / "other.csv").read_bytes()


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (("--teams", 1, "--courts", 2, "--to", "g.csv"), "at least 2 teams"),
        (("--teams", 6, "--courts", 0, "--to", "g.csv"), "at least 1 court"),
        (("--teams", 6, "--courts", 2, "--minutes", -5, "--to", "g.csv"), "more than 0 minutes"),
        (("--teams", 6, "--courts", 2, "--play", -1, "--to", "g.csv"), "more than 0 minutes"),
        (("--teams", 6, "--courts", 2, "--changeover", -1, "--to", "g.csv"), "0 or more"),
        (("--teams", 6, "--courts", 2, "--minutes", 5, "--play", 6, "--to", "g.csv"), "no slot of 6 minutes fits in 5"),
        (("--teams", 6, "--courts", 2, "--minutes", 7, "--changeover", 2, "--to", "g.csv"), "for the changes alone"),
        (("--teams", 6, "--courts", 2, "--minutes", "nan", "--to", "g.csv"), "use a number from 0"),
        (("--teams", 6, "--courts", 2, "--fill", "--to", "g.csv"), "slots to fill"),
        (("--teams", 6, "--courts", 2), "--to FILE.csv"),
        (("--courts", 2, "--to", "g.csv"), "--teams N"),
        (("--teams", 6, "--courts", 2, "--lesson", 1, "--to", "g.csv"), "CLASS"),
        (("--players", 3, "--courts", 1, "--to", "g.csv"), "at least 4"),
        (("nothing.class", "--lesson", 1, "--courts", 2), "no class file"),
    ],
)
def test_bad_input_is_refused_in_a_sentence(run: Run, tmp_path: Path, arguments: tuple[object, ...], word: str) -> None:
    """Exit status 2, what to change, and no file is written."""
    ran = run("games", *arguments)
    assert ran.status == 2
    assert word in ran.err
    assert not list(tmp_path.iterdir())


def test_as_many_games_as_the_minutes_allow(run: Run, tmp_path: Path) -> None:
    """38 minutes hold five slots of 6 with 2 between (5 x 6 + 4 x 2 = 38, by hand); games stay even to one."""
    ran = run("games", "--teams", 8, "--courts", 2, "--minutes", 38, "--play", 6, "--changeover", 2, "--to", "g.csv")
    games = rows(tmp_path / "g.csv")
    played = Counter(team for game in games for team in (game["home"], game["away"]))
    assert max(int(game["slot"]) for game in games) == 5 and len(games) == 10
    assert max(played.values()) - min(played.values()) <= 1
    assert "38 minutes: 6 each, 2 to change" in ran.out


def test_without_the_length_of_a_slot_the_longest_that_fits(run: Run) -> None:
    """15 games on 3 courts take 5 slots; 44 minutes less 4 changes of 1 give 8 each (by hand)."""
    ran = run("games", "--teams", 6, "--courts", 3, "--minutes", 44, "--changeover", 1, "--to", "g.csv")
    assert "5 slots (44 minutes: 8 each, 1 to change)" in ran.out


def test_every_measure_stands_beside_its_bound(run: Run) -> None:
    """Each line of the summary says that nothing is better, or how far anything could go."""
    out = run("games", "--teams", 7, "--courts", 2, "--to", "g.csv").out.splitlines()
    measures = [line for line in out if line.startswith("  ") and not line.startswith("  slot ")]
    assert len(measures) == 13
    assert all("proven best" in line or "no schedule can go" in line for line in measures)


def test_what_to_change_so_that_nobody_waits(run: Run) -> None:
    """24 students in 6 teams, sides of 3 on 2 courts: 12 play, 2 teams of 4 are on duty, 4 wait; four half courts hold
    all 24 (by hand)."""
    out = run("games", "--teams", 6, "--courts", 2, "--students", 24, "--side", 3, "--to", "g.csv").out
    assert "83% active (50% play, 8 on duty), 4 wait" in out
    assert "Nobody waits if you do this: play across: 4 half courts with sides of 3, in 8 teams instead of 6." in out


def test_berger_tables_on_request(run: Run, tmp_path: Path) -> None:
    """The first round for six is 1-6, 2-5, 3-4 (FIDE Handbook C.05 Annex 1, Berger tables)."""
    run("games", "--teams", 6, "--courts", 3, "--order", "berger", "--to", "g.csv")
    first = [(game["home"], game["away"]) for game in rows(tmp_path / "g.csv") if game["slot"] == "1"]
    assert sorted(first) == [("1", "6"), ("2", "5"), ("3", "4")]


def test_two_against_two(run: Run, tmp_path: Path) -> None:
    """Eight players: a whist tournament Wh(8): partner everyone once, oppose everyone twice, in seven slots."""
    assert run("games", "--players", 8, "--courts", 2, "--to", "g.csv").status == 0
    sides = [(game["home"].split("+"), game["away"].split("+")) for game in rows(tmp_path / "g.csv")]
    partners = Counter(frozenset(side) for game in sides for side in game)
    opponents = Counter(frozenset((a, b)) for home, away in sides for a in home for b in away)
    everyone = [frozenset(map(str, pair)) for pair in combinations(range(1, 9), 2)]
    assert partners == dict.fromkeys(everyone, 1)
    assert opponents == dict.fromkeys(everyone, 2)


def test_teams_are_the_groups_of_the_activity(run: Run, tmp_path: Path, file: ClassFile) -> None:
    """Six groups make six teams; the games are kept in the class file, and undo takes them out again."""
    ran = run("games", "7b.class", "--lesson", 1, "--activity", "Games", "--courts", 2, "--to", "g.csv")
    assert ran.status == 0
    check_round_robin(rows(tmp_path / "g.csv"), 6, 2)
    (day,) = file.read().record.games
    assert (day.lesson, day.activity, len(day.assignments)) == (1, "Games", 15)
    assert day.teams == ("1", "2", "3", "4", "5", "6")
    assert file.undo().what == "games of 'Games' in lesson 1"
    assert file.read().record.games == ()


def test_an_activity_has_the_minutes_that_the_unit_gives_it(run: Run, file: ClassFile) -> None:
    """40 minutes hold five slots of 6 with 1 between (34), not six (41); eight of 4.5 with 0.5 take 39.5 (by hand)."""
    command = ("games", "7b.class", "--lesson", 1, "--activity", "Games", "--courts", 2)
    run(*command, "--play", 6, "--changeover", 1)
    (short,) = file.read().record.games
    run(*command, "--changeover", 0.5)
    (whole,) = file.read().record.games
    assert (short.slots, short.asked.slots) == (5, 5)
    assert (whole.slots, whole.timing.play) == (8, 4.5)


def test_an_activity_that_is_not_clear_is_asked_for(run: Run, file: ClassFile) -> None:
    """With two activities their names are listed; a name that is not there is refused; nothing is changed."""
    for name in ((), ("--activity", "Gmaes")):
        ran = run("games", "7b.class", "--lesson", 1, "--courts", 2, *name)
        assert ran.status == 2 and "'Passing', 'Games'" in ran.err
    assert run("games", "7b.class", "--lesson", 9, "--courts", 2).status == 2
    assert file.read().record.games == ()


def test_a_file_that_cannot_be_written_is_said_so(run: Run) -> None:
    """A folder that is not there: exit status 2 and what to do."""
    ran = run("games", "--teams", 6, "--courts", 2, "--to", "no/such/folder.csv")
    assert ran.status == 2 and "make it first" in ran.err
