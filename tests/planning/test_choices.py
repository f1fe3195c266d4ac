"""Plans to pick from, other groups for a closed court, and the best repair."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from random import Random

import pytest
from builders import apart, class_of, pairs, repeats_of, with_plan

from grouper.errors import InputError
from grouper.faces.views.tradeoff_curve import tradeoff_svg
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.adjust import taught, with_other_groups
from grouper.planning.attend import absent
from grouper.planning.plan import improve_lesson, improve_rest, plan_unit
from grouper.planning.repair import repair
from grouper.planning.several import Choice, choices
from grouper.rules.referee import judge
from grouper.rules.terms import Level


def teams_of_four(aim: str = "balanced") -> ClassRecord:
    """16 students with ratings from 1 to 5 (drawn with a fixed seed), five lessons of teams of four."""
    chance = Random(7)
    students = tuple(Student(f"s{n:02d}", f"Student {n:02d}", {"skill": chance.randint(1, 5)}) for n in range(16))
    lessons = tuple(Lesson(n, (Activity("Relay", aim, size=4, strand="skill"),)) for n in range(1, 6))
    return ClassRecord(Roster(students, ("skill",)), Unit(lessons))


@pytest.fixture(scope="module")
def made() -> Sequence[Choice]:
    """The plans to pick from, searched for once."""
    return choices(teams_of_four(), seed=3, effort="quick")


def test_no_choice_is_beaten_by_another_and_they_run_from_new_to_even(made: Sequence[Choice]) -> None:
    """Each next plan meets more of the same people, and has more even teams."""
    assert 2 <= len(made) <= 5
    costs = [choice.meeting_cost for choice in made]
    spreads = [choice.unevenness for choice in made]
    assert costs == sorted(costs)
    assert spreads == sorted(spreads, reverse=True)
    assert not any(one.beats(other) for one in made for other in made)


def test_a_choice_is_taken_by_planning_with_its_preference(made: Sequence[Choice]) -> None:
    """The same record, seed and preference give the plan that was shown."""
    last = made[-1]
    again = plan_unit(teams_of_four(), 3, "quick", last.outcome.record.settings)
    assert again.plan == last.outcome.plan


def test_the_curve_has_a_point_for_each_plan(made: Sequence[Choice]) -> None:
    """As many numbered points as plans, in one drawing."""
    drawing = tradeoff_svg(made)
    assert drawing.count("<circle") == len(made)
    assert drawing.startswith("<svg")


def test_without_balanced_rounds_there_is_one_plan() -> None:
    """Nothing to trade: the plan as it would be."""
    assert len(choices(teams_of_four("fresh"), effort="quick")) == 1


def test_a_closed_court_takes_one_team_apart_and_nobody_else_moves() -> None:
    """16 in 4 teams to 3 teams: four students move, and with sizes 6, 5, 5 no fewer can."""
    planned = plan_unit(teams_of_four(), effort="quick").record
    after = repair(with_other_groups(planned, 2, "Relay", groups=3, size=None)).record
    before_round, after_round = planned.plan.of_lesson(2)[0], after.plan.of_lesson(2)[0]
    moved = [
        student
        for group in after_round.groups
        for student in group.members
        if before_round.group_of(student).label != group.label  # type: ignore[union-attr]
    ]
    assert after_round.sizes == (6, 5, 5)
    assert len(moved) == 4
    others = [key for key in planned.plan.by_key if key.lesson != 2]
    assert all(after.plan.by_key[key] == planned.plan.by_key[key] for key in others)


def test_other_groups_need_an_activity_of_the_lesson() -> None:
    """The error names those that there are."""
    planned = plan_unit(teams_of_four(), effort="quick").record
    with pytest.raises(InputError, match="'Relay'"):
        with_other_groups(planned, 2, "Football", groups=3, size=None)


def test_the_best_repair_is_no_worse_than_the_one_with_fewest_moves() -> None:
    """Two away; everybody may move in that lesson, and only there."""
    planned = plan_unit(teams_of_four(), effort="quick").record
    mended = absent(planned, 3, ("s01", "s02")).record
    best = improve_lesson(mended, 3).record
    rest = improve_rest(mended, after=3).record
    lesson = frozenset(round_.key for round_ in mended.plan.of_lesson(3))
    costs = [judge(problem_of(record, lesson), record.plan).total for record in (best, mended)]
    assert costs[0] <= costs[1]
    assert all(best.plan.by_key[key] == mended.plan.by_key[key] for key in mended.plan.by_key if key.lesson != 3)
    assert all(rest.plan.by_key[key] == mended.plan.by_key[key] for key in mended.plan.by_key if key.lesson <= 3)


def test_the_rest_is_planned_again_with_its_repeats_put_off() -> None:
    """Six in pairs have five rounds of new partners: of seven lessons the last two are repeats, and not the second.

    A plan with the same round twice at its beginning costs no more; but the lessons to come can still be changed.
    """
    new = ("01 02|03 04|05 06", "01 03|02 05|04 06", "01 04|02 06|03 05", "01 05|02 04|03 06", "01 06|02 03|04 05")
    lines = (new[0], new[0], new[1], new[1], *new[2:])
    seven = with_plan(class_of(6, pairs(), lessons=7), *(_named(line) for line in lines))
    again = improve_rest(taught(seven, 1), after=1).record
    assert repeats_of(again.plan.rounds) == repeats_of(seven.plan.rounds) == 6
    assert repeats_of(again.plan.rounds[:5]) == 0


@pytest.mark.parametrize("seed", range(6))
def test_of_two_who_could_move_the_one_does_who_was_not_with_the_other_yet(seed: int) -> None:
    """5 is left alone, and one of 1, 2, 3 joins: 3 is kept apart, 1 was with 5 already, 2 will be in the last one."""
    record = class_of(7, pairs(), requests=[apart("s03", "s05")], lessons=3)
    lines = ("01 05 06|02 07|03 04", "01 02 03|04 05|06 07", "02 04 05|01 07|03 06")
    stood = replace(with_plan(record, *(_named(line) for line in lines)), seed=seed)
    mended = absent(taught(stood, 1), 2, ("s04",)).record
    assert frozenset({"s02", "s05"}) in mended.plan.of_lesson(2)[0].as_sets


def _named(line: str) -> str:
    """``01 02|03 04`` with the ids of the class."""
    return " | ".join(" ".join(f"s{number}" for number in group.split()) for group in line.split("|"))


def test_levels_are_in_the_order_of_preference() -> None:
    """Must, alike or far enough apart, even teams, new partners, within a lesson, turns."""
    assert [level.name for level in Level] == ["MUST", "AIM", "EVEN", "FRESH", "LESSON", "TURNS"]
