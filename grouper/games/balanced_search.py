"""Makes the catalogue of balanced tournament designs: ``python -m grouper.games.balanced_search 10 16 22``.

An exact search (CP-SAT) over the courts of circle rounds, with round -a like round a to make it small. It takes under a
second for 10 and 16 teams and some ten seconds for 22; the tests check what it left in the catalogue.
"""

from __future__ import annotations

import json
import sys

from grouper.errors import OutOfTimeError
from grouper.games.balanced_courts import CATALOGUE
from grouper.games.court_use import Courts

MOST_WORK = 600.0


def search_design(teams: int) -> Courts:
    """Courts of the rounds 0 to (m - 1)/2, for each the court of the game k steps around the centre (0: last team's).

    Raises
    ------
    OutOfTimeError
        When none is found within the deterministic time.
    """
    from ortools.sat.python import cp_model

    m, courts = teams - 1, range(teams // 2)
    model = cp_model.CpModel()
    on = {(a, k, c): model.new_bool_var("") for a in range(m // 2 + 1) for k in courts for c in courts}
    for a in range(m // 2 + 1):
        for k in courts:
            model.add_exactly_one(on[a, k, c] for c in courts)
            model.add_exactly_one(on[a, c, k] for c in courts)
    for c in courts:
        model.add(sum(on[_folded(a, m), 0, c] for a in range(m)) <= 2)
        for team in range(m):
            model.add(sum(on[_folded(a, m), _folded(a - team, m), c] for a in range(m)) <= 2)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.random_seed = 1, 0
    solver.parameters.max_deterministic_time = MOST_WORK
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise OutOfTimeError(f"no balanced design for {teams} teams was found in the time allowed")
    return [[next(c for c in courts if solver.value(on[a, k, c])) for k in courts] for a in range(m // 2 + 1)]


def _folded(a: int, m: int) -> int:
    return min(a % m, -a % m)


if __name__ == "__main__":
    designs = {teams: search_design(int(teams)) for teams in sys.argv[1:]}
    CATALOGUE.write_text(json.dumps(designs, separators=(",", ":")) + "\n", "utf-8")
