"""The search that makes the catalogue: it still finds what is stored, and what it claims can be counted."""

from __future__ import annotations

from itertools import product

import pytest
from design_search.exhaust import Exhaust
from design_search.parity import solution
from design_search.recipes import RECIPES
from design_search.symmetry import Turning
from hypothesis import given
from hypothesis import strategies as st

from grouper.engines.designs import Design, most_rounds
from grouper.engines.designs.catalogue import catalogue, sizes_from

QUICK = ["6x3", "5x3", "6x4", "2x3+2x2", "10x7", "12x5", "20x3", "10x10", "8x4", "2x6+4x5", "4x6+2x5"]
"""One of each kind of search that takes about a second at most."""


def test_every_entry_has_its_recipe():
    """Nothing is in the catalogue that the search does not look for, and nothing that it looks for is missing."""
    assert {sizes_from(recipe.key) for recipe in RECIPES} == set(catalogue())
    assert len({recipe.key for recipe in RECIPES}) == len(RECIPES)


@pytest.mark.parametrize("key", QUICK)
def test_the_search_finds_the_stored_entry_again(key):
    """From nothing, the search comes to the very entry of the file."""
    recipe = next(recipe for recipe in RECIPES if recipe.key == key)
    assert recipe.entry() == catalogue()[sizes_from(key)]


def test_orbits_of_pairs_on_a_triangle_and_a_square():
    """On a cycle of four the sides turn among themselves and the two diagonals do: counted by hand."""
    turning = Turning((4,))
    assert sorted(turning.orbit_sizes) == [2, 4]
    assert turning.orbit_of[0][1] == turning.orbit_of[3][0] != turning.orbit_of[0][2]


@given(st.lists(st.tuples(st.lists(st.sampled_from("abcd"), max_size=3, unique=True), st.integers(0, 1)), max_size=6))
def test_equations_modulo_two_against_every_assignment(equations):
    """A solution is found exactly where trying all assignments finds one, and it holds."""

    def holds(values):
        return all(sum(values.get(name, 0) for name in names) % 2 == parity for names, parity in equations)

    found = solution(equations)
    every = (dict(zip("abcd", values, strict=True)) for values in product((0, 1), repeat=4))
    assert (found is not None) == any(holds(values) for values in every)
    assert found is None or holds(found)


# --- what is proven to be all ---


@pytest.mark.parametrize("key", ["1x3+2x2", "3x3+1x2", "4x3", "1x4+3x3", "2x4+2x3", "5x4", "2x5+3x4", "3x5+2x4"])
def test_there_is_no_longer_schedule_than_is_proven(key):
    """All schedules of one round more are looked through, up to names, and none holds."""
    assert Exhaust(sizes_from(key), most_rounds(sizes_from(key)) + 1).schedule() is None


@pytest.mark.parametrize(("key", "rounds"), [("4x3", 4), ("3x3+1x2", 4), ("4x4", 5), ("3x4+1x3", 5), ("4x5+1x4", 6)])
def test_looking_through_all_schedules_finds_one_where_there_is(key, rounds):
    """Rows of the reference tables that are reached: what is found has so many rounds and repeats nobody."""
    found = Exhaust(sizes_from(key), rounds).schedule()
    assert len(found) == rounds and Design(sizes_from(key), found, "looked through").is_repeat_free()


@pytest.mark.parametrize(("order", "types"), [(3, 1), (4, 2), (5, 2)])
def test_as_many_third_rounds_as_there_are_types_of_latin_squares(order, types):
    """Three rounds of g groups of g are a Latin square; up to its rows, columns and symbols, rows for columns too.

    1, 2, 2 types of order 3, 4, 5 (B. D. McKay, A. Meynert & W. Myrvold 2007, Small Latin squares, quasigroups and
    loops, from memory), and 17 of order 6, which takes a minute.
    """
    search = Exhaust((order,) * order, order + 2)
    assert search.schedule() is None
    assert search.kept == types
