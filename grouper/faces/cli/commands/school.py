"""Several plans to choose from, the classes of a whole school, and an invented class to see it all on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from grouper.errors import GrouperError, InputError
from grouper.faces.cli.commands.unit import Given, admitted, effort_option
from grouper.faces.cli.common import SEED, class_argument, progress, show
from grouper.faces.cli.play_options import FileOf
from grouper.faces.cli.remedies import error_lines
from grouper.faces.views.tradeoff_curve import tradeoff_svg
from grouper.faces.wording.fairness import summary_lines
from grouper.files.atomic import write_whole
from grouper.files.example import demo_folder
from grouper.files.store import ClassFile, Snapshot
from grouper.planning.fairness import fairness_of
from grouper.planning.plan import plan_unit
from grouper.planning.several import Choice, ClassPlanned, choices, plan_school
from grouper.words import counted


def choice_lines(choices: Sequence[Choice], class_name: str, seed: int | None, effort: str) -> Iterator[str]:
    """For each plan what it is worth and the command that takes it; newest partners first."""
    if len(choices) == 1:
        yield "There is nothing to trade: one plan is best in both respects."
    for number, choice in enumerate(choices, start=1):
        yield f"{number}. {choice_in_words(choice)}"
        yield f"   grouper plan {class_name} --prefer {choice.prefer or 'usual'}{_options(seed, effort)}"


def choice_in_words(choice: Choice) -> str:
    """What a plan is worth, in a line."""
    worst = choice.fairness.worst_spread
    even = f"; teams {choice.unevenness:.2f} apart on average, {worst.spread:.2f} at worst" if worst else ""
    fair = choice.fairness
    most = f"no two meet more than {'once' if fair.most_meetings == 1 else f'{fair.most_meetings} times'}"
    return f"{counted(fair.repeats, 'repeat')} (cost {fair.meeting_cost}, {most}){even}"


def _options(seed: int | None, effort: str) -> str:
    with_seed = "" if seed is None else f" --seed {seed}"
    return with_seed + ("" if effort == "usual" else f" --effort {effort}")


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
    show(choice_lines(made, class_path.name, seed, effort))
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
            statuses.append(_refused(file, error))
    with _executor(jobs, cluster) as executor:
        answers = plan_school([snapshot.record for _, snapshot in before], executor, seed, effort)
    statuses += [_saved(*each, answer) for each, answer in zip(before, answers, strict=True)]
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


CLASSES = ("small", "odd", "hard", "sides")


@click.command()
@click.option("--class", "chosen", type=click.Choice(CLASSES), default="odd", show_default=True, help="Which class.")
@click.option(
    "--to",
    "folder",
    type=click.Path(path_type=Path),
    default=Path("grouper-demo"),
    show_default=True,
    metavar="FOLDER",
    help="Where to write.",
)
def demo_command(chosen: str, folder: Path) -> None:
    """Plan the unit of an invented class, show how fair it is, and write the sheets of its first lesson."""
    from grouper.faces.sheets.pages import write_sheets
    from grouper.faces.views.tasks_of_class import match_lines, with_invented_tasks

    _make(folder)
    tables = demo_folder() / chosen
    record = admitted(Given(tables / "roster.csv", tables / "lessons.csv", tables / "requests.csv"), None)
    with progress("Planning") as watch:
        outcome = plan_unit(record, watch=watch)
    class_file = folder / f"demo-{chosen}.class"
    _clear(class_file)
    record = with_invented_tasks(outcome.record, tables)
    ClassFile(class_file).create(record, "first plan")
    show(summary_lines(record, fairness_of(record)))
    if record.challenges:
        show(match_lines(record))
    click.echo(f"Class file: {class_file}")
    for path in write_sheets(record, 1, folder):
        click.echo(f"Sheet: {path}")


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(
            "the folder {folder} cannot be made ({strerror})",
            "name another with --to",
            folder=folder,
            strerror=error.strerror,
        ) from error


def _clear(class_file: Path) -> None:
    """Make room for the class file of the demo, where one of an earlier run stands."""
    try:
        class_file.unlink(missing_ok=True)
    except OSError as error:
        why = error.strerror
        raise InputError(
            "{class_file} cannot be replaced ({why})", "name another folder with --to", class_file=class_file, why=why
        ) from error
