"""What the commands on games and stations share: options, and planning for a class or for mere numbers."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from grouper.errors import InputError
from grouper.faces.cli.common import COUNT, LESSON, MINUTES
from grouper.faces.views.names import telling_lines
from grouper.files.atomic import refuse_class_file
from grouper.files.store import ClassFile
from grouper.files.writing import write_event
from grouper.model.play import Event
from grouper.model.record import ClassRecord

file_type = click.Path(path_type=Path)

KINDS = "pdf doc docx odt rtf xls xlsx ods csv tsv json xml ics svg png jpg jpeg html htm class zip"
OTHER_KINDS = frozenset(f".{kind}" for kind in KINDS.split())
"""Endings that promise a kind of file; one of them on a file of another kind would not open."""


class FileOf(click.Path):
    """A file to be written of one kind; a name that ends as another kind does is refused, and any other is fine."""

    def __init__(self, *endings: str) -> None:
        super().__init__(path_type=Path)
        self.endings = endings

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        path = Path(str(super().convert(value, param, ctx)))
        refuse_class_file(path)
        ending = path.suffix.lower()
        if ending in OTHER_KINDS and ending not in self.endings:
            print_it = "; open it and print it to a PDF" if ending == ".pdf" and ".html" in self.endings else ""
            kinds = " or ".join(self.endings)
            raise InputError(
                "'{name}': what is written is {kinds}, not {ending}",
                "end the name so{print_it}",
                name=path.name,
                kinds=kinds,
                ending=ending,
                print_it=print_it,
            )
        return path


optional_class_argument = click.argument("class_path", metavar="[CLASS]", required=False, type=file_type)
which_lesson_option = click.option("--lesson", type=LESSON, metavar="N", help="Number of the lesson, with CLASS.")
activity_option = click.option(
    "--activity", metavar="NAME", help="Which activity of the lesson; not needed where there is just one."
)
round_option = click.option(
    "--round", "number", type=COUNT, default=1, metavar="K", help="Whose groups play; those of round 1 if left out."
)
csv_option = click.option("--to", "csv", type=FileOf(".csv"), metavar="FILE.csv", help="Where to write the plan.")
sheets_option = click.option("--sheets", type=file_type, metavar="FOLDER", help="Where to write the sheets to print.")
minutes_option = click.option(
    "--minutes", type=MINUTES, metavar="M", help="All the time there is; with CLASS that of the activity if left out."
)
play_option = click.option(
    "--play", type=MINUTES, metavar="M", help="Minutes of a slot; if left out, as long as there is time for."
)
called_option = click.option(
    "--called",
    multiple=True,
    metavar="TEAM=NAME",
    help="Call it by its bibs or a name; '4=' by its number.",
)
changeover_option = click.option(
    "--changeover", type=MINUTES, default=0.0, metavar="M", help="Minutes to change between two slots; 0."
)


def both_or_neither(class_path: Path | None, lesson: int | None, count: int | None, what: str) -> None:
    """Refuse a command that is neither about a class nor about mere numbers, or about both.

    Raises
    ------
    InputError
        With what to write instead.
    """
    if class_path is None and count is None:
        raise InputError("say how many: --{what} N, or give a CLASS with --lesson N", what=what)
    if class_path is None and lesson is not None:
        raise InputError("a lesson belongs to a class; give the CLASS before --lesson")
    if class_path is not None and count is not None:
        raise InputError("with a CLASS the {what} are the groups of the activity", "leave out --{what}", what=what)
    if class_path is not None and lesson is None:
        raise InputError("with a CLASS give --lesson N, and --activity NAME where the lesson has more than one")


def planned(given: dict[str, Any], wish: Event, what: str) -> tuple[ClassRecord | None, Event, list[str]]:
    """What is asked for, planned for the groups of a class or for mere numbers; the class, and lines on files written.

    Raises
    ------
    InputError
        It cannot be planned, or it is not clear for whom or where to write it.
    """
    from grouper.games.days.groups import called, of_class
    from grouper.games.days.plan import plan, planned_in
    from grouper.tasks.adapt import visits_kept_from

    count, lesson = given[what], given["lesson"]
    both_or_neither(given["class_path"], lesson, count, what)
    if given["class_path"] is None:
        if given["csv"] is None and given["sheets"] is None:
            raise InputError("say where to write the {kind}: --to FILE.csv, or --sheets FOLDER", kind=wish.kind)
        asked = called(replace(wish, teams=tuple(map(str, range(1, count + 1)))), names_of(given["called"]))
        event = plan(asked, given["minutes"])
        return None, event, written(None, event, given["csv"], given["sheets"])
    with ClassFile(given["class_path"]).change("") as edit:
        asked = of_class(edit.record, wish, lesson, given["activity"], given["number"])
        kept_from = visits_kept_from(edit.record, asked)
        wish = called(asked, names_of(given["called"]))
        edit.record, event = planned_in(edit.record, wish, given["minutes"], kept_from)
        edit.what = f"{event.kind} of '{event.activity}' in lesson {lesson}"
        # Within the change, so that nothing is kept where a file cannot be written.
        lines = written(edit.record, event, given["csv"], given["sheets"])
    return edit.record, event, lines


def renamed(given: dict[str, Any], kind: str) -> tuple[Event, list[str]]:
    """Games or stations that stay as they are, with other names of teams, and lines on files written.

    Raises
    ------
    InputError
        There are none, or two teams would have one name.
    """
    from grouper.games.days.groups import called, event_meant

    if given["class_path"] is None or given["lesson"] is None:
        raise InputError("names alone are given to games or stations of a class", "give the CLASS and --lesson N")
    with ClassFile(given["class_path"]).change("") as edit:
        before = event_meant(edit.record, kind, given["lesson"], given["activity"])
        event = called(before, names_of(given["called"]))
        edit.record, edit.what = edit.record.with_event(event), f"names of teams of '{event.activity}'"
        lines = written(edit.record, event, given["csv"], given["sheets"])
    return event, lines


def names_of(texts: Iterable[str]) -> dict[str, str]:
    """Names of teams, as typed: ``4=Red``; nothing after the sign for none."""
    names: dict[str, str] = {}
    for text in texts:
        team, sign, name = text.partition("=")
        if not sign or not team.strip():
            raise InputError("'{text}' is no name of a team", "write it as TEAM=NAME, such as 4=Red", text=text)
        names[team.strip()] = name.strip()
    return names


def written(record: ClassRecord | None, event: Event, csv: Path | None, sheets: Path | None = None) -> list[str]:
    """Write the files that were asked for, and say so."""
    lines = []
    if csv is not None:
        write_event(csv, event)
        lines.append(f"{event.kind.capitalize()} written to {csv}.")
    if sheets is not None:
        from grouper.faces.sheets.play_sheets import write_event_sheets

        lines.extend(f"Written: {path}" for path in write_event_sheets(event, sheets, record))
    return [*lines, *telling_lines(event.called, of_people=True), *telling_lines(event.places)]
