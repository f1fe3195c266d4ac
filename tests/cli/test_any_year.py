"""Years in which every command comes in any order; ``tests/bench/any_year.py`` says what has to hold, and has more."""

from __future__ import annotations

import pytest

from tests.bench.any_year import run


@pytest.mark.parametrize("year", [2, 3])
def test_whatever_comes_the_class_hangs_together(year: int) -> None:
    """Twenty-five commands after another, most of them possible: nothing is lost, doubled or changed in silence."""
    ended, trouble = run(year, steps=25)
    assert trouble == ""
    assert sum(times for how, times in ended.items() if how.endswith(" 0")) >= 8
