"""What the rule for steps and the handicaps are worth: simulated classes, written to ``docs/quality/tasks.md``.

Run from the root of the project::

    python -m tests.bench.staircase            # the tables of the page
    python -m tests.bench.staircase gains      # other gains, other rules, to look at
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random
from statistics import fmean
from unittest.mock import patch

from grouper.model.ladder import Ladder, Step
from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.request import Settings
from grouper.model.roster import Roster, Student
from grouper.model.task_result import TaskResult
from grouper.model.unit import Activity, Lesson, RoundKey, Unit
from grouper.tasks import staircase
from grouper.tasks.response import ability_for, success_at
from grouper.tasks.suggest import tasks_of_round
from tests.bench.report import table
from tests.bench.uneven_games import handicap_tables

PAGE = Path(__file__).resolve().parents[2] / "docs" / "quality" / "tasks.md"
SEEDS, PEOPLE, LESSONS, ROUNDS, STEPS, TRIES = 150, 24, 6, 2, 6, 10
STRAND, ACTIVITY = "skill", "Throwing"
TARGETS = (0.7, 0.75, 0.8)
UNEVEN = 0.3
NEAR = 0.1
FIRST, LAST = "lesson 1", f"lesson {LESSONS}"


@dataclass(frozen=True)
class World:
    """The truth: abilities by student and hardness by step, both in steps of the ladder, and how steep the odds are."""

    abilities: dict[str, float]
    hardness: tuple[float, ...]
    steepness: float = 1.0

    def chance(self, group: Group, step: int) -> float:
        """The chance of a group to succeed in an attempt at a step: that of its members on average."""
        gaps = (self.abilities[member] - self.hardness[step - 1] for member in group.members)
        return fmean(success_at(self.steepness * gap, 0.0) for gap in gaps)


@dataclass(frozen=True)
class Setup:
    """A class to run: target, noise of the guesses (steps of a scale from 1 to 5), and how results are told."""

    target: float
    noise: float = 1.0
    told: str = "counted"
    steepness: float = 1.0


def world_and_record(setup: Setup, seed: int) -> tuple[World, ClassRecord]:
    """A class with hidden abilities, guessed ratings, and pairs drawn anew each round."""
    random = Random(seed)
    truth = {f"s{place:02}": min(5.0, max(1.0, random.gauss(3, 1))) for place in range(PEOPLE)}
    guesses = {who: min(5, max(1, round(value + random.gauss(0, setup.noise)))) for who, value in truth.items()}
    students = tuple(Student(who, who, {STRAND: float(guess)}) for who, guess in guesses.items())
    activity = Activity(ACTIVITY, size=2, rounds=ROUNDS, strand=STRAND)
    unit = Unit(tuple(Lesson(number, (activity,)) for number in range(1, LESSONS + 1)))
    rounds = tuple(Round(key, _pairs(random, list(truth))) for key in unit.keys)
    ladder = Ladder(ACTIVITY, tuple(Step("", f"task {step}") for step in range(1, STEPS + 1)))
    record = ClassRecord(Roster(students, (STRAND,)), unit, plan=Plan(rounds), ladders=(ladder,))
    abilities = {who: ability_for(0.75, 1 + (STEPS - 1) * (value - 1) / 4) for who, value in truth.items()}
    hardness = tuple(sorted(step + random.gauss(0, UNEVEN) for step in range(1, STEPS + 1)))
    return World(abilities, hardness, setup.steepness), replace(record, settings=Settings(success=setup.target))


def _pairs(random: Random, people: list[str]) -> tuple[Group, ...]:
    random.shuffle(people)
    return tuple(Group(str(place // 2 + 1), tuple(people[place : place + 2])) for place in range(0, len(people), 2))


Chooser = Callable[[World, ClassRecord, Round], dict[str, int]]
"""The steps of a round, by the label of the group."""


def by_rule(world: World, record: ClassRecord, round_: Round) -> dict[str, int]:
    """The steps that are suggested."""
    return {label: task.step for label, task in tasks_of_round(record, round_.key).items()}


def by_guess(world: World, record: ClassRecord, round_: Round) -> dict[str, int]:
    """The steps by the ratings alone, whatever was seen."""
    return by_rule(world, replace(record, results=()), round_)


def same_for_all(world: World, record: ClassRecord, round_: Round) -> dict[str, int]:
    """One step for all, which is common: the third."""
    return {group.label: STEPS // 2 for group in round_.groups}


def best_there_is(world: World, record: ClassRecord, round_: Round) -> dict[str, int]:
    """The step nearest to the target, by the truth that nobody knows: as low as the miss can be."""
    target = record.settings.success

    def miss(group: Group, step: int) -> float:
        return abs(world.chance(group, step) - target)

    return {g.label: min(range(1, STEPS + 1), key=lambda step, g=g: miss(g, step)) for g in round_.groups}


def run(setup: Setup, seed: int, choose: Chooser) -> Iterator[tuple[RoundKey, float]]:
    """The true chance of success of every group in every round, at the step that is chosen for it."""
    world, record = world_and_record(setup, seed)
    random = Random(seed + 1_000_000)
    for round_ in record.plan.rounds:
        found, steps = [], choose(world, record, round_)
        for group in round_.groups:
            step = steps[group.label]
            chance = world.chance(group, step)
            hits = sum(random.random() < chance for _ in range(TRIES))
            found.append(_told(setup, round_.key, group.label, hits, step))
            yield round_.key, chance
        results = sorted([*record.results, *found], key=lambda result: (result.key, result.label))
        record = replace(record, results=tuple(results))


def _told(setup: Setup, key: RoundKey, label: str, hits: int, step: int) -> TaskResult:
    if setup.told == "counted":
        return TaskResult(key, label, hits=hits, tries=TRIES, step=step)
    off = hits / TRIES - setup.target
    return TaskResult(key, label, "easy" if off > 0.125 else "hard" if off < -0.125 else "right", step=step)


def figures(setup: Setup, choose: Chooser, seeds: int = SEEDS) -> dict[str, tuple[float, float, float]]:
    """By first and last lesson: mean success, mean miss of the target, and the share of groups near to it."""
    chances: dict[str, list[float]] = {FIRST: [], LAST: []}
    for seed in range(seeds):
        for key, chance in run(setup, seed, choose):
            if key.lesson in (1, LESSONS):
                chances[FIRST if key.lesson == 1 else LAST].append(chance)
    return {when: _figures(found, setup.target) for when, found in chances.items()}


def _figures(chances: list[float], target: float) -> tuple[float, float, float]:
    misses = [abs(chance - target) for chance in chances]
    return fmean(chances), fmean(misses), fmean(miss <= NEAR + 1e-9 for miss in misses)


CHOOSERS: dict[str, Chooser] = {
    "one step for all": same_for_all,
    "ratings alone": by_guess,
    "the rule": by_rule,
    "the best step there is": best_there_is,
}


def steps_table() -> str:
    """With the rule and without, for three targets."""
    rows = []
    for target in TARGETS:
        for name, choose in CHOOSERS.items():
            rows.append([f"{target:.2f}", name, *_cells(figures(Setup(target), choose))])
    return table(["target", "steps by", *HEAD], rows)


HEAD = [f"{what}, {when}" for when in (FIRST, LAST) for what in ("success", "miss", "within 0.1")]


def _cells(found: dict[str, tuple[float, float, float]]) -> list[str]:
    shapes = ("{:.3f}", "{:.3f}", "{:.0%}")
    return [shape.format(value) for when in found.values() for shape, value in zip(shapes, when, strict=True)]


def harder_worlds_table() -> str:
    """The rule where guesses are worse or better, results are quick words, and steps are wider or narrower."""
    setups = {
        "as above": Setup(0.75),
        "ratings known": Setup(0.75, noise=0.0),
        "ratings off by 1.5": Setup(0.75, noise=1.5),
        "quick words for counts": Setup(0.75, told="felt"),
        "steps half as wide": Setup(0.75, steepness=0.5),
        "steps twice as wide": Setup(0.75, steepness=2.0),
    }
    rows = [
        [name, who, *_cells(figures(setup, CHOOSERS[who]))]
        for name, setup in setups.items()
        for who in ("ratings alone", "the rule")
    ]
    return table(["world", "steps by", *HEAD], rows)


def gains_table(seeds: int = 60) -> str:
    """Other gains, and the plain rule that compares with the target wherever the group worked."""
    rows = []
    for setup in (Setup(0.75), Setup(0.75, told="felt"), Setup(0.75, noise=0.5), Setup(0.75, steepness=0.5)):
        world = (setup.told, setup.noise, setup.steepness)
        for gain in (1.0, 2.0, 3.0, 4.0, 6.0, 8.0):
            with patch.object(staircase, "GAIN", gain):
                rows.append([f"gain {gain:g}", *world, *_cells(figures(setup, by_rule, seeds))])
        with patch.object(staircase, "success_at", lambda ability, step: 0.75):
            rows.append([f"plain, gain {staircase.GAIN:g}", *world, *_cells(figures(setup, by_rule, seeds))])
    return table(["rule", "told", "noise", "steepness", *HEAD], rows)


PAGE_TEXT = """# Tasks that fit and handicaps: figures

Made by `python -m tests.bench.staircase` with fixed seeds; every figure is the same on every machine.

## Steps

{seeds} simulated classes of {people}, {lessons} lessons of {rounds} rounds in pairs that are drawn anew each round, a
ladder of {steps} steps. Abilities are hidden; the teacher's ratings (whole, from 1 to 5) are off by 1 (standard
deviation). The ladder's steps are uneven, which the rule does not know. Each pair makes {tries} attempts a round.
*Success* is the true chance at the step that the pair got; *miss* is how far it is from the target on average;
*within 0.1* is the share of pairs that near to it. A step changes success by about 0.13, so even with the best step
that there is, chosen by the truth, the miss is not 0.

{steps_table}

The rule in other worlds, target 0.75. *Quick words*: the teacher taps too easy from 9 of 10 on, too hard up to 6 of
10. *Steps half as wide* (twice): a step changes the odds by half as much (twice as much) as the rule takes for
granted.

{worlds}

A pair's step is whole, and what is seen of ten attempts is noisy, so some of the miss stays. The rule adds little
where the ratings are known, and most where they are poor. Quick words leave success a little high: 'too hard' moves
further than 'too easy', as the weighted rule wants it. A gain of 2 to 4 did about as well (60 classes each); 1 was
slow where steps were narrow, 6 and 8 were restless. The plain rule, which compares with the target wherever a pair
worked, was no better.

## Handicaps

{handicaps}
"""


def main() -> None:
    """Write the page, or print other gains."""
    if sys.argv[1:] == ["gains"]:
        print(gains_table())
        return
    text = PAGE_TEXT.format(
        seeds=SEEDS, people=PEOPLE, lessons=LESSONS, rounds=ROUNDS, steps=STEPS, tries=TRIES,
        steps_table=steps_table(), worlds=harder_worlds_table(), handicaps=handicap_tables(),
    )  # fmt: skip
    PAGE.write_text(text, encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
