"""Plans to pick from, other groups for a closed court, and the best repair."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

import pytest

from grouper.errors import InputError
from grouper.faces.views.tradeoff_curve import tradeoff_svg
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.adjust import with_other_groups
from grouper.planning.attend import absent
from grouper.planning.partial import improve_lesson, improve_rest
from grouper.planning.plan import plan_unit
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


def test_levels_are_in_the_order_of_preference() -> None:
    """Must, alike or far enough apart, even teams, new partners, within a lesson, turns."""
    assert [level.name for level in Level] == ["MUST", "AIM", "EVEN", "FRESH", "LESSON", "TURNS"]
