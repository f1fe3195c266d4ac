"""The same input and seed give the same plan, in this process and in any other."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from builders import STRAND, class_of, pairs, quick, record_of, roster_of

from grouper.model.record import ClassRecord
from grouper.model.unit import Activity

pytestmark = pytest.mark.whole_search  # as in the other processes, whose searches nobody shortens

HERE = Path(__file__).parent.parent

PROGRAM = """
import sys
sys.path[:0] = [{tests!r}, {root!r}]
from builders import apart, class_of, pairs, quick, together
from grouper.model.unit import Activity
from grouper.planning.attend import absent
record = class_of(
    11, pairs(2), Activity("Game", size=4), lessons=3,
    requests=(apart("s01", "s02"), apart("s03", "s09"), together("s04", "s05")),
)
planned = quick(record, seed=7)
print(planned.plan)
print(absent(planned, 2, ("s06",)).record.plan)
try:
    quick(class_of(6, pairs(), requests=tuple(apart("s01", f"s{{n:02}}") for n in range(2, 7))))
except Exception as error:
    print(error, error.clash)
"""


def printed(hash_seed: str) -> str:
    program = PROGRAM.format(tests=str(HERE), root=str(HERE.parent))
    run = subprocess.run(
        [sys.executable, "-c", program],
        env={**os.environ, "PYTHONHASHSEED": hash_seed},
        capture_output=True,
        text=True,
        check=True,
    )
    return run.stdout


def test_same_plan_in_processes_with_other_hash_seeds() -> None:
    """Plan, repair and refusal are the same to the letter whatever the order in which sets are walked."""
    first, second, third = (printed(seed) for seed in ("0", "1", "4242"))
    assert first == second == third
    assert first.count("Plan(") == 2


def mixed() -> ClassRecord:
    ratings = [1 + n % 5 for n in range(12)]
    teams = Activity("Game", "balanced", groups=3, strand=STRAND)
    return record_of(roster_of(12, ratings), pairs(2), teams, lessons=2)


def test_same_seed_same_plan() -> None:
    """Twice the same, labels and roles included."""
    assert quick(mixed(), seed=3).plan == quick(mixed(), seed=3).plan


def test_other_seed_other_plan() -> None:
    """A teacher who does not like a plan can have another one."""
    assert quick(class_of(12, pairs(3)), seed=1).plan != quick(class_of(12, pairs(3)), seed=2).plan
