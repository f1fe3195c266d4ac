"""Repair on the day, counted from outside: nobody moves who need not, and nothing else changes."""

from __future__ import annotations

import random
from collections.abc import Sequence
from pathlib import Path

import pytest

from .outside import OneRound, Seen, faults, sizes_wanted, trio_turns_before
from .shell import grouper
from .tables import ClassOnDisk, a_class, activity


def fewest_moves(before: Sequence[int], after: Sequence[int]) -> int:
    """How many must change their group at least: those who are left stand in groups of these sizes, and groups of
    other sizes are wanted.

    A group that keeps its label keeps as many as both sizes allow; largest with largest keeps most, as for any
    a >= b and c >= d it holds that min(a, c) + min(b, d) >= min(a, d) + min(b, c).
    """
    large = sorted(before, reverse=True)
    return sum(after) - sum(map(min, large, sorted(after, reverse=True)))


def moves(before: OneRound, after: OneRound) -> int:
    """How many of those who are in both stand in a group with another label."""
    was = {student: label for label, members in before.groups.items() for student in members}
    return sum(was[student] != label for label, members in after.groups.items() for student in members)


def away(seen: Seen, lesson: int, students: Sequence[str], since: int = 1) -> Seen:
    """The class after ``grouper absent``."""
    grouper("absent", seen.disk.file, "--lesson", lesson, *students, "--from-round", since)
    return looked_at(Seen(seen.disk, {**seen.out, **{(lesson, student): since for student in students}}))


def looked_at(seen: Seen) -> Seen:
    """The class with its rounds read now, before anything changes."""
    assert seen.rounds
    return seen


def assert_fewest_moves(before: Seen, after: Seen, lesson: int) -> None:
    """In each round of the lesson as few move as the sizes ask for, and no other lesson is different."""
    assert faults(after) == []
    for old, new in zip(before.rounds, after.rounds, strict=True):
        if old.place[0] != lesson:
            assert (old.groups, old.roles) == (new.groups, new.roles)
            continue
        here = after.here(new.place)
        left = [len(here & set(members)) for members in old.groups.values()]
        wanted = sizes_wanted(new.activity["size"], new.activity["groups"], len(here))
        assert moves(old, new) == fewest_moves(left, wanted), new.place


def planned(folder: Path, students: int, *rows: tuple[object, ...], seed: int = 1) -> Seen:
    disk = a_class(folder, students, rows, seed=seed)
    disk.plan("--seed", seed)
    return looked_at(Seen(disk))


def test_one_absent_of_an_even_class_changes_one_pair_in_each_round(tmp_path: Path) -> None:
    """The partner who is left joins one pair, and all others stay as they are."""
    before = planned(tmp_path, 12, activity(1, "pairs", 2, rounds=4))
    after = away(before, 1, ["k05"])
    assert_fewest_moves(before, after, 1)
    for old, new in zip(before.rounds, after.rounds, strict=True):
        assert sum(members not in old.groups.values() for members in new.groups.values()) == 1


def test_in_fours_of_28_nobody_else_moves(tmp_path: Path) -> None:
    """A four becomes a three, and that is all."""
    before = planned(tmp_path, 28, activity(1, "fours", 4, rounds=3))
    after = away(before, 1, ["k17"])
    for old, new in zip(before.rounds, after.rounds, strict=True):
        assert moves(old, new) == 0
        without = [[s for s in members if s != "k17"] for members in old.groups.values()]
        assert sorted(map(sorted, without)) == sorted(map(sorted, new.groups.values()))


@pytest.mark.parametrize("number", range(9))
def test_fewest_moves_whoever_is_away(tmp_path: Path, number: int) -> None:
    """One, several or many away, from the first round or later, in classes odd and even, pairs, threes and teams."""
    draw = random.Random(number)
    students = draw.randint(8, 26)
    rows = [activity(1, "one", 2, rounds=2), activity(2, "pairs", 2, rounds=2), activity(2, "threes", 3)]
    rows += [activity(2, "teams", groups=draw.randint(2, 5), rounds=2), activity(3, "last", 4)]
    before = planned(tmp_path, students, *rows, seed=number)
    for _ in range(3):
        here = sorted(set(before.roster) - {student for _, student in before.out})
        gone = draw.sample(here, min(len(here), draw.choice((1, 1, 2, 3, 5))))
        after = away(before, 2, gone, since=draw.choice((1, 1, 2, 4)))
        assert_fewest_moves(before, after, 2)
        before = after


def test_a_whole_trio_away_leaves_the_pairs(tmp_path: Path) -> None:
    """An odd class without its trio is an even class in pairs, as they stood."""
    before = planned(tmp_path, 11, activity(1, "pairs", 2))
    trio = next(members for members in before.rounds[0].groups.values() if len(members) == 3)
    after = away(before, 1, trio)
    assert [members for members in before.rounds[0].groups.values() if members != trio] == list(
        after.rounds[0].groups.values()
    )


def test_everybody_away_and_back_again(tmp_path: Path) -> None:
    """With nobody there is no group, and with all back the planned groups are back."""
    before = planned(tmp_path, 9, activity(1, "pairs", 2, rounds=2), activity(2, "teams", groups=3))
    text = before.disk.exported()
    assert "nobody takes part" in grouper("absent", before.disk.file, "--lesson", 1, *before.roster).out
    assert "nobody takes part" in grouper("lesson", before.disk.file, 1).out
    assert not [row for row in before.disk.exported().splitlines() if row.startswith("1,")]
    grouper("present", before.disk.file, "--lesson", 1, *before.roster)
    assert before.disk.exported() == text


def test_the_trio_goes_to_whoever_had_fewest_turns(tmp_path: Path) -> None:
    """In lesson after lesson one is away: the partner who is left joins a pair that had as few turns as any."""
    before = planned(tmp_path, 10, *(activity(lesson, "pairs", 2, rounds=2) for lesson in range(1, 6)))
    for lesson, gone in enumerate(("k01", "k04", "k07", "k02", "k09"), start=1):
        after = away(before, lesson, [gone])
        assert_fewest_moves(before, after, lesson)
        for old, new in zip(before.rounds, after.rounds, strict=True):
            if new.place[0] == lesson:
                assert_fewest_turns(after, old, new)
        before = after


def assert_fewest_turns(after: Seen, old: OneRound, new: OneRound) -> None:
    had = trio_turns_before(after, new.place)
    trio = next(members for members in new.groups.values() if len(members) == 3)
    whole = [members for members in old.groups.values() if set(members) <= after.here(new.place)]
    joined = next(members for members in whole if set(members) <= set(trio))
    assert sum(had[s] for s in joined) == min(sum(had[s] for s in members) for members in whole)


@pytest.mark.parametrize("number", range(4))
def test_requests_hold_after_absences(tmp_path: Path, number: int) -> None:
    """Whoever is away, those apart stay apart and those together stay together, and sizes are right."""
    draw = random.Random(number)
    names = [f"k{n:02d}" for n in range(1, 15)]
    draw.shuffle(names)
    requests = [("apart", names[0], other) for other in names[1:6]] + [("together", names[6], names[7])]
    rows = [activity(1, "pairs", 2, rounds=3), activity(1, "teams", groups=4), activity(2, "threes", 3)]
    disk = a_class(tmp_path, 14, rows, requests, seed=number)
    disk.plan("--seed", number)
    seen = Seen(disk)
    for gone in draw.sample(sorted(set(names) - {names[0]}), 4):
        seen = away(seen, 1, [gone])
        assert faults(seen) == []


def test_taught_lessons_never_change(tmp_path: Path) -> None:
    """Absences, newcomers, leavers and a new plan leave each row of a taught lesson as it was, to the byte."""
    disk = a_class(tmp_path, 13, [activity(lesson, "pairs", 2, rounds=2) for lesson in (1, 2, 3)])
    disk.plan()
    grouper("taught", disk.file, "--lesson", 1)
    past = of_lesson(disk, 1)
    for command in (
        ("absent", disk.file, "--lesson", 2, "k03", "--rest"),
        ("join", disk.file, "--lesson", 2, "New Newman"),
        ("leave", disk.file, "--lesson", 3, "k01"),
        ("plan", disk.file, "--effort", "quick", "--seed", 7),
    ):
        grouper(*command)
        assert of_lesson(disk, 1) == past
    assert "has been taught" in grouper("absent", disk.file, "--lesson", 1, "k05", status=2).err


def of_lesson(disk: ClassOnDisk, lesson: int) -> list[str]:
    return [row for row in disk.exported().splitlines() if row.startswith(f"{lesson},")]


def test_rest_changes_no_lesson_but_this_and_later_ones(tmp_path: Path) -> None:
    """``--rest`` leaves the lessons before, and the later ones have no more repeats than without it."""
    disk = a_class(tmp_path, 10, [activity(lesson, "pairs", 2, rounds=2) for lesson in range(1, 5)])
    disk.plan()
    copy = tmp_path / "copy.class"
    copy.write_bytes(disk.file.read_bytes())
    first = of_lesson(disk, 1)
    said = grouper("absent", disk.file, "--lesson", 2, "k03", "k04", "--rest").out
    assert "Later lessons: " in said
    assert "Lesson 3" not in said
    assert of_lesson(disk, 1) == first
    improved = Seen(disk, {(2, "k03"): 1, (2, "k04"): 1})
    assert faults(improved) == []
    grouper("absent", copy, "--lesson", 2, "k03", "k04")
    assert cost(disk.file) <= cost(copy)


def cost(file: Path) -> int:
    import json

    return int(json.loads(grouper("fairness", file, "--json").out)["meeting_cost"])
