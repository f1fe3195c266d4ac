"""Fills slots one after another with those who have played least and waited longest."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from random import Random

from grouper.games.filling import Rest
from grouper.games.pairing import Pair, Slots

TRIES = 24
MOST_WORK = 60_000


def fewest_first(rest: Rest) -> Slots:
    """The best of several fillings that differ in how ties are broken, always the same ones."""
    rng = Random(0)
    tries = max(1, min(TRIES, MOST_WORK // (1 + len(rest.left) * rest.fewest_slots())))
    best = _one_filling(rest, rng)
    for _ in range(tries - 1):
        if rest.at_its_best(best):
            break
        best = min(best, _one_filling(rest, rng), key=rest.merit)
    return best


def _one_filling(rest: Rest, rng: Random) -> Slots:
    state = _State(rest, rng)
    slots: Slots = []
    while state.left and (rest.slots is None or len(slots) < rest.slots):
        slots.append(state.next_slot(len(rest.before) + len(slots)))
    return slots


@dataclass
class _State:
    """What is left, how many games each team has had, and when it last played."""

    rest: Rest
    rng: Random
    left: list[Pair] = field(init=False)
    had: Counter[int] = field(init=False)
    last: dict[int, int] = field(init=False)

    def __post_init__(self) -> None:
        self.left = list(self.rest.left)
        self.had = self.rest.games_before()
        self.last = dict.fromkeys(self.rest.teams, -1)
        for slot, games in enumerate(self.rest.before):
            self.last.update((team, slot) for pair in games for team in pair)

    def next_slot(self, slot: int) -> list[Pair]:
        chosen = self._chosen(sorted(self.left, key=self._urgency), slot)
        for pair in chosen:
            self.left.remove(pair)
            self.had.update(pair)
            self.last.update(dict.fromkeys(pair, slot))
        return chosen

    def _urgency(self, pair: Pair) -> tuple[int, int, float]:
        one, two = pair
        return (self.had[one] + self.had[two], self.last[one] + self.last[two], self.rng.random())

    def _chosen(self, order: list[Pair], slot: int) -> list[Pair]:
        """The most urgent games that fit together; one may make way for two."""
        chosen: list[Pair] = []
        for pair in order:
            if len(chosen) < self.rest.at_once and _apart(pair, chosen):
                chosen.append(pair)
        while len(chosen) < self.rest.at_once and (better := _one_for_two(chosen, order)):
            chosen = better
        return chosen


def _apart(pair: Pair, chosen: list[Pair]) -> bool:
    return all(pair[0] not in other and pair[1] not in other for other in chosen)


def _one_for_two(chosen: list[Pair], order: list[Pair]) -> list[Pair] | None:
    """One game more, by leaving one out and taking two that it stood in the way of."""
    for out in reversed(chosen):
        kept = [pair for pair in chosen if pair != out]
        fitting = [pair for pair in order if pair != out and _apart(pair, kept)]
        for i, one in enumerate(fitting):
            for two in fitting[i + 1 :]:
                if _apart(one, [two]):
                    return [*kept, one, two]
    return None
