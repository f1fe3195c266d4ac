"""Even chances where sides are of two sizes, and where results of the class say what a target does."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log

import pytest
from builders import STRAND, record_of, roster_of
from scipy.stats import binom

from grouper.faces.wording.tasks import ways_in_words
from grouper.model.levers import Challenge, Lever, Setting
from grouper.model.noted import TaskResult
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, RoundKey
from grouper.planning.plan import plan_unit
from grouper.tasks.handicap import Play
from grouper.tasks.uneven import levelled, pairings_of

PLAY = Play(20, timed=True)


def test_five_are_the_stronger_side_against_three_who_are_as_able() -> None:
    """All alike: the odds of a point are as the numbers, 3 to 5 (an assumption of ours), and so the three are given a
    start; the chance as it is is that of the binomial distribution."""
    record = plan_unit(record_of(roster_of(8, [3, 3, 3, 3, 3, 3, 3, 3.0001]), Activity("Game", sides="5+3")),
                       effort="quick").record  # fmt: skip
    (round_,) = record.plan.rounds
    (game,) = levelled(record, round_, pairings_of(record, round_), STRAND, PLAY)
    sizes = {group.label: len(group.members) for group in round_.groups}
    assert (sizes[game.weaker], sizes[game.stronger]) == (3, 5) and game.handicap.start > 0
    wins = 1 - binom.cdf(10, 20, 3 / 8) + binom.pmf(10, 20, 3 / 8) / 2
    assert game.handicap.before == pytest.approx(wins, abs=2e-3)


def test_only_larger_against_smaller_sides_are_levelled() -> None:
    """As they play; floaters and sides of one kind are no pairing."""
    record = plan_unit(record_of(roster_of(16), Activity("Game", sides="5+3")), effort="quick").record
    (round_,) = record.plan.rounds
    sizes = {group.label: len(group.members) for group in round_.groups}
    pairings = pairings_of(record, round_)
    assert len(pairings) == 4 and all({sizes[each.one], sizes[each.other]} == {3, 5} for each in pairings)


def told(rounds: int) -> ClassRecord:
    """Four teams at three targets of which 90, 75 and 50 % are hit, in so many rounds of two lessons before."""
    target = Lever("target", (Setting("three hoops"), Setting("two hoops"), Setting("one hoop")), "target")
    game = Activity("Game", "similar", groups=4, rounds=6, strand=STRAND)
    record = plan_unit(record_of(roster_of(8, [1, 2, 2, 3, 3, 4, 4, 5]), game, lessons=3), effort="quick").record
    hits = {1: 27, 2: 22, 3: 15}
    results = tuple(
        TaskResult(key, group.label, hits=hits[at], tries=30, at=(at,))
        for number, key in enumerate(record.unit.keys[:rounds])
        for at, group in zip((1, 2, 3, number % 3 + 1), record.plan.by_key[key].groups, strict=True)
    )
    return replace(record, challenges=(Challenge("Game", (target,)),), results=results)


def test_a_target_is_as_large_as_results_of_the_class_say() -> None:
    """Of all pairs of targets the one with which the weaker team's chance is nearest to one half; before anything was
    seen a width is a guess, and said so."""
    record = told(12)
    round_ = record.plan.by_key[RoundKey(3, 1, 1)]
    for game in levelled(record, round_, pairings_of(record, round_), STRAND, PLAY):
        (way,) = [way for way in game.ways if way.kind == "target"]
        assert way.learnt and "results of this class" in (ways_in_words(game) or "results of this class")
        assert way.amount < log(9) + 0.6, "no more than from 90 to 50 %, as far as results tell"
    bare = told(0)
    for game in levelled(bare, round_, pairings_of(bare, round_), STRAND, PLAY):
        assert all(not way.learnt for way in game.ways)
        assert not ways_in_words(game) or "a guess" in ways_in_words(game)


def test_what_a_learnt_target_brings_is_what_its_logits_say() -> None:
    """The odds of a point times e to them, and the chance of the game from that; an independent sum over points."""
    record = told(12)
    round_ = record.plan.by_key[RoundKey(3, 1, 1)]
    for game in levelled(record, round_, pairings_of(record, round_), STRAND, PLAY):
        (way,) = [way for way in game.ways if way.kind == "target" and way.learnt]
        point = next(p / 1000 for p in range(1, 1000) if _wins(p / 1000) >= game.handicap.before - 1e-9)
        odds = point / (1 - point) * exp(way.amount)
        assert way.after == pytest.approx(_wins(odds / (1 + odds)), abs=0.01)


def _wins(point: float) -> float:
    return float(1 - binom.cdf(10, 20, point) + binom.pmf(10, 20, point) / 2)
