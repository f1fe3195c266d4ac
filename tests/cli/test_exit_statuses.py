"""Exit statuses, reasons, and a class file that is left alone unless the command succeeded."""

from __future__ import annotations

import random
import re
from collections.abc import Iterable, Iterator
from itertools import combinations, pairwise
from pathlib import Path
from time import monotonic

import pytest

from .outside import sizes_wanted
from .shell import grouper
from .tables import LESSONS, REQUESTS, ClassOnDisk, a_class, activity, write_rows

Request = tuple[object, ...]
AT_ONCE = 20.0
"""Seconds; far beyond what is needed on a busy machine, far below a search that goes astray."""


def can_be_met(students: Iterable[str], sizes: list[int], requests: Iterable[Request]) -> bool:
    """Whether students can stand in groups of these sizes as the requests ask, by trying all ways."""
    names = sorted(students)
    apart = {frozenset(map(str, r[1:3])) for r in requests if r[0] == "apart"}
    together = [frozenset(map(str, r[1:3])) for r in requests if r[0] == "together"]
    return any(True for _ in _ways(names, tuple(sizes), apart, together))


def _ways(
    names: list[str], sizes: tuple[int, ...], apart: set[frozenset[str]], together: list[frozenset[str]]
) -> Iterator[None]:
    if not names:
        yield None
        return
    for size in sorted(set(sizes)):
        rest = list(sizes)
        rest.remove(size)
        for others in combinations(names[1:], size - 1):
            group = {names[0], *others}
            if not any(pair <= group for pair in apart) and not any(len(pair & group) == 1 for pair in together):
                yield from _ways([n for n in names if n not in group], tuple(rest), apart, together)


def clash(said: str, requests: list[Request]) -> list[Request]:
    """The requests that a refusal lists, each with a sentence or with others of one student in a sentence for all."""
    lines = [line.removeprefix("  - ") for line in said.splitlines() if line.startswith("  - ")]
    listed = {pair for line in lines for pair in _pairs_listed(line)}
    return [r for r in requests if _sentence(r) in lines or (r[0], frozenset(map(_name, r[1:3]))) in listed]


def _pairs_listed(line: str) -> Iterator[tuple[str, frozenset[str]]]:
    for kind, wish in (("apart", "kept apart from"), ("together", "together with")):
        found = re.fullmatch(rf"(.+) is to be {wish} (\d+) others: (.+)", line)
        if found:
            others = found[3].split(", ")
            assert len(others) == int(found[2])
            yield from ((kind, frozenset((found[1], other))) for other in others)


def _name(student: object) -> str:
    return f"Kid{str(student)[1:]} Fam{str(student)[1:]}"


def _sentence(request: Request) -> str:
    one, other = map(_name, sorted(map(str, request[1:3])))
    return f"{one} and {other} are to be {'kept apart' if request[0] == 'apart' else 'together'}"


def assert_refused_and_untouched(disk: ClassOnDisk, requests: list[Request]) -> list[Request]:
    """No class file comes of a refusal, and one that is there stays as it is; what clashes is returned."""
    write_rows(disk.requests, REQUESTS, requests)
    before = sorted(disk.folder.iterdir())
    said = disk.plan(status=3).err
    assert sorted(disk.folder.iterdir()) == before
    write_rows(disk.requests, REQUESTS, [])
    disk.plan()
    write_rows(disk.requests, REQUESTS, requests)
    file, before = disk.file.read_bytes(), sorted(disk.folder.iterdir())
    assert disk.plan(status=3).err == said
    assert disk.file.read_bytes() == file
    assert sorted(disk.folder.iterdir()) == before
    disk.file.unlink()
    return clash(said, requests)


def apart(*names: int) -> list[Request]:
    return [("apart", f"k{one:02d}", f"k{other:02d}") for one, other in combinations(names, 2)]


def together(*names: int) -> list[Request]:
    return [("together", f"k{one:02d}", f"k{two:02d}") for one, two in pairwise(names)]


@pytest.mark.parametrize("students", [30, 60])
def test_reasons_come_at_once(tmp_path: Path, students: int) -> None:
    """In classes of 30 and 60: apart from all, a clique, apart and together, a chain too long; with others beside."""
    rows = [activity(1, "pairs", 2), activity(2, "teams", groups=4, aim="balanced")]
    disk = a_class(tmp_path, students, rows)
    beside: list[Request] = [("apart", "k25", "k26")]
    from_all: list[Request] = [("apart", "k03", f"k{n:02d}") for n in range(1, students + 1) if n != 3]
    for asked, clashing in (
        (from_all, from_all),
        (apart(1, 5, 9, 13, 17), apart(1, 5, 9, 13, 17)),
        ([*together(4, 8), *apart(8, 4)], [*together(4, 8), *apart(8, 4)]),
        (together(6, 7, 8), together(6, 7, 8)),
        ([*together(6, 7), *together(8, 9), *apart(6, 8)], []),
    ):
        begun = monotonic()
        write_rows(disk.requests, REQUESTS, [*beside, *asked])
        said = disk.plan(status=3 if clashing else 0)
        assert monotonic() - begun < AT_ONCE
        assert clash(said.err, [*beside, *asked]) == clashing


def test_a_refusal_changes_nothing(tmp_path: Path) -> None:
    """Neither a new file nor another byte in one that is there, and no litter beside it."""
    disk = a_class(tmp_path, 8, [activity(1, "pairs", 2)])
    assert assert_refused_and_untouched(disk, [*apart(7, 8), *together(1, 2, 3)]) == together(1, 2, 3)


def test_a_gap_window_out_of_reach_is_named(tmp_path: Path) -> None:
    """Ratings go from 1 to 5, so nobody differs by 5 or more: the sentence says which activity and which window."""
    disk = a_class(tmp_path, 30, [activity(1, "drill", 2, aim="coaching", gaps=(5, ""))])
    said = disk.plan(status=3).err
    assert "coaching pairs of 'drill' are to differ in skill by 5 or more" in said
    assert not disk.file.exists()


def test_a_window_and_a_request_that_clash_are_both_named(tmp_path: Path) -> None:
    """Two with one rating are to be together in a coaching pair that is to differ by 1 or more."""
    disk = a_class(tmp_path, 8, [activity(1, "drill", 2, aim="coaching", gaps=(1, ""))])
    write_rows(disk.roster, ("student_id", "name", "skill"), [(f"k{n}", f"Kid{n}", 1 + n % 4) for n in range(8)])
    write_rows(disk.requests, REQUESTS, [("together", "k0", "k4"), ("apart", "k1", "k2")])
    said = disk.plan(status=3).err
    assert [line for line in said.splitlines() if line.startswith("  - ")] == [
        "  - Kid0 and Kid4 are to be together",
        "  - coaching pairs of 'drill' are to differ in skill by 1 or more",
    ]


@pytest.mark.parametrize("size", [2, 3, 4])
def test_the_clash_is_a_smallest_one(tmp_path: Path, size: int) -> None:
    """On drawn requests: refused exactly when no way of all is one; without any one of the clash there is a way."""
    draw = random.Random(size)
    disk = a_class(tmp_path, 8, [activity(1, "drawn", size)])
    names = [f"k{n:02d}" for n in range(1, 9)]
    sizes = sizes_wanted(str(size), "", 8)
    refused = 0
    for _ in range(14):
        pairs = draw.sample(list(combinations(names, 2)), draw.randint(6, 16))
        requests: list[Request] = [(draw.choice(("apart", "apart", "apart", "together")), *pair) for pair in pairs]
        possible = can_be_met(names, sizes, requests)
        write_rows(disk.requests, REQUESTS, requests)
        said = disk.plan(status=0 if possible else 3)
        disk.file.unlink(missing_ok=True)
        if not possible:
            refused += 1
            clashing = clash(said.err, requests)
            assert not can_be_met(names, sizes, clashing)
            for request in clashing:
                assert can_be_met(names, sizes, [other for other in clashing if other != request])
    assert 3 <= refused <= 13


def test_a_leaver_without_whom_requests_cannot_be_kept_is_refused(tmp_path: Path) -> None:
    """One who may be with one other alone, and that one leaves: status 3, the reason, and the file as it was.

    On a single day the other one is away, which is a fact: it is noted, and the one who is left over works alone.
    """
    requests = [("apart", "k01", "k02"), ("apart", "k01", "k03")]
    disk = a_class(tmp_path, 4, [activity(1, "pairs", 2)], requests)
    disk.plan()
    file = disk.file.read_bytes()
    said = grouper("leave", disk.file, "--lesson", 1, "k04", status=3).err
    assert "3 students in 1 group of 3" in said
    assert disk.file.read_bytes() == file
    assert "so one works alone" in grouper("absent", disk.file, "--lesson", 1, "k04").out


@pytest.fixture(scope="module")
def planned_once(tmp_path_factory: pytest.TempPathFactory) -> ClassOnDisk:
    """A planned class of six."""
    disk = a_class(tmp_path_factory.mktemp("six"), 6, [activity(1, "pairs", 2, rounds=2)])
    disk.plan()
    return disk


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (("absent", "FILE", "--lesson", "9", "k01"), "there is no lesson 9 in this unit; its lessons are 1"),
        (("absent", "FILE", "--lesson", "1", "k99"), "no student with the id or name 'k99'"),
        (("absent", "FILE", "--lesson", "1"), "STUDENT"),
        (("absent", "FILE", "--lesson", "1", "k01", "--from-round", "5"), "lesson 1 has rounds 1 to 2, not 5"),
        (("present", "FILE", "--lesson", "1", "k01"), "is not marked as absent in lesson 1"),
        (("aside", "FILE", "--lesson", "1", "k01", "--role", " "), "--role"),
        (("swap", "FILE", "--lesson", "1", "k01", "k01"), "two different students"),
        (("taught", "FILE", "--lesson", "1", "--take-back"), "is not marked as taught"),
        (("join", "FILE", "--lesson", "1", "New", "--rating", "skil=3"), "its ratings are skill"),
        (("join", "FILE", "--lesson", "1", "New", "--rating", "skill=nan"), "STRAND=NUMBER"),
        (("join", "FILE", "--lesson", "1", "New", "--rating", "skill=inf"), "STRAND=NUMBER"),
        (("join", "FILE", "--lesson", "1", "New", "--id", "k01"), "belongs to Kid01 Fam01"),
        (("join", "FILE", "--lesson", "1", "Kid01 Fam01", "--id", "k01"), "Kid01 Fam01 (k01) is in the class already"),
        (("absent", "FILE", "--lesson", "1", "kit01 fam01"), "did you mean Kid01 Fam01"),
        (("absent", "FILE", "--lesson", "1", "kyd01"), "did you mean Kid01 Fam01"),
        (("regroup", "FILE", "--lesson", "1", "--activity", "pairs", "--size", "0"), "whole number from 1 to 1,000"),
        (("taught", "FILE", "--lesson", "1", "--up-to-round", "1", "--rest-to", "1"), "cannot go into lesson 1 itself"),
        (("score", "FILE", "--lesson", "1", "1=12"), "write both, such as 1=12 4=9"),
        (("step", "FILE", "--lesson", "1", "--round", "1", "1=harder"), "grouper tasks --set-up makes some"),
        (("tasks", "FILE", "--set-up"), "choose one for each, with --like KIND --activity NAME: Throwing"),
        (("tasks", "FILE", "--success", "300%"), "the share of success is 300%; use 50% to 95%"),
        (("adapt", "FILE", "k01", "--always", "big ball", "--never", "Big ball"), "cannot be kept always and never"),
        (("adapt", "FILE", "k01", "--off", "all"), "nothing is kept for Kid01 Fam01"),
        (("restore", "FILE", "--from", "none.class"), "there is no file none.class; name the copy"),
        (("undo", "FILE"), "there is nothing to undo"),
        (("lesson", "FILE", "7"), "there is no lesson 7"),
        (("lesson", "FILE", "--lesson", "7"), "there is no lesson 7"),
        (("lesson", "FILE"), "say which one lesson"),
        (("lesson", "FILE", "1", "--lesson", "2"), "say which one lesson"),
        (("sheets", "FILE", "--lesson", "1", "--to", "FILE"), "choose another folder"),
        (("export", "FILE", "--groups", "."), "is a folder"),
        (("export", "FILE", "--groups", "no/where.csv"), "there is no folder"),
        (("plan", "FILE", "--lessons", "none.csv"), "there is no such file"),
        (("plan", "FILE", "--lessons", "ROSTER"), "there is no column 'lesson'"),
        (("plan", "new.class"), "needs a roster"),
        (("plan", "new.class", "--roster", "ROSTER"), "has no lessons yet"),
        (("plan", "ROSTER", "--roster", "ROSTER"), "is not a class file"),
        (("fairness", "none.class"), "there is no class file"),
        (("demo", "--to", "ROSTER"), "cannot be made"),
        (("aside", "FILE", "--lesson", "1", "k01", "--role", 5000 * "x"), "the role has 5000 letters"),
        (("plan", "FILE", "--effort", 5000 * "x"), "'--effort'"),
        (("nonsense",), "No such command"),
        ((5000 * "x",), "No such command"),
    ],
)
def test_wrong_usage_ends_with_2_and_a_word(
    planned_once: ClassOnDisk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], word: str
) -> None:
    """Each says what is wrong on the error stream, ends with 2, and leaves the class file as it was."""
    disk = planned_once.copied(tmp_path / "copy")
    file = disk.file.read_bytes()
    monkeypatch.chdir(disk.folder)
    stands_for = {"FILE": str(disk.file), "ROSTER": str(disk.roster)}
    said = grouper(*(stands_for.get(argument, argument) for argument in arguments), status=2)
    assert word in said.err
    assert "Traceback" not in said.all
    assert all(len(line.replace(str(disk.folder), "")) <= 300 for line in said.err.splitlines())
    assert said.err.startswith("grouper: ") and "Usage" not in said.err
    assert disk.file.read_bytes() == file
    assert not (disk.folder / "new.class").exists()


def test_a_taught_lesson_says_how_it_is_corrected_and_opened(planned_once: ClassOnDisk, tmp_path: Path) -> None:
    """Both ways out are commands, with the number of the lesson."""
    disk = planned_once.copied(tmp_path / "copy")
    grouper("taught", disk.file, "--lesson", 1)
    said = grouper("absent", disk.file, "--lesson", 1, "k01", status=2).err
    assert "grouper ran corrects how it went" in said
    assert "grouper taught --lesson 1 --take-back opens it again" in said
    grouper("taught", disk.file, "--lesson", 1, "--take-back")
    grouper("absent", disk.file, "--lesson", 1, "k01")


def test_a_file_without_lessons_says_so(planned_once: ClassOnDisk, tmp_path: Path) -> None:
    """A handed-over class has people and no lessons: that is what is told, and how it gets some."""
    handed = tmp_path / "new.class"
    grouper("handover", planned_once.file, "--to", handed)
    assert "in this class; it has none yet" in grouper("suggest", handed, "--strand", "skill", status=2).err
    for arguments in (("lesson", handed, 1), ("absent", handed, "--lesson", 1, "k01"), ("fairness", handed)):
        said = grouper(*arguments, status=2).err
        assert "the class has no lessons yet; grouper plan --lessons FILE reads a table of them" in said


def test_an_id_without_its_zeros_is_that_student(tmp_path: Path) -> None:
    """A spreadsheet writes 7 for 007; nobody else can be meant."""
    disk = a_class(tmp_path, 6, [activity(1, "pairs", 2)])
    disk.roster.write_text(disk.roster.read_text(encoding="utf-8").replace("k0", "00"), encoding="utf-8")
    write_rows(disk.requests, REQUESTS, [("apart", "1", "2")])
    assert "requests: 1 apart" in disk.plan().out
    assert "Absent in lesson 1: Kid03 Fam03" in grouper("absent", disk.file, "--lesson", 1, "3").out


def test_games_of_a_lesson_that_is_gone_lie_aside(tmp_path: Path) -> None:
    """Who is told of them is not sent to plan them again, in a lesson that there is no more."""
    disk = a_class(tmp_path, 8, [activity(1, "pairs", 2), activity(2, "Cup", 2)])
    disk.plan()
    grouper("games", disk.file, "--lesson", 2, "--courts", 1)
    write_rows(disk.lessons, LESSONS, [activity(1, "pairs", 2)])
    said = grouper("plan", disk.file, "--lessons", disk.lessons, "--effort", "quick").out
    assert "The games of 'Cup' lie aside: lesson 2 has no such activity any more" in said
