"""Cells that a spreadsheet could run are guarded, and every text comes back as it was.

The signs are those of OWASP ASVS 5.0, 1.2.10 (= + - @ tab NUL) and carriage return.
"""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from grouper.files.cells import guard, unguard
from grouper.files.writing import csv_text
from grouper.model.texts import shown

risky_text = st.text(alphabet=st.sampled_from("'=+-@\t\r\n\0ab ,\";"))


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r", "\0"])
def test_risky_start_gets_an_apostrophe(sign: str) -> None:
    """Each sign of the standard at the start of a cell is guarded."""
    assert guard(f"{sign}SUM(A1)") == f"'{sign}SUM(A1)"


@given(st.text() | risky_text)
@example("'=1")
@example("'''-")
@example("'")
@example("'t Hart")
def test_guard_comes_off_again(text: str) -> None:
    """unguard(guard(text)) is the text, for any text, also one that begins with the guard itself."""
    assert unguard(guard(text)) == text


@given(st.text() | risky_text)
def test_guarded_text_never_starts_with_a_risky_sign(text: str) -> None:
    """What is written starts with none of the signs."""
    assert not guard(text).startswith(("=", "+", "-", "@", "\t", "\r", "\0"))


@given(st.lists(st.lists(risky_text, min_size=2, max_size=4), max_size=4))
def test_every_cell_of_a_csv_is_guarded_and_comes_back(rows: list[list[str]]) -> None:
    """csv.reader of the standard library, with the guard taken off, gives the rows that were written, clean."""
    read = list(csv.reader(io.StringIO(csv_text(rows), newline="")))
    assert [[unguard(cell) for cell in row] for row in read] == [[shown(cell) for cell in row] for row in rows]
    assert not any(cell.startswith(tuple("=+-@\t\r\0")) for row in read for cell in row)


@given(st.lists(st.lists(risky_text | st.text(), min_size=1, max_size=4), max_size=4), st.sampled_from(",;|\t"))
@example([["1", "Ana;=cmd"], ["2", "a\n=1"]], ";")
@example([["1", 'a;"=1"'], ["b,a;", "x"]], ";")
def test_no_reader_sees_a_formula_whatever_it_takes_for_the_delimiter(rows: list[list[str]], delimiter: str) -> None:
    """csv.reader with each delimiter, and lines split without a look at quotation marks, find no risky start."""
    text = csv_text(rows)
    cells = [cell for row in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter) for cell in row]
    if delimiter != ",":
        cells += [cell for line in text.splitlines() for cell in line.split(delimiter)]
    assert not [cell for cell in cells if cell.lstrip(' "').startswith(tuple("=+-@＝＋－＠"))]
