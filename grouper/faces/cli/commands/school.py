"""Several plans to choose from, the classes of a whole school, and an invented class to see it all on."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from grouper.errors import GrouperError, InputError
from grouper.faces.cli.commands.unit import Given, admitted, effort_option
from grouper.faces.cli.common import SEED, FileOf, class_argument, file_type, progress, show
from grouper.faces.cli.remedies import error_lines
from grouper.faces.views.tradeoff_curve import tradeoff_svg
from grouper.faces.wording.fairness import summary_lines
from grouper.files.atomic import write_whole
from grouper.files.example import demo_folder
from grouper.files.store import ClassFile, Snapshot
from grouper.planning.fairness import fairness_of
from grouper.planning.plan import plan_unit
from grouper.planning.several import choices, plan_school
from grouper.words import counted


@click.command()
@class_argument
@click.option("--seed", type=SEED, metavar="N", help="As for plan; the class's own if left out.")
@effort_option
@click.option("--to", "file", type=FileOf(".svg"), metavar="FILE.svg", help="Draw them as a curve.")
def choices_command(class_path: Path, seed: int | None, effort: str, file: Path | None) -> None:
    """Show plans from newest partners to most even teams, none beaten by another, and how to take each.

    Nothing is changed: a plan is taken with the command beside it.
    """
    record = ClassFile(class_path).read().record
    with progress("Planning") as watch:
        made = choices(record, seed, effort, watch)
    if len(made) == 1:
        click.echo("There is nothing to trade: one plan is best in both respects.")
    again = ("" if seed is None else f" --seed {seed}") + ("" if effort == "usual" else f" --effort {effort}")
    for number, choice in enumerate(made, start=1):
        fair, worst = choice.fairness, choice.fairness.worst_spread
        even = f"; teams {choice.unevenness:.2f} apart on average, {worst.spread:.2f} at worst" if worst else ""
        most = f"no two meet more than {'once' if fair.most_meetings == 1 else f'{fair.most_meetings} times'}"
        click.echo(f"{number}. {counted(fair.repeats, 'repeat')} (cost {fair.meeting_cost}, {most}){even}")
        click.echo(f"   grouper plan {class_path.name} --prefer {choice.prefer or 'usual'}{again}")
    if file is not None:
        write_whole(file, tradeoff_svg(made).encode("utf-8"))
        click.echo(f"Curve: {file}")


CLUSTER_PATIENCE = "10s"
"""How long to look for the scheduler of a cluster."""

RETRIES = 3
"""How often a class is tried again whose worker died."""


@click.command()
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False, exists=True))
@click.option("--jobs", type=click.IntRange(min=1), default=1, show_default=True, metavar="N", help="How many at once.")
@click.option(
    "--cluster", default="", metavar="ADDRESS", help="Plan on a dask.distributed cluster, as tcp://host:8786."
)
@click.option("--seed", type=SEED, metavar="N", help="For all classes; each its own if left out.")
@effort_option
def school_command(folder: Path, jobs: int, cluster: str, seed: int | None, effort: str) -> int:
    """Plan again what is left in every class file (NAME.class) of FOLDER.

    A class that cannot be planned or read stays as it is, and the others are planned all the same. Records with names
    and ratings travel to the workers of a cluster: use one that your school may use for them.
    """
    files = [ClassFile(path) for path in sorted(folder.glob("*.class"))]
    if not files:
        raise InputError("there is no class file in {folder}", "their names end in .class", folder=folder)
    statuses: list[int] = []
    before: list[tuple[ClassFile, Snapshot]] = []
    for file in files:
        try:
            before.append((file, file.read()))
        except GrouperError as error:
            # The others are planned all the same.
            statuses.append(_refused(file, error))
    # All are read first and saved at the end, so that one that is damaged stops no other.
    with _executor(jobs, cluster) as executor:
        answers = plan_school([snapshot.record for _, snapshot in before], executor, seed, effort)
    for (file, snapshot), answer in zip(before, answers, strict=True):
        try:
            if answer.outcome is None:
                raise answer.refusal or InputError("no answer came back")
            file.save(answer.outcome.record, "plan", read_at=snapshot.version)
        except GrouperError as error:
            statuses.append(_refused(file, error))
        else:
            statuses.append(0)
            click.echo(f"{file.path.name}: planned")
    click.echo(f"{statuses.count(0)} of {counted(len(files), 'class', 'classes')} planned.")
    return next((status for status in statuses if status), 0)


@contextmanager
def _executor(jobs: int, cluster: str) -> Iterator[Executor]:
    """What the classes are planned on: processes of this machine, or the workers of a cluster.

    The scheduler of a cluster gives the work of a worker that dies to another one; the plans are the same everywhere.
    """
    if not cluster:
        with ProcessPoolExecutor(jobs) as processes:
            yield processes
        return
    try:
        import distributed
    except ImportError as error:
        raise InputError(
            "a cluster needs the package distributed, which is not here", "python -m pip install distributed"
        ) from error
    cluster_client: Any = distributed.Client
    try:
        client = cluster_client(cluster, timeout=CLUSTER_PATIENCE)
    except (OSError, ValueError) as error:
        raise InputError(
            "there is no cluster at {cluster}", "check the address and that it runs", cluster=cluster
        ) from error
    with client:
        yield client.get_executor(pure=False, retries=RETRIES)


def _refused(file: ClassFile, error: GrouperError) -> int:
    """Say which class it is that stays as it was, and why; the exit status of that."""
    click.echo(f"{file.path.name}:", err=True)
    for line in error_lines(error):
        click.echo(f"  {line}", err=True)
    return error.exit_status


CLASSES = ("small", "odd", "hard", "sides")


@click.command()
@click.option("--class", "chosen", type=click.Choice(CLASSES), default="odd", show_default=True, help="Which class.")
@click.option(
    "--to",
    "folder",
    type=file_type,
    default=Path("grouper-demo"),
    show_default=True,
    metavar="FOLDER",
    help="Where to write.",
)
def demo_command(chosen: str, folder: Path) -> None:
    """Plan the unit of an invented class, show how fair it is, and write the sheets of its first lesson."""
    from grouper.faces.sheets.pages import write_sheets
    from grouper.faces.views.tasks_of_class import match_lines, with_invented_tasks

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(
            "the folder {folder} cannot be made ({strerror})",
            "name another with --to",
            folder=folder,
            strerror=error.strerror,
        ) from error
    tables = demo_folder() / chosen
    record = admitted(Given(tables / "roster.csv", tables / "lessons.csv", tables / "requests.csv"), None)
    with progress("Planning") as watch:
        outcome = plan_unit(record, watch=watch)
    class_file = folder / f"demo-{chosen}.class"
    try:
        class_file.unlink(missing_ok=True)
    except OSError as error:
        why = error.strerror
        raise InputError(
            "{class_file} cannot be replaced ({why})", "name another folder with --to", class_file=class_file, why=why
        ) from error
    record = with_invented_tasks(outcome.record, tables)
    ClassFile(class_file).create(record, "first plan")
    show(summary_lines(record, fairness_of(record)))
    if record.challenges:
        show(match_lines(record))
    click.echo(f"Class file: {class_file}")
    for path in write_sheets(record, 1, folder):
        click.echo(f"Sheet: {path}")
