"""What is planned to fit does fit, and letters are as large as practice wants them."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grouper.faces.sheets import geometry as g
from grouper.faces.sheets.fitting import fit_round
from grouper.faces.sheets.geometry import NOWHERE, in_columns, lay_out, text_width
from grouper.faces.views.students import GroupCard, Person, RoundBlock

HEIGHTS = st.lists(st.integers(1, 9).map(float), min_size=1, max_size=8)
GIVEN_NAMES = ("Amina", "Ben", "Chloe", "Dora", "Emil", "Farid", "Greta", "Hugo", "Ines", "Jonas")


def block(groups: int, size: int, role: str = "") -> RoundBlock:
    cards = tuple(
        GroupCard(str(n), tuple(Person(GIVEN_NAMES[(n + m) % 10], role) for m in range(size)))
        for n in range(1, groups + 1)
    )
    return RoundBlock(1, "Passing", 4.0, cards)


def fewest_pages(rows: list[float], room: float) -> int:
    """The fewest pages by trying every set of breaks."""
    for pages in range(1, len(rows) + 1):
        for breaks in combinations(range(1, len(rows)), pages - 1):
            ends = (0, *breaks, len(rows))
            if all(sum(rows[a:b]) <= room for a, b in pairwise(ends)):
                return pages
    return 999


@given(HEIGHTS, st.integers(3, 20))
def test_pages_are_the_fewest_that_there_are(rows: list[float], room: int) -> None:
    """Against a search over every set of breaks."""
    layout = lay_out(rows, 0.0, float(room))
    assert layout.pages == fewest_pages(rows, float(room))


@given(HEIGHTS, st.integers(0, 5), st.integers(3, 20))
def test_no_page_is_overfull_with_its_air(rows: list[float], last: int, room: int) -> None:
    """Rows, what comes below the last of them, and the air above and below each row stay within the page."""
    layout = lay_out(rows, float(last), float(room))
    if layout is NOWHERE:
        return
    things = [*rows, float(last)] if last else rows
    ends = (0, *layout.breaks, len(things))
    assert len(ends) == layout.pages + 1 == fewest_pages(things, room) + 1
    for start, end in pairwise(ends):
        air = 2 * len(rows[start:end]) * layout.air * g.AIR_STEP
        assert sum(things[start:end]) + air <= room + 1e-9


def test_something_higher_than_a_page_has_no_layout() -> None:
    """It can't be set without being split."""
    assert lay_out([5.0], 0.0, 4.0) is NOWHERE


@given(HEIGHTS, st.integers(1, 4))
def test_columns_are_as_even_as_can_be(heights: list[float], columns: int) -> None:
    """Against a search over every way to cut a list into columns."""
    best = min(
        max(sum(heights[a:b]) for a, b in zip((0, *cut), (*cut, len(heights)), strict=True))
        for pieces in range(min(columns, len(heights)))
        for cut in combinations(range(1, len(heights)), pieces)
    )
    assert best <= in_columns(heights, columns) <= best + 0.01


# The floor is NUREG-0700 rev. 2: a letter of 0.004 of the distance, which is 12 mm at 3 m.
SHAPES = [(4, 2), (15, 2), (14, 2), (6, 4), (7, 4), (10, 3), (3, 10), (4, 7), (2, 8)]


@pytest.mark.parametrize(("groups", "size"), SHAPES)
def test_usual_classes_can_be_read_from_three_metres(groups: int, size: int) -> None:
    """Pairs, threes, fours and teams of up to 30 students, with common given names."""
    fit = fit_round(block(groups, size))
    assert fit.usual_letter >= 12 and fit.squeezed <= max(1, groups * size // 10)
    assert fit.pages <= max(2, groups if groups <= 4 else 2)
    assert g.reading_distance(12) == 3.0


def test_letters_shrink_with_the_crowd_and_pages_stay_few() -> None:
    """Sixty students take three pages with letters still to be read from 2 m."""
    fit = fit_round(block(30, 2))
    assert fit.pages <= 3 and g.reading_distance(fit.letter) >= 2.0


def test_few_students_get_large_letters_on_one_page() -> None:
    """Four pairs: 0.006 of 3 m is 18 mm, good to read."""
    fit = fit_round(block(4, 2))
    assert fit.pages == 1 and fit.letter >= 18


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 30), st.integers(1, 12), st.booleans())
def test_every_round_finds_a_place(groups: int, size: int, with_roles: bool) -> None:
    """No group is higher than a page, whatever the numbers."""
    fit = fit_round(block(groups, min(size, max(1, 60 // groups)), "learner" if with_roles else ""))
    assert fit.pages < 10


def test_an_endless_name_neither_fails_nor_shrinks_everybody() -> None:
    """In a class of 24 one name of forty letters is broken; the others keep letters to be read from 3 m."""
    cards = (*block(11, 2).groups, GroupCard("12", (Person("W" * 40), Person("Ben"))))
    fit = fit_round(RoundBlock(1, "Passing", None, cards))
    assert fit.usual_letter >= 12
    assert fit.squeeze("W" * 40) == "tight" and fit.squeeze("Ben") == ""


def test_word_labels_stand_above() -> None:
    """A label of more than three letters would take the room of the names."""
    cards = tuple(GroupCard(label, (Person("Ben"), Person("Ada"))) for label in ("Otters", "Herons"))
    assert fit_round(RoundBlock(1, "Relay", None, cards)).label_on_top
    assert not fit_round(block(2, 2)).label_on_top


# Widths of Noto Sans Bold in em, measured with a browser's canvas.
MEASURED = [
    *(("Ben", 1.920), ("Amina", 3.238), ("Chloe", 2.809), ("Maximilian", 5.588)),
    *(("Oluwaseunfunmi", 8.608), ("Giulietta", 4.359), ("WWW", 2.901)),
]


@pytest.mark.parametrize(("word", "width"), MEASURED)
def test_text_width_is_a_careful_guess(word: str, width: float) -> None:
    """Never below a wide common font, nor far above it."""
    assert width <= text_width(word) <= 1.1 * width
