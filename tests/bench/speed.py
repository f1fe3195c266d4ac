"""How long the everyday commands take as whole processes, as ratios to bare Python and to importing numpy.

Run: ``python tests/bench/speed.py`` from a checkout with grouper installed. Prints a table; measures nothing in tests.
"""

from __future__ import annotations

import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

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


def main() -> None:
    """Measure and print."""
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
