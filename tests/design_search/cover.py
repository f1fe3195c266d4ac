"""Base rounds by exact cover: candidates that hold every place once and every orbit of pairs at most once."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from ortools.sat.python import cp_model

from design_search.puzzle import Bases, Candidate, Puzzle
from grouper.engines.designs.design import Group


@dataclass(frozen=True)
class Cover:
    """Look with CP-SAT: one worker, a seed, and deterministic seconds, so that every run finds the same."""

    seconds: float = 100.0
    seed: int = 1

    def bases(self, puzzle: Puzzle) -> Bases | None:
        """Base rounds, or None where none were found."""
        return _Model(puzzle).solved(self)


class _Model:
    """One switch for each candidate of each base round."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self.model = cp_model.CpModel()
        self.switches = [
            (base, candidate, self.model.new_bool_var(""))
            for base, span in enumerate(puzzle.spans)
            for candidate in puzzle.candidates(span)
        ]
        self._place_everybody()
        self._meet_once()
        self._keep_sizes()

    def solved(self, effort: Cover) -> Bases | None:
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = effort.seed
        solver.parameters.max_deterministic_time = effort.seconds
        if solver.solve(self.model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None
        picked = [(base, candidate) for base, candidate, switch in self.switches if solver.boolean_value(switch)]
        return tuple(self._groups(picked, base) for base in range(len(self.puzzle.spans)))

    def _groups(self, picked: list[tuple[int, Candidate]], base: int) -> tuple[Group, ...]:
        return tuple(sorted(group for owner, candidate in picked if owner == base for group in candidate.groups))

    def _place_everybody(self) -> None:
        holders = defaultdict(list)
        for base, candidate, switch in self.switches:
            for place in candidate.places:
                holders[base, place].append(switch)
        for base in range(len(self.puzzle.spans)):
            for place in range(self.puzzle.turning.people):
                self.model.add_exactly_one(holders[base, place])

    def _meet_once(self) -> None:
        users = defaultdict(list)
        for _, candidate, switch in self.switches:
            for orbit in candidate.orbits:
                users[orbit].append(switch)
        for switches in users.values():
            self.model.add_at_most_one(switches)

    def _keep_sizes(self) -> None:
        """With every place placed once, the number of the largest groups settles the others."""
        sizes = self.puzzle.sizes
        if len(set(sizes)) == 1:
            return
        counts: dict[int, list[cp_model.LinearExpr]] = defaultdict(list)
        for base, candidate, switch in self.switches:
            counts[base].append(switch * sum(len(group) == sizes[0] for group in candidate.groups))
        for terms in counts.values():
            self.model.add(sum(terms) == sizes.count(sizes[0]))
