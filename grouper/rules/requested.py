"""What rules about requested pairs share: the pairs of a round, the rounds of a set of pairs, who sits with whom."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TypeVar

from grouper.model.plan import Round
from grouper.model.request import Request
from grouper.model.unit import RoundKey
from grouper.rules.terms import Pair

Said = TypeVar("Said")


def pairs_of(requests: Iterable[Request]) -> tuple[Pair, ...]:
    """The pairs that requests are about, each once, in the order in which they were asked for."""
    return tuple(dict.fromkeys(request.pair for request in requests))


def rounds_alike(said: Iterable[tuple[RoundKey, Said]]) -> Iterator[tuple[tuple[RoundKey, ...], Said]]:
    """Rounds of which the same is said, and what it is: one term then speaks for all of them."""
    rounds: dict[Said, list[RoundKey]] = {}
    for key, what in said:
        rounds.setdefault(what, []).append(key)
    return ((tuple(keys), what) for what, keys in rounds.items())


def met_among(round_: Round, pairs: Iterable[Pair]) -> Iterator[Pair]:
    """Those of the pairs that share a group in a round; linear in students and in pairs."""
    place = {student: number for number, group in enumerate(round_.groups) for student in group.members}
    return (pair for pair in pairs if pair[0] in place and place[pair[0]] == place.get(pair[1]))
