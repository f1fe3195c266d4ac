"""Schedules of groups as large as there are groups, or one less, by CP-SAT on the words that people spell.

A person's word is the number of their group in each round. Two who are together once agree in one letter at most, so
any two letters of a word in their places are nobody else's. With g groups of g, or g - 1, two rounds fill a board of
g rows and g columns, but for one cell of each row and column of a smaller group: which ones does not matter but for
the names of the groups. The first two letters are that cell; CP-SAT chooses the further ones.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from itertools import combinations, product

from ortools.sat.python import cp_model

from grouper.engines.designs.catalogue import BaseRound, Entry, sizes_from
from grouper.engines.designs.design import Group

Word = tuple[int, ...]


@dataclass(frozen=True)
class Words:
    """Look for so many rounds: one worker, a seed, and deterministic seconds, so that every run finds the same."""

    key: str
    rounds: int
    seconds: float = 200.0
    seed: int = 1

    def entry(self) -> Entry | None:
        """The schedule, or None where none was found."""
        sizes = sizes_from(self.key)
        words = self._words(sizes)
        if not words:
            return None
        rounds = (_round(words, place) for place in range(self.rounds))
        return Entry(sizes, (1,) * len(words), tuple(BaseRound(1, groups) for groups in rounds))

    def _words(self, sizes: tuple[int, ...]) -> list[Word]:
        model = cp_model.CpModel()
        groups = range(len(sizes))
        cells = [(a, b) for a, b in product(groups, repeat=2) if a != b or sizes[a] == len(sizes)]
        switches = {
            (*cell, *rest): model.new_bool_var("") for cell in cells for rest in product(groups, repeat=self.rounds - 2)
        }
        users = defaultdict(list)
        for word, switch in switches.items():
            for one, other in combinations(range(self.rounds), 2):
                users[one, other, word[one], word[other]].append(switch)
        for pair, together in users.items():
            (model.add_exactly_one if pair[:2] == (0, 1) else model.add_at_most_one)(together)
        for place, group in product(range(2, self.rounds), groups):
            model.add(sum(switch for word, switch in switches.items() if word[place] == group) == sizes[group])
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = self.seed
        solver.parameters.max_deterministic_time = self.seconds
        found = solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        return [word for word, switch in switches.items() if found and solver.boolean_value(switch)]


def _round(words: list[Word], place: int) -> tuple[Group, ...]:
    groups = defaultdict(list)
    for person, word in enumerate(words):
        groups[word[place]].append(person)
    return tuple(sorted(map(tuple, groups.values())))
