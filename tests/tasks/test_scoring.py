"""Ways of winning and losing points: what counts, what the rule says, who is ranked; worked out by hand.

That near misses count, a harder way is worth double and points are lost in a danger zone is common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import class_of_eight, game, games_of, key, ladder, pairs, with_plan

from grouper.errors import InputError
from grouper.files.words.levers import telling
from grouper.games.days.season import season_of
from grouper.learning.about import lessons_outdated
from grouper.learning.guesses import Guesses
from grouper.learning.suggest import games_about
from grouper.learning.team_model import trial_of
from grouper.model.levers import Challenge
from grouper.model.noted import TaskResult
from grouper.model.play import Score
from grouper.model.record import ClassRecord
from grouper.model.scoring import SCORINGS, Scoring, scoring_called
from grouper.model.unit import Activity, RoundKey
from grouper.planning.noting import seen
from grouper.tasks.choose import with_result
from grouper.tasks.kept import (
    class_totals,
    last_total,
    merged,
    own_last,
    scored_as,
    switched,
    with_two_ways,
    without,
)
from grouper.tasks.rounds import success_now, tasks_of_round

LADDER = ladder("Passing", *(f"{steps} steps apart" for steps in (2, 4, 6, 8, 10)))
FOUR_PAIRS = "ana ben | cem dia | eva fin | gil hana"
OTHER_PAIRS = "ana cem | ben dia | eva gil | fin hana"
FIRST, LATER = key(1), key(2)


def klass(scoring: str = "") -> ClassRecord:
    """Three lessons of pairs, planned, with a ladder and a way of scoring."""
    record = with_plan(class_of_eight(pairs(), lessons=3), FOUR_PAIRS, OTHER_PAIRS, FOUR_PAIRS)
    record = replace(record, challenges=(LADDER,))
    return scored_as(record, "Passing", scoring) if scoring else record


def with_points(record: ClassRecord, where: RoundKey, **points: tuple[int, int]) -> ClassRecord:
    """Points won and lost by group; the groups are called g1, g2 and so on."""
    for group, (won, lost) in points.items():
        record = seen(record, TaskResult(where, group[1:], points=won, lost=lost))
    return record


def cup(scoring: str, *scores: Score) -> ClassRecord:
    """Games of two teams of four with these results."""
    record = class_of_eight(Activity("Cup", groups=2), lessons=len(scores))
    record = with_plan(record, *["ana ben cem dia | eva fin gil hana"] * len(scores))
    days = (
        games_of(lesson, "Cup", ("1", "2"), 1, (game(1, 1, 1, 2, score=score),))
        for lesson, score in enumerate(scores, start=1)
    )
    record = replace(record, events=tuple(days))
    return scored_as(record, "Cup", scoring) if scoring else record


@pytest.mark.parametrize(
    ("name", "rule"),
    [
        ("per hit", "1 point for each hit."),
        ("per hit 2", "2 points for each hit."),
        ("near misses", "2 points for each hit, 1 for a near miss."),
        ("harder way", "1 point for each hit, 2 with your other hand or from the further line."),
        ("danger zone", "1 point for each hit; whoever is in the danger zone loses 1."),
        ("Danger Zone 5", "1 point for each hit; whoever is in the danger zone loses 5."),
        ("own best", "Count your own points: can you beat your last time?"),
        ("class total", "The points of all are added up: can the class beat its last time?"),
    ],
)
def test_each_way_is_one_sentence(name: str, rule: str) -> None:
    """Which says the points that count."""
    assert scoring_called(name).rule == rule
    assert scoring_called(scoring_called(name).name).rule == rule


@pytest.mark.parametrize("scoring", SCORINGS, ids=lambda one: one.key)
def test_no_rule_tells_how_able_somebody_is(scoring: Scoring) -> None:
    """Each is short enough for a card and one sentence; what is counted has a name and points."""
    assert not telling(scoring.rule) and len(scoring.rule) < 90
    assert scoring.rule[-1] in ".?" and not any(sign in scoring.rule[:-1] for sign in ".?!")
    assert all(count.points > 0 for count in scoring.counted)
    assert scoring.ranked or not any(count.lost for count in scoring.counted)


@pytest.mark.parametrize(
    "name", ["", "nearly", "danger zone 0", "danger zone 51", "own best 3", "per hit -1", "per hit 1.5"]
)
def test_what_is_no_way_of_scoring(name: str) -> None:
    """Or has no number of points that makes sense."""
    with pytest.raises(InputError):
        scoring_called(name)


def test_a_way_is_chosen_replaced_and_taken_off_without_touching_levers() -> None:
    """And levers come and go without touching it; an activity may have a way of scoring and no levers."""
    record = klass("near misses")
    assert record.challenges == (replace(LADDER, scoring="near misses"),)
    assert tasks_of_round(record, FIRST)["1"].task == tasks_of_round(klass(), FIRST)["1"].task
    assert scored_as(record, "passing", "").challenges == (LADDER,)
    bare = without(record, "Passing")
    assert bare.challenges == (Challenge("Passing", (), "near misses"),) and not tasks_of_round(bare, FIRST)
    assert merged(bare, [LADDER]).challenges == record.challenges
    assert switched(bare, "Passing", LADDER.levers[0]).challenges == record.challenges
    assert scored_as(bare, "Passing", "").challenges == ()
    assert merged(record, [Challenge("Passing", (), "own best", "Beat yourself!")]).challenges == (
        replace(LADDER, scoring="own best", own_rule="Beat yourself!"),
    )
    with pytest.raises(InputError, match="no way of scoring was chosen"):
        scored_as(klass(), "Passing", "")
    with pytest.raises(InputError, match="no activity 'Chess'"):
        scored_as(klass(), "Chess", "per hit")
    with pytest.raises(InputError, match="no tasks yet"):
        with_two_ways(bare, "Passing", True)


def test_the_net_score_decides_in_the_table() -> None:
    """By hand: 12 won and 5 lost is 7, 9 won is 9; team 2 wins, 3 points to none, 9:7."""
    (second, first) = sorted(season_of(cup("danger zone 5", Score(12, 9, home_lost=5))).table, key=lambda row: row.team)
    assert (first.team, first.points, first.scored, first.conceded) == (2, 3, 9, 7)
    assert (second.rank, second.points) == (2, 0)


@pytest.mark.parametrize("scoring", ["own best", "class total"])
def test_forms_without_a_rank_make_no_table_and_teach_nothing_of_ability(scoring: str) -> None:
    """No standings of such games, alone or beside others; none of their scores is evidence, none is called outdated."""
    record = cup(scoring, Score(9, 3))
    with pytest.raises(InputError, match=f"is played for the {scoring}, and makes no table"):
        season_of(record)
    guesses = Guesses(record, record.roster.strands[0])
    assert list(games_about(guesses)) == [] and lessons_outdated(record) == ()
    other = games_of(1, "Match", ("1", "2"), 1, (game(1, 1, 1, 2, score=Score(1, 0)),))
    assert season_of(replace(record, events=(*record.events, other))).events == (other,)


def test_where_a_hit_is_worth_two_points_a_result_is_half_as_sure() -> None:
    """The share of the points stays; by hand, of 12 points at 2 a hit there were 6 hits: 6 / (1 + 5 x 0.1) trials."""
    strand = class_of_eight(pairs()).roster.strands[0]

    def trial(scoring: str) -> tuple[float, float]:
        record = cup(scoring, Score(8, 4))
        named = replace(record.unit.lessons[0].activities[0], strand=strand, aim="balanced")
        unit = replace(record.unit, lessons=(replace(record.unit.lessons[0], activities=(named,)),))
        (found,) = games_about(Guesses(replace(record, unit=unit), strand))
        return trial_of(found, 1.0).share, trial_of(found, 1.0).count

    assert trial("") == trial("per hit") == (pytest.approx(2 / 3), pytest.approx(12 / 2.1))
    assert trial("near misses") == trial("harder way") == (pytest.approx(2 / 3), pytest.approx(6 / 1.5))


def test_points_of_a_task_are_kept_beside_how_it_went_and_teach_nothing_alone() -> None:
    """Without attempts they are of no known share: tasks stay as they were; with 7 of 10 beside them they do not."""
    record = klass("per hit")
    counted = with_result(record, TaskResult(FIRST, "1", points=12, lost=3))
    assert counted.results[0].net == 9 and not counted.results[0].tells_of_ability
    success = success_now(counted, LADDER)
    assert success and success.seen == ()
    both = with_result(record, TaskResult(FIRST, "1", hits=7, tries=10, points=12))
    success = success_now(both, LADDER)
    assert success and len(success.seen) == 1


def test_points_lost_need_points() -> None:
    """None below 0, and none lost where none were counted."""
    for wrong in ({"points": -1}, {"lost": 2, "felt": "easy"}, {"points": 1, "lost": -1}, {}):
        with pytest.raises(InputError):
            TaskResult(FIRST, "1", **wrong)  # type: ignore[arg-type]


def test_the_class_total_is_the_sum_of_all_net_points() -> None:
    """By hand: 5 + 7 - 2 + 4 = 14 in lesson 1, 6 + 9 = 15 in lesson 2; one of another activity does not count."""
    record = with_points(klass("class total"), FIRST, g1=(5, 0), g2=(7, 2), g3=(4, 0))
    record = with_points(record, LATER, g1=(6, 0), g4=(9, 0))
    assert class_totals(record, "passing") == {1: 14, 2: 15}
    assert last_total(record, "Passing", 1) is None and last_total(record, "Passing", 2) == 14
    assert class_totals(record, "Cup") == {}
    assert class_totals(cup("class total", Score(9, 3), Score(2, 2, home_lost=1)), "Cup") == {1: 12, 2: 3}


def test_own_last_follows_the_child_through_other_groups() -> None:
    """Cem was in group 2 with 7 less 2; in lesson 2 he is in group 1. Eva's group had nothing counted."""
    record = with_points(klass("own best"), FIRST, g1=(5, 0), g2=(7, 2))
    assert [own_last(record, LATER, who) for who in ("ana", "cem", "dia", "eva")] == [5, 5, 5, None]
    assert own_last(record, FIRST, "ana") is None, "what comes later is no last time"
    record = with_points(record, LATER, g1=(8, 0))
    assert own_last(record, key(3), "cem") == 8
