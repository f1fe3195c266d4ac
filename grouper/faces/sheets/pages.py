"""The sheets of a lesson from their views: one for the wall, one for the teacher."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.sheets.fitting import Fit, fit_round, label_step
from grouper.faces.sheets.geometry import geometry_css, tasks_css
from grouper.faces.sheets.html import TEMPLATES, page_html, template_text
from grouper.faces.views.cautions import DEFERS
from grouper.faces.views.if_away_view import IfAwayView
from grouper.faces.views.look import look_css
from grouper.faces.views.student_lesson import RoundBlock, StudentLessonView
from grouper.faces.views.task_cards import TaskCards
from grouper.faces.views.teacher_lesson import TeacherLessonView

__all__ = ["TEMPLATES", "task_cards_page", "teacher_page", "wall_page"]


@dataclass(frozen=True)
class Turn:
    """A round on the wall, how it is set, and the later rounds in which its groups go on."""

    block: RoundBlock
    fit: Fit
    label_step: int
    go_on: tuple[RoundBlock, ...] = ()


def wall_page(view: StudentLessonView) -> str:
    """The sheet for the wall."""
    turns = [_turn(block, view) for block in view.rounds if block.same_as is None]
    letters = min((turn.fit.letter for turn in turns), default=0)
    tasks = any(block.what_to_do for block in view.rounds)
    style = look_css() + geometry_css() + template_text("wall.css") + (_tasks_css() if tasks else "")
    return page_html("wall.html", style, view=view, turns=turns, letters=letters)


def task_cards_page(view: TaskCards) -> str:
    """The cards with tasks, to be cut out."""
    return page_html("task_cards.html", look_css() + template_text("task_cards.css"), view=view)


def teacher_page(view: TeacherLessonView, away: IfAwayView | None = None) -> str:
    """The sheet for the teacher; with ``away`` it says who moves where if somebody is."""
    tasks = any(round_.with_tasks for round_ in view.rounds)
    style = look_css() + template_text("teacher.css") + (template_text("teacher_tasks.css") if tasks else "")
    style += template_text("teacher_away.css") if away else ""
    return page_html("teacher.html", style, view=view, away=away, defers=DEFERS)


def _tasks_css() -> str:
    return tasks_css() + template_text("wall_tasks.css")


def _turn(block: RoundBlock, view: StudentLessonView) -> Turn:
    go_on = tuple(later for later in view.rounds if later.same_as == block.place)
    return Turn(block, fit_round(block, len(go_on)), label_step(block), go_on)
