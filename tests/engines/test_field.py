"""Finite fields against their axioms and against galois, and the orders at which there is none.

Sources: the field axioms, as any algebra textbook lists them; the package galois, which carries the tables and the test
of irreducible polynomials.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from grouper.engines.designs.field import field_of, irreducible, prime_powers, ring_of

PRIME_POWERS = [q for q in range(2, 62) if len(prime_powers(q)) == 1]


def test_prime_powers_up_to_61():
    """The orders for which a field is made are the prime powers, counted by hand: 18 primes and 10 others."""
    others = [4, 8, 9, 16, 25, 27, 32, 49]
    primes = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61]
    assert sorted(primes + others) == PRIME_POWERS


@pytest.mark.parametrize("q", PRIME_POWERS)
def test_both_operations_are_groups(q):
    """Every row and column of the sum table, and of the product table without 0, shows each element once."""
    field = field_of(*prime_powers(q)[0])
    everything, units = set(range(q)), set(range(1, q))
    for a in range(q):
        assert {field.plus(a, b) for b in range(q)} == everything
        assert field.plus(a, 0) == a and field.times(a, 0) == 0 and field.times(a, 1) == a
        assert not a or {field.times(a, b) for b in units} == units


@pytest.mark.parametrize("q", [q for q in PRIME_POWERS if q <= 13])
def test_associative_commutative_distributive(q):
    """The laws for two and three elements hold for all of them."""
    field = field_of(*prime_powers(q)[0])
    plus, times = field.plus, field.times
    for a, b, c in product(range(q), repeat=3):
        assert plus(a, b) == plus(b, a) and times(a, b) == times(b, a)
        assert plus(plus(a, b), c) == plus(a, plus(b, c))
        assert times(times(a, b), c) == times(a, times(b, c))
        assert times(a, plus(b, c)) == plus(times(a, b), times(a, c))


@pytest.mark.parametrize("q", [q for q in PRIME_POWERS if q > 13])
def test_distributive_on_larger_fields(q):
    """Products distribute over sums for every pair and a few third elements."""
    field = field_of(*prime_powers(q)[0])
    for a, b in product(range(q), repeat=2):
        for c in (1, 2, q // 2, q - 1):
            left = field.times(a, field.plus(b, c))
            assert left == field.plus(field.times(a, b), field.times(a, c))


def test_smallest_irreducible_polynomials():
    """x^2+x+1 and x^3+x+1 over GF(2), x^2+1 over GF(3): worked out by hand, as the only or first ones."""
    assert irreducible(2, 2) == [1, 1, 1]
    assert irreducible(2, 3) in ([1, 1, 0, 1], [1, 0, 1, 1])
    assert irreducible(3, 2) == [1, 0, 1]


@pytest.mark.parametrize("q", PRIME_POWERS)
def test_the_tables_are_those_of_galois(q):
    """All sums and products, with the same polynomial: an element is the same number there (digits in base p)."""
    import galois  # half a second, in the one process of several that runs this

    ((prime, degree),) = prime_powers(q)
    # Without compiling: galois would take a second for each field, for tables that are there in a millisecond.
    below = galois.GF(prime, compile="python-calculate")
    polynomial = galois.Poly(irreducible(prime, degree)[::-1], field=below) if degree > 1 else None
    assert polynomial is None or polynomial.is_irreducible()
    theirs = galois.GF(prime, degree, irreducible_poly=polynomial, compile="python-calculate")
    ours = field_of(prime, degree)
    left, right = (theirs(grid) for grid in np.indices((q, q)))
    everything = list(product(range(q), repeat=2))
    assert (left + right).ravel().tolist() == [ours.plus(a, b) for a, b in everything]
    assert (left * right).ravel().tolist() == [ours.times(a, b) for a, b in everything]


def test_diagonal_of_a_product_differs_by_units():
    """In the ring of order 12 the three diagonal elements differ pairwise by elements that can be divided by."""
    ring = ring_of(12)
    assert ring.spread == 3
    for a, b in product(range(ring.spread), repeat=2):
        difference = next(d for d in range(12) if ring.plus(ring.diagonal(b), d) == ring.diagonal(a))
        products = {ring.times(difference, x) for x in range(12)}
        assert a == b or products == set(range(12))
