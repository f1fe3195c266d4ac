"""Whole plans against the reference tables: pairs, forbidden pairs, team totals, everyone meets everyone.

The tables and their sources are listed in ``tests/reference/README.md``.
"""

from __future__ import annotations

import csv
from itertools import combinations
from math import comb
from pathlib import Path

import pytest
from builders import STRAND, apart, class_of, count_pairs, hasty, pairs, quick, record_of, repeats_of, roster_of

from grouper.errors import ImpossibleError
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.unit import Activity

pytestmark = pytest.mark.whole_search

TABLES = Path(__file__).parent.parent / "reference"


def rows(name: str) -> list[dict[str, str]]:
    with (TABLES / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


# --- pairs ---


@pytest.mark.parametrize("people", [4, 6, 8, 12, 16, 20, 24, 30])
def test_even_class_meets_everybody_once(people: int) -> None:
    """In n - 1 rounds of pairs everybody works with everybody once (a 1-factorisation of the complete graph)."""
    counted = count_pairs(quick(class_of(people, pairs(people - 1))).plan.rounds)
    assert len(counted) == comb(people, 2)
    assert set(counted.values()) == {1}


@pytest.mark.parametrize(("people", "rounds"), [(7, 3), (9, 4), (15, 7), (23, 8)])
def test_odd_class_does_without_repeats(people: int, rounds: int) -> None:
    """With a trio each round uses (n + 3) / 2 pairs; in so few rounds nobody has to meet twice."""
    assert repeats_of(quick(class_of(people, pairs(rounds))).plan.rounds) == 0


# --- forbidden pairs ---


def forbidden(name: str, people: int) -> list[tuple[int, int]]:
    """The pairs that a name of the table stands for."""
    graphs = {
        "none": [],
        "1 edge": [(0, 1)],
        "perfect matching": [(n, n + 1) for n in range(0, people, 2)],
        "two at one student": [(0, 1), (0, 2)],
        "K1,3": [(0, 1), (0, 2), (0, 3)],
        "triangle": list(combinations(range(3), 2)),
        "two triangles": [*combinations(range(3), 2), *combinations(range(3, 6), 2)],
        "K3,3": [(a, b) for a in range(3) for b in range(3, 6)],
        f"C{people}": [(n, (n + 1) % people) for n in range(people)],
    }
    return graphs[name] if name in graphs else list(combinations(range(int(name[1:])), 2))


def asked_apart(row: dict[str, str]) -> list[Request]:
    return [apart(f"s{a + 1:02}", f"s{b + 1:02}") for a, b in forbidden(row["forbidden"], int(row["n"]))]


def unit_of(row: dict[str, str], rounds: int) -> ClassRecord:
    return class_of(int(row["n"]), pairs(rounds), requests=asked_apart(row))


def name_of(row: dict[str, str]) -> str:
    return f"{row['n']} {row['forbidden']}"


FORBIDDEN = rows("rounds_with_forbidden_pairs.csv")
REACHABLE = [row for row in FORBIDDEN if row["max_rounds"] != "0"]
IMPOSSIBLE = [row for row in FORBIDDEN if row["max_rounds"] == "0"]


@pytest.mark.parametrize("row", REACHABLE, ids=name_of)
def test_most_rounds_with_forbidden_pairs_are_reached(row: dict[str, str]) -> None:
    """In as many rounds as there can be nobody meets twice, and nobody whom they are apart from."""
    met = count_pairs(quick(unit_of(row, int(row["max_rounds"]))).plan.rounds)
    assert set(met.values()) == {1}
    assert not met.keys() & {request.pair for request in asked_apart(row)}


@pytest.mark.parametrize("row", REACHABLE, ids=name_of)
def test_one_round_more_has_a_repeat(row: dict[str, str]) -> None:
    """Where the table says that there are no more, no plan has one more without a repeat."""
    assert repeats_of(hasty(unit_of(row, int(row["max_rounds"]) + 1)).plan.rounds) > 0


@pytest.mark.parametrize("row", IMPOSSIBLE, ids=name_of)
def test_not_even_one_round(row: dict[str, str]) -> None:
    """Where the table says 0 the answer is that it can't be done."""
    with pytest.raises(ImpossibleError):
        hasty(unit_of(row, 1))


# --- team totals ---


@pytest.mark.parametrize("row", rows("team_totals.csv"), ids=lambda row: f"{row['name']} in {row['teams']}")
def test_team_totals_are_as_even_as_can_be(row: dict[str, str]) -> None:
    """Where even teams come first, the totals of equal teams differ by the proven optimum.

    Five teams of the Linnerud chin-ups have no figure for the range; the optimum is 38 four times and 37.
    """
    values = [int(value) for value in row["values"].split()]
    activity = Activity("Game", "balanced", groups=int(row["teams"]), strand=STRAND)
    planned = quick(record_of(roster_of(len(values), values), activity), prefer="even-teams")
    rating = {student.id: student.ratings[STRAND] for student in planned.roster.students}
    totals = sorted(sum(rating[member] for member in group.members) for group in planned.plan.rounds[0].groups)
    assert totals[-1] - totals[0] == int(row["optimal_range"] or 1)


# --- everyone meets everyone ---

MEETINGS = {int(row["n"]): row for row in rows("everyone_meets_everyone.csv")}


@pytest.mark.parametrize(("people", "size"), [(12, 2), (16, 2), (15, 3), (16, 4), (25, 5)])
def test_everyone_meets_everyone_in_the_fewest_rounds(people: int, size: int) -> None:
    """In the rounds of the table all have met; rows that need groups of other sizes are not reached."""
    fewest = int(MEETINGS[people][f"k{size}"])
    planned = quick(class_of(people, Activity("Game", size=size, rounds=fewest)))
    assert len(count_pairs(planned.plan.rounds)) == comb(people, 2)


@pytest.mark.parametrize(("people", "size"), [(12, 4), (14, 4), (16, 6), (18, 5), (20, 6), (21, 4), (24, 8)])
def test_everyone_has_not_met_everyone_a_round_earlier(people: int, size: int) -> None:
    """One round fewer than the table, where a mere count of pairs would allow it: some have not met."""
    fewest = int(MEETINGS[people][f"k{size}"]) - 1
    planned = quick(class_of(people, Activity("Game", size=size, rounds=fewest)))
    assert len(count_pairs(planned.plan.rounds)) < comb(people, 2)
