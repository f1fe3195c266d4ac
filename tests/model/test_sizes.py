"""How many groups of which sizes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grouper.model.unit import Activity, sizes_for


@pytest.mark.parametrize(
    ("people", "sizes"),
    [(8, (2, 2, 2, 2)), (9, (3, 2, 2, 2)), (3, (3,)), (2, (2,)), (1, (1,)), (0, ())],
)
def test_pairs_with_one_trio_in_an_odd_class(people: int, sizes: tuple[int, ...]) -> None:
    """In pairs an odd class has one trio; three people are that trio."""
    assert sizes_for(Activity("A", size=2), people) == sizes


@pytest.mark.parametrize(
    ("people", "size", "sizes"),
    [(28, 4, (4,) * 7), (10, 4, (4, 3, 3)), (9, 4, (3, 3, 3)), (5, 4, (3, 2)), (23, 5, (5, 5, 5, 4, 4)), (4, 6, (4,))],
)
def test_no_group_is_larger_than_asked(people: int, size: int, sizes: tuple[int, ...]) -> None:
    """With a size above 2 there are ceil(n / size) groups."""
    assert sizes_for(Activity("A", size=size), people) == sizes


@pytest.mark.parametrize(
    ("people", "groups", "sizes"), [(10, 3, (4, 3, 3)), (8, 2, (4, 4)), (2, 5, (1, 1)), (30, 4, (8, 8, 7, 7))]
)
def test_as_many_teams_as_asked(people: int, groups: int, sizes: tuple[int, ...]) -> None:
    """With a number of teams there are so many, but never more than people."""
    assert sizes_for(Activity("A", groups=groups), people) == sizes


@given(people=st.integers(1, 60), size=st.integers(1, 12), by_groups=st.booleans())
def test_sizes_add_up_and_differ_by_one(people: int, size: int, by_groups: bool) -> None:
    """Everybody has a place, the largest group comes first, and no two differ by more than one."""
    activity = Activity("A", groups=size) if by_groups else Activity("A", size=size)
    sizes = sizes_for(activity, people)
    assert sum(sizes) == people
    assert list(sizes) == sorted(sizes, reverse=True)
    assert sizes[0] - sizes[-1] <= 1
