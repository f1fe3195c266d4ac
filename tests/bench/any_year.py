"""Years of lessons that go as they will: every command in any order, and what has to hold after each of them.

A year is drawn from its number: a class, its lessons and requests, then commands one after the other, most of them
possible on that day and some not. After each of them, from outside:

- it ended with 0, 2, 3 or 4, and said something where it did not end with 0; a fault of ours ends with 6;
- a command that did not succeed left the class as it was;
- whoever is in the class and not away is in one group of each round to come, and nobody else is;
- rounds of lessons that were taught are as they were, unless the command is about the past;
- repeats by ``fairness --json`` are those counted from the exported groups;
- undo brings the class back as it was, and redo as it had become.

Run from the root of the project, for as many years as wanted::

    python -m tests.bench.any_year --first 1 --last 200
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from itertools import combinations
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from traceback import format_exc

from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord

sys.path.append(str(Path(__file__).resolve().parents[1]))  # where the tests' own helpers are, as pytest has it

from tests.cli.shell import run_here
from tests.cli.tables import LESSONS, REQUESTS, ClassOnDisk, a_class, rows_of, write_rows

PAST = {"taught", "ran", "undo", "redo", "next", "erase", "purge", "import", "leave", "join"}
"""Commands after which lessons that were taught may read otherwise: they are about the past, or rename people."""

Call = tuple[object, ...]
"""A command with its arguments; CLASS stands for the class file."""

CLASS = object()


class Year:
    """One class through a year."""

    def __init__(self, number: int, folder: Path) -> None:
        self.draw = Random(number)
        self.folder = folder
        self.disk = self._class()
        self.file = ClassFile(self.disk.file)
        self.calls: list[str] = []
        self.ended: Counter[str] = Counter()
        self.new = 0

    def _class(self) -> ClassOnDisk:
        draw, students = self.draw, self.draw.randint(5, 26)
        rows = [row for lesson in range(1, draw.randint(2, 5)) for row in self._lesson(lesson)]
        kids = [f"k{n:02d}" for n in range(1, students + 1)]
        kinds = ("apart", "apart", "together")
        requests = [(draw.choice(kinds), *draw.sample(kids, 2)) for _ in range(draw.randint(0, 3))]
        return a_class(self.folder / "year", students, rows, requests, seed=draw.randint(1, 99))

    def _lesson(self, number: int) -> list[tuple[object, ...]]:
        draw = self.draw
        kinds: list[tuple[object, ...]] = [
            ("Warm-up", 2, "", draw.randint(1, 3), 4, "fresh", ""),
            ("Passing", 2, "", draw.randint(1, 2), 5, "coaching", "skill", 0, 4),
            ("Alike", draw.choice((2, 3)), "", 1, 5, "similar", "skill"),
            ("Teams", draw.choice((3, 4, 5)), "", draw.randint(1, 3), 6, "balanced", "skill"),
            ("Cup", "", draw.randint(2, 5), 1, 20, "balanced", "skill"),
            ("Alone", 1, "", 1, 5, "", ""),
            ("Again", "", "", 1, 5, "stay", ""),
        ]
        chosen = draw.sample(kinds, draw.randint(1, 3))
        if chosen[0][0] == "Again":
            chosen = [kinds[0], *chosen]
        return [(number, *kind) for kind in dict.fromkeys(chosen)]

    @property
    def record(self) -> ClassRecord:
        return self.file.read().record

    # What may be asked for -------------------------------------------------------------------------------------------

    def kid(self) -> str:
        """Somebody of the class; now and then somebody who left, or nobody."""
        record, draw = self.record, self.draw
        chance = draw.random()
        if chance < 0.03:
            return "nobody"
        if chance < 0.1:
            return draw.choice(record.roster.students).id
        return draw.choice(record.roster.active or record.roster.students).id

    def lesson(self) -> int:
        """A lesson, mostly the first that was not taught; now and then one that is not there."""
        record, draw = self.record, self.draw
        numbers = [lesson.number for lesson in record.unit.lessons] or [1]
        chance = draw.random()
        if chance < 0.03:
            return 99
        waiting = [number for number in numbers if number not in record.taught]
        return waiting[0] if waiting and chance < 0.6 else draw.choice(numbers)

    def round_of(self, lesson: int) -> int:
        record = self.record
        rounds = sum(a.rounds for one in record.unit.lessons if one.number == lesson for a in one.activities)
        return self.draw.randint(1, max(1, rounds + (self.draw.random() < 0.05)))

    def activity(self, lesson: int) -> str:
        names = [a.name for one in self.record.unit.lessons if one.number == lesson for a in one.activities]
        return self.draw.choice(names) if names else "Warm-up"

    def labels(self, lesson: int) -> list[str]:
        rounds = self.record.plan.of_lesson(lesson)
        return [group.label for group in self.draw.choice(rounds).groups] if rounds else ["1", "2"]

    def roster_again(self) -> Call:
        """The roster with some new, some gone, some under other ids or with a name spelt anew."""
        draw, kept = self.draw, []
        for student in self.record.roster.active:
            chance = draw.random()
            if chance < 0.04:
                continue
            id_, name = student.id, student.name
            if chance < 0.08:
                id_ = f"n{draw.randint(1000, 9999)}"
            elif chance < 0.1:
                name = f"{name}-Neu"
            kept.append((id_, name, "" if chance < 0.15 else draw.randint(1, 5)))
        for _ in range(draw.choice((0, 0, 1, 2))):
            self.new += 1
            kept.append((f"x{self.new:02d}", f"Newcomer{self.new:02d} Fam", draw.randint(1, 5)))
        path = self.folder / "again.csv"
        write_rows(path, ("student_id", "name", "skill"), kept)
        return ("import", CLASS, "--roster", path, *(["--yes"] if draw.random() < 0.5 else []))

    def lessons_again(self, for_what: str) -> Path:
        path = self.folder / f"lessons-to-{for_what}.csv"
        rows = [row for lesson in range(1, self.draw.randint(2, 4)) for row in self._lesson(lesson)]
        write_rows(path, LESSONS, rows)
        return path

    def joined(self) -> Call:
        self.new += 1
        gone = [s for s in self.record.roster.students if s not in self.record.roster.active]
        if gone and self.draw.random() < 0.5:
            back = self.draw.choice(gone)
            return ("join", CLASS, back.name, "--lesson", self.lesson(), "--id", back.id)
        rating = ["--rating", f"skill={self.draw.randint(1, 5)}"] if self.draw.random() < 0.7 else []
        return ("join", CLASS, f"Guest{self.new:02d} Fam", "--lesson", self.lesson(), *rating)

    def on_the_day(self, n: int) -> dict[Call, int]:
        """Commands about who is there and in which group, with how often each is tried."""
        draw, some = self.draw, [self.kid() for _ in range(self.draw.choice((1, 1, 1, 2, 3)))]
        since = ["--from-round", self.round_of(n)] if draw.random() < 0.4 else []
        shape = draw.choice((("--groups", draw.randint(1, 7)), ("--size", draw.randint(1, 6)), ("--sides", "3+2")))
        return {
            ("absent", CLASS, "--lesson", n, *some, *since, *draw.choice(([], [], ["--best"], ["--rest"]))): 10,
            ("present", CLASS, "--lesson", n, *some, *since): 6,
            ("aside", CLASS, "--lesson", n, *some, *since): 3,
            ("swap", CLASS, "--lesson", n, self.kid(), self.kid(), *self.one_round(n)): 4,
            ("pin", CLASS, "--lesson", n, *self.one_round(n), *draw.choice(([], ["--off"]))): 3,
            ("regroup", CLASS, "--lesson", n, "--activity", self.activity(n), *shape): 5,
            self.joined(): 3,
            ("leave", CLASS, self.kid(), "--lesson", n): 3,
            ("adapt", CLASS, self.kid(), *draw.choice((("--always", "large ball"), ("--not-at", 2)))): 2,
            ("adapt", CLASS, self.kid(), "--off", "all"): 1,
        }

    def after_it(self, n: int) -> dict[Call, int]:
        """Commands about what happened."""
        draw, labels = self.draw, self.labels(n)
        one, other = draw.sample(labels, 2) if len(labels) > 1 else ("1", "2")
        cut: Call = ("--up-to-round", self.round_of(n)) if draw.random() < 0.4 else ()
        rest: Call = ("--rest-to", n + 1) if cut and draw.random() < 0.5 else ()
        felt = (f"{label}={draw.choice(('easy', 'right', 'hard', '7/10', '12-5'))}" for label in (one, other))
        of: Call = ("--activity", self.activity(n)) if draw.random() < 0.9 else ()
        left = ("--slots-left", draw.randint(0, 4))
        trouble = (("--court-closed", 1), ("--team-missing", one), left, ("--station-closed", 1))
        where = f"{self.kid()}={draw.choice([*labels, 'away', 'aside'])}"
        return {
            ("taught", CLASS, "--lesson", n, *cut, *rest, *draw.choice(([], [], ["--plan-again"]))): 9,
            ("taught", CLASS, "--lesson", n, "--take-back"): 2,
            ("ran", CLASS, "--lesson", n, *self.one_round(n), where): 4,
            ("ran", CLASS, "--lesson", n, *cut, *rest, "--note", draw.choice(("", "rain", "k01 was kind"))): 2,
            ("felt", CLASS, "--lesson", n, *self.one_round(n), *felt): 4,
            ("games", CLASS, "--lesson", n, *of, "--courts", draw.randint(1, 3), *draw.choice(([], ["--twice"]))): 3,
            ("score", CLASS, "--lesson", n, *of, *(f"{team}={draw.randint(0, 20)}" for team in (one, other))): 3,
            ("stations", CLASS, "--lesson", n, *of, "--stations", draw.randint(2, 5)): 3,
            ("resume", CLASS, "--lesson", n, *of, *draw.choice(trouble)): 3,
        }

    def at_the_desk(self, n: int) -> dict[Call, int]:
        """Commands about the class and the unit, and what is only looked at or written out."""
        draw, out = self.draw, self.folder
        quick = ("--effort", "quick")
        return {
            self.roster_again(): 3,
            ("plan", CLASS, *quick): 4,
            ("plan", CLASS, *quick, "--lessons", self.lessons_again("plan"), *draw.choice(([], ["--yes"]))): 2,
            ("next", CLASS, *quick, "--lessons", self.lessons_again("next")): 2,
            ("erase", CLASS, self.kid(), "--yes"): 1,
            ("purge", CLASS, "--yes"): 1,
            ("undo", CLASS): 5,
            ("redo", CLASS): 2,
            ("lesson", CLASS, n): 2,
            ("tasks", CLASS, "--lesson", n): 2,
            ("sheets", CLASS, "--lesson", n, "--to", out / "sheets"): 2,
            ("report", CLASS, "--to", out / "report.html"): 1,
            ("report", CLASS, "--student", self.kid(), "--to", out / "one.html"): 1,
            ("own-data", CLASS, self.kid(), "--to", out / "own.html"): 1,
            ("standings", CLASS): 1,
            ("suggest", CLASS): 1,
            ("handover", CLASS, "--to", out / f"handed{draw.randint(1, 10**9)}.class"): 1,
            ("history", CLASS): 1,
            ("export", CLASS, "--table", "attendance", "--to", out / "attendance.csv"): 1,
        }

    def one_round(self, lesson: int) -> Call:
        return ("--round", self.round_of(lesson)) if self.draw.random() < 0.6 else ()

    def call(self) -> Call:
        """A command that may come next."""
        n = self.lesson()
        ways = {**self.on_the_day(n), **self.after_it(n), **self.at_the_desk(n)}
        return self.draw.choices(list(ways), list(ways.values()))[0]

    # What has to hold ------------------------------------------------------------------------------------------------

    def go(self, steps: int) -> None:
        """Plan, then so many commands; AssertionError says what does not hold."""
        tables = ("--roster", self.disk.roster, "--lessons", self.disk.lessons, "--requests", self.disk.requests)
        planned = run_here("plan", self.disk.file, *tables, "--effort", "quick")
        assert planned.status in (0, 3), planned.all
        if planned.status:  # the requests clash: a class without them
            write_rows(self.disk.requests, REQUESTS, [])
            assert run_here("plan", self.disk.file, *tables, "--effort", "quick").status == 0
        for _ in range(steps):
            self.step(self.call())

    def step(self, call: Call) -> None:
        """One command, and what holds after it."""
        arguments = [self.disk.file if one is CLASS else one for one in call]
        self.calls.append(" ".join("CLASS" if one is CLASS else str(one) for one in call))
        before = self.file.read()
        said = run_here(*arguments)
        self.ended[f"{call[0]} {said.status}"] += 1
        after = self.file.read()
        assert said.status in (0, 2, 3, 4), said.all
        assert "Traceback" not in said.all
        if said.status:
            assert said.err.strip(), "nothing is said of why"
            assert after.record == before.record and after.version == before.version, "it failed and changed the class"
            return
        self.is_whole(after.record)
        self.hangs_together(after.record)
        if call[0] not in PAST:
            for number in after.record.taught & before.record.taught:
                now, then = after.record.plan.of_lesson(number), before.record.plan.of_lesson(number)
                assert [r.as_sets for r in now] == [r.as_sets for r in then], f"lesson {number} was taught and changed"
        if after.version != before.version and call[0] not in ("undo", "redo", "erase", "purge"):
            assert run_here("undo", self.disk.file).status == 0
            assert self.record == before.record, "undo brings something else back"
            assert run_here("redo", self.disk.file).status == 0
            assert self.record == after.record, "redo brings something else back"
        self.counts_agree(after.record)

    def is_whole(self, record: ClassRecord) -> None:
        """Each round to come has everybody who is there once."""
        for round_ in record.plan.rounds:
            placed = [student for group in round_.groups for student in group.members]
            assert len(placed) == len(set(placed)), f"somebody is twice in {round_.key}"
            if round_.key.lesson in record.taught or not _planned(record, round_.key.lesson):
                continue
            there = set(record.taking_part(round_.key))
            assert set(placed) == there, (
                f"{round_.key}: missing {sorted(there - set(placed))}, too many {sorted(set(placed) - there)}"
            )

    def hangs_together(self, record: ClassRecord) -> None:
        """What was noted belongs to a round, a group and a student that there are."""
        labels = {r.key: {group.label for group in r.groups} for r in record.plan.rounds}
        known = {student.id for student in record.roster.students}
        for one in (*record.results, *record.chosen_tasks):
            assert one.label in labels.get(one.key, ()), f"{one} belongs to no group"
        for event in record.events:
            assert len(set(event.teams)) == len(event.teams), f"two teams of {event} are the same group"
            ids = {student for one in event.assignments for side in one.lineup for student in side}
            assert ids <= known, f"{sorted(ids - known)} have a result and are nobody"
        for name, said in (
            ("absence", {a.student for a in record.absences}),
            ("request", {student for r in record.requests for student in (r.student, r.other)}),
            ("adaptation", {a.student for a in record.adaptations}),
            ("plan", {student for r in record.plan.rounds for student in r.students}),
        ):
            assert said <= known, f"{name} of {sorted(said - known)}, who is nobody"
        places = {lesson.number: len(lesson.keys) for lesson in record.unit.lessons}
        for note in record.notes:
            assert note.place <= places.get(note.lesson, -1), f"{note} is of no round"

    def counts_agree(self, record: ClassRecord) -> None:
        """Repeats of ``fairness --json`` are those of the exported groups."""
        told = run_here("fairness", self.disk.file, "--json")
        if told.status:
            assert told.status in (2, 3) and not record.plan.rounds, told.all
            return
        if run_here("export", self.disk.file, "--groups", self.folder / "groups.csv").status:
            return
        groups: dict[tuple[str, ...], list[str]] = {}
        for row in rows_of(self.folder / "groups.csv"):
            if row["group"]:
                key = (row["lesson"], row["activity"], row["round"], row["group"])
                groups.setdefault(key, []).append(row["student_id"])
        met = Counter(pair for members in groups.values() for pair in combinations(sorted(members), 2))
        facts = json.loads(told.out)
        counted = sum(times - 1 for times in met.values())
        assert facts["repeats"] == counted, f"fairness says {facts['repeats']} repeats, the groups have {counted}"


def _planned(record: ClassRecord, lesson: int) -> bool:
    return any(one.number == lesson for one in record.unit.lessons)


def run(number: int, steps: int) -> tuple[Counter[str], str]:
    """A year; how its commands ended, and what did not hold, with the commands before it."""
    with TemporaryDirectory() as folder:
        year = Year(number, Path(folder))
        try:
            year.go(steps)
        except Exception as error:
            trouble = str(error) or repr(error)
            if not isinstance(error, AssertionError):
                trouble = format_exc()
            calls = "\n".join(f"  {call}" for call in year.calls[-12:]).replace(str(folder), "DIR")
            return year.ended, f"year {number}, command {len(year.calls)}: {trouble}\n{calls}"
        return year.ended, ""


def main() -> None:
    """Print what did not hold, and how often each command ended how."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--first", type=int, default=1)
    parser.add_argument("--last", type=int, default=50)
    parser.add_argument("--steps", type=int, default=40)
    asked = parser.parse_args()
    ended: Counter[str] = Counter()
    troubles = 0
    for number in range(asked.first, asked.last + 1):
        of_year, trouble = run(number, asked.steps)
        ended += of_year
        troubles += bool(trouble)
        if trouble:
            print(trouble, flush=True)
    print(f"{troubles} of {asked.last - asked.first + 1} years with trouble; {sum(ended.values())} commands")
    print(", ".join(f"{what}: {times}" for what, times in sorted(ended.items())))


if __name__ == "__main__":
    main()
