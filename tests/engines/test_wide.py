"""The search for wide boards, on classes small enough to be counted another way, and on a camp of 300."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest
from any_problem import any_plan, begun
from builders import STRAND, apart, class_of, count_pairs, record_of, roster_of, seats_of, together
from hypothesis import given
from hypothesis import strategies as st

from grouper.engines.board import NOWHERE, Board, Floats
from grouper.engines.seating import chained, clusters, cost_of, hard_cost
from grouper.engines.start import start_seats
from grouper.engines.state import State
from grouper.engines.wide import improve_wide, is_wide, keep_hard_wishes
from grouper.engines.wide_state import WideState
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity
from grouper.planning.fairness import fairness_of
from grouper.planning.mending import board_for, plan_from
from grouper.planning.plan import plan_unit
from grouper.rules.referee import judge

chances = st.builds(Random, st.integers(0, 10**6))


def any_state(record: ClassRecord, chance: Random) -> WideState:
    """The record's board in any seating."""
    problem = problem_of(record)
    board = board_for(problem)
    return WideState(board, seats_of(board, any_plan(problem, chance)))


def scored(state: WideState, number: int) -> tuple[Floats, np.ndarray]:
    """The changes of all swaps of a block, as a matrix, and whose row is which."""
    groups = np.unique(state.seats[number][state.seats[number] != NOWHERE])
    rows, begins = state.rows(number, groups)
    return state.swap_changes(number, rows, begins), rows


def can_swap(board: Board) -> list[int]:
    return [number for number in board.free if len(board.blocks[number].sizes) > 1]


@given(record=begun(odd=False), chance=chances)
def test_changes_are_those_of_the_state_of_classes(record: ClassRecord, chance: Random) -> None:
    """What swaps would change is what the other state says, which keeps every pair's cost in a matrix."""
    state = any_state(record, chance)
    other = State(state.board, state.seats)
    for number in can_swap(state.board):
        changes, rows = scored(state, number)
        assert np.array_equal(changes, other.swap_changes(number)[rows])


@given(record=begun(odd=False), chance=chances)
def test_swaps_keep_the_cost_counted_from_nothing(record: ClassRecord, chance: Random) -> None:
    """After a row of swaps the cost, the company and the changes are those of a state made afresh."""
    state = any_state(record, chance)
    for number in can_swap(state.board) * 3:
        changes, rows = scored(state, number)
        row, person = (int(place) for place in np.unravel_index(changes.argmin(), changes.shape))
        before = state.cost
        state.swap(number, int(rows[row]), person)
        assert state.cost == before + changes[row, person] == cost_of(state.board, state.seats)
    afresh = WideState(state.board, state.seats)
    assert np.array_equal(state.company, afresh.company)
    for number in can_swap(state.board):
        assert np.array_equal(scored(state, number)[0].sum(axis=0), scored(afresh, number)[0].sum(axis=0))


def small_camp() -> ClassRecord:
    teams = Activity("Game", "balanced", size=4, strand=STRAND)
    wishes = (apart("s01", "s02"), apart("s03", "s09"), together("s04", "s05"))
    return record_of(roster_of(18, [1 + n % 5 for n in range(18)]), teams, requests=wishes, lessons=3)


def test_cost_is_the_referees() -> None:
    """The cost of the seating that is found is the total of the plan that it stands for, and no hard wish is broken."""
    problem = problem_of(small_camp())
    board = board_for(problem)
    start = start_seats(board, np.random.default_rng(1))
    found = improve_wide(board, start, 200, np.random.default_rng(2))
    judgement = judge(problem, plan_from(problem, board, found.seats))
    assert judgement.accepted and judgement.total == found.cost == cost_of(board, found.seats)
    assert found.cost < cost_of(board, start)


def test_same_seed_same_seats() -> None:
    """Two searches with one seed find the same, and another seed something else."""
    board = board_for(problem_of(small_camp()))
    start = start_seats(board, np.random.default_rng(1))
    one, two, other = (improve_wide(board, start, 60, np.random.default_rng(seed)).seats for seed in (5, 5, 6))
    assert np.array_equal(one, two) and not np.array_equal(one, other)


def test_broken_wishes_are_mended() -> None:
    """From seats in the order of numbers, which break both requests, swaps get to seats that keep them."""
    record = class_of(12, Activity("Game", size=3), requests=(apart("s01", "s02"), together("s01", "s12")))
    board = board_for(problem_of(record))
    block = board.blocks[0]
    in_order = np.repeat(np.arange(4), 3)
    assert hard_cost(board, block, in_order) == 2
    mended = keep_hard_wishes(board, block, in_order, np.random.default_rng(0))
    assert hard_cost(board, block, mended) == 0


def test_search_stops_when_told() -> None:
    """The one who watches is told of progress and may stop the search at once."""
    board = board_for(problem_of(small_camp()))
    start = start_seats(board, np.random.default_rng(1))
    found = improve_wide(board, start, 10_000, np.random.default_rng(2), watch=lambda share, cost: False)
    assert np.array_equal(found.seats, start)


def test_people_linked_in_a_chain_are_a_cluster() -> None:
    """Who must be with somebody who must be with a third is with the third as well."""
    must_link = np.zeros((5, 5), dtype=np.bool_)
    must_link[0, 3] = must_link[3, 0] = must_link[3, 4] = must_link[4, 3] = True
    assert clusters(must_link, range(5)) == [[0, 3, 4], [1], [2]]
    assert sorted(zip(*np.nonzero(np.triu(chained(must_link))), strict=True)) == [(0, 3), (0, 4), (3, 4)]


@pytest.fixture(scope="module")
def camp() -> ClassRecord:
    """300 in fours for five rounds, rated 1 to 5, with thirty requests apart and ten together, planned quickly."""
    ids = [student.id for student in roster_of(300).students]
    asked = Random(1).sample(ids, 80)
    pairs = [*zip(asked[::2], asked[1::2], strict=True)]
    wishes = [ask(*sorted(pair)) for ask, some in ((apart, pairs[:30]), (together, pairs[30:])) for pair in some]
    ratings = Random(2).choices((1, 2, 2, 3, 3, 3, 4, 4, 5), k=300)
    teams = Activity("Game", "balanced", size=4, strand=STRAND)
    return plan_unit(record_of(roster_of(300, ratings), teams, requests=wishes, lessons=5), effort="quick").record


def test_camp_keeps_all_requests(camp: ClassRecord) -> None:
    """Forty requests hold in all rounds, counted straight from the groups."""
    assert is_wide(board_for(problem_of(camp)))
    met = count_pairs(camp.plan.rounds)
    assert [met.get(r.pair, 0) for r in camp.requests] == [0] * 30 + [5] * 10


def test_camp_has_even_teams_and_new_partners(camp: ClassRecord) -> None:
    """Team averages are within the tolerance, and nobody meets anybody again but those who asked to be together."""
    fairness = fairness_of(camp)
    assert fairness.worst_spread is not None and fairness.worst_spread.spread <= fairness.worst_spread.tolerance
    assert fairness.repeats == fairness.bounds.repeats == 10 * 4
    assert fairness.proven_best
