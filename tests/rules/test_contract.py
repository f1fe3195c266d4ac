"""The contract between rules, terms, engines and the referee, on any small class with any unit and any groups."""

from __future__ import annotations

from random import Random

import pytest
from any_problem import any_plan, begun, records
from builders import apart, class_of_eight, pairs, problem_and_plan, seats_of, together
from hypothesis import given
from hypothesis import strategies as st
from terms_in_plain_words import broken_pairs, met_in, term_cost

from grouper.engines.compile import board_of
from grouper.engines.seating import cost_of, hard_cost
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.planning.plan import board_for
from grouper.rules.catalogue import RULES
from grouper.rules.coaching import Coaching
from grouper.rules.referee import judge
from grouper.rules.terms import Level, PairCost, weight
from grouper.rules.together import Apart, Together

chances = st.builds(Random, st.integers(0, 10**6))


@given(record=begun(), chance=chances)
def test_terms_cost_what_the_rule_costs(record: ClassRecord, chance: Random) -> None:
    """What a rule's terms say, counted straight from their words, adds up to the rule's own cost."""
    problem = problem_of(record)
    plan = any_plan(problem, chance)
    for rule in RULES:
        assert sum(term_cost(term, plan) for term in rule.terms(problem)) == rule.cost(problem, plan), rule.key


@given(record=begun(absent=False), chance=chances)
def test_board_costs_what_the_rule_costs(record: ClassRecord, chance: Random) -> None:
    """A board that is compiled from one rule costs the rule's cost by the weight of its level."""
    problem = problem_of(record)
    plan = any_plan(problem, chance)
    for rule in RULES:
        board = board_of(problem, rule.terms(problem))
        weighed = weight(record.settings.prefer, rule.level) * rule.cost(problem, plan)
        assert cost_of(board, seats_of(board, plan)) == weighed, rule.key


@given(record=begun(absent=False, odd=False), chance=chances)
def test_engines_count_the_referees_total(record: ClassRecord, chance: Random) -> None:
    """For any groups whatever, the cost of the seats is the total of the referee."""
    problem = problem_of(record)
    plan = any_plan(problem, chance)
    board = board_for(problem)
    assert cost_of(board, seats_of(board, plan)) == judge(problem, plan).total


@given(record=begun(stays=False), chance=chances)
def test_engines_count_the_referees_total_with_people_absent(record: ClassRecord, chance: Random) -> None:
    """The same where now some and now others are there; groups that stay are apart from this, as they follow later."""
    problem = problem_of(record)
    plan = any_plan(problem, chance)
    board = board_for(problem)
    assert cost_of(board, seats_of(board, plan)) == judge(problem, plan).total


@given(record=begun(), chance=chances)
def test_hard_terms_break_where_the_rule_reports_a_breach(record: ClassRecord, chance: Random) -> None:
    """Rounds and pairs of broken cannot-link and must-link terms are those of the breaches of their rules."""
    problem = problem_of(record)
    plan = any_plan(problem, chance)
    for rule in (Apart(), Together()):
        broken = {place for term in rule.terms(problem) for place in broken_pairs(term, plan)}
        assert broken == {(breach.key, breach.students) for breach in rule.breaches(problem, plan)}, rule.key


@given(record=begun(), chance=chances)
def test_gap_terms_break_where_the_rule_reports_a_breach(record: ClassRecord, chance: Random) -> None:
    """A pair that the coaching term prices is a breach where it works as a pair; in a larger group it only costs."""
    problem = problem_of(record)
    plan = any_plan(problem, chance)
    as_pairs = {
        (key, pair)
        for term in Coaching().terms(problem)
        if isinstance(term, PairCost)
        for key in term.rounds
        for pair in met_in(plan.by_key[key]) & set(term.costs)
        if len(plan.by_key[key].group_of(pair[0]).members) == 2  # type: ignore[union-attr]
    }
    assert as_pairs == {(breach.key, breach.students) for breach in Coaching().breaches(problem, plan)}


@given(record=records(absent=False), chance=chances)
def test_engines_accept_what_the_referee_accepts(record: ClassRecord, chance: Random) -> None:
    """No hard wish is broken on the board exactly where the referee accepts the plan.

    Apart from gap windows with a trio: there the board has a price where the referee sees a breach.
    """
    problem = problem_of(record)
    plan = any_plan(problem, chance)
    board = board_for(problem)
    rows = zip(board.blocks, seats_of(board, plan), strict=True)
    broken = sum(hard_cost(board, block, row) for block, row in rows if block.free)
    avoidable = judge(problem, plan).avoidable
    looser = [b for b in avoidable if b.rule == "coaching" and set(problem.by_key[b.key].sizes) != {2}]
    assert (broken > 0) == (len(avoidable) > len(looser))


@given(record=records(), chance=chances)
def test_only_rules_that_must_hold_report_breaches(record: ClassRecord, chance: Random) -> None:
    """A rule below the level MUST has a cost and no breach; one on it has a cost wherever it has a breach."""
    problem = problem_of(record)
    plan = any_plan(problem, chance)
    for rule in RULES:
        breaches = rule.breaches(problem, plan)
        assert not breaches or (rule.level is Level.MUST and rule.cost(problem, plan) >= len(breaches)), rule.key
        # A clash is told once for all its rounds: by the sentence without the lesson that each begins with.
        assert all(breach.sentence.startswith(f"lesson {breach.key.lesson}") for breach in breaches)
        assert not any(breach.what.startswith("lesson") for breach in breaches)


@pytest.mark.parametrize("ask", [apart, together])
def test_request_that_stands_twice_counts_once(ask) -> None:  # type: ignore[no-untyped-def]
    """The same wish for two students, once for all lessons and once for the first, is one wish in the first."""
    record = class_of_eight(pairs(), requests=(ask("ana", "ben"), ask("ben", "ana", 1, 1)))
    line = "ana ben | cem dia | eva fin | gil hana" if ask is apart else "ana cem | ben dia | eva fin | gil hana"
    problem, plan = problem_and_plan(record, line)
    board = board_for(problem)
    assert cost_of(board, seats_of(board, plan)) == judge(problem, plan).total


def test_rules_have_keys_and_sentences_of_their_own() -> None:
    """Each rule on the list has a key and a sentence that no other has."""
    assert len({rule.key for rule in RULES}) == len({rule.sentence for rule in RULES}) == len(RULES)
    assert all(rule.key and rule.sentence.endswith(".") for rule in RULES)
