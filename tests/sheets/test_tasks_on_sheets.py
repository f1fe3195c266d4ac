"""Tasks on paper: no group over two pages, letters as large as they were, and the teacher's sheet says why."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grouper.faces.sheets import geometry as g
from grouper.faces.sheets.fitting import fit_round
from grouper.faces.sheets.pages import teacher_page, wall_page
from grouper.faces.views.students import student_lesson_view
from grouper.faces.views.teacher_lesson import teacher_lesson_view
from grouper.model.noted import TaskResult
from grouper.model.unit import Activity, RoundKey
from grouper.planning.noting import seen

from .examples import TASKS, gallery, gallery_with_tasks, lesson_of, with_ladders
from .page_text import PageText

LONGEST = "x" * 8 + " word" * 30
"""About as long as a task can be."""


@pytest.mark.parametrize("name", gallery())
def test_letters_are_as_large_as_without_tasks(name: str) -> None:
    """Or large enough for reading at 3 m, or smaller by no more than a millimetre; one further page is allowed."""
    record, lesson = gallery_with_tasks()[name]
    plain = student_lesson_view(gallery()[name][0], lesson)
    for block, bare in zip(student_lesson_view(record, lesson).rounds, plain.rounds, strict=True):
        fit, before = fit_round(block), fit_round(bare)
        assert fit.usual_letter >= min(g.FLOOR, before.usual_letter) - 1
        assert fit.pages <= fit.pages_allowed <= before.pages_allowed + 1


@pytest.mark.parametrize(("task", "pages"), [("Ask for your group's task", 2), (TASKS[0], 2), (LONGEST, 3)])
@pytest.mark.parametrize("people", [24, 30])
def test_a_round_of_pairs_is_two_pages_with_a_task_too(people: int, task: str, pages: int) -> None:
    """Four half-empty pages a round are no poster: a third is for a task as long as can be, and thirty students."""
    block = student_lesson_view(lesson_of(people, Activity("Pass", size=2)), 1).rounds[0]
    fit = fit_round(replace(block, task=task))
    assert fit.pages <= (pages if people > 24 else 2)
    assert fit.usual_letter >= g.FLOOR_WITH_TASK


@pytest.mark.parametrize(("size", "people"), [(1, 12), (2, 30), (5, 30), (10, 40)])
def test_the_longest_tasks_have_a_place(size: int, people: int) -> None:
    """Every row of groups is lower than a page."""
    record = with_ladders(lesson_of(people, Activity("Pass", size=size)), (LONGEST, LONGEST + "!"))
    fit = fit_round(student_lesson_view(record, 1).rounds[0])
    assert fit.pages <= fit.pages_allowed
    assert fit.letter >= 5


def test_the_teacher_sees_the_step_and_the_reason_with_the_group() -> None:
    """The task as on the card, the step of how many, and the result that it rests on."""
    record = with_ladders(lesson_of(8, Activity("Pass", size=2, rounds=1, strand="passing"), Activity("pass ", size=2)))
    record = seen(record, TaskResult(RoundKey(1, 1, 1), "1", hits=7, tries=10, at=(3,)))
    texts = " ".join(PageText(teacher_page(teacher_lesson_view(record, 1))).texts)
    assert "Step" in texts and "of 6" in texts and "7 of 10 at step 3 last time" in texts
    assert any(task in texts for task in TASKS)
    assert "7 of 10" not in " ".join(PageText(wall_page(student_lesson_view(record, 1))).texts)


def test_a_task_of_a_group_is_as_wide_as_the_teachers_page() -> None:
    """Beside a column of who has met before it took two lines, and each round a second page with two groups on it."""
    record = with_ladders(lesson_of(24, Activity("Pass", size=2, rounds=2, strand="passing")))
    page = teacher_page(teacher_lesson_view(record, 1))
    own = sum(bool(group.task) for round_ in teacher_lesson_view(record, 1).rounds for group in round_.groups)
    assert own == 24
    assert page.count('<td colspan="4"><p class="task">') == own == page.count('rowspan="2"')
