"""The public tree of errors, pinned: names, parents and exit statuses that scripts rely on."""

from __future__ import annotations

import inspect

import pytest

from grouper import errors
from grouper.errors import (
    GrouperError,
    ImpossibleError,
    InputError,
    InUseError,
    OurBugError,
    OutOfTimeError,
    Trouble,
)


def test_error_tree_and_exit_statuses() -> None:
    """Five kinds of no below one root, each with its own status; 0 is for success and 1 for what is unforeseen."""
    tree = {
        name: (kind.__mro__[1].__name__, kind.exit_status)
        for name, kind in inspect.getmembers(errors, inspect.isclass)
        if issubclass(kind, GrouperError)
    }
    assert tree == {
        "GrouperError": ("Exception", 1),
        "InputError": ("GrouperError", 2),
        "ImpossibleError": ("GrouperError", 3),
        "InUseError": ("GrouperError", 4),
        "OutOfTimeError": ("GrouperError", 5),
        "OurBugError": ("GrouperError", 6),
    }


def test_tree_drawn_on_top_is_the_tree() -> None:
    """The drawing in the docstring names each error with its status."""
    drawing = errors.__doc__ or ""
    for kind in (InputError, ImpossibleError, InUseError, OutOfTimeError, OurBugError):
        (line,) = [line for line in drawing.splitlines() if f" {kind.__name__} " in line]
        assert str(kind.exit_status) in line


def test_errors_carry_their_facts() -> None:
    """Troubles, clashes and faults are attributes, for a face to show."""
    trouble = Trouble("'Mia' appears twice", "give each student an id", "7b.csv", 14)
    assert InputError("no", troubles=(trouble,)).troubles == (trouble,)
    assert ImpossibleError("no", clash=("a", "b")).clash == ("a", "b")
    assert ImpossibleError("no").smallest
    assert OurBugError("no", faults=("f",)).faults == ("f",)


@pytest.mark.parametrize(
    ("trouble", "text"),
    [
        (
            Trouble("'Mia' appears twice", "give each student an id", "7b.csv", 14),
            "row 14 of 7b.csv: 'Mia' appears twice; give each student an id",
        ),
        (Trouble("is empty", file="7b.csv", column="name"), "7b.csv, column 'name': is empty"),
        (Trouble("no table"), "no table"),
    ],
)
def test_trouble_reads_as_a_sentence(trouble: Trouble, text: str) -> None:
    """Where, what is wrong, what to try; what is not known is left out."""
    assert str(trouble) == text
