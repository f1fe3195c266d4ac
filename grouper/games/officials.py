"""Duty: which team without a game officiates which game; even to one, never twice running where it can be avoided."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

from grouper.games.rounds import Slots
from grouper.planning.turns import shortest_chain

Turns = list[list[int]]


@dataclass(frozen=True)
class Eligible:
    """Who may officiate.

    Parameters
    ----------
    teams : sequence of int
        The teams that can be on duty at all.
    before : list of list of int
        The teams on duty in each slot that is over.
    kept_free : list of int, optional
        How many teams without a game stay off duty in each slot.
    """

    teams: Sequence[int]
    before: Sequence[Sequence[int]] = ()
    kept_free: Sequence[int] | None = None


def duty_turns(slots: Slots, eligible: Eligible) -> Turns:
    """The teams on duty in each slot: one a game, or as many as have no game where they are fewer.

    Turns of the whole day are even to one where the free slots of the teams allow, and within that as few teams as
    possible are on duty twice running.
    """
    table = _DutyTable(slots, eligible)
    for slot in range(len(slots)):
        table.fill(slot)
    # Handed on along chains from teams with two turns more than others, the last taker first, so that each can.
    while chain := table.chain_down():
        for slot, giver, taker in chain:
            table.hand_over(slot, giver, taker)
    # Exchanged, or handed over, wherever fewer teams are then on duty twice running.
    while any(table.part(slot, team) for slot, names in enumerate(table.turns) for team in sorted(names)):
        pass
    return [sorted(names) for names in table.turns]


class _DutyTable:
    def __init__(self, slots: Slots, eligible: Eligible) -> None:
        playing = [{team for pair in games for team in pair} for games in slots]
        self.free = [[team for team in eligible.teams if team not in busy] for busy in playing]
        kept = eligible.kept_free or [0] * len(slots)
        room = [max(0, len(free) - spared) for free, spared in zip(self.free, kept, strict=True)]
        self.need = [min(len(games), most) for games, most in zip(slots, room, strict=True)]
        self.turns: list[set[int]] = [set() for _ in slots]
        self.count: Counter[int] = Counter(team for names in eligible.before for team in names)
        self.just_before = set(eligible.before[-1]) if eligible.before else set()
        self.teams = list(eligible.teams)

    def around(self, slot: int) -> tuple[set[int], set[int]]:
        """Who is on duty in the slot before and in the slot after."""
        earlier = self.turns[slot - 1] if slot else self.just_before
        later = self.turns[slot + 1] if slot + 1 < len(self.turns) else set()
        return earlier, later

    def runs(self, slot: int, team: int) -> int:
        """How many neighbouring slots have the team on duty too."""
        return sum(team in names for names in self.around(slot))

    def fill(self, slot: int) -> None:
        """Those with the fewest turns, and among them those without duty just before."""
        order = sorted(self.free[slot], key=lambda team: (self.count[team], self.runs(slot, team), team))
        for team in order[: self.need[slot]]:
            self.turns[slot].add(team)
            self.count[team] += 1

    def hand_over(self, slot: int, giver: int, taker: int) -> None:
        self.turns[slot].remove(giver)
        self.turns[slot].add(taker)
        self.count[giver] -= 1
        self.count[taker] += 1

    def chain_down(self) -> list[tuple[int, int, int]] | None:
        for start in sorted(self.teams, key=lambda team: (-self.count[team], team)):
            most = self.count[start] - 2
            # Nobody gains where the one at the end has one turn less than the one at the start.
            if chain := shortest_chain(start, self._takers, partial(self._has_at_most, most)):
                return chain
        return None

    def _has_at_most(self, turns: int, team: int) -> bool:
        return self.count[team] <= turns

    def _takers(self, giver: int) -> list[tuple[int, tuple[int, int, int]]]:
        """Who could take over in which slot; those who would then not be on duty twice running come first."""
        takers = [
            (self.runs(slot, taker), slot, taker)
            for slot, names in enumerate(self.turns)
            if giver in names
            for taker in self.free[slot]
            if taker not in names
        ]
        return [(taker, (slot, giver, taker)) for _, slot, taker in sorted(takers)]

    def part(self, slot: int, team: int) -> bool:
        if not self.runs(slot, team):
            return False
        for taker in self.free[slot]:
            if taker in self.turns[slot]:
                continue
            # Handed over for good, if turns stay as even as they are.
            if self.count[team] == self.count[taker] + 1 and self.runs(slot, taker) < self.runs(slot, team):
                self.hand_over(slot, team, taker)
                return True
            if self._exchange(slot, team, taker):
                return True
        return False

    def _exchange(self, slot: int, giver: int, taker: int) -> bool:
        """Hand over here, and take one of the taker's turns elsewhere, if fewer runs are left."""
        for other, names in enumerate(self.turns):
            if other != slot and taker in names and giver not in names and giver in self.free[other]:
                before = self._all_runs()
                self.hand_over(slot, giver, taker)
                self.hand_over(other, taker, giver)
                if self._all_runs() < before:
                    return True
                self.hand_over(other, giver, taker)
                self.hand_over(slot, taker, giver)
        return False

    def _all_runs(self) -> int:
        days = [self.just_before, *self.turns]
        return sum(len(one & two) for one, two in pairwise(days))
