"""Options that the commands on games and stations share."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from grouper.errors import InputError
from grouper.faces.cli.common import COUNT, LESSON, MINUTES
from grouper.files.class_kind import refuse_class_file

file_type = click.Path(path_type=Path)

OTHER_KINDS = frozenset(
    [
        ".pdf",
        ".doc",
        ".docx",
        ".odt",
        ".rtf",
        ".xls",
        ".xlsx",
        ".ods",
        ".csv",
        ".tsv",
        ".json",
        ".xml",
        ".ics",
        ".svg",
        ".png",
        ".jpg",
        ".jpeg",
        ".html",
        ".htm",
        ".class",
        ".zip",
    ]
)
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
play_option = click.option("--play", type=MINUTES, metavar="M", help="Minutes of a slot; if left out, as long as fit.")
changeover_option = click.option(
    "--changeover", type=MINUTES, default=0.0, metavar="M", help="Minutes between two slots; 0."
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
