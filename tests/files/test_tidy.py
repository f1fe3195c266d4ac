"""Text and numbers as people mean them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grouper.files.cells import fold, number, number_text
from grouper.model.texts import tidy


@given(st.text())
def test_tidy_text_is_tidy_already(text: str) -> None:
    """Tidying twice changes nothing more."""
    assert tidy(tidy(text)) == tidy(text)


@given(st.text())
def test_folded_text_is_folded_already(text: str) -> None:
    """Folding twice changes nothing more, so that words can be kept folded."""
    assert fold(fold(text)) == fold(text)


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_number_text_reads_back(value: float) -> None:
    """Every finite number reads back as the same number."""
    assert number(number_text(value)) == value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("3,5", 3.5),
        ("1.234,5", 1234.5),
        ("1,234.5", 1234.5),
        ("1 234,5", 1234.5),
        ("1'234", 1234.0),
        ("−2", -2.0),
        ("75%", 75.0),
        ("75 %", 75.0),
        (".5", 0.5),
        ("٣", 3.0),
        ("1.234.567", 1234567.0),
    ],
)
def test_numbers_of_several_countries(text: str, value: float) -> None:
    """Decimal commas, signs between thousands, a real minus sign, percent, digits of other scripts."""
    assert number(text) == value


@pytest.mark.parametrize("text", ["", "4:35", "12/3", "nan", "inf", "1e999", "3 4", "--1", "four", "1,2,3", "²"])
def test_what_is_no_number(text: str) -> None:
    """Times, fractions, words and infinite values are no ratings."""
    assert number(text) is None
