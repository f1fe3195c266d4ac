"""``grouper export``: tables of one class and of several, as CSV and XLSX; read again with pandas."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

import grouper
from cli.shell import grouper as run

DEMO = Path(__file__).parents[2] / "rosters_demo"


@pytest.fixture(scope="module")
def two(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Two demo classes, planned quickly."""
    folder = tmp_path_factory.mktemp("export")
    for demo in ("small", "odd"):
        tables = (DEMO / demo / f"{name}.csv" for name in ("roster", "lessons", "requests"))
        grouper.make_class(folder / f"{demo}.class", *tables).plan(seed=1, effort="quick")
    return folder / "small.class", folder / "odd.class"


def test_one_sheet_over_two_classes(two: tuple[Path, Path], tmp_path: Path) -> None:
    """A first column names the class, and a strand that one class lacks is empty there."""
    run("export", *two, "--table", "roster", "--to", tmp_path / "year.csv")
    read = pd.read_csv(tmp_path / "year.csv")
    assert list(read.columns[:3]) == ["class", "student_id", "name"]
    for path in two:
        own = grouper.open_class(path).roster()
        part = read[read["class"] == path.stem]
        assert list(part["student_id"]) == list(own["student_id"])
        assert part[own.columns[-1]].tolist() == pytest.approx(own.iloc[:, -1].tolist(), nan_ok=True)


def test_workbook_has_a_sheet_a_table(two: tuple[Path, Path], tmp_path: Path) -> None:
    """Attendance, turns and meetings of all classes in one workbook, with the numbers as numbers."""
    run("export", *two, "--table", "attendance", "--table", "turns", "--to", tmp_path / "year.xlsx")
    sheets = pd.read_excel(tmp_path / "year.xlsx", sheet_name=None)
    assert list(sheets) == ["attendance", "turns"]
    expected = pd.concat([grouper.open_class(path).turns() for path in two])
    assert sheets["turns"]["partners"].tolist() == expected["partners"].tolist()


def test_text_that_looks_like_a_formula_stays_text(tmp_path: Path) -> None:
    """In a workbook an activity that begins with '=' is text."""
    roster = pd.DataFrame({"student_id": ["a", "b"], "name": ["Ada", "Ben"]})
    lessons = pd.DataFrame({"lesson": [1], "activity": ["=Catch"], "size": [2]})
    made = grouper.make_class(tmp_path / "f.class", roster, lessons)
    run("export", made.path, "--table", "lessons", "--to", tmp_path / "f.xlsx")
    from openpyxl import load_workbook

    (cell,) = (cell for cell in load_workbook(tmp_path / "f.xlsx")["lessons"][2] if cell.value == "=Catch")
    assert cell.data_type == "s"


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--table", "marks", "--to", "x.csv"), "there is no table 'marks'"),
        (("--table", "turns", "--to", "x.pdf"), "what is written is .csv or .xlsx, not .pdf"),
        (("--table", "turns", "--table", "roster", "--to", "x.csv"), "a sheet each"),
        (("--table", "turns"), "where to"),
        (("--groups", "g.csv", "--table", "turns"), "by itself"),
        ((), "which table"),
    ],
)
def test_what_cannot_be_is_said(two: tuple[Path, Path], arguments: tuple[str, ...], says: str, tmp_path: Path) -> None:
    """Exit status 2 with what to write instead, and no file."""
    in_folder = [tmp_path / part if part[1:2] == "." else part for part in arguments]
    ended = run("export", two[0], *in_folder, status=2)
    assert says in ended.err
    assert not list(tmp_path.iterdir())
