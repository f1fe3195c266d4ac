"""Lower bounds never lie above what some plan reaches."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from itertools import combinations, product
from math import comb, prod
from pathlib import Path

import numpy as np
import pytest
from any_problem import begun
from builders import (
    apart,
    class_of,
    class_of_eight,
    count_pairs,
    groups,
    hasty,
    key,
    pairs,
    partitions,
    repeats_of,
    together,
    with_plan,
)
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from grouper.engines.bounds import Bounds, bounds_of
from grouper.errors import ImpossibleError
from grouper.faces.wording.fairness import fairness_data, summary_parts
from grouper.model.ledger import PastRound
from grouper.model.plan import Round
from grouper.model.problem import Problem, RoundSpec, problem_of
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity
from grouper.planning.fairness import answered, fairness_of, fewest_met_earlier, hindsight
from grouper.planning.plan import board_for
from grouper.rules.coaching import gap_fits

pytestmark = pytest.mark.whole_search

MOST_PLANS = 20_000
REFERENCE = Path(__file__).parents[1] / "reference"


def cost_of(rounds: Iterable[Round]) -> int:
    """The meeting cost of rounds, counted anew."""
    return sum(comb(times, 2) for times in count_pairs(rounds).values())


def bounds(record: ClassRecord) -> Bounds:
    return bounds_of(board_for(problem_of(record)))


# --- worked values: the counting bounds of tests/reference/README.md ---


def test_bound_by_pairs_on_paper() -> None:
    """Eight in pairs, 8 rounds: 32 meetings over 28 pairs, so 4 pairs meet twice."""
    assert bounds(class_of(8, pairs(8))) == Bounds(4, 4)


def test_bound_by_two_rounds_on_paper() -> None:
    """Eight in two fours: any two rounds share 4 pairs (q = 2, b = 0, rho = 2), so 3 rounds cost 12."""
    assert bounds(class_of(8, Activity("Game", size=4, rounds=3))).meeting_cost == 12


def test_bound_where_groups_stay_on_paper() -> None:
    """Four pairs that stay for two rounds more: each meets 3 times, 2 repeats and C(3, 2) = 3 apiece."""
    record = class_of(8, pairs(), Activity("Again", "stay", rounds=2))
    assert bounds(record) == Bounds(8, 12)


def test_bound_with_two_always_together_on_paper() -> None:
    """Two who are together in each of three lessons meet three times."""
    assert bounds(class_of_eight(pairs(), lessons=3, requests=(together("ana", "ben"),))).repeats == 2


def test_bound_with_forbidden_pairs_on_paper() -> None:
    """Who is apart from five of seven has two partners: in four rounds two repeats."""
    asked = tuple(apart("ana", other) for other in ("ben", "cem", "dia", "eva", "fin"))
    assert bounds(class_of_eight(pairs(4), requests=asked)).repeats >= 1


@pytest.mark.parametrize(("people", "size"), [(8, 2), (9, 3), (15, 3), (16, 4), (28, 4), (25, 5)])
def test_repeats_begin_where_partners_run_out(people: int, size: int) -> None:
    """The bound is 0 for (n - 1) // (s - 1) rounds and above 0 for one more."""
    most = (people - 1) // (size - 1)
    assert bounds(class_of(people, Activity("Game", size=size, rounds=most))).repeats == 0
    assert bounds(class_of(people, Activity("Game", size=size, rounds=most + 1))).repeats > 0


@pytest.mark.parametrize(("people", "size", "rounds"), [(8, 4, 5), (12, 4, 6), (9, 3, 6), (12, 6, 4), (30, 5, 9)])
def test_bound_is_at_least_both_formulae(people: int, size: int, rounds: int) -> None:
    """The larger of the two formulae of the reference holds, and the repeats that pairs alone force."""
    teams, all_pairs = people // size, comb(people, 2)
    meetings = rounds * teams * comb(size, 2)
    q, r = divmod(meetings, all_pairs)
    by_pairs = (all_pairs - r) * comb(q, 2) + r * comb(q + 1, 2)
    q, b = divmod(size, teams)
    by_rounds = comb(rounds, 2) * teams * (b * comb(q + 1, 2) + (teams - b) * comb(q, 2))
    found = bounds(class_of(people, Activity("Game", size=size, rounds=rounds)))
    assert found.meeting_cost >= max(by_pairs, by_rounds)
    assert found.repeats >= max(0, meetings - all_pairs)


# --- against every schedule of a small class ---


def least_of_all_plans(problem: Problem) -> Bounds | None:
    """Fewest repeats and least cost over all plans that keep the requests; None where there is none, or too many."""
    place = {pair: number for number, pair in enumerate(combinations(sorted(everybody(problem)), 2))}
    ways = [vectors(problem, specs, place) for specs in blocks(problem)]
    if not place or not all(ways) or prod(len(way) for way in ways) > MOST_PLANS:
        return None
    counts = np.zeros((1, len(place)), dtype=np.int64)
    for way in ways:
        counts = (counts[:, None, :] + np.array(way, dtype=np.int64)[None, :, :]).reshape(-1, len(place))
    repeats = np.maximum(0, counts - 1).sum(axis=1).min()
    return Bounds(int(repeats), int((counts * (counts - 1) // 2).sum(axis=1).min()))


def everybody(problem: Problem) -> set[str]:
    return {student for spec in problem.rounds for student in spec.students}


def blocks(problem: Problem) -> list[list[RoundSpec]]:
    """Rounds in which the same groups stay, together; each other round by itself."""
    found: dict[object, list[RoundSpec]] = {}
    for spec in problem.rounds:
        leader = None if spec.leader is None else problem.by_key[spec.leader]
        follows = leader is not None and spec.fixed is None and set(leader.students) == set(spec.students)
        found.setdefault(spec.leader if follows else spec.key, []).append(spec)
    return list(found.values())


def vectors(problem: Problem, specs: list[RoundSpec], place: dict[tuple[str, str], int]) -> list[list[int]]:
    """How often each two meet in a block of rounds, for every way to group it that keeps its hard wishes."""
    first = specs[0]
    if first.fixed is not None:
        ways = [tuple(tuple(group.members) for group in first.fixed.groups)]
    else:
        numbered = partitions(range(len(first.students)), first.sizes)
        named = (tuple(tuple(first.students[person] for person in group) for group in way) for way in numbered)
        ways = [way for way in named if all(keeps(problem, spec, way) for spec in specs if spec.fixed is None)]
    return [[len(specs) * (pair in met(way)) for pair in place] for way in ways]


def met(way: tuple[tuple[str, ...], ...]) -> set[tuple[str, str]]:
    return {(a, b) for group in way for a in group for b in group if a < b}


def keeps(problem: Problem, spec: RoundSpec, way: tuple[tuple[str, ...], ...]) -> bool:
    there = {student for group in way for student in group}
    for request in problem.requests:
        if request.holds_in(spec.key.lesson) and {*request.pair} <= there:
            shared = request.pair in met(way)
            if request.kind == "apart" and shared:
                return False
            if request.kind == "together" and not shared and any(len(group) > 1 for group in way):
                return False
    if spec.activity.aim == "coaching" and set(spec.sizes) == {2}:
        return all(gap_fits(problem, spec.activity, pair) for pair in met(way))
    return True


@given(record=begun(most=6))
def test_no_plan_beats_the_bounds(record: ClassRecord) -> None:
    """Over all plans of a small class, with requests, absences, rounds that stay, taught and pinned ones."""
    problem = problem_of(record)
    least = least_of_all_plans(problem)
    assume(least is not None)
    found = bounds_of(board_for(problem))
    assert least is not None
    assert found.repeats <= least.repeats
    assert found.meeting_cost <= least.meeting_cost


@st.composite
def changed(draw: st.DrawFn) -> ClassRecord:
    """Such a class whose plan is older than its requests and absences: guests, leavers, groups changed by hand."""
    record = draw(begun(most=6))
    other = draw(begun(most=6))
    students = {student.id for student in record.roster.students}
    asked = tuple(one for one in other.requests if students >= set(one.pair))
    lessons = {lesson.number for lesson in record.unit.lessons}
    away = tuple(one for one in other.absences if one.student in students and one.lesson in lessons)
    return replace(record, requests=asked, absences=away)


@settings(max_examples=60, deadline=None)
@given(record=begun(most=6) | changed())
def test_no_bound_lies_above_the_plan_that_there_is(record: ClassRecord) -> None:
    """Whatever a plan breaks, and whoever came or went since it was made: what none can beat is no more than it has."""
    repeats, cost = repeats_of(record.plan.rounds), cost_of(record.plan.rounds)
    for found in (fairness_of(record).bounds, hindsight(record), hindsight(record, prove=True)):
        assert found.repeats <= repeats
        assert found.meeting_cost <= cost


@given(record=changed())
def test_no_plan_for_the_rounds_as_they_are_beats_their_bounds(record: ClassRecord) -> None:
    """Over all plans with the people and sizes that the rounds have, under what the plan keeps."""
    problem = answered(problem_of(record), record.plan)
    least = least_of_all_plans(problem)
    assume(least is not None)
    found = fairness_of(record).bounds
    assert least is not None
    assert found.repeats <= least.repeats
    assert found.meeting_cost <= least.meeting_cost


def test_a_request_broken_by_hand_leaves_the_bound_below_the_plan() -> None:
    """Four in pairs, each with each, then two of them are to be apart: 0 repeats, and none can have fewer than 0."""
    record = with_plan(class_of(4, pairs(3)), "s01 s02 | s03 s04", "s01 s03 | s02 s04", "s01 s04 | s02 s03")
    found = fairness_of(replace(record, requests=(apart("s01", "s02"),)))
    assert len(found.breaches) == 1 and (found.repeats, found.bounds.repeats) == (0, 0)


SMALL = [(6, 2, 3), (6, 2, 5), (6, 3, 3), (7, 2, 2), (7, 3, 2), (8, 4, 3), (4, 2, 6), (6, 4, 3)]


@pytest.mark.parametrize(("people", "size", "rounds"), SMALL)
def test_bounds_of_plain_rounds_are_reached(people: int, size: int, rounds: int) -> None:
    """In these small classes the best plan costs just the bound; the first round is fixed, as names do not matter."""
    record = class_of(people, Activity("Game", size=size, rounds=rounds))
    problem = problem_of(record)
    place = {pair: number for number, pair in enumerate(combinations(sorted(everybody(problem)), 2))}
    ways = [vectors(problem, [spec], place) for spec in problem.rounds]
    counts = {tuple(ways[0][0])}
    for way in ways[1:]:
        counts = {tuple(a + b for a, b in zip(so_far, more, strict=True)) for so_far in counts for more in way}
    assert bounds(record).meeting_cost == min(sum(comb(times, 2) for times in count) for count in counts)


def least_of_seven_in_a_trio_and_pairs(rounds: int, stays: int) -> Bounds:
    """Fewest repeats and least cost of so many rounds, of which the last stays so often, over all 105 ways to group."""
    place = {pair: number for number, pair in enumerate(combinations(range(7), 2))}
    ways = np.zeros((105, len(place)), dtype=np.int8)
    for way, grouped in zip(ways, partitions(range(7), (3, 2, 2)), strict=True):
        way[[place[pair] for group in grouped for pair in combinations(sorted(group), 2)]] = 1
    before = ways[:1]  # The names of people do not matter.
    for _ in range(rounds - 2):
        before = np.unique((before[:, None] + ways).reshape(-1, len(place)), axis=0)
    every = [before + (1 + stays) * way for way in ways]
    repeats = min(int(np.maximum(0, counts - 1).sum(axis=1).min()) for counts in every)
    return Bounds(repeats, min(int((counts * (counts - 1) // 2).sum(axis=1).min()) for counts in every))


@pytest.mark.parametrize(("rounds", "stays", "least"), [(3, 0, 0), (4, 0, 1), (3, 1, 5), (4, 1, 6)])
def test_four_rounds_of_seven_in_a_trio_and_pairs_share_a_pair(rounds: int, stays: int, least: int) -> None:
    """Counting pairs allows four without a repeat; that there are only three is in the bounds, which plans reach."""
    again = [Activity("Again", "stay", rounds=stays)] if stays else []
    found = bounds(class_of(7, Activity("Pairs", size=2, rounds=rounds), *again))
    assert found == least_of_seven_in_a_trio_and_pairs(rounds, stays) == Bounds(least, least)


def test_rounds_that_share_pairs_as_they_stand_are_not_counted_twice() -> None:
    """Seven, two taught rounds alike cost five, and two more rounds need cost no more; with a third it is one more."""
    line = "s01 s02 s03 | s04 s05 | s06 s07"
    for lessons, cost in ((4, 5), (5, 6)):
        record = with_plan(class_of(7, Activity("Pairs", size=2), lessons=lessons), *[line] * lessons)
        assert bounds(replace(record, taught=frozenset({1, 2}))) == Bounds(5, cost)


def optimal_rows() -> list[tuple[int, int, int]]:
    """People, largest size and most rounds of the rows of the reference tables of which counting pairs allows more."""
    with (REFERENCE / "repeat_free_rounds_equal.csv").open(encoding="utf-8") as file:
        equal = [(int(r["groups"]) * int(r["size"]), r["size"], r["best_known"], r) for r in csv.DictReader(file)]
    with (REFERENCE / "repeat_free_rounds_near_equal.csv").open(encoding="utf-8") as file:
        other = [(int(r["n"]), r["max_size"], r["reached"], r) for r in csv.DictReader(file)]
    short = (row for row in equal + other if int(row[2]) < int(row[3]["upper_bound"]))
    return [(n, int(size), int(most)) for n, size, most, r in short if "optimal" in (r.get("status") or r["note"])]


@pytest.mark.parametrize(("people", "size", "most"), optimal_rows())
def test_one_round_more_than_the_tables_call_optimal_has_a_repeat(people: int, size: int, most: int) -> None:
    """And with twice as many rounds and one as many twos of them share a pair as P. Turan's theorem says."""
    least = 2 if people == size**2 else 1
    assert bounds(class_of(people, Activity("Game", size=size, rounds=most))) == Bounds(0, 0)
    assert bounds(class_of(people, Activity("Game", size=size, rounds=most + 1))) == Bounds(least, least)
    found = bounds(class_of(people, Activity("Game", size=size, rounds=2 * most + 1)))
    assert found.repeats >= least * (most + 1) and found.meeting_cost >= least * (most - 1 + 3)


@pytest.mark.parametrize("side", [2, 3])
def test_two_rounds_of_as_many_groups_as_each_has_people_never_share_just_one_pair(side: int) -> None:
    """All rounds of 4 in twos, and of 9 in threes, beside the first: no pair, or two at least."""
    first, *others = [
        {pair for group in groups for pair in combinations(sorted(group), 2)}
        for groups in partitions(range(side**2), (side,) * side)
    ]
    shared = {len(first & other) for other in others}
    assert 0 in shared and 1 not in shared


SIXES = (
    "09 17 18 23 27 29 | 06 12 14 24 26 30 | 13 20 21 22 28 36 | "
    "05 08 10 16 32 33 | 01 04 11 19 34 35 | 02 03 07 15 25 31",
    "01 10 14 23 25 36 | 03 06 08 17 28 34 | 11 18 22 26 31 33 | "
    "04 07 09 12 21 32 | 02 16 20 24 29 35 | 05 13 15 19 27 30",
    "03 11 29 30 32 36 | 06 07 10 18 19 20 | 08 21 25 26 27 35 | "
    "02 04 13 14 17 33 | 12 15 16 22 23 34 | 01 05 09 24 28 31",
    "01 02 07 08 22 30 | 14 20 27 31 32 34 | 06 09 11 13 16 25 | "
    "03 19 21 23 24 33 | 04 10 15 26 28 29 | 05 12 17 18 35 36",
)


def test_four_rounds_of_six_sixes_with_two_repeats_are_proven_best() -> None:
    """Two Latin squares of order six, laid on one another, show at most 34 of the 36 pairs of symbols.

    Source: J. D. Horton 1974, Sub-Latin squares and incomplete orthogonal arrays (from memory).
    """
    rows = [re.sub(r"(\d+)", r"s\1", line) for line in SIXES]
    record = with_plan(class_of(36, Activity("Game", size=6, rounds=4)), *rows)
    fairness = fairness_of(record)
    assert (fairness.repeats, fairness.meeting_cost, fairness.bounds) == (36 - 34, 36 - 34, Bounds(2, 2))
    text = next(part.text for part in summary_parts(record, fairness))
    assert text == "2 repeats in 360 meetings; proven best, no plan for these rounds has fewer"


# --- against plans of whole classes ---


@st.composite
def classes(draw: st.DrawFn) -> ClassRecord:
    """A class of 9 to 30 with mixed sizes, some requests and one lesson that stays."""
    people = draw(st.integers(9, 30))
    sizes = draw(st.lists(st.sampled_from((2, 2, 3, 4, 5)), min_size=1, max_size=3))
    drawn = [Activity(f"A{n}", size=size, rounds=draw(st.integers(1, 4))) for n, size in enumerate(sizes)]
    stays = [Activity("Again", "stay")] if draw(st.booleans()) else []
    ids = [f"s{number:02}" for number in range(1, people + 1)]
    twos = draw(st.lists(st.lists(st.sampled_from(ids), min_size=2, max_size=2, unique=True), max_size=4))
    asked = [draw(st.sampled_from((apart, together)))(one, other) for one, other in twos]
    unique = {(request.kind, request.pair): request for request in asked}
    return class_of(people, *drawn, *stays, requests=unique.values(), lessons=draw(st.integers(1, 2)))


@settings(max_examples=12)
@given(record=classes())
def test_no_plan_of_a_whole_class_beats_the_bounds(record: ClassRecord) -> None:
    """What was planned for 9 to 30 students, counted here, is never below the bounds."""
    try:
        planned = hasty(record)
    except ImpossibleError:
        return
    counted = count_pairs(planned.plan.rounds)
    found = bounds(record)
    assert found.repeats <= sum(times - 1 for times in counted.values())
    assert found.meeting_cost <= sum(comb(times, 2) for times in counted.values())


def test_fixed_rounds_count_as_they_stand() -> None:
    """A taught lesson and its repetition share all four pairs, whatever comes."""
    line = "ana ben | cem dia | eva fin | gil hana"
    record = with_plan(class_of_eight(pairs(), lessons=3), line, line, line)
    assert bounds(replace(record, taught=frozenset({1, 2}))) == Bounds(4, 4)


# --- partners of earlier units: against every plan of small classes ---


def past_of(*lines: str) -> tuple[PastRound, ...]:
    """An earlier unit of one lesson, a line of groups a round."""
    return tuple(PastRound(1, key(1, 1, n), "", "Passing", False, groups(text)) for n, text in enumerate(lines, 1))


def every_outcome(record: ClassRecord) -> set[tuple[int, int]]:
    """Repeats, and meetings with partners of the past, of each plan of a record, counted without the bounds."""
    before = set(count_pairs(Round(one.key, one.groups, one.groups) for one in record.past))
    ids = sorted(student.id for student in record.roster.students)
    ways = [
        [frozenset(pair for group in way for pair in combinations(sorted(ids[at] for at in group), 2)) for way in some]
        for some in (partitions(range(len(ids)), spec.sizes) for spec in problem_of(record).rounds)
    ]
    found = set()
    for plan in product(*ways):
        met = Counter(pair for round_ in plan for pair in round_)
        found.add((met.total() - len(met), sum(times for pair, times in met.items() if pair in before)))
    return found


SIX = (
    "s01 s02 | s03 s04 | s05 s06",
    "s01 s03 | s02 s05 | s04 s06",
    "s01 s04 | s02 s06 | s03 s05",
    "s01 s05 | s02 s04 | s03 s06",
)
TRIOS = ("s01 s02 s03 | s04 s05 s06", "s01 s02 s04 | s03 s05 s06")
SEVEN = ("s01 s02 s03 | s04 s05 | s06 s07", "s01 s04 | s02 s06 | s03 s05 s07", "s01 s05 s06 | s02 s07 | s03 s04")


@pytest.mark.parametrize(
    ("people", "activity", "past", "tight"),
    [
        (6, pairs(2), SIX[:2], False),
        (6, pairs(2), SIX, True),
        (6, pairs(3), SIX[:3], True),
        (6, pairs(3), (*SIX, "s01 s06 | s02 s03 | s04 s05"), True),
        (6, Activity("Threes", size=3, rounds=2), TRIOS, False),
        (6, Activity("Twos and fours", groups=2, rounds=3), ("s01 s02 s03 s04 s05 | s06",), False),
        (7, pairs(2), SEVEN, False),
        (5, pairs(3), ("s01 s02 s03 s04 | s05",), False),
    ],
)
def test_no_plan_without_more_repeats_meets_fewer_partners_of_the_past(
    people: int, activity: Activity, past: tuple[str, ...], tight: bool
) -> None:
    """For every number of repeats that some plan has; and where said the bound is met by a plan with the fewest."""
    record = replace(class_of(people, activity), past=past_of(*past))
    board, outcomes = board_for(problem_of(record)), every_outcome(record)
    for repeats in {repeats for repeats, _ in outcomes}:
        reached = min(again for own, again in outcomes if own <= repeats)
        bound = fewest_met_earlier(record, board, repeats)
        assert bound is not None and 0 <= bound <= reached
        if tight and repeats == min(own for own, _ in outcomes):
            assert bound == reached > 0


def test_partners_met_again_in_a_lesson_that_was_taught_are_counted_as_they_stand() -> None:
    """Two pairs of the taught lesson are of an earlier unit; in the open one nobody has to meet one again."""
    before = "ana ben | cem dia"
    record = with_plan(
        class_of_eight(pairs(), lessons=2), f"{before} | eva fin | gil hana", "ana cem | ben dia | eva gil | fin hana"
    )
    record = replace(record, past=past_of(before), taught=frozenset({1}))
    assert fairness_of(record).fewest_met_in_earlier_units == 2


def test_fairness_names_the_fewest_beside_the_partners_met_again() -> None:
    """Six who have all met but for two pairs each: what a plan must, in a round taught and in one that is open."""
    record = replace(class_of(6, pairs(2)), past=past_of(*SIX, "s01 s06 | s02 s03 | s04 s05"))
    fairness = fairness_of(with_plan(record, SIX[0], SIX[1]))
    assert (fairness.met_in_earlier_units, fairness.fewest_met_in_earlier_units) == (6, 6)
    (text,) = [part.text for part in summary_parts(record, fairness) if part.label == "Earlier units"]
    assert text == "6 meetings with a partner of an earlier unit; proven best, no plan with as few repeats has fewer"
    assert fairness_data(record, fairness)["met_in_earlier_units_bound"] == 6
    assert fairness_of(with_plan(class_of(6, pairs(2)), SIX[0], SIX[1])).fewest_met_in_earlier_units is None
