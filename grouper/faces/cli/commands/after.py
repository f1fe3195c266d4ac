"""After a lesson: closed, and corrected where it ran in another way."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli import common
from grouper.faces.cli.commands.day import with_better_rest
from grouper.faces.cli.common import found
from grouper.faces.cli.remedies import said_lines
from grouper.faces.views.attendance_list import HELPER
from grouper.faces.wording.changes import change_lines, held_lines, rest_twice_lines, still_open_lines
from grouper.files.store import ClassFile
from grouper.model.held import held_up_to, whole
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.adjust import reopened, rounds_meant, taught
from grouper.planning.admit import with_rest
from grouper.planning.noting import noted
from grouper.planning.ran import had_role, moved, was_away
from grouper.planning.reshape import changes_in


@click.command()
@common.class_argument
@common.lesson_option
@click.option(
    "--groups",
    type=common.file_type,
    metavar="FILE.csv",
    help="The groups as they really were, in the columns of an export.",
)
@common.up_to_round_option
@common.rest_to_option
@click.option("--plan-again", is_flag=True, help="Plan the lessons to come again, with what happened.")
@click.option("--take-back", is_flag=True, help="The lesson has not been taught after all, or has not begun.")
def taught_command(
    class_path: Path,
    lesson: int,
    groups: Path | None,
    up_to: int | None,
    rest_to: int | None,
    plan_again: bool,
    take_back: bool,
) -> None:
    """Close a lesson, as planned or as it went; later plans build on it and do not change it.

    If the bell rang early, add --up-to-round K: rounds after K count nowhere. Correct it later with grouper ran, or
    with --groups or --up-to-round again.
    """
    if take_back and (groups or up_to is not None or rest_to is not None or plan_again):
        raise click.UsageError("--take-back goes with nothing else")
    file = ClassFile(class_path)
    # A lesson that has only begun was never closed: its rounds are free again, and that is no change to undo.
    if take_back:
        found = file.read().record
        found.lesson(lesson)
        if lesson not in found.taught and found.begun_in(lesson):
            file.begin(lesson, 0)
            click.echo(f"No round of lesson {lesson} has begun; plans may change it again.")
            return
    with file.change(f"lesson {lesson} taught") as edit:
        before = edit.record
        if take_back:
            edit.record, edit.what = reopened(edit.record, lesson), f"lesson {lesson} not taught after all"
        else:
            edit.record = taught(edit.record, lesson, _as_it_ran(groups, edit.record, lesson, up_to), up_to)
            edit.what += f" up to round {up_to}" if up_to is not None else ""
            edit.record = with_rest(edit.record, lesson, rest_to) if rest_to is not None else edit.record
        closed, better = edit.record, None
        if plan_again:
            edit.record, better = with_better_rest(closed, lesson)
    click.echo(f"Lesson {lesson} is {'open again' if take_back else 'closed'}.")
    common.show(held_lines(edit.record, lesson))
    common.show(rest_twice_lines(before, edit.record, lesson))
    common.show(still_open_lines(edit.record, lesson) if not take_back else ())
    # Of what was planned again after it one word is enough: group by group is shown what the closing changed.
    for change in changes_in(before, closed):
        common.show(change_lines(closed, change))
    common.show(said_lines([better] if better else []))
    common.show_beside(before, edit.record)


def _as_it_ran(
    groups: Path | None, record: ClassRecord, lesson: int, up_to: int | None
) -> dict[RoundKey, tuple[Group, ...]] | None:
    if groups is None:
        return None
    from grouper.files.groups import check_every_round, read_groups

    meant = record if up_to is None else held_up_to(record, lesson, up_to)
    read = read_groups(groups, whole(record))
    check_every_round(groups, read, meant, lesson)
    return read


AWAY, ASIDE = "away", "aside"


@click.command()
@common.class_argument
@common.lesson_option
@common.one_round_option
@click.argument("differed", metavar="[STUDENT=GROUP]...", nargs=-1)
@click.option("--role", "roles", multiple=True, metavar="STUDENT=ROLE", help="Such as Kim=coach; may be given again.")
@common.up_to_round_option
@common.rest_to_option
@click.option("--note", metavar="TEXT", help="To remember of the round or lesson, for you alone; '' removes it.")
def ran_command(
    class_path: Path,
    lesson: int,
    number: int | None,
    differed: tuple[str, ...],
    roles: tuple[str, ...],
    up_to: int | None,
    rest_to: int | None,
    note: str | None,
) -> None:
    """Say what was not as planned in lesson N, before it is closed or long after; later plans build on it.

    STUDENT=4 was in group 4, STUDENT=away was not there, STUDENT=aside was there without taking part (with --role
    STUDENT=scorer if you like). Nobody else is moved. --up-to-round K closes a lesson that ended early, or says anew
    after which round it ended.
    """
    ended = up_to is not None or rest_to is not None
    if not differed and not roles and note is None and not ended:
        raise click.UsageError(
            "say who was elsewhere, such as Kim=4 or Kim=away, or give a --role, a --note or --up-to-round"
        )
    with ClassFile(class_path).change("") as edit:
        before = edit.record
        _refuse_doubles(before, differed)
        _refuse_doubles(before, roles)
        if up_to is not None:
            edit.record = taught(edit.record, lesson, up_to=up_to)
        if rest_to is not None:
            edit.record = with_rest(edit.record, lesson, rest_to)
        for text in differed:
            student, group = _said(edit.record, text, "does not say who was where; write Kim=4, or Kim=away")
            keys = rounds_meant(edit.record, lesson, number)
            if group in (AWAY, ASIDE):
                role = HELPER if group == ASIDE else ""
                edit.record = was_away(edit.record, lesson, student, number or 1, number or len(keys), role)
            else:
                for key in keys:
                    edit.record = moved(edit.record, key, student, group)
        for text in roles:
            student, role = _said(edit.record, text, "does not say who had which role; write Kim=coach")
            for key in rounds_meant(edit.record, lesson, number):
                edit.record = had_role(edit.record, key, student, role)
        if note is not None:
            edit.record = noted(edit.record, lesson, number or 0, note)
        where = f"lesson {lesson}" + (f", round {number}" if number else "")
        edit.what = f"{where} as it ran" if differed or roles or ended else f"note on {where}"
        edit.what += f", up to round {up_to}" if up_to is not None else ""
    for change in changes_in(before, edit.record):
        common.show(change_lines(edit.record, change))
    common.show_beside(before, edit.record)
    common.show(held_lines(edit.record, lesson) if ended else ())
    common.show(rest_twice_lines(before, edit.record, lesson))
    done = "corrected" if differed or roles or ended else "noted" if note else "note removed"
    click.echo(f"{where[:1].upper()}{where[1:]}: {done}.")
    common.show(common.not_closed_line(edit.record, lesson))


def _refuse_doubles(record: ClassRecord, texts: tuple[str, ...]) -> None:
    who = [common.student_meant(record.roster, text.rpartition("=")[0].strip()) for text in texts if "=" in text]
    twice = next((student for student in who if who.count(student) > 1), None)
    if twice:
        raise InputError("{name} appears twice", "say once where they were", name=record.roster.name(twice))


def _said(record: ClassRecord, text: str, fault: str) -> tuple[str, str]:
    """The student (id) before the equals sign, and what stands after it."""
    who, equals, what = (part.strip() for part in text.rpartition("="))
    if not equals or not who or not what:
        raise InputError("'{text}' {fault}", text=text, fault=fault)
    (student,) = found(record, [who])
    return student, what
