"""What a plan gives up for what: the weights of the order of preference, on plans that can be counted on paper."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from builders import class_of, pairs, problem_and_plan

from grouper.model.problem import problem_of
from grouper.model.request import PREFERENCES, Settings
from grouper.model.unit import Activity
from grouper.rules.fresh import CLOSENESS_WEIGHTS, meeting_weight
from grouper.rules.referee import judge
from grouper.rules.terms import Level, weight

DOCS = Path(__file__).resolve().parents[2] / "docs" / "numbers.md"

FIRST = "s01 s02 | s03 s04 | s05 s06 | s07 s08"
SECOND = "s01 s03 | s02 s04 | s05 s07 | s06 s08"
THIRD = "s01 s04 | s02 s03 | s05 s08 | s06 s07"
FOURTH = "s01 s05 | s02 s06 | s03 s07 | s04 s08"
ONE_OF_FIRST = "s01 s02 | s03 s05 | s04 s07 | s06 s08"  # s01 s02 of the first; s06 s08 of the second


def documented() -> dict[str, list[float]]:
    """The table of prices in the docs, by preference."""
    lines = DOCS.read_text(encoding="utf-8").splitlines()
    rows = (line.strip("| \n").split(" | ") for line in lines if line.startswith("| "))
    named = {cells[0].strip("`").replace("the usual order", ""): cells[1:] for cells in rows if len(cells) == 5}
    return {name: [float(cell) for cell in cells] for name, cells in named.items() if name in PREFERENCES}


@pytest.mark.parametrize("prefer", PREFERENCES)
def test_docs_say_what_the_weights_do(prefer: str) -> None:
    """For one repeat of a pair so many thousandths, hundredths, meetings in a lesson and turns as the table says."""
    repeat = CLOSENESS_WEIGHTS["mild"][0] ** 2 * weight(prefer, Level.FRESH)
    levels = (Level.AIM, Level.EVEN, Level.LESSON, Level.TURNS)
    assert [repeat / weight(prefer, level) for level in levels] == pytest.approx(documented()[prefer], rel=0.01)


def test_a_second_meeting_in_a_lesson_is_worth_a_repeat_and_not_two() -> None:
    """Eight in two lessons of two rounds: one repeat in a lesson or two over lessons are nearly as good, three are not.

    A repeat of a pair costs 288, a second meeting in a lesson 300 more.
    """
    record = class_of(8, pairs(2), lessons=2)

    def judged(*lines: str) -> tuple[int, int, int]:
        judgement = judge(*problem_and_plan(record, *lines))
        return judgement.costs["fresh"] // 144, judgement.costs["fresh in a lesson"], judgement.total

    assert judged(FIRST, ONE_OF_FIRST, THIRD, FOURTH) == (1, 1, 588)
    assert judged(FIRST, THIRD, ONE_OF_FIRST, FOURTH) == (1, 0, 288)
    assert judged(FIRST, SECOND, ONE_OF_FIRST, FOURTH) == (2, 0, 576)


def test_new_partners_first_keeps_turns_and_lessons_in_step() -> None:
    """However much new partners come first, a second meeting in a lesson weighs as much of a repeat as usual."""
    for level in (Level.LESSON, Level.TURNS):
        shares = {weight(prefer, level) / weight(prefer, Level.FRESH) for prefer in PREFERENCES}
        assert shares == {150}


SIZES_AND_WEIGHTS = [
    (8, 2, 16),
    (9, 2, 16),
    (5, 2, 16),  # a pair and a trio
    (9, 3, 13),
    (8, 4, 13),
    (10, 5, 10),
    (23, 5, 10),  # three fives, two fours
    (22, 5, 13),  # two fives, three fours
    (9, 5, 13),  # one of each
]


@pytest.mark.parametrize(("people", "size", "weighs"), SIZES_AND_WEIGHTS)
def test_a_meeting_weighs_by_the_size_of_most_groups(people: int, size: int, weighs: int) -> None:
    """Pairs most, threes and fours less, larger teams least; a trio beside pairs changes nothing."""
    record = class_of(people, Activity("Game", size=size))
    problem = problem_of(record)
    strong = replace(problem, settings=Settings(closeness="strong"))
    assert meeting_weight(strong, strong.rounds[0]) == weighs
