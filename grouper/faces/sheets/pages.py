"""Sheets of a lesson as HTML: one self-contained file each, without script and without anything from the network."""

from __future__ import annotations

from base64 import b64encode
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from grouper.faces.sheets.fitting import Fit, fit_round, is_long, is_long_task, label_step
from grouper.faces.sheets.geometry import geometry_css, reading_distance, tasks_css
from grouper.faces.views.cards import TaskCards
from grouper.faces.views.cautions import DEFERS
from grouper.faces.views.if_away_view import IfAwayView
from grouper.faces.views.look import look_css
from grouper.faces.views.names import name_order
from grouper.faces.views.play_view import bib_of
from grouper.faces.views.students import RoundBlock, StudentLessonView
from grouper.faces.views.teacher_lesson import TeacherLessonView
from grouper.faces.wording import words

TEMPLATES = Path(__file__).with_name("templates")


def page_html(template: str, style: str, **values: object) -> str:
    """A template of the sheets as a page with this one style sheet in it."""
    page = _environment().get_template(template)
    return page.render(style=Markup(style), policy=_policy(style), **values)


def _policy(style: str) -> str:
    """A content security policy that lets in this one style sheet and nothing else."""
    digest = b64encode(sha256(style.encode()).digest()).decode()
    return f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"


def template_text(name: str) -> str:
    """The text of a file among the templates."""
    return (TEMPLATES / name).read_text(encoding="utf-8")


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=words.clean_if_text,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(
        words.FILTERS,
        bib=bib_of,
        distance=lambda letter: words.number_in_words(reading_distance(letter)),
    )
    environment.tests.update(long_name=is_long, long_task=is_long_task)
    return environment


__all__ = ["TEMPLATES", "task_cards_page", "teacher_page", "wall_page", "where_page"]


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


@dataclass(frozen=True)
class WhereRow:
    """A student by short name, and the group in each round; a dash where they are in none."""

    name: str
    labels: tuple[str, ...]


def where_page(view: StudentLessonView) -> str:
    """Everybody by the alphabet with their group in each round, for whoever looks for one name: theirs."""
    labels = [{person.name: card.label for card in block.groups for person in card.members} for block in view.rounds]
    names = sorted({name for one in labels for name in one}, key=name_order)
    rows = [WhereRow(name, tuple(one.get(name, "–") for one in labels)) for name in names]
    return page_html("where.html", look_css() + template_text("where.css"), view=view, rows=rows)


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
