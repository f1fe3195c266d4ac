"""Units: planned, chosen from several plans, followed by the next; of a whole school, and of an invented class."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from grouper.errors import GrouperError, InputError
from grouper.faces.cli.admission import Given, admitted, told_of
from grouper.faces.cli.common import SEED, class_argument, details_option, progress, scale_option, show
from grouper.faces.cli.play_options import FileOf
from grouper.faces.cli.remedies import error_lines, said_lines
from grouper.faces.views.tasks_of_class import idle_lines
from grouper.faces.views.tradeoff_curve import tradeoff_svg
from grouper.faces.wording.changes import change_lines, ending_lines, repair_lines
from grouper.faces.wording.fairness import summary_lines
from grouper.faces.wording.telling import reading_lines
from grouper.files.atomic import write_whole
from grouper.files.example import demo_folder
from grouper.files.lessons import read_lessons
from grouper.files.store import ClassFile, Snapshot
from grouper.games.days.groups import stale_play
from grouper.model.levers import Adaptation
from grouper.model.record import ClassRecord
from grouper.model.request import CLOSENESS, PREFERENCES, Settings
from grouper.model.roster import Roster
from grouper.planning.admit import brought_in
from grouper.planning.fairness import fairness_of
from grouper.planning.noting import dropped
from grouper.planning.plan import STEPS, plan_unit
from grouper.planning.ran import next_unit
from grouper.planning.repair import repair
from grouper.planning.requests import became_of_requests
from grouper.planning.several import Choice, ClassPlanned, choices, plan_school
from grouper.words import counted

effort_option = click.option(
    "--effort", type=click.Choice(list(STEPS)), default="usual", show_default=True, help="How long to search."
)
seed_option = click.option("--seed", type=SEED, metavar="N", help="Another seed gives another plan, about as good.")


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
    most = f"no two meet more than {counted(fair.most_meetings, 'time')}"
    return f"{counted(fair.repeats, 'repeat')} (cost {fair.meeting_cost}, {most}){even}"


def _options(seed: int | None, effort: str) -> str:
    with_seed = "" if seed is None else f" --seed {seed}"
    return with_seed + ("" if effort == "usual" else f" --effort {effort}")


USUAL = "usual"
file_type = click.Path(path_type=Path)


@click.command()
@class_argument
@click.option("--roster", type=file_type, metavar="FILE", help="CSV, XLSX or OneRoster zip.")
@click.option("--lessons", type=file_type, metavar="FILE", help="CSV, or XLSX with a sheet of lessons.")
@click.option("--requests", type=file_type, metavar="FILE", help="CSV, or XLSX with a sheet of requests.")
@click.option("--class-name", default="", metavar="NAME", help="Which class of a OneRoster zip.")
@scale_option
@seed_option
@effort_option
@click.option("--prefer", type=click.Choice([p or USUAL for p in PREFERENCES]), help="What matters most; remembered.")
@click.option(
    "--closeness",
    type=click.Choice(CLOSENESS),
    help="How much more two in a pair count as having met than two in a team; remembered.",
)
@details_option
@click.option("--yes", is_flag=True, help="Agree to what is lost with lessons that are not as they were.")
def plan_command(
    class_path: Path,
    roster: Path | None,
    lessons: Path | None,
    requests: Path | None,
    class_name: str,
    scale: str | None,
    seed: int | None,
    effort: str,
    prefer: str | None,
    closeness: str | None,
    details: bool,
    yes: bool,
) -> None:
    """Plan the unit: every lesson that has not been taught, building on those that have.

    The first plan makes the class file CLASS and needs the roster and the lessons; a workbook may hold all three
    tables.
    """
    file = ClassFile(class_path)
    before = file.read() if file.exists else None
    given = Given(roster, lessons, requests, class_name, details, scale, yes=yes)
    record = admitted(given, before.record if before else None)
    if before is not None:
        # Pinned groups give way to nothing but a request that came after the pin.
        pinned = repair(record, pinned_only=True, before=before.record)
        for change in pinned.changes:
            show(change_lines(pinned.record, change))
        record = pinned.record
    if not record.unit.lessons:
        raise InputError("the class has no lessons yet; name them with --lessons FILE")
    if given.lessons is not None or given.roster is not None:
        show(idle_lines(record))
    with progress("Planning") as watch:
        outcome = plan_unit(record, seed, effort, _settings(record.settings, prefer, closeness), watch)
    if before is None:
        file.create(outcome.record, "first plan")
    else:
        file.save(outcome.record, "plan", read_at=before.version)
    if before is not None:
        show(dropped(record, outcome.record))
        show(became_of_requests(before.record, outcome.record))
        show(_left_behind(outcome.record))
    show(summary_lines(outcome.record, fairness_of(outcome.record)))
    click.echo(f"Saved in {class_path}.")


def _left_behind(record: ClassRecord) -> Iterator[str]:
    """Games and stations whose teams are not there any more, as where a lesson was put in before theirs."""
    lessons = {event.lesson for event in record.events}
    for lesson in sorted(lessons - record.taught):
        yield from (f"Lesson {lesson}: {line}" for line in said_lines(stale_play(record, lesson)))


def _settings(known: Settings, prefer: str | None, closeness: str | None) -> Settings:
    """The class's settings with what was given now."""
    chosen = known.prefer if prefer is None else prefer.replace(USUAL, "")
    return replace(known, prefer=chosen, closeness=closeness or known.closeness)


@click.command()
@class_argument
@click.option("--roster", type=click.Path(path_type=Path), required=True, metavar="FILE", help="CSV, XLSX, OneRoster.")
@click.option("--class-name", default="", metavar="NAME", help="Which class of a OneRoster zip.")
@scale_option
@click.option("--same", multiple=True, metavar="OLD=NEW", help="The student with id OLD has id NEW on the new list.")
@click.option("--new", multiple=True, metavar="ID", help="The student with this id on the new list is new.")
@click.option("--by-id", is_flag=True, help="A known id is always the same student, whatever the name.")
@details_option
@click.option("--yes", is_flag=True, help="Agree to what is lost with lessons that are not as they were.")
def import_command(
    class_path: Path,
    roster: Path,
    class_name: str,
    scale: str | None,
    same: tuple[str, ...],
    new: tuple[str, ...],
    by_id: bool,
    details: bool,
    yes: bool,
) -> None:
    """Read a roster into a class: new students join, who has left is archived, with their history.

    The same people under other ids are the same people, told by their names; where it is not sure who is who, nothing
    is changed until --same or --new says so. In the next lesson as few students move as possible; later lessons are
    planned again where somebody joined or left, with few changes.
    """
    file = ClassFile(class_path)
    found = file.read() if file.exists else None
    before = found.record if found else ClassRecord(Roster(()))
    told = told_of(before.roster, same, new, by_id)
    given = Given(roster, class_name=class_name, details=details, scale=scale, told=told, yes=yes)
    mended = brought_in(before, admitted(given, before if found else None))
    if found is None:
        file.create(mended.record, "roster imported")
    else:
        file.save(mended.record, "roster imported", read_at=found.version)
    if mended.record.plan.rounds:
        show(repair_lines(mended))
    show(became_of_requests(before, mended.record))
    click.echo(f"Saved in {class_path}.")


@click.command()
@class_argument
@click.option(
    "--lessons", type=click.Path(path_type=Path), required=True, metavar="FILE", help="The lessons of the new unit."
)
@click.option(
    "--half-life",
    type=click.FloatRange(0, 1000),
    metavar="WEEKS",
    help="After so many weeks a meeting counts half, 12 at first; 0 to forget earlier units; remembered.",
)
@seed_option
@effort_option
@details_option
def next_command(
    class_path: Path, lessons: Path, half_life: float | None, seed: int | None, effort: str, details: bool
) -> None:
    """End the unit and plan the next one, which knows who has worked with whom in those before.

    The rounds of lessons that were taught are remembered, the less the longer ago. Absences, notes, scores, and
    requests for certain lessons end with the old unit. One undo takes all of it back.
    """
    file = ClassFile(class_path)
    before = file.read()
    reading = read_lessons(lessons, before.record.roster)
    show(reading_lines("lessons", reading.summary, reading.notes, details))
    begun = next_unit(before.record, reading.unit)
    record = begun.record
    show(idle_lines(record))
    if half_life is not None:
        record = replace(record, settings=replace(record.settings, half_life=half_life))
    with progress("Planning") as watch:
        planned = plan_unit(record, seed, effort, record.settings, watch).record
    file.save(planned, "next unit", read_at=before.version)
    click.echo(f"The old unit is over: {counted(begun.rounds, 'round')} remembered.")
    show(f"  ended with it: {line}" for line in ending_lines(before.record))
    show(summary_lines(planned, fairness_of(planned)))
    click.echo(f"Saved in {class_path}.")


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


CLASSES = ("small", "odd", "hard")


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
    from grouper.faces.sheets.write import write_sheets

    _make(folder)
    tables = demo_folder() / chosen
    record = admitted(Given(tables / "roster.csv", tables / "lessons.csv", tables / "requests.csv"), None)
    with progress("Planning") as watch:
        outcome = plan_unit(record, watch=watch)
    class_file = folder / f"demo-{chosen}.class"
    _clear(class_file)
    record = _with_tasks(outcome.record, tables)
    ClassFile(class_file).create(record, "first plan")
    show(summary_lines(record, fairness_of(record)))
    click.echo(f"Class file: {class_file}")
    for path in write_sheets(record, 1, folder):
        click.echo(f"Sheet: {path}")


def _with_tasks(record: ClassRecord, tables: Path) -> ClassRecord:
    """With levers, a cupboard and what is kept for children, where the invented class has them."""
    from grouper.files.levers import default_levers, read_adaptations, read_cupboard
    from grouper.files.words.levers import kind_of_activity
    from grouper.tasks.adapt import adapted
    from grouper.tasks.kept import set_up, with_cupboard

    cupboard, kept = tables / "cupboard.csv", tables / "adaptations.csv"
    if not cupboard.exists():
        return record
    library = {one.activity: one for one in default_levers()}
    record = with_cupboard(set_up(record, library, kind_of_activity), read_cupboard(cupboard).stores)
    return adapted(record, [Adaptation(*row) for row in read_adaptations(kept)])


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
