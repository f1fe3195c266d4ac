"""Classes that do not divide: a few places of a larger design stay empty."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from grouper.engines.designs.design import Round, Sizes, largest_first, meetings

SOURCE = "with places left empty that never meet, or that meet in one round which is then left out"
_STEPS = 2_000
"""Most steps of the search for places that never meet: a fraction of a second, and the same on every machine."""


def parents(sizes: Sizes) -> list[Sizes]:
    """Equal sizes from which leaving one place of some, or of all, groups empty gives these."""
    if not sizes or sizes[0] - sizes[-1] > 1:
        return []
    largest, groups = sizes[0], len(sizes)
    if largest > sizes[-1]:
        return [(largest,) * groups]
    return [(largest + 1,) * groups] if largest < groups else []


def deleted_rounds(sizes: Sizes, larger: Sequence[Sizes], rounds_of: Callable[[Sizes], Sequence[Round]]) -> list[Round]:
    """The longest of what the larger designs leave."""
    return max((_thinned(parent, sizes, rounds_of(parent)) for parent in larger), key=len, default=[])


def _thinned(parent: Sizes, sizes: Sizes, rounds: Sequence[Round]) -> list[Round]:
    spare = sum(parent) - sum(sizes)
    empty = strangers(rounds, sum(parent), spare)
    if len(empty) < spare:
        empty = list(rounds[-1][0][:spare]) if rounds and spare <= parent[0] else []
    return list(_without(set(empty), rounds, sizes)) if len(empty) == spare else []


def _without(empty: set[int], rounds: Sequence[Round], sizes: Sizes) -> Iterator[Round]:
    kept = [place for place in range(sum(sizes) + len(empty)) if place not in empty]
    number = {place: i for i, place in enumerate(kept)}
    for groups in rounds:
        thinned = largest_first([number[place] for place in group if place not in empty] for group in groups)
        if tuple(map(len, thinned)) == sizes:
            yield thinned


def strangers(rounds: Sequence[Round], people: int, wanted: int) -> list[int]:
    """So many places of which no two ever meet, or fewer where none were found within a fixed number of steps."""
    unmet = [set(range(people)) - {place} for place in range(people)]
    for a, b in meetings(rounds):
        unmet[a].discard(b)
        unmet[b].discard(a)
    return _Strangers(unmet, wanted).found([], list(range(people)))


class _Strangers:
    """A search in depth with a count of its steps."""

    def __init__(self, unmet: list[set[int]], wanted: int) -> None:
        self.unmet = unmet
        self.wanted = wanted
        self.steps = _STEPS

    def found(self, chosen: list[int], open_places: list[int]) -> list[int]:
        if len(chosen) == self.wanted:
            return chosen
        for i, place in enumerate(open_places):
            self.steps -= 1
            if self.steps < 0 or len(chosen) + len(open_places) - i < self.wanted:
                break
            rest = [other for other in open_places[i + 1 :] if other in self.unmet[place]]
            answer = self.found([*chosen, place], rest)
            if answer:
                return answer
        return []
