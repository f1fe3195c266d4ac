"""``grouper school``: plan many classes."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from grouper.errors import GrouperError, InputError
from grouper.faces.cli.common import SEED, show
from grouper.faces.cli.remedies import error_lines
from grouper.files.store import ClassFile, Snapshot
from grouper.planning.outcome import STEPS
from grouper.planning.several import ClassPlanned, plan_school
from grouper.words import counted

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
@click.option("--effort", type=click.Choice(list(STEPS)), default="usual", show_default=True, help="How hard to try.")
def command(folder: Path, jobs: int, cluster: str, seed: int | None, effort: str) -> int:
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
        raise InputError("a cluster needs the package distributed; install grouper[cluster]") from error
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
