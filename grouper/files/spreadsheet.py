"""Sheets of an XLSX workbook as text, cells as the spreadsheet shows them where that matters (ids with zeros)."""

from __future__ import annotations

import datetime
import re
import warnings
import zipfile
from collections.abc import Iterator
from io import BytesIO
from typing import Any

from grouper.files.damage import ZIP_DAMAGE
from grouper.files.guard import unguard
from grouper.files.notes import refuse
from grouper.files.numbers import number_text
from grouper.files.sheet import Row, Sheet
from grouper.model.texts import has_hidden, tidy

_XML_DAMAGE = (SyntaxError, TypeError, AttributeError)
"""What openpyxl and the XML parser raise where a workbook is not as it should be."""
_ZEROS = re.compile("0+")


def read_workbook(data: bytes, file: str) -> tuple[Sheet, ...]:
    """The sheets that are not blank, in the order of the workbook.

    Raises
    ------
    InputError
        The workbook is damaged or locked, or declares entities, which no spreadsheet program writes.
    """
    _refuse_entities(data, file)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            values, formulas = _open(data, stored=True), _open(data, stored=False)
            sheets = [_sheet(file, values[title], formulas[title]) for title in _titles(values)]
    except (*ZIP_DAMAGE, *_XML_DAMAGE) as error:
        raise refuse(file, f"the workbook is damaged ({error})", "open it, save it again as XLSX") from error
    return tuple(sheet for sheet in sheets if sheet.rows or sheet.unknown)


def _refuse_entities(data: bytes, file: str) -> None:
    try:
        with zipfile.ZipFile(BytesIO(data)) as archive:
            for name in archive.namelist():
                with archive.open(name) as member:
                    if b"<!DOCTYPE" in member.read(2000):
                        raise refuse(file, "the workbook declares a document type", "save it again as XLSX")
    except ZIP_DAMAGE as error:
        raise refuse(file, f"the workbook is damaged or locked ({error})", "save it again as XLSX") from error


def _open(data: bytes, *, stored: bool) -> Any:
    from openpyxl import load_workbook

    return load_workbook(BytesIO(data), read_only=True, data_only=stored)


def _titles(workbook: Any) -> list[str]:
    return [sheet.title for sheet in workbook.worksheets]


def _sheet(file: str, values: Any, formulas: Any) -> Sheet:
    rows: list[Row] = []
    unknown: list[tuple[int, str]] = []
    hidden: list[int] = []
    for (number, shown), (_number, written) in zip(_rows(values), _rows(formulas), strict=True):
        texts = [_text(cell) for cell in shown]
        rows.append(Row(number, tuple(tidy(unguard(text)) for text in texts)))
        unknown.extend((number, _letter(place)) for place in _without_value(shown, written))
        hidden.extend([number] if any(map(has_hidden, texts)) else [])
    remark = ("mended", "hidden characters or odd spaces taken off", tuple(hidden))
    filled = tuple(row for row in rows if row.filled)
    return Sheet(file, values.title, filled, (remark,) if hidden else (), tuple(unknown))


def _rows(worksheet: Any) -> Iterator[tuple[int, tuple[Any, ...]]]:
    worksheet.reset_dimensions()  # what the file says about its size is often wrong
    numbered = enumerate(worksheet.iter_rows(), start=1)
    return ((number, cells) for number, cells in numbered if any(cell.value is not None for cell in cells))


def _without_value(shown: tuple[Any, ...], written: tuple[Any, ...]) -> list[int]:
    both = enumerate(zip(shown, written, strict=False))
    return [place for place, (value, formula) in both if value.value is None and formula.value is not None]


def _letter(place: int) -> str:
    from openpyxl.utils import get_column_letter

    return str(get_column_letter(place + 1))


def _text(cell: Any) -> str:
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, (int, float)):
        return _number_as_shown(value, str(getattr(cell, "number_format", "") or ""))
    if isinstance(value, datetime.datetime):
        return value.date().isoformat() if value.time() == datetime.time() else value.isoformat(sep=" ")
    return value.isoformat() if isinstance(value, (datetime.date, datetime.time)) else str(value)


def _number_as_shown(value: float, shape: str) -> str:
    """An id kept as the number 12 in a cell of the shape ``00000`` is shown, and meant, as 00012."""
    first = shape.split(";")[0].replace('"', "")
    if float(value).is_integer() and _ZEROS.fullmatch(first):
        return f"{int(value):0{len(first)}d}"
    return number_text(value)
