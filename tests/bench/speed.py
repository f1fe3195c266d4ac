"""How long the everyday commands take as whole processes, as ratios to bare Python and to importing numpy; and a plan
of a usual class within a process: until there are first groups to look at, and until it is made.

Run: ``python tests/bench/speed.py`` from a checkout with grouper installed. Prints tables; measures nothing in tests.
"""

from __future__ import annotations

import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from random import Random

from measure import calibration
from units import STRAND, drawn_apart, drawn_roster

from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.plan import plan_unit

RUNS = 15
GROUPER = [str(Path(sys.executable).with_name("grouper"))]
ROSTERS = Path(__file__).resolve().parents[2] / "rosters_demo"


def seconds(command: list[str]) -> float:
    """Wall-clock time of one run."""
    begin = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return time.perf_counter() - begin


def median(command: list[str], before: object = None) -> float:
    """The median of RUNS runs after one to warm up; ``before`` is called ahead of each."""
    times = []
    for _ in range(RUNS + 1):
        if callable(before):
            before()
        times.append(seconds(command))
    return statistics.median(times[1:])


def usual_class(people: int) -> ClassRecord:
    """Eight lessons, 28 rounds: twice in pairs and a balanced game of fours, every other time balanced threes before
    it; six apart."""
    chance = Random(people)
    roster = drawn_roster(people, "bell", chance)
    passing, drill = Activity("passing", size=2, rounds=2), Activity("drill", "balanced", 3, strand=STRAND)
    game = Activity("game", "balanced", 4, strand=STRAND)
    parts = ((passing, game), (passing, drill, game))
    unit = Unit(tuple(Lesson(number, parts[number % 2]) for number in range(1, 9)))
    return ClassRecord(roster, unit, drawn_apart(roster, 6, chance))


def planned_in(people: int) -> tuple[float, float, float]:
    """Wall and CPU seconds until the first groups that keep all hard wishes, and CPU seconds of the whole plan."""
    record, first = usual_class(people), []

    def watch(share: float, cost: float) -> bool:
        first.append((time.perf_counter() - begin, time.process_time() - begin_cpu))
        return True

    begin, begin_cpu = time.perf_counter(), time.process_time()
    plan_unit(record, watch=watch)
    return *first[0], time.process_time() - begin_cpu


def print_plans() -> None:
    """A row a class; the first plan of a process loads what plans need, so one is made before."""
    loaded = planned_in(24)
    print(f"\nsmall loop {1000 * calibration():.0f} ms of CPU time; the first plan of the process: "
          f"{loaded[0]:.2f} s to first groups\n")
    print("| usual class: 8 lessons, 28 rounds | first groups, s | of CPU | asked | whole plan, CPU s | asked |")
    print("|---|---|---|---|---|---|")
    for people in (24, 27, 30):
        columns = zip(*(planned_in(people) for _ in range(3)), strict=True)
        wall, cpu, whole = (statistics.median(column) for column in columns)
        print(f"| {people} students | {wall:.2f} | {cpu:.2f} | 0.3 | {whole:.2f} | 2 |")


def main() -> None:
    """Measure and print."""
    print_plans()
    bare = median([sys.executable, "-c", "pass"])
    numpy = median([sys.executable, "-c", "import numpy"])
    print(f"bare python {1000 * bare:.0f} ms, import numpy {1000 * numpy:.0f} ms (medians of {RUNS} runs)\n")
    print("| command | ms | ratio | asked |\n|---|---|---|---|")
    helped = median([*GROUPER, "--help"])
    print(f"| grouper --help | {1000 * helped:.0f} | {helped / bare:.1f} x bare python | at most 10 |")
    with tempfile.TemporaryDirectory() as folder:
        planned, absent = _on_the_hard_class(Path(folder))
    ratios = f"{absent / numpy:.1f} x import numpy | at most 4"
    print(f"| grouper absent, class of 30, 10 lessons, 41 rounds | {1000 * absent:.0f} | {ratios} |")
    print(f"| grouper plan, the same class | {1000 * planned:.0f} | {planned / numpy:.0f} x import numpy | seconds |")


def _on_the_hard_class(folder: Path) -> tuple[float, float]:
    tables = [part for name in ("roster", "lessons", "requests")
              for part in (f"--{name}", str(ROSTERS / "hard" / f"{name}.csv"))]
    saved, used = folder / "saved.class", folder / "used.class"
    planned = seconds([*GROUPER, "plan", str(saved), *tables])
    student = (ROSTERS / "hard" / "roster.csv").read_text(encoding="utf-8").splitlines()[5].split(",")[0]
    absent = median([*GROUPER, "absent", str(used), "--lesson", "4", student], lambda: shutil.copy(saved, used))
    return planned, absent


if __name__ == "__main__":
    main()
