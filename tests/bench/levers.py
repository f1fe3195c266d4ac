"""What tasks by levers and the handicaps are worth: simulated classes, written to ``docs/quality/tasks.md``.

Run from the root of the project::

    python -m tests.bench.levers            # the tables of the page
    python -m tests.bench.levers quick      # the first table, of a few classes, to look at
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from math import exp, log, sqrt
from pathlib import Path
from random import Random
from statistics import fmean, stdev
from time import perf_counter, process_time

from grouper.model.levers import At, Challenge, Lever, Needed, Setting, Store
from grouper.model.noted import TaskResult
from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, RoundKey, Unit
from grouper.tasks.rounds import RoundTasks, _round, _Walk, success_before
from grouper.tasks.success import relative_rating
from tests.bench.report import table
from tests.bench.uneven_games import handicap_tables

PAGE = Path(__file__).resolve().parents[2] / "docs" / "quality" / "tasks.md"
SEEDS, PEOPLE, LESSONS, ROUNDS, TRIES = 40, 24, 6, 3, 10
FIRST = 2000
"""The first class of the page: the classes that the model was chosen by have smaller numbers."""
STRAND, ACTIVITY = "skill", "Throwing"
TARGET, LOW, HIGH = 0.75, 0.65, 0.85
LEVERS = (("space", 3, 0), ("equipment", 3, 8), ("target", 3, 6), ("movement", 2, 0), ("action", 3, 0))
"""Name, settings, and of how many things of each setting there is enough for: 0 where it needs none."""


def challenge() -> Challenge:
    """Five levers; balls and targets are things."""
    return Challenge(ACTIVITY, tuple(_lever(name, count, things) for name, count, things in LEVERS))


def _lever(name: str, count: int, things: int) -> Lever:
    needs = [(Needed(f"{name} {step}"),) if things else () for step in range(1, count + 1)]
    return Lever(name, tuple(Setting(f"{name} {step}", "", each) for step, each in enumerate(needs, start=1)), name)


def cupboard() -> tuple[Store, ...]:
    """So many balls and targets of each kind, for twelve pairs."""
    return tuple(
        Store(f"{name} {step}", things) for name, count, things in LEVERS if things for step in range(1, count + 1)
    )


@dataclass(frozen=True)
class World:
    """The truth: abilities by student and what each setting takes off, in logits; abilities rise by ``growth`` a
    lesson."""

    abilities: dict[str, float]
    settings: tuple[tuple[float, ...], ...]
    growth: float = 0.0

    def chance(self, group: Group, at: At, lesson: int) -> float:
        """The chance of a group to succeed in an attempt: that of its members on average."""
        asked = sum(lever[place - 1] for lever, place in zip(self.settings, at, strict=True))
        return fmean(logistic(self.abilities[who] + self.growth * (lesson - 1) - asked) for who in group.members)


@dataclass(frozen=True)
class Setup:
    """A class to run: noise of the guesses (steps of a scale from 1 to 5), how results are told, how fast all learn,
    and whether things are scarce."""

    noise: float = 1.0
    told: str = "counted"
    growth: float = 0.0
    scarce: bool = True


def logistic(value: float) -> float:
    return 1 / (1 + exp(-value))


def world_and_record(setup: Setup, seed: int) -> tuple[World, ClassRecord]:
    """A class with hidden abilities and levers, guessed ratings, and pairs drawn anew each round."""
    random = Random(seed)
    truth = {f"s{place:02}": min(5.0, max(1.0, random.gauss(3, 1))) for place in range(PEOPLE)}
    guesses = {who: min(5, max(1, round(value + random.gauss(0, setup.noise)))) for who, value in truth.items()}
    students = tuple(Student(who, who, {STRAND: float(guess)}) for who, guess in guesses.items())
    activity = Activity(ACTIVITY, size=2, rounds=ROUNDS, strand=STRAND)
    unit = Unit(tuple(Lesson(number, (activity,)) for number in range(1, LESSONS + 1)))
    rounds = tuple(Round(key, _pairs(random, list(truth))) for key in unit.keys)
    record = ClassRecord(Roster(students, (STRAND,)), unit, plan=Plan(rounds), challenges=(challenge(),))
    record = replace(record, cupboard=cupboard() if setup.scarce else ())
    base = random.gauss(0, 0.5)
    abilities = {who: log(3) + base + 0.85 * (value - 3) + random.gauss(0, 0.3) for who, value in truth.items()}
    return World(abilities, _true_settings(random), setup.growth), record


def _true_settings(random: Random) -> tuple[tuple[float, ...], ...]:
    """What each setting takes off, the middle of each lever being 0; one lever may do next to nothing, another much."""
    settings = []
    for _, count, _ in LEVERS:
        rises = [max(0.0, random.gauss(0.7, 0.5)) for _ in range(count - 1)]
        sums = [sum(rises[:step]) for step in range(count)]
        settings.append(tuple(value - (sums[0] + sums[-1]) / 2 for value in sums))
    return tuple(settings)


def _pairs(random: Random, people: list[str]) -> tuple[Group, ...]:
    random.shuffle(people)
    return tuple(Group(str(place // 2 + 1), tuple(people[place : place + 2])) for place in range(0, len(people), 2))


class Chooser:
    """Chooses the task of every group of a round, and may remember how it went."""

    name = ""

    def __init__(self, world: World, record: ClassRecord) -> None:
        self.world, self.people = world, [student.id for student in record.roster.students]
        self.roster = record.roster

    def choose(self, record: ClassRecord, round_: Round) -> dict[str, At]:
        raise NotImplementedError

    def saw(self, group: Group, share: float) -> None:
        """What a teacher sees of a group; of a quick word the share that it stands for."""


class OneForAll(Chooser):
    """Every lever in its middle, which is common."""

    name = "one task for all"

    def choose(self, record: ClassRecord, round_: Round) -> dict[str, At]:
        return {group.label: challenge().middle for group in round_.groups}


PATH: tuple[At, ...] = (
    (2, 1, 1, 1, 2),
    (2, 2, 1, 1, 2),
    (2, 2, 2, 1, 2),
    (2, 2, 2, 2, 2),
    (2, 3, 2, 2, 2),
    (3, 3, 2, 2, 2),
)
"""A ladder of six tasks from easy to hard, as a teacher writes one around the middle: a step moves one lever."""


class ByEye(Chooser):
    """On a ladder of six: up after two successes, down after a failure; those of a pair meet half way."""

    name = "ladder, by eye"

    def __init__(self, world: World, record: ClassRecord) -> None:
        super().__init__(world, record)
        self.steps = {who: 1.0 + 5 * relative_rating(self.roster, STRAND, who) for who in self.people}
        self.good: Counter[str] = Counter()

    def choose(self, record: ClassRecord, round_: Round) -> dict[str, At]:
        return {group.label: PATH[self._step(group) - 1] for group in round_.groups}

    def _step(self, group: Group) -> int:
        return min(6, max(1, round(fmean(self.steps[who] for who in group.members))))

    def saw(self, group: Group, share: float) -> None:
        for who in group.members:
            self.good[who] = self.good[who] + 1 if share >= TARGET else 0
            if share < LOW:
                self.steps[who] = max(1.0, self.steps[who] - 1)
            elif self.good[who] == 2:
                self.steps[who], self.good[who] = min(6.0, self.steps[who] + 1), 0


class Staircase(ByEye):
    """On a ladder of six by the weighted up-down rule that grouper had before (Kaernbach 1991; gain 3, from memory)."""

    name = "ladder, weighted up-down"

    def saw(self, group: Group, share: float) -> None:
        ability, step = fmean(self.steps[who] for who in group.members), self._step(group)
        expected = logistic(log(3) + log(2) * (ability - step))
        moved = min(1.0, max(-1.0, 3 * TRIES / (TRIES + 2) * (share - expected)))
        for who in group.members:
            self.steps[who] = min(6.5, max(0.5, self.steps[who] + moved))


class ByLevers(Chooser):
    """What grouper suggests; one walk through the unit, as from the first round on anew for each takes ten times as
    long (``test_a_walk_that_goes_on_suggests_the_same`` of the tests of rounds)."""

    name = "by levers"

    def __init__(self, world: World, record: ClassRecord) -> None:
        super().__init__(world, record)
        self.walk = WalkThatGoesOn(record, challenge())

    def choose(self, record: ClassRecord, round_: Round) -> dict[str, At]:
        return {label: task.at for label, task in self.walk.next_round(record, round_).tasks.items()}


class WalkThatGoesOn(_Walk):
    """A walk to which the results of a round come before the next one is asked for."""

    last: Round | None = None

    def next_round(self, record: ClassRecord, round_: Round) -> RoundTasks:
        self.record = record
        if self.last:
            self._remember(self.last)
        self.done[round_.key] = _round(self, self._success(round_.key, tuple(self.seen)), round_)
        self.last = round_
        return self.done[round_.key]


class ByRatings(ByLevers):
    """The same with nothing learnt."""

    name = "by levers, ratings alone"

    def choose(self, record: ClassRecord, round_: Round) -> dict[str, At]:
        return super().choose(replace(record, results=()), round_)


class BestThereIs(Chooser):
    """Nearest to the target by the truth that nobody knows, whatever is in the cupboard."""

    name = "best there is"

    def choose(self, record: ClassRecord, round_: Round) -> dict[str, At]:
        from grouper.tasks.fitting import _all_tasks

        ats = _all_tasks(challenge().counts)
        lesson = round_.key.lesson
        return {
            g.label: min(ats, key=lambda at, g=g: abs(self.world.chance(g, at, lesson) - TARGET)) for g in round_.groups
        }


@dataclass
class Run:
    """Of one class: true chances by lesson, things fetched, and rounds that need more than there is."""

    chances: dict[int, list[float]]
    fetched: int = 0
    short: int = 0


def run(setup: Setup, seed: int, kind: type[Chooser]) -> Run:
    """One class through its unit."""
    world, record = world_and_record(setup, seed)
    chooser, random = kind(world, record), Random(seed + 1_000_000)
    there = {store.item.casefold(): store.count for store in cupboard()}
    found, laid = Run({}), Counter[str]()
    for round_ in record.plan.rounds:
        ats, results, now = chooser.choose(record, round_), [], Counter[str]()
        if round_.key.round == 1:
            laid = Counter()
        for group in round_.groups:
            at = ats[group.label]
            chance = world.chance(group, at, round_.key.lesson)
            found.chances.setdefault(round_.key.lesson, []).append(chance)
            hits = sum(random.random() < chance for _ in range(TRIES))
            result = _told(setup, round_.key, group.label, hits, at)
            results.append(result)
            # The rules on a ladder know no more than levers do: where a word was tapped, a word.
            chooser.saw(group, SHARES[result.felt] if result.felt else hits / TRIES)
            now.update(challenge().needs(at, len(group.members)))
        found.fetched += (now - laid).total() if laid else 0
        found.short += any(count > there[item] for item, count in now.items())
        laid = now
        record = replace(record, results=(*record.results, *results))
    return found


def _told(setup: Setup, key: RoundKey, label: str, hits: int, at: At) -> TaskResult:
    if setup.told == "counted":
        return TaskResult(key, label, hits=hits, tries=TRIES, at=at)
    off = hits / TRIES - TARGET
    return TaskResult(key, label, "easy" if off > 0.125 else "hard" if off < -0.125 else "right", at=at)


SHARES = {"easy": 0.95, "right": TARGET, "hard": 0.45}
"""For the rules on a ladder a word is the mean of the counts that it stands for, about."""


def mean_in_words(values: list[float], shape: str) -> str:
    """The mean over classes, with a 95 % interval."""
    half = 1.96 * stdev(values) / sqrt(len(values))
    return f"{shape.format(fmean(values))} ± {shape.format(half)}"


def inside(chances: list[float]) -> float:
    return fmean(LOW <= chance <= HIGH for chance in chances)


@cache
def runs_of(setup: Setup, kind: type[Chooser], seeds: int) -> list[Run]:
    """The same classes for every kind."""
    return [run(setup, seed, kind) for seed in range(FIRST, FIRST + seeds)]


def shares_in(runs: list[Run], lessons: Iterable[int]) -> list[float]:
    return [inside([c for lesson in lessons for c in one.chances[lesson]]) for one in runs]


ALL = tuple(range(1, LESSONS + 1))


def cells(setup: Setup, kind: type[Chooser], seeds: int) -> list[str]:
    runs = runs_of(setup, kind, seeds)
    shares = [shares_in(runs, lessons) for lessons in ((1,), (3,), (LESSONS,), ALL)]
    return [
        *(mean_in_words(values, "{:.0%}") for values in shares),
        mean_in_words([one.fetched / LESSONS for one in runs], "{:.1f}"),
        f"{fmean(one.short for one in runs) / (LESSONS * ROUNDS):.0%}",
    ]


def lead(setup: Setup, seeds: int) -> str:
    """By how much levers are ahead of the better rule on a ladder over a unit, class by class."""
    levers, ladder = (shares_in(runs_of(setup, kind, seeds), ALL) for kind in (ByLevers, Staircase))
    return mean_in_words([100 * (one - other) for one, other in zip(levers, ladder, strict=True)], "{:.0f}")


HEAD = ["lesson 1", "lesson 3", f"lesson {LESSONS}", "all lessons", "equipment changed", "over the cupboard"]
KINDS: tuple[type[Chooser], ...] = (OneForAll, ByEye, Staircase, ByRatings, ByLevers, BestThereIs)


def tasks_table(seeds: int = SEEDS) -> str:
    """With levers and without."""
    return table(["tasks", *HEAD], [[kind.name, *cells(Setup(), kind, seeds)] for kind in KINDS])


WORLDS = {
    "ratings known": Setup(noise=0.0),
    "ratings off by 1.5": Setup(noise=1.5),
    "quick words for counts": Setup(told="felt"),
    "nothing is scarce": Setup(scarce=False),
}


def worlds_table(seeds: int = SEEDS) -> str:
    """Where guesses are better or worse, results are quick words, and things are no matter."""
    return table(
        ["world", "tasks", *HEAD],
        [
            [name, kind.name, *cells(setup, kind, seeds)]
            for name, setup in WORLDS.items()
            for kind in (ByEye, Staircase, ByLevers)
        ],
    )


GROWING = Setup(growth=0.2)


def growth_table(seeds: int = SEEDS) -> str:
    """Where the whole class gets better."""
    return table(["tasks", *HEAD], [[kind.name, *cells(GROWING, kind, seeds)] for kind in (ByEye, Staircase, ByLevers)])


def leads() -> str:
    """The lead of levers in all worlds, a line each."""
    worlds = {"as above": Setup(), "where the class gets better": GROWING, **WORLDS}
    return "\n".join(f"- {name}: {lead(setup, SEEDS)}" for name, setup in worlds.items())


def learnt_table(seeds: int = SEEDS) -> str:
    """What is known of the levers themselves: how far rises are off, how honest the doubt is, and which moves most."""
    rows = []
    for lesson in (2, 3, 4, LESSONS):
        off, cover, right, sure, sure_right = [], [], [], [], []
        for seed in range(FIRST, FIRST + seeds):
            for truth, effects in _effects_before(seed, lesson):
                off.extend(abs(truth[e.lever] - e.logits) for e in effects)
                cover.extend(abs(truth[e.lever] - e.logits) <= 1.645 * e.spread for e in effects)
                strongest = max(truth, key=truth.__getitem__)
                right.append(effects[0].lever == strongest)
                if effects[0].most >= 0.8:
                    sure_right.append(effects[0].lever == strongest)
                sure.append(effects[0].most >= 0.8)
        rows.append(
            [f"before lesson {lesson}", f"{fmean(off):.2f}", f"{fmean(cover):.0%}", f"{fmean(right):.0%}",
             f"{fmean(sure):.0%}", f"{fmean(sure_right):.0%}" if sure_right else "-"]
        )  # fmt: skip
    return table(
        ["when", "off by, logits", "inside of 90 %", "the right one first", "sure of it", "right where sure"], rows
    )


def _effects_before(seed: int, lesson: int) -> Iterator[tuple[dict[str, float], tuple]]:  # type: ignore[type-arg]
    world, record = _played(seed)
    truth = {name: values[-1] - values[0] for (name, _, _), values in zip(LEVERS, world.settings, strict=True)}
    success = success_before(record, RoundKey(lesson, 1, 1))
    if success:
        yield truth, success.effects()


@cache
def _played(seed: int) -> tuple[World, ClassRecord]:
    world, record = world_and_record(Setup(), seed)
    chooser, random = ByLevers(world, record), Random(seed + 1_000_000)
    for round_ in record.plan.rounds:
        ats = chooser.choose(record, round_)
        results = []
        for group in round_.groups:
            chance = world.chance(group, ats[group.label], round_.key.lesson)
            hits = sum(random.random() < chance for _ in range(TRIES))
            results.append(TaskResult(round_.key, group.label, hits=hits, tries=TRIES, at=ats[group.label]))
        record = replace(record, results=(*record.results, *results))
    return world, record


def speed() -> str:
    """Seconds for the best set of tasks of a round of 15 groups, things scarce, after a unit of results."""
    from grouper.tasks.fitting import AtWork, fitted

    _, record = _played(0)
    success = success_before(record, RoundKey(LESSONS, 1, ROUNDS))
    assert success
    people = [student.id for student in record.roster.students]
    groups = [AtWork(str(n), (people[n], people[-n - 1]), 2, ((challenge().middle,),)) for n in range(15)]
    few = tuple(replace(store, count=store.count * 5 // 8) for store in cupboard())
    times, busy = [], process_time()
    for _ in range(10):
        started = perf_counter()
        fitted(success, groups, few)
        times.append(perf_counter() - started)
    own = (process_time() - busy) / 10
    return f"{sorted(times)[5]:.2f} s ({max(times):.2f} s at most of ten), {own:.2f} s of the processor"


PAGE_TEXT = """# Tasks that fit and handicaps: figures

Made by `python -m tests.bench.levers` with fixed seeds; the figures but the speed are the same on every machine.

## Tasks

{seeds} simulated classes of {people}, {lessons} lessons of {rounds} rounds in pairs that are drawn anew each round.
Abilities are hidden, the teacher's ratings (whole, from 1 to 5) are off by 1 (standard deviation), and the whole
activity is harder or easier than it looks by 0.5 logits. Five levers, four of three settings and one of two; each
setting takes off what it does, on average 0.7 logits and anything from nothing to much more, which nobody knows. Each
pair makes {tries} attempts a round. Of balls and targets there are not enough of a kind for all twelve pairs. Columns
of lessons: the share of pairs whose true chance of success is 65 to 85 %, with a 95 % interval over classes. *Equipment
changed*: things that have to be laid out in addition from one round to the next, a lesson. *Over the cupboard*: rounds
that need more of something than there is.

{tasks_table}

The ladder has six tasks around the middle, a lever a step. *By eye*: a student goes up after two successes (75 % or
more), down after a failure (less than 65 %). *Weighted up-down* is the rule that grouper had before. Both are on a
ladder of fixed tasks, so that they cannot know that an activity as a whole is harder than it looks, nor move beyond
the ends. *Best there is* knows the truth and empties the cupboard.

Where the whole class gets better by 0.2 logits a lesson ({seeds} classes). The pace is learnt of each class; before it
was, lessons by levers got worse again from the fourth on (57 % in the last):

{growth}

In other worlds ({seeds} classes each). *Quick words*: the teacher taps too easy from 9 of 10 on, too hard up to 6 of
10, and nobody counts: the rules on a ladder hear the same words, and take them for 95, 75 and 45 %.

{worlds}

By levers less the up-down rule, class by class, in points of the share over all lessons:

{leads}

In the first lesson ratings are all that there is, and levers gain little. A quick word is taken for what it says:
above, between or below two thresholds (an ordered logit). Before, 'easy' was taken for 93 % of seven attempts, so that
it could never mean more than that; in the 40 classes by which this was chosen it brought 70 % of pairs in, and now
76 %. The classes of this page were drawn after the model was settled, and none of them has been looked at before.

## What is known of the levers

Of these classes: how far the effect of a lever from end to end is off, in logits; how often the truth is
inside of the 90 % that are said (honest is about 90); how often the lever that is named
first is the one that really moves the class most; how often that is said to be sure (0.8 or more), and right then.

{learnt}

With five levers a couple of lessons do not tell the strongest from the second strongest for certain in most classes;
the tool then says that it is not clear yet.

## The model, checked

`tests/tasks/test_success.py`: coefficients against a logistic regression of scikit-learn, standard errors against a
binomial regression of statsmodels, the curve against the table of Elo, the expected share against an integral.
`tests/tasks/test_fitting.py`: the set of tasks against all 1,728 sets, the sharing out against every choice.

## Speed

The best set of tasks for a round of 15 groups, 162 tasks each, things scarce: {speed}.

## Handicaps

{handicaps}
"""


def main() -> None:
    """Write the page, or print the first table of a few classes."""
    if sys.argv[1:] == ["quick"]:
        print(speed())
        print(tasks_table(4))
        print(learnt_table(4))
        return
    PAGE.write_text(
        PAGE_TEXT.format(
            seeds=SEEDS, people=PEOPLE, lessons=LESSONS, rounds=ROUNDS, tries=TRIES,
            tasks_table=tasks_table(), growth=growth_table(), worlds=worlds_table(), leads=leads(),
            learnt=learnt_table(), speed=speed(), handicaps=handicap_tables(),
        ),
        encoding="utf-8",
    )  # fmt: skip


if __name__ == "__main__":
    main()
