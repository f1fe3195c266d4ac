"""Verbs of tasks, points and sides in every state of a class: before, half way and after a lesson, whoever has come,
gone, come back or goes by another id, in the next unit, handed over, and erased."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from grouper.files.store import ClassFile

from .shell import grouper
from .tables import ClassOnDisk, a_class, activity, rows_of, write_rows

PAIRS = "Passing in pairs"
KEPT = "Kid03"
"""For whom something is kept."""

Command = Sequence[object]


@pytest.fixture(scope="module")
def lived_in(tmp_path_factory: pytest.TempPathFactory) -> ClassOnDisk:
    """Twelve students, three lessons, with levers, two ways, own bests, results, a choice, games and scores."""
    solo = [activity(lesson, "Catching alone", 1) for lesson in (1, 2)]
    rows = [activity(1, PAIRS, 2, rounds=2), activity(1, "Cup", groups=3), activity(2, PAIRS, 2), activity(3, PAIRS, 2)]
    disk = a_class(tmp_path_factory.mktemp("lived"), 12, [*rows, *solo, activity(3, "Cup", groups=3)])
    disk.plan()
    first = ("--lesson", 1, "--activity")
    for command in (
        ("tasks", "--set-up"),
        ("tasks", "--activity", "Catching alone", "--ways", "two"),
        ("tasks", "--activity", "Catching alone", "--scoring", "own best"),
        ("tasks", "--activity", "Cup", "--scoring", "danger zone"),
        ("adapt", KEPT, "--always", "large ball", "--also", "seated", "--not-at", "2"),
        ("games", *first, "Cup", "--courts", 1),
        ("felt", "--lesson", 1, "--round", 1, "1=7/10", "2=easy"),
        ("felt", "--lesson", 1, "--round", 4, "1=9731"),
        ("score", *first, "Cup", "1=3", "2=2"),
        ("step", "--lesson", 2, "--round", 1, "1=ball:small"),
    ):
        run(disk, command)
    return disk


def run(disk: ClassOnDisk, command: Command, status: int = 0) -> str:
    verb, *more = command
    return grouper(verb, disk.file, *more, status=status).all


def roster(disk: ClassOnDisk, name: str, *more: Sequence[object], renumbered: bool = False) -> Path:
    """The roster with more students, or with the same ones under other ids."""
    known, path = rows_of(disk.roster), disk.folder / name
    rows = [list(row.values()) for row in known]
    if renumbered:
        rows = [[f"new-{number}", *row[1:]] for number, row in enumerate(rows)]
    write_rows(path, list(known[0]), [*rows, *more])
    return path


def in_state(disk: ClassOnDisk, state: str) -> ClassOnDisk:
    """The class as it is in a state."""
    begun: dict[str, Sequence[Command]] = {
        "before": (),
        "half way": (("taught", "--lesson", 1, "--up-to-round", 2),),
        "after": (("taught", "--lesson", 1),),
        "away": (("absent", "--lesson", 2, KEPT),),
        "aside": (("aside", "--lesson", 2, KEPT),),
        "gone": (("leave", KEPT, "--lesson", 2),),
        "back": (("leave", KEPT, "--lesson", 2), ("join", "Kid03 Fam03", "--lesson", 3, "--id", "k03")),
        "new": (("import", "--roster", roster(disk, "more.csv", ["n1", "Neo Neustadt", 3])),),
        "another id": (("import", "--roster", roster(disk, "ids.csv", renumbered=True)),),
        "next unit": (("taught", "--lesson", 1), ("next", "--lessons", disk.lessons)),
        "erased": (("erase", KEPT, "--yes"),),
    }
    if state == "handed over":
        run(disk, ("taught", "--lesson", 1))
        run(disk, ("handover", "--to", disk.folder / "next.class", "--with-requests", "--with-ratings"))
        disk.file.unlink()
        (disk.folder / "next.class").rename(disk.file)
        run(disk, ("plan", "--lessons", disk.lessons, "--effort", "quick"))
        # What a teacher's levers are stays with the teacher.
        run(disk, ("tasks", "--set-up"))
        return disk
    for command in begun[state]:
        run(disk, command)
    return disk


STATES = (
    "before", "half way", "after", "away", "aside", "gone", "back", "new", "another id", "next unit", "handed over",
    "erased",
)  # fmt: skip
VERBS: Sequence[Command] = (
    ("adapt",),
    ("adapt", KEPT, "--never", "jogging"),
    ("adapt", KEPT, "--off", "all"),
    ("felt", "--lesson", 1, "--round", 1, "2=hard"),
    ("felt", "--lesson", 2, "--round", 1, "2=5-1/10"),
    ("felt", "--lesson", 2, "--round", 1, "2", "--take-back"),
    ("score", "--lesson", 1, "--activity", "Cup", "1=4", "3=2", "--lost", "1=1"),
    ("regroup", "--lesson", 1, "--activity", "Cup", "--groups", 2),
    ("regroup", "--lesson", 2, "--activity", PAIRS, "--sides", "4+2"),
    ("tasks", "--lesson", 1),
    ("tasks", "--lesson", 2),
    ("tasks", "--moves"),
    ("tasks", "--activity", PAIRS, "--scoring", "near misses"),
    ("tasks", "--off", "--activity", PAIRS),
    ("step", "--lesson", 2, "--round", 1, "2=harder"),
    ("step", "--lesson", 2, "--round", 1, "2=ball:small"),
    ("standings",),
)


@pytest.mark.parametrize("state", STATES)
def test_every_verb_is_done_or_refused_in_words_and_can_be_taken_back(
    state: str, lived_in: ClassOnDisk, tmp_path: Path
) -> None:
    """What is refused changes nothing; a card never has the mark of somebody else; who is erased is in no answer."""
    disk = in_state(lived_in.copied(tmp_path / "state"), state)
    stands = disk.file.read_bytes()
    done = 0
    for command in VERBS:
        verb, *more = command
        try:
            said = grouper(verb, disk.file, *more).all
            done += 1
        except AssertionError:
            said = grouper(verb, disk.file, *more, status=2).err
            assert said.startswith("grouper: ") and disk.file.read_bytes() == stands, (command, said)
        assert state != "erased" or KEPT not in said or said.startswith("grouper: no student"), (command, said)
        disk.file.write_bytes(stands)
    assert done >= len(VERBS) // 2
    for lesson in (2, 3):
        cards = disk.folder / "out" / f"lesson-{lesson:02d}-tasks.html"
        grouper("sheets", disk.file, "--lesson", lesson, "--to", disk.folder / "out")
        page = cards.read_text(encoding="utf-8")
        assert page.count("9731") <= 1, "the mark is its child's alone"
        assert (KEPT in page) == (state not in {"gone", "erased"} and (lesson == 3 or state not in {"away", "back"}))
        assert ("Seated." in page) == (KEPT in page and not (state == "aside" and lesson == 2))


def test_what_is_kept_follows_the_child_and_goes_with_them(lived_in: ClassOnDisk, tmp_path: Path) -> None:
    """Through other ids and units; said to be of somebody who has left; no more there once erased."""
    told = {}
    for state in STATES:
        disk = in_state(lived_in.copied(tmp_path / state.replace(" ", "-")), state)
        told[state] = grouper("adapt", disk.file).out
    kept = {state for state in STATES if "always large ball" in told[state]}
    assert kept == set(STATES) - {"erased"}
    assert "(has left)" in told["gone"] and "(has left)" not in told["back"]


def test_games_of_other_teams_are_told_when_teams_change(lived_in: ClassOnDisk, tmp_path: Path) -> None:
    """Fewer teams where a game has a result: said at once, and not found out at the next score."""
    disk = lived_in.copied(tmp_path / "fewer")
    said = run(disk, ("regroup", "--lesson", 1, "--activity", "Cup", "--groups", 2))
    assert "The games of 'Cup' in lesson 1 are for other teams than there are now" in said
    (games,) = ClassFile(disk.file).read().record.events
    assert len(set(games.teams)) == 3, "no team stands for two"
    assert "for other teams" not in run(disk, ("regroup", "--lesson", 2, "--activity", PAIRS, "--groups", 4))
