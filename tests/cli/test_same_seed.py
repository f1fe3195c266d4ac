"""The same tables and the same seed give the same groups, to the byte, in any process."""

from __future__ import annotations

from pathlib import Path

from .shell import end, grouper, start
from .tables import a_class, activity

ROWS = [
    activity(1, "pairs", 2, rounds=2),
    activity(2, "teams", groups=4, aim="balanced"),
    activity(2, "again", aim="stay"),
    activity(3, "coach", 2, aim="coaching", gaps=(1, 4)),
    activity(4, "alike", 3, aim="similar"),
]
REQUESTS = [("apart", "k01", "k02"), ("together", "k05", "k06", 1, 2)]


def test_whatever_the_hash_seed(tmp_path: Path) -> None:
    """Processes with other hash seeds, plan and repair included, export the same bytes."""
    texts = set()
    for hash_seed in ("0", "1", "4711"):
        disk = a_class(tmp_path / hash_seed, 23, ROWS, REQUESTS)
        tables = ("--roster", disk.roster, "--lessons", disk.lessons, "--requests", disk.requests)
        for call in (
            ("plan", disk.file, *tables, "--effort", "quick", "--seed", 4),
            ("absent", disk.file, "--lesson", 3, "k07", "k08"),
        ):
            said = end(start(*call, PYTHONHASHSEED=hash_seed))
            assert said.status == 0, said.all
        texts.add(disk.exported())
    assert len(texts) == 1


def test_another_seed_another_plan(tmp_path: Path) -> None:
    """Two seeds give two plans, the first one again gives the first; without a seed the last one is used."""
    disk = a_class(tmp_path, 23, ROWS, REQUESTS)
    texts = []
    for seed in (4, 5, 4):
        disk.plan("--seed", seed)
        texts.append(disk.exported())
    disk.plan()
    assert texts[0] == texts[2] == disk.exported() != texts[1]


def test_a_plan_and_its_undo_leave_no_trace_in_the_next(tmp_path: Path) -> None:
    """A change that is taken back does not show in anything planned afterwards."""
    disk = a_class(tmp_path, 23, ROWS, REQUESTS)
    disk.plan("--seed", 4)
    grouper("absent", disk.file, "--lesson", 1, "k03")
    grouper("undo", disk.file)
    grouper("plan", disk.file, "--effort", "quick")
    other = a_class(tmp_path / "other", 23, ROWS, REQUESTS)
    other.plan("--seed", 4)
    assert disk.exported() == other.exported()
