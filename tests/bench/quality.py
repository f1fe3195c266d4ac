"""How good the plans are, measured in one run: ``python tests/bench/quality.py``.

Prints tables, writes them into ``docs/quality/solver.md``, adds a row a case to ``docs/quality/history.csv`` and names
what has become worse since the last run. Parts: ``designs`` the two reference tables, ``marks`` the figures to beat,
``units`` realistic units, ``repair`` how long a repair takes, ``scale`` hundreds of people. ``--rivals`` gives the same
units to shuffling and to going round by round; ``--whole-model N`` the first N of them also to one CP-SAT model at ten
times our time, ten seconds at least (slow).
"""

from __future__ import annotations

import argparse
import csv
import os
import platform
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import repair_latency
import report
from history import Entry, entries, keep, worse
from measure import Quality, Timed, calibration, quality_of, timed
from rivals import greedy, shuffled, whole_model
from units import Case, marked_cases, usual_cases

from grouper.engines.designs import repeat_free_rounds
from grouper.engines.kinds import least_repeats_with_even_teams
from grouper.model.problem import problem_of
from grouper.planning.mending import board_for
from grouper.planning.plan import plan_unit

REFERENCE = Path(__file__).resolve().parents[1] / "reference"
SEED = 1
TIMES_OURS = 10
LEAST_SECONDS = 10.0
NO_PLAN = ("no plan in time", None, None, None, None)


@dataclass(frozen=True)
class Run:
    """What one run is asked for: the day, the machine's small loop, classes a mark, and which rivals."""

    date: str
    loop: float
    classes: int
    rivals: bool
    whole_model: int

    def entry(self, part: str, case: str, figure: float, second: float, spent: Timed) -> Entry:
        """A row of the history."""
        numbers = (round(number, 4) for number in (spent.cpu, spent.wall))
        return Entry(self.date, round(self.loop, 4), part, case, figure, round(second, 4), *numbers)


# ---- the two reference tables ----


def designs(run: Run) -> tuple[str, list[Entry]]:
    """Rounds reached beside the best known, row by row."""
    rows, kept = [], []
    for name, sizes, known, most in _reference_rows():
        design, spent = timed(lambda: repeat_free_rounds(sizes))  # noqa: B023
        reached = len(design.rounds) if design else 0
        rows.append((name, reached, known, most, spent.cpu))
        kept.append(run.entry("designs", name, known - reached, reached, spent))
    short = sum(row[1] < row[2] for row in rows)
    beyond = sum(row[1] > row[2] for row in rows)
    head = f"{len(rows)} rows; {short} fall short of the best known, {beyond} go beyond it.\n\n"
    return head + report.table(("groups", "reached", "best known", "upper bound", "CPU s"), rows), kept


def _reference_rows() -> Iterator[tuple[str, tuple[int, ...], int, int]]:
    for row in _read("repeat_free_rounds_equal.csv"):
        sizes = (int(row["size"]),) * int(row["groups"])
        yield f"{row['groups']}x{row['size']}", sizes, int(row["best_known"]), int(row["upper_bound"])
    for row in _read("repeat_free_rounds_near_equal.csv"):
        parts = [part.split("x") for part in row["group_sizes"].split("+")]
        sizes = tuple(int(size) for number, size in parts for _ in range(int(number)))
        yield row["group_sizes"], sizes, int(row["reached"]), int(row["upper_bound"])


def _read(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


# ---- units ----


def _ours(case: Case) -> tuple[Quality, Timed]:
    outcome, spent = timed(lambda: plan_unit(case.record, seed=SEED))
    return quality_of(case.record, outcome.plan), spent


def marks(run: Run) -> tuple[str, list[Entry]]:
    """The figures to beat, several classes each."""
    rows, kept, met, limit = [], [], 0, 0
    for mark, _, case in marked_cases(run.classes):
        found, spent = _ours(case)
        least = least_repeats_with_even_teams(board_for(problem_of(case.record)))
        is_met = found.repeats <= mark.repeats and (found.spread or 0.0) <= (mark.spread or 9.0) + 0.005
        met += is_met
        limit += not is_met and found.repeats == least
        word = "yes" if is_met else ("no, nothing can" if found.repeats == least else "no")
        figures = (found.repeats, least, mark.repeats, word, found.spread, mark.spread, spent.cpu, spent.wall)
        rows.append((case.name, *figures))
        kept.append(run.entry("marks", case.name, found.repeats, found.spread or 0.0, spent))
        _say(rows[-1])
    head = (f"{met} of {len(rows)} classes are at or under the figure; in {limit} more the plan has as few repeats as "
            "any plan whose rounds are all even.\n\n")
    columns = ("class", "repeats", "least with even teams", "figure", "met", "spread", "figure", "CPU s", "wall s")
    return head + report.table(columns, rows), kept


def units(run: Run) -> tuple[str, list[Entry]]:
    """Realistic units, ours beside the rivals that were asked for."""
    rows, kept = [], []
    for number, case in enumerate(usual_cases()):
        found, spent = _ours(case)
        rows.append((case.name, "ours", *_cells(found), spent.cpu, spent.wall))
        kept.append(run.entry("units", case.name, found.repeats, found.spread or 0.0, spent))
        _say(rows[-1])
        for key, rival in _rivals(run, number, max(LEAST_SECONDS, TIMES_OURS * spent.wall)).items():
            plan, taken = timed(lambda: rival(case))  # noqa: B023
            cells = NO_PLAN if plan is None else _cells(quality_of(case.record, plan))
            rows.append(("", key, *cells, taken.cpu, taken.wall))
            _say(rows[-1])
    columns = ("unit", "by", "breaches", "repeats", "bound", "meeting cost", "spread", "CPU s", "wall s")
    return report.table(columns, rows), kept


def _cells(found: Quality) -> tuple[object, ...]:
    return found.breaches, found.repeats, found.bound, found.meeting_cost, found.spread


def _rivals(run: Run, number: int, seconds: float) -> dict[str, Callable[[Case], object]]:
    chosen: dict[str, Callable[[Case], object]] = {}
    if run.rivals:
        chosen["best of 1,000 shuffles a round"] = lambda case: shuffled(problem_of(case.record), SEED)
        chosen["round by round"] = lambda case: greedy(problem_of(case.record), SEED)
    if number < run.whole_model:
        chosen[f"one CP-SAT model, {seconds:.0f} s"] = lambda case: whole_model(
            problem_of(case.record), seconds, SEED
        )
    return chosen


# ---- repair and scale ----


def repair(run: Run) -> tuple[str, list[Entry]]:
    """Median and 95th percentile of an absence."""
    found = [*repair_latency.warm_latencies(), repair_latency.process_latency()]
    numpy = 1000 * repair_latency.import_numpy_seconds()
    rows = [(item.what, item.cpu_median, item.cpu_high, item.wall_median, item.wall_high, item.cpu_median / numpy)
            for item in found]
    kept = [run.entry("repair", item.what, round(item.cpu_median, 2), round(item.cpu_high, 2),
                      Timed(item.cpu_median / 1000, item.wall_median / 1000)) for item in found]
    columns = ("absence", "median CPU ms", "95 % CPU ms", "median wall ms", "95 % wall ms", "median : import numpy")
    return report.table(columns, rows), kept


def scale(run: Run) -> tuple[str, list[Entry]]:
    """Hundreds of people: a program of its own, with a page of its own."""
    program = Path(__file__).with_name("scale.py")
    if not program.exists():
        return "Not measured: there is no program for it.", []
    subprocess.run([sys.executable, str(program)], check=True)
    return "See [scale.md](scale.md).", []


PARTS: dict[str, Callable[[Run], tuple[str, list[Entry]]]] = {
    "designs": designs, "marks": marks, "units": units, "repair": repair, "scale": scale,
}
TITLES = {
    "designs": "Schedules without repeats", "marks": "Figures to beat", "units": "Realistic units",
    "repair": "Repair of an absence", "scale": "Hundreds of people",
}


def _say(row: tuple[object, ...]) -> None:
    print(" · ".join(f"{item:.2f}" if isinstance(item, float) else str(item) for item in row), flush=True)


def main() -> None:
    """Measure the parts that are asked for, and write them down."""
    asked = _asked()
    run = Run(time.strftime("%Y-%m-%d"), calibration(), asked.classes, asked.rivals, asked.whole_model)
    old, new = entries(), []
    for part in asked.only or PARTS:
        text, kept = PARTS[part](run)
        page = f"## {TITLES[part]}\n\n{_machine(run)}\n\n{text}"
        print(page, flush=True)
        report.write(part, page)
        keep(kept)
        new += kept
    for before, now in worse(old, new):
        print(f"worse: {now.part}, {now.case}: {before.figure:g} / {before.second:g} on {before.date}, "
              f"now {now.figure:g} / {now.second:g}")


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--only", nargs="*", choices=tuple(PARTS), help="these parts; all where none is named")
    parser.add_argument("--classes", type=int, default=3, help="classes of each shape for each figure to beat")
    parser.add_argument("--rivals", action="store_true", help="give the units to shuffling and round by round, too")
    parser.add_argument("--whole-model", type=int, default=0, metavar="N",
                        help="and the first N units to one CP-SAT model (half a minute or more each)")
    return parser.parse_args()


def _machine(run: Run) -> str:
    load = f", load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores" if hasattr(os, "getloadavg") else ""
    return (f"*{run.date}, Python {platform.python_version()}, one core; small loop {1000 * run.loop:.0f} ms of CPU "
            f"time{load}. CPU time is what compares; wall time is whatever else the machine did.*")


if __name__ == "__main__":
    main()
