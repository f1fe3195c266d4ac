"""The sheets of a lesson, as HTML and as files.

Each is one self-contained page, without script and without anything from the network.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable, Collection
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from markupsafe import Markup

from grouper.errors import InputError
from grouper.faces.sheets.fitting import Fit, fit_round, is_long, is_long_task, label_step
from grouper.faces.sheets.geometry import geometry_css, reading_distance, tasks_css
from grouper.faces.views.cards import TaskCards, task_cards
from grouper.faces.views.cautions import DEFERS
from grouper.faces.views.if_away_view import IfAwayView
from grouper.faces.views.look import look_css
from grouper.faces.views.names import name_order
from grouper.faces.views.play_view import bib_of
from grouper.faces.views.students import RoundBlock, StudentLessonView, student_lesson_view
from grouper.faces.views.teacher_lesson import TeacherLessonView, teacher_lesson_view
from grouper.faces.wording import words
from grouper.files.atomic import refuse_to_replace, write_together
from grouper.model.record import ClassRecord

if TYPE_CHECKING:
    from jinja2 import Environment

TEMPLATES = Path(__file__).with_name("templates")


def page_html(template: str, *styles: str, **values: object) -> str:
    """A template of the sheets as a page, with one style sheet in it: the common look, and then these, each of them the
    name of a file among the templates or the text of a style."""
    texts = ((TEMPLATES / each).read_text(encoding="utf-8") if each.endswith(".css") else each for each in styles)
    style = look_css() + "".join(texts)
    # A policy that lets in this one style sheet and nothing else.
    digest = b64encode(sha256(style.encode()).digest()).decode()
    policy = f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    return _environment().get_template(template).render(style=Markup(style), policy=policy, **values)


@cache
def _environment() -> Environment:
    # Brought only where a page is made: every command that can write one loads this module.
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        # A field that a view does not have is a fault to be found in a test, and no blank on a sheet.
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


@dataclass(frozen=True)
class Turn:
    """A round on the wall, how it is set, and the later rounds in which its groups go on."""

    block: RoundBlock
    fit: Fit
    label_step: int
    go_on: tuple[RoundBlock, ...] = ()


def wall_page(view: StudentLessonView) -> str:
    """The sheet for the wall."""
    turns = []
    for block in view.rounds:
        if block.same_as is None:
            go_on = tuple(later for later in view.rounds if later.same_as == block.place)
            turns.append(Turn(block, fit_round(block, len(go_on)), label_step(block), go_on))
    letters = min((turn.fit.letter for turn in turns), default=0)
    styles = rule_styles(any(block.what_to_do for block in view.rounds))
    return page_html("wall.html", geometry_css(), "wall.css", *styles, view=view, turns=turns, letters=letters)


def rule_styles(there_is_any: bool) -> tuple[str, ...]:
    """The styles of a line above the groups, where there is any: a task, or how points count."""
    return (tasks_css(), "wall_tasks.css") if there_is_any else ()


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
    return page_html("where.html", "where.css", view=view, rows=rows)


def task_cards_page(view: TaskCards) -> str:
    """The cards with tasks, to be cut out."""
    return page_html("task_cards.html", "task_cards.css", view=view)


def teacher_page(view: TeacherLessonView, away: IfAwayView | None = None) -> str:
    """The sheet for the teacher; with ``away`` it says who moves where if somebody is."""
    styles = ["teacher.css"]
    styles += ["teacher_tasks.css"] if any(round_.with_tasks for round_ in view.rounds) else []
    styles += ["teacher_away.css"] if away else []
    return page_html("teacher.html", *styles, view=view, away=away, defers=DEFERS)


def write_sheets(
    record: ClassRecord, lesson: int, folder: Path, at_places: bool = False, if_away: bool = True
) -> tuple[Path, ...]:
    """Write the sheet for the wall, that for the teacher, and where groups have different tasks these on cards.

    The folder is made where there is none. All are put in place only when all are complete, each in one step, so that
    nobody ever opens half a sheet. With ``at_places`` there is a card a task and not a group. The teacher's sheet says
    who moves where if somebody is away, unless ``if_away`` is false: that costs a repair a student.

    Raises
    ------
    InputError
        There is no such lesson, it has no groups yet, or the folder can't be written to.
    """
    kinds = sheets_of(record, lesson, at_places, if_away)
    sheets = {folder / f"lesson-{lesson:02d}-{kind}.html": sheet() for kind, sheet in kinds.items()}
    put_sheets(sheets, folder, for_students=(next(iter(sheets)),))
    return tuple(sheets)


def sheets_of(
    record: ClassRecord, lesson: int, at_places: bool = False, if_away: bool = True
) -> dict[str, Callable[[], str]]:
    """How to make each sheet of a lesson, by kind: ``wall``, ``teacher``, and ``tasks`` where groups have different
    ones; otherwise like ``write_sheets``."""

    def teacher() -> str:
        from grouper.faces.views.if_away_view import if_away_view  # brings the whole search

        return teacher_page(teacher_lesson_view(record, lesson), if_away_view(record, lesson) if if_away else None)

    # Made one by one and only when it is asked for: the page shows a single one of them.
    sheets: dict[str, Callable[[], str]] = {
        "wall": lambda: wall_page(student_lesson_view(record, lesson)),
        "teacher": teacher,
    }
    cards = task_cards(record, lesson, at_places) if record.plan.of_lesson(lesson) else None
    if cards and cards.cards:
        sheets["tasks"] = lambda: task_cards_page(cards)
    return sheets


def where_sheet(record: ClassRecord, lesson: int) -> str:
    """Everybody by the alphabet with their group in each round (InputError as in ``write_sheets``)."""
    return where_page(student_lesson_view(record, lesson))


def put_sheets(sheets: dict[Path, str], folder: Path, for_students: Collection[Path] = ()) -> None:
    """Put sheets in a folder, made where there is none, when all of them are complete, each in one step.

    Those that are not ``for_students`` may be read by their owner alone.

    Raises
    ------
    InputError
        The folder can't be written to, or a class file stands in the place of a sheet.
    """
    # All are looked at before the first is written, or half of a lesson would stand there.
    for path in sheets:
        refuse_to_replace(path)
    try:
        for path in sheets:
            path.parent.mkdir(parents=True, exist_ok=True)
        write_together({path: text.encode("utf-8") for path, text in sheets.items()}, for_students)
    except (OSError, ValueError) as error:
        reason, what = getattr(error, "strerror", None) or error, "the sheets can't be written to '{folder}' ({reason})"
        raise InputError(what, "choose another folder", folder=folder, reason=reason) from error
