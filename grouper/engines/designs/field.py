"""Small finite fields GF(q), and rings made of several of them, on the numbers 0 to q - 1."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import product
from typing import Protocol


class Ring(Protocol):
    """Arithmetic that transversal designs need; elements are the numbers 0 to ``order`` - 1."""

    @property
    def order(self) -> int: ...

    @property
    def spread(self) -> int:
        """How many elements, 0 to ``spread`` - 1, differ pairwise by something that can be divided by."""
        ...

    def plus(self, a: int, b: int) -> int: ...

    def times(self, a: int, b: int) -> int: ...


@dataclass(frozen=True)
class PrimeField:
    """GF(p): arithmetic modulo a prime."""

    order: int

    @property
    def spread(self) -> int:
        return self.order

    def plus(self, a: int, b: int) -> int:
        return (a + b) % self.order

    def times(self, a: int, b: int) -> int:
        return a * b % self.order


@dataclass(frozen=True)
class ExtensionField:
    """GF(p^k), k > 1: polynomials over GF(p) modulo an irreducible one.

    The number a stands for the polynomial whose coefficients, constant term first, are the digits of a in base p.
    """

    prime: int
    degree: int

    @property
    def order(self) -> int:
        return int(self.prime**self.degree)

    @property
    def spread(self) -> int:
        return self.order

    def plus(self, a: int, b: int) -> int:
        pairs = zip(self._digits(a), self._digits(b), strict=True)
        return self._number([(x + y) % self.prime for x, y in pairs])

    def times(self, a: int, b: int) -> int:
        return _times(self.prime, self.degree, a, b)

    def _digits(self, number: int) -> list[int]:
        return _digits(number, self.prime, self.degree)

    def _number(self, digits: list[int]) -> int:
        return _number(digits, self.prime)


@dataclass(frozen=True)
class ProductRing:
    """Several fields side by side: a number is a tuple of elements, one of each, in mixed radix.

    Not a field, but its first ``spread`` diagonal elements (a, a, ...) differ by units, which is all that MacNeish's
    product of orthogonal Latin squares needs.
    """

    fields: tuple[Ring, ...]

    @property
    def order(self) -> int:
        order = 1
        for field in self.fields:
            order *= field.order
        return order

    @property
    def spread(self) -> int:
        return min(field.spread for field in self.fields)

    def diagonal(self, a: int) -> int:
        """The element (a, a, ...), for a below ``spread``."""
        return self._join([a] * len(self.fields))

    def plus(self, a: int, b: int) -> int:
        parts = zip(self.fields, self._split(a), self._split(b), strict=True)
        return self._join([field.plus(x, y) for field, x, y in parts])

    def times(self, a: int, b: int) -> int:
        parts = zip(self.fields, self._split(a), self._split(b), strict=True)
        return self._join([field.times(x, y) for field, x, y in parts])

    def _split(self, number: int) -> list[int]:
        parts = []
        for field in self.fields:
            number, part = divmod(number, field.order)
            parts.append(part)
        return parts

    def _join(self, parts: list[int]) -> int:
        number = 0
        for field, part in zip(reversed(self.fields), reversed(parts), strict=True):
            number = number * field.order + part
        return number


def field_of(prime: int, degree: int) -> PrimeField | ExtensionField:
    """The field of ``prime ** degree`` elements."""
    return PrimeField(prime) if degree == 1 else ExtensionField(prime, degree)


def ring_of(order: int) -> ProductRing:
    """The ring of so many elements with the largest spread: one field for each prime of ``order`` (2 or more)."""
    return ProductRing(tuple(field_of(prime, degree) for prime, degree in prime_powers(order)))


def prime_powers(number: int) -> list[tuple[int, int]]:
    """Prime factors with their exponents: 12 gives [(2, 2), (3, 1)]."""
    factors = []
    prime = 2
    while number > 1:
        exponent = 0
        while number % prime == 0:
            number //= prime
            exponent += 1
        if exponent:
            factors.append((prime, exponent))
        prime += 1
    return factors


def _digits(number: int, base: int, length: int) -> list[int]:
    digits = []
    for _ in range(length):
        number, digit = divmod(number, base)
        digits.append(digit)
    return digits


def _number(digits: list[int], base: int) -> int:
    number = 0
    for digit in reversed(digits):
        number = number * base + digit
    return number


@cache
def _times(prime: int, degree: int, a: int, b: int) -> int:
    left, right = _digits(a, prime, degree), _digits(b, prime, degree)
    return _number(_remainder(_multiplied(left, right, prime), irreducible(prime, degree), prime), prime)


def _multiplied(left: list[int], right: list[int], prime: int) -> list[int]:
    result = [0] * (len(left) + len(right) - 1)
    for i, x in enumerate(left):
        for j, y in enumerate(right):
            result[i + j] = (result[i + j] + x * y) % prime
    return result


def _remainder(polynomial: list[int], divisor: list[int], prime: int) -> list[int]:
    """The remainder by a divisor whose leading coefficient is 1, with as many coefficients as its degree."""
    rest, degree = list(polynomial), len(divisor) - 1
    for top in range(len(rest) - 1, degree - 1, -1):
        factor = rest[top]
        for i, coefficient in enumerate(divisor):
            place = top - degree + i
            rest[place] = (rest[place] - factor * coefficient) % prime
    return rest[:degree]


@cache
def irreducible(prime: int, degree: int) -> list[int]:
    """The first polynomial of this degree, leading coefficient 1, that no smaller one divides."""
    for low in product(range(prime), repeat=degree):
        candidate = [*low, 1]
        if not any(_divides(divisor, candidate, prime) for divisor in _smaller(prime, degree)):
            return candidate
    raise ArithmeticError(f"no irreducible polynomial of degree {degree} over GF({prime})")


def _smaller(prime: int, degree: int) -> list[list[int]]:
    return [[*low, 1] for half in range(1, degree // 2 + 1) for low in product(range(prime), repeat=half)]


def _divides(divisor: list[int], polynomial: list[int], prime: int) -> bool:
    return not any(_remainder(polynomial, divisor, prime))
