"""``grouper school``: plan many classes."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import click

from grouper.errors import GrouperError, InputError
from grouper.faces.cli.common import show
from grouper.faces.wording.errors import error_lines
from grouper.faces.wording.numbers import counted
from grouper.files.store import ClassFile, Snapshot
from grouper.planning.effort import STEPS
from grouper.planning.school import ClassPlanned, plan_school


@click.command()
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False, exists=True))
@click.option("--jobs", type=click.IntRange(min=1), default=1, show_default=True, metavar="N", help="How many at once.")
@click.option("--seed", type=click.IntRange(min=0), metavar="N", help="For all classes; each its own if left out.")
@click.option("--effort", type=click.Choice(list(STEPS)), default="usual", show_default=True, help="How hard to try.")
def command(folder: Path, jobs: int, seed: int | None, effort: str) -> int:
    """Plan again what is left in every class file (NAME.class) of FOLDER.

    A class that cannot be planned or read stays as it is, and the others are planned all the same.
    """
    files = [ClassFile(path) for path in sorted(folder.glob("*.class"))]
    if not files:
        raise InputError(f"there is no class file in {folder}; their names end in .class")
    statuses: list[int] = []
    before: list[tuple[ClassFile, Snapshot]] = []
    for file in files:
        try:
            before.append((file, file.read()))
        except GrouperError as error:
            statuses.append(_refused(file, error))
    with ProcessPoolExecutor(jobs) as processes:
        answers = plan_school([snapshot.record for _, snapshot in before], processes, seed, effort)
    statuses += [_saved(*each, answer) for each, answer in zip(before, answers, strict=True)]
    click.echo(f"{statuses.count(0)} of {counted(len(files), 'class', 'classes')} planned.")
    return next((status for status in statuses if status), 0)


def _saved(file: ClassFile, before: Snapshot, answer: ClassPlanned) -> int:
    """Save one class and say so; the exit status of what went wrong, 0 where nothing did."""
    try:
        if answer.outcome is None:
            raise answer.refusal or InputError("no answer came back")
        file.save(answer.outcome.record, "plan", read_at=before.version)
    except GrouperError as error:
        return _refused(file, error)
    show([f"{file.path.name}: planned"])
    return 0


def _refused(file: ClassFile, error: GrouperError) -> int:
    """Say which class it is that stays as it was, and why; the exit status of that."""
    click.echo(f"{file.path.name}:", err=True)
    for line in error_lines(error):
        click.echo(f"  {line}", err=True)
    return error.exit_status
