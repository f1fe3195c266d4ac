"""Views as HTML: one self-contained file each, without script and without anything from the network."""

from __future__ import annotations

from base64 import b64encode
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from grouper.faces.sheets.fitting import Fit, fit_round, is_long, label_step
from grouper.faces.sheets.geometry import geometry_css, reading_distance
from grouper.faces.views import words
from grouper.faces.views.aims import aim_in_words
from grouper.faces.views.cautions import DEFERS
from grouper.faces.views.look import look_css
from grouper.faces.views.student_lesson import RoundBlock, StudentLessonView
from grouper.faces.views.teacher_lesson import TeacherLessonView

TEMPLATES = Path(__file__).with_name("templates")


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
    style = look_css() + geometry_css() + _text("wall.css")
    return _page("wall.html", style, view=view, turns=turns, letters=letters)


def teacher_page(view: TeacherLessonView) -> str:
    """The sheet for the teacher."""
    return _page("teacher.html", look_css() + _text("teacher.css"), view=view, defers=DEFERS)


def _turn(block: RoundBlock, view: StudentLessonView) -> Turn:
    go_on = tuple(later for later in view.rounds if later.same_as == block.place)
    return Turn(block, fit_round(block, len(go_on)), label_step(block), go_on)


def _page(template: str, style: str, **values: object) -> str:
    page = _environment().get_template(template)
    return page.render(style=Markup(style), policy=_policy(style), **values)


def _policy(style: str) -> str:
    """A content security policy that lets in this one style sheet and nothing else."""
    digest = b64encode(sha256(style.encode()).digest()).decode()
    return f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"


def _text(name: str) -> str:
    return (TEMPLATES / name).read_text(encoding="utf-8")


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(
        aim=aim_in_words,
        date=words.date_in_words,
        minutes=words.minutes_in_words,
        number=words.number_in_words,
        times=words.times_in_words,
        listed=words.list_in_words,
        distance=lambda letter: words.number_in_words(reading_distance(letter)),
    )
    environment.tests.update(long_name=is_long)
    return environment
