"""Scale: from a class to a sports day, and a whole school. ``python tests/bench/scale.py`` (some minutes).

Every camp is planned in a process of its own, so that its peak memory is its own. Prints a table and writes
``docs/quality/scale.md`` and ``scale.svg``. Time is CPU time; as a ratio to a small loop it compares machines.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import time
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass
from math import log
from pathlib import Path

from camps import GRID, OTHERS, PEOPLE, ROUNDS, Camp, school
from log_plot import Line, LogPlot
from measure import calibration, quality_of, timed
from report import table

from grouper.planning.plan import plan_unit
from grouper.planning.several import plan_school

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "quality"
SECONDS_ASKED, MEMORY_ASKED, CLASSES = 60, 1000, 60
HEAD = (
    "people", "rounds", "in groups of", "aim", "CPU s", ": loop", "peak MB", "broken requests", "repeats", "bound",
    "meeting cost", "worst spread",
)


@dataclass(frozen=True)
class Measured:
    """A camp as it was planned: CPU seconds, peak memory of its process in MB, and how good the plan is."""

    cpu: float
    memory: float
    breaches: int
    repeats: int
    bound: int
    meeting_cost: int
    spread: float | None


def measure(camp: Camp) -> Measured:
    """Plan a camp by usual effort, in this process."""
    record = camp.record()
    outcome, spent = timed(lambda: plan_unit(record))
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    quality = quality_of(record, outcome.plan)
    return Measured(
        spent.cpu, memory, quality.breaches, quality.repeats, quality.bound, quality.meeting_cost, quality.spread
    )


def apart(camp: Camp) -> Measured:
    """The same in a process of its own."""
    command = [sys.executable, __file__, json.dumps(asdict(camp))]
    said = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    return Measured(**json.loads(said))


def row(camp: Camp, found: Measured, loop: float) -> tuple[object, ...]:
    """A line of the table."""
    return (
        camp.people, camp.rounds, camp.size, camp.aim, found.cpu, round(found.cpu / loop), round(found.memory),
        found.breaches, found.repeats, found.bound, found.meeting_cost, found.spread,
    )


def exponent(small: tuple[float, float], large: tuple[float, float]) -> float:
    """With which power the second number grows in the first."""
    return log(large[1] / small[1]) / log(large[0] / small[0])


def growth(found: dict[Camp, Measured]) -> Iterator[str]:
    """How time grows between the ends of the grid, in words."""
    few, most = 300, PEOPLE[-1]
    for rounds in ROUNDS:
        ends = [(float(people), found[Camp(people, rounds)].cpu) for people in (few, most)]
        yield f"- {rounds} rounds, {few} to {most} people: people to the power of {exponent(*ends):.2f}"
    for people in (few, most):
        ends = [(float(rounds), found[Camp(people, rounds)].cpu) for rounds in (ROUNDS[0], ROUNDS[-1])]
        yield f"- {people} people, {ROUNDS[0]} to {ROUNDS[-1]} rounds: rounds to the power of {exponent(*ends):.2f}"


def picture(found: dict[Camp, Measured]) -> str:
    """CPU seconds over people, a line for each number of rounds, and how a square would grow."""
    lines = [
        Line(f"{rounds} rounds", tuple((float(people), found[Camp(people, rounds)].cpu) for people in PEOPLE))
        for rounds in ROUNDS
    ]
    start = 300, found[Camp(300, ROUNDS[0])].cpu
    square = tuple((float(people), start[1] * (people / start[0]) ** 2) for people in (300, 1000))
    lines += [Line("squared", square, dashed=True), Line("a minute", ((10.0, 60.0), (1000.0, 60.0)), dashed=True)]
    return LogPlot("CPU seconds of a plan, in fours with even teams", "people", "CPU seconds", tuple(lines)).svg()


def whole_school(loop: float) -> str:
    """A school of classes on a pool of processes, in words."""
    before = _cpu_of_children()
    begin = time.perf_counter()
    with ProcessPoolExecutor(1) as processes:
        answers = plan_school(school(CLASSES), processes, seed=1)
    wall, cpu = time.perf_counter() - begin, _cpu_of_children() - before
    refused = sum(answer.refusal is not None for answer in answers)
    return (
        f"{CLASSES} classes of the realistic units by usual effort in one process of a pool: {cpu:.0f} s of CPU time "
        f"({cpu / loop:.0f} : loop), {wall:.0f} s by the clock; {refused} refused."
    )


def _cpu_of_children() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


NOTES = """## Where plan and bound are far apart

The bound is right in each of these rows: it holds, and nobody has a plan at it. What stands between is this.

- *60 people, 20 rounds in fours.* Fours have at most 19 rounds without a repeat; 17 are known here, see
  [designs.md](designs.md), so that three rounds repeat. Without requests and with new partners alone 84 repeats are
  reached, above 30; with even teams 93; with the requests, of which one keeps a pair together for all 20 rounds (19
  repeats that the bound has, too) and breaks each round of a schedule, 157 to 164 above 51. Whether there are schedules
  of 18 or 19 rounds is open here; none is in the catalogue.
- *300 people, 20 rounds in tens.* For 30 groups of ten 6 rounds without a repeat are known here, as 30 is no power of a
  prime, and so large a class is searched by exchange alone. New partners alone, without requests, come to 867 above 0;
  even teams and requests to 1,015 above 133. The bound is a count of pairs; what lies between the two is not known.
- *30 people, 10 rounds in fours, even teams.* 49 repeats above 0 was the price of even teams. Now there is none, and
  teams are up to 2.25 apart: weighed together as 28 repeats, where no plan weighs less than 4.3
  ([proofs.md](proofs.md)). The bound on repeats is right, and says nothing of evenness.
"""


def page(found: dict[Camp, Measured], loop: float, of_school: str) -> str:
    """The whole page."""
    asked = found[Camp(PEOPLE[-1], ROUNDS[-1])]
    return "\n".join([
        "# Scale",
        "",
        f"{time.strftime('%Y-%m-%d')}, one core; small loop {1000 * loop:.0f} ms of CPU time. Written by "
        "`python tests/bench/scale.py`.",
        "",
        f"Asked: {PEOPLE[-1]} people, {ROUNDS[-1]} rounds, requests and even teams within {SECONDS_ASKED} s and "
        f"{MEMORY_ASKED} MB. Reached: {asked.cpu:.1f} s of CPU time and {asked.memory:.0f} MB, {asked.repeats} repeats "
        f"(no plan can have fewer than {asked.bound}), {asked.breaches} broken requests.",
        "",
        "A tenth of the people is kept apart from somebody, and a twentieth is together with somebody, in every round: "
        "those meet again each time, which the bound counts. Spread is of team averages on ratings from 1 to 5; half "
        "a step is the tolerance.",
        "",
        "![CPU seconds over people](scale.svg)",
        "",
        "How the time grows:",
        "",
        *growth(found),
        "",
        "A wide board (120 people or more) gets a fixed number of scorings for each round, and a scoring looks at some "
        "fifty people against all others: the work is linear in rounds and in people by design, and what the table "
        "shows is that it suffices. Smaller classes are searched all swaps at once.",
        "",
        table(HEAD, [row(camp, result, loop) for camp, result in found.items()]),
        "",
        "## A whole school",
        "",
        of_school,
        "",
        NOTES,
    ])


def measured(camps: Iterable[Camp], loop: float) -> dict[Camp, Measured]:
    """All camps one after the other, each told as it is done."""
    found: dict[Camp, Measured] = {}
    for camp in camps:
        found[camp] = apart(camp)
        print(" · ".join(map(str, row(camp, found[camp], loop))), flush=True)
    return found


def main() -> None:
    """Measure one camp that is given, or all of them."""
    if len(sys.argv) > 1:
        print(json.dumps(asdict(measure(Camp(**json.loads(sys.argv[1]))))))
        return
    loop = calibration()
    found = measured([*GRID, *OTHERS], loop)
    FOLDER.mkdir(parents=True, exist_ok=True)
    (FOLDER / "scale.svg").write_text(picture(found), encoding="utf-8")
    text = page(found, loop, whole_school(loop))
    (FOLDER / "scale.md").write_text(text, encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
