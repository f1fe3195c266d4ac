"""Facts of one class or of many, as tables."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.play_options import FileOf
from grouper.files.groups import write_groups
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from grouper.words import counted


@click.command()
@click.argument("classes", metavar="CLASS...", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--groups", type=FileOf(".csv"), metavar="FILE.csv", help="Write the groups of the unit here.")
@click.option("--table", "names", multiple=True, metavar="NAME", help="Write this table; may be given more than once.")
@click.option(
    "--to", type=FileOf(".csv", ".xlsx"), metavar="FILE", help="Where: FILE.csv, or FILE.xlsx with a sheet a table."
)
def export_command(classes: tuple[Path, ...], groups: Path | None, names: tuple[str, ...], to: Path | None) -> None:
    """Write what class files hold as tables, for a spreadsheet or another program.

    The tables are roster, lessons, requests, groups, meetings, attendance, absences, turns, fairness, results and
    scores; docs/scripting.md says what their columns mean. With several class files a first column names the class.
    """
    if groups is not None and (names or to is not None or len(classes) > 1):
        raise click.UsageError("--groups goes with one class and by itself; for more use --table and --to")
    if groups is not None:
        write_groups(groups, ClassFile(classes[0]).read().record)
        click.echo(f"Groups written to {groups}.")
        return
    if not names or to is None:
        raise click.UsageError("say which table and where to, such as --table attendance --to attendance.csv")
    rows = _write(_records(classes), names, to)
    click.echo(f"{counted(rows, 'row', 'rows')} written to {to}.")


def _records(classes: tuple[Path, ...]) -> dict[str, ClassRecord]:
    records: dict[str, ClassRecord] = {}
    for path in classes:
        # Two folders may each hold a 7b.class: then the whole path tells them apart.
        name = path.stem if sum(other.stem == path.stem for other in classes) == 1 else str(path)
        records[name] = ClassFile(path).read().record
    return records


def _write(records: dict[str, ClassRecord], names: tuple[str, ...], to: Path) -> int:
    """Write the tables and say how many rows, the headers left out."""
    from grouper.faces.views.tables import TABLES, table_rows

    unknown = [name for name in names if name not in TABLES]
    if unknown:
        raise InputError(
            "there is no table '{unknown}'", "there are {tables}", unknown=unknown[0], tables=", ".join(TABLES)
        )
    kind = to.suffix.lower()
    if kind not in (".csv", ".xlsx"):
        raise InputError("{to} is neither CSV nor XLSX", "give a name that ends in .csv or .xlsx", to=to)
    if kind == ".csv" and len(names) > 1:
        raise InputError("a CSV file holds one table; give FILE.xlsx for several, a sheet each")
    tables = {name: table_rows(TABLES[name], records) for name in names}
    if kind == ".csv":
        from grouper.files.writing import write_csv

        write_csv(to, [tuple(_text(cell) for cell in row) for row in tables[names[0]]])
    else:
        from grouper.files.writing import write_workbook

        write_workbook(
            to,
            {
                name: [tuple("" if cell is None else cell for cell in row) for row in rows]
                for name, rows in tables.items()
            },
        )
    return sum(len(rows) - 1 for rows in tables.values())


def _text(cell: str | int | float | None) -> str:
    if isinstance(cell, float):
        return f"{cell:g}"
    return "" if cell is None else str(cell)
