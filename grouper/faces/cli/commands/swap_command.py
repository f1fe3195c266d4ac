"""``grouper swap``: two students swap groups."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import COUNT, class_argument, found, lesson_option, names, show
from grouper.faces.cli.remedies import said_lines
from grouper.files.store import ClassFile
from grouper.planning.adjust import swapped


@click.command()
@class_argument
@lesson_option
@click.argument("one", metavar="STUDENT")
@click.argument("other", metavar="STUDENT")
@click.option("--round", "number", type=COUNT, metavar="K", help="One round of the lesson; all of them if left out.")
def command(class_path: Path, lesson: int, one: str, other: str, number: int | None) -> None:
    """Let two students swap groups, and say what the swap breaks; the rounds are pinned."""
    from grouper.faces.wording.changes import round_title

    with ClassFile(class_path).change("") as edit:
        ids = found(edit.record, (one, other))
        if len(ids) < 2:
            raise click.UsageError("a swap needs two different students")
        swap = swapped(edit.record, lesson, ids[0], ids[1], number)
        edit.record, edit.what = swap.record, f"swap in lesson {lesson}: {names(edit.record, ids)}"
    show(f"{round_title(swap.record, key)}: swapped and pinned" for key in swap.rounds)
    show(f"  worse now: {line}" for line in said_lines(swap.breaks))
    show(swap.dropped)
