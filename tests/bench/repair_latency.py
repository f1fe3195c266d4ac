"""How long the repair of an absence takes in a class of thirty with ten lessons: warm, and as a whole process."""

from __future__ import annotations

import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from random import Random

from measure import timed
from units import class_of_thirty

from grouper.model.record import ClassRecord
from grouper.planning.attend import absent
from grouper.planning.plan import plan_unit

ROSTERS = Path(__file__).resolve().parents[2] / "rosters_demo"
WARM_RUNS, PROCESS_RUNS = 200, 15


@dataclass(frozen=True)
class Latency:
    """Median and 95th percentile in milliseconds: CPU and wall."""

    what: str
    cpu_median: float
    cpu_high: float
    wall_median: float
    wall_high: float


def warm_latencies() -> list[Latency]:
    """One, two and three students away from a lesson, drawn at random, in a process that has done it before."""
    record = plan_unit(class_of_thirty(), seed=1, effort="quick").record
    absent(record, 1, (record.roster.students[0].id,))
    return [_warm(record, away) for away in (1, 2, 3)]


def _warm(record: ClassRecord, away: int) -> Latency:
    chance = Random(away)
    ids = [student.id for student in record.roster.students]
    times = []
    for _ in range(WARM_RUNS):
        lesson, students = chance.randint(1, 10), tuple(chance.sample(ids, away))
        times.append(timed(lambda: absent(record, lesson, students))[1])  # noqa: B023
    return _latency(f"{away} away, warm, {WARM_RUNS} absences", [t.cpu for t in times], [t.wall for t in times])


def process_latency() -> Latency:
    """The command for a class of thirty from the shell; CPU time is that of the child process."""
    grouper = str(Path(sys.executable).with_name("grouper"))
    tables = [part for name in ("roster", "lessons", "requests")
              for part in (f"--{name}", str(ROSTERS / "hard" / f"{name}.csv"))]
    ids = [line.split(",")[0] for line in (ROSTERS / "hard" / "roster.csv").read_text(encoding="utf-8").splitlines()]
    cpu, wall = [], []
    with tempfile.TemporaryDirectory() as folder:
        saved, used = Path(folder) / "saved.class", Path(folder) / "used.class"
        subprocess.run([grouper, "plan", str(saved), *tables], check=True, capture_output=True)
        for run in range(PROCESS_RUNS):
            shutil.copy(saved, used)
            seconds = _child([grouper, "absent", str(used), "--lesson", str(2 + run % 8), ids[1 + run]])
            cpu.append(seconds[0])
            wall.append(seconds[1])
    return _latency(f"1 away, the whole command, {PROCESS_RUNS} runs", cpu, wall)


def import_numpy_seconds() -> float:
    """CPU seconds of a process that imports numpy and ends: what the whole command is held against."""
    return statistics.median(_child([sys.executable, "-c", "import numpy"])[0] for _ in range(PROCESS_RUNS))


def _child(command: list[str]) -> tuple[float, float]:
    import resource

    before, begin = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    wall, after = time.perf_counter() - begin, resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, wall


def _latency(what: str, cpu: list[float], wall: list[float]) -> Latency:
    parts = (statistics.median(cpu), _high(cpu), statistics.median(wall), _high(wall))
    return Latency(what, *(1000 * part for part in parts))


def _high(times: list[float]) -> float:
    return sorted(times)[min(len(times) - 1, int(0.95 * len(times)))]
