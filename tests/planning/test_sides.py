"""Sides that differ on purpose: all sides of small classes are gone through by force."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import combinations

import pytest
from builders import STRAND, record_of, roster_of

from grouper.errors import InputError
from grouper.games.days.groups import of_class
from grouper.games.days.plan import planned_in
from grouper.model.noted import Absence
from grouper.model.plan import Round
from grouper.model.play import GAMES, Event
from grouper.model.record import ClassRecord
from grouper.model.sides import games_for, playing, sides_in
from grouper.model.unit import Activity, sizes_for
from grouper.planning.adjust import in_fewer_or_more, in_other_groups
from grouper.planning.fairness import fairness_of
from grouper.planning.plan import plan_unit
from grouper.planning.ran import next_unit
from grouper.planning.repair import repair
from grouper.privacy.less import handed_over

ONES = ((1, 1), (1, 1, 1), (1,) * 5, (2, 1, 1, 1, 1))
"""One against one and the like, where a class that is odd leaves somebody over."""

ATTACK = Activity("Attack", sides="5+3", rounds=3)


def class_of(ratings: list[float], *activities: Activity, lessons: int = 1) -> ClassRecord:
    return record_of(roster_of(len(ratings), ratings), *activities, lessons=lessons)


def planned(record: ClassRecord) -> ClassRecord:
    return plan_unit(record, effort="quick").record


def totals(record: ClassRecord, round_: Round) -> dict[int, list[float]]:
    """The totals of the ratings of the sides, by size."""
    found: dict[int, list[float]] = {}
    for group in round_.groups:
        found.setdefault(len(group.members), []).append(sum(record.roster.rating(s, STRAND) for s in group.members))
    return found


def least_difference(ratings: list[float], large: int, share: float = 1.0) -> float:
    """By how much the totals of the two sides of one game must differ, of all ways to choose the larger one."""
    ways = combinations(range(len(ratings)), large)
    return min(abs(sum(ratings[one] for one in way) / share - (sum(ratings) - sum(ratings[one] for one in way)))
               for way in ways)


@pytest.mark.parametrize(
    ("text", "sides"),
    [
        ("5+3", (5, 3)),
        ("3 + 5", (5, 3)),
        ("5 v 3", (5, 3)),
        ("5vs3", (5, 3)),
        ("4+4+1", (4, 4, 1)),
        ("5 against 3", (5, 3)),
        ("５＋３", (5, 3)),
    ],
)
def test_sides_are_read_as_teachers_write_them(text: str, sides: tuple[int, ...]) -> None:
    """In any order, with a plus or as one side against the other."""
    assert sides_in(text) == sides


@pytest.mark.parametrize("text", ["", "5", "5+", "5+0", "five", "5:3", "50+50", "1+1+1+1+1+1", "5+3.5", "²+3"])
def test_what_names_no_sides_is_refused(text: str) -> None:
    """Rather than guessed."""
    with pytest.raises(InputError):
        sides_in(text)


@pytest.mark.parametrize("text", ["40+21", "999999999999+1", "1" * 5000 + "+3"])
def test_a_game_of_more_people_than_a_class_has_is_refused_as_it_was_written(text: str) -> None:
    """Never by a number that nobody wrote; zeros in front make nothing larger."""
    with pytest.raises(InputError, match="than any class could fill") as refused:
        sides_in(text)
    assert f"'{text[:13]}" in str(refused.value) and "1000000000 " not in str(refused.value)
    assert sides_in("0000000005+3") == (5, 3)


@pytest.mark.parametrize("sides", [(5, 3), (4, 4, 1), (3, 2), (6, 6), (5, 4, 3), (5, 1), (2, 1), (5, 5, 1, 1), *ONES])
def test_everybody_has_a_place_in_games_of_one_size(sides: tuple[int, ...]) -> None:
    """Whoever is there; games differ by a person at most, and where the class fills them they are as asked for."""
    for people in range(1, 100):
        games = games_for(sides, people)
        in_game = [sum(game) for game in games]
        assert sum(in_game) == people
        assert max(in_game) - min(in_game) <= 1
        assert all(len(game) >= min(people, len(playing(sides))) for game in games), "somebody to play against"
        assert all(list(game) == sorted(game, reverse=True) for game in games)
        if people % sum(sides) == 0:
            assert set(games) == {sides}


@pytest.mark.parametrize(("sides", "people"), [((5, 3), 7), ((5, 3), 9), ((4, 4, 1), 8), ((4, 4, 1), 10), ((4, 3), 8)])
def test_one_more_or_fewer_changes_as_little_as_can_be(sides: tuple[int, ...], people: int) -> None:
    """Of all ways to make a game of so many none changes fewer places, alike sides being alike."""
    (game,) = games_for(sides, people)
    padded = (*game, *(0,) * (len(sides) - len(game)))
    moved = sum(abs(now - was) for now, was in zip(padded, sides, strict=True))
    assert moved == (1 if sides != (4, 4, 1) or people < 9 else 3)
    assert sides != (4, 4, 1) or game[0] == game[1]


@pytest.mark.parametrize(
    "ratings",
    [[1, 2, 2, 3, 3, 3, 4, 5], [1, 1, 2, 3, 4, 4, 5, 5], [2, 2, 3, 3, 3, 4, 4, 5], [3, 3, 3, 3, 3, 3, 3, 3]],
)
@pytest.mark.parametrize("edge", [0, 25])
def test_totals_are_as_even_as_they_can_be(ratings: list[float], edge: int) -> None:
    """Eight in five against three: of all 56 ways none has totals nearer together, or nearer to the edge wanted.

    As near as two steps in all count as even, as half a step does of averages.
    """
    game = Activity("Game", "balanced", strand=STRAND, sides="5+3", edge=edge)
    record = planned(class_of(ratings, game))
    by_size = totals(record, record.plan.rounds[0])
    share = 1 + edge / 100
    found = abs(by_size[5][0] / share - by_size[3][0])
    span = max(ratings) - min(ratings)
    assert found <= max(least_difference(ratings, 5, share), span / 8 * 4) + 1e-9


def test_averages_would_not_do() -> None:
    """Where all are alike five are stronger than three, so that averages are even and totals are not."""
    ratings = [1.0, 1.0, 2.0, 2.0, 2.0, 3.0, 4.0, 5.0]
    record = planned(class_of(ratings, Activity("Game", "balanced", strand=STRAND, sides="5+3")))
    by_size = totals(record, record.plan.rounds[0])
    assert abs(by_size[5][0] - by_size[3][0]) <= 2
    assert by_size[5][0] / 5 < by_size[3][0] / 3


def test_a_floater_does_not_count_for_a_side() -> None:
    """Nine in four, four and one: the two sides are even among themselves, whoever floats."""
    ratings = [1.0, 2.0, 2.0, 3.0, 3.0, 3.0, 4.0, 4.0, 5.0]
    game = Activity("Game", "balanced", strand=STRAND, sides="4+4+1", rounds=9)
    record = planned(class_of(ratings, game))
    floated = Counter(g.members[0] for r in record.plan.rounds for g in r.groups if len(g.members) == 1)
    for round_ in record.plan.rounds:
        one, other = totals(record, round_)[4]
        assert abs(one - other) <= 2
    assert set(floated.values()) == {1} and len(floated) == 9, "everybody's turn before anybody's second"


def test_turns_on_the_smaller_side_are_shared_out() -> None:
    """Sixteen in five against three, twice six of them at a time: over eight rounds everybody has three turns."""
    record = planned(class_of([3.0] * 16, Activity("Attack", sides="5+3", rounds=2), lessons=4))
    small = Counter(s for r in record.plan.rounds for g in r.groups if len(g.members) == 3 for s in g.members)
    assert set(small.values()) == {3} and len(small) == 16


@pytest.mark.parametrize("sides", ["5+3", "3+3+1"])
def test_turns_of_the_unit_before_count(sides: str) -> None:
    """Who was on the smaller side, or floater, when the unit ended is not again before the others; handed over too."""
    activity = Activity("Attack", sides=sides)
    special = min(sides_in(sides))

    def had_a_turn(record: ClassRecord) -> set[str]:
        return {s for group in record.plan.rounds[0].groups if len(group.members) == special for s in group.members}

    first = planned(class_of([1.0] * sum(sides_in(sides)), activity))
    over = replace(first, taught=frozenset({1}))
    begun = next_unit(over, first.unit).record
    for seed in range(4):
        assert not had_a_turn(first) & had_a_turn(planned(replace(begun, seed=seed)))
    handed = replace(handed_over(over), unit=first.unit)
    # Without dates a unit is a term, which is the half-life.
    assert handed.earlier.side == dict.fromkeys(had_a_turn(first), 0.5)


def test_sides_of_three_sizes_are_planned_and_all_play_all() -> None:
    """Six, four and three: both smaller ones are a turn, and each side plays each other one."""
    record = planned(class_of([1.0] * 13, Activity("Triangle", sides="6+4+3", rounds=2)))
    assert [sorted(map(len, (g.members for g in each.groups))) for each in record.plan.rounds] == [[3, 4, 6]] * 2
    small = Counter(s for each in record.plan.rounds for g in each.groups if len(g.members) < 6 for s in g.members)
    told = fairness_of(record).sides
    assert told and {s: times for s, times in told.by_student.items() if times} == dict(small)
    assert small.total() == 14
    wish = Event(GAMES, ("1", "2"), ("",), lesson=1, activity="Triangle")
    _, games = planned_in(record, of_class(record, wish, 1, None))
    assert len({frozenset(one.teams) for one in games.assignments}) == 3


def test_trios_and_smaller_sides_are_turns_of_two_kinds() -> None:
    """Fifteen in pairs and in sides: each kind is shared out by itself, and the one does not stand in for the other."""
    pairs, game = Activity("Pass", size=2, rounds=5), Activity("Game", sides="3+2", rounds=5)
    record = planned(class_of([3.0] * 15, pairs, game))
    for place, size, times in ((1, 3, 1), (2, 2, 2)):
        rounds = [round_ for round_ in record.plan.rounds if round_.key.activity == place]
        turns = Counter(s for r in rounds for g in r.groups if len(g.members) == size for s in g.members)
        assert set(turns.values()) == {times} and len(turns) == 15


def test_a_repair_keeps_sides_as_near_as_can_be() -> None:
    """One of 24 is away: one of the fives has four, with one person less and nobody moved for it but one."""
    record = planned(class_of([float(1 + k % 5) for k in range(24)], ATTACK))
    away = record.plan.rounds[0].groups[0].members[0]
    mended = repair(replace(record, absences=(Absence(1, away),)))
    for before, after in zip(record.plan.rounds, mended.record.plan.rounds, strict=True):
        assert after.sizes == (5, 5, 4, 3, 3, 3) == sizes_for(ATTACK, 23)
        at = {student: group.label for group in before.groups for student in group.members}
        moved = [s for group in after.groups for s in group.members if at[s] != group.label]
        assert len(moved) <= 1
    back = repair(replace(mended.record, absences=()))
    assert [round_.sizes for round_ in back.record.plan.rounds] == [(5, 5, 5, 3, 3, 3)] * 3


def test_a_repair_keeps_totals_even_where_it_can() -> None:
    """Who fills the place of somebody away is chosen by totals too."""
    ratings = [1.0, 1.0, 1.0, 2.0, 2.0, 2.0, 3.0, 3.0, 3.0, 3.0, 4.0, 4.0, 4.0, 5.0, 5.0, 5.0]
    game = Activity("Game", "balanced", strand=STRAND, sides="5+3")
    record = planned(class_of(ratings, game))
    small = next(group for group in record.plan.rounds[0].groups if len(group.members) == 3)
    mended = repair(replace(record, absences=(Absence(1, small.members[0]),))).record
    (round_,) = mended.plan.rounds
    assert round_.sizes == (5, 4, 3, 3)
    sums = [total for each in totals(mended, round_).values() for total in each]
    stood = [group for group in record.plan.rounds[0].groups if group not in round_.groups]
    assert len(stood) == 2, "one is moved, and no more"
    assert max(sums) - min(sums) <= _least_spread_with_one_move(mended, record, small.members[0]) + 1e-9


def test_fewer_larger_and_more_smaller_sides_at_a_tap() -> None:
    """5+3 becomes 6+4 or 4+2 for the same 24, and turns on the smaller side go on being shared out."""
    record = planned(class_of([3.0] * 24, ATTACK, lessons=2))
    larger = in_fewer_or_more(record, 2, "Attack", -1).record
    smaller = in_fewer_or_more(record, 2, "Attack", 1).record
    assert larger.lesson(2).activities[0].sides == "6+4" and smaller.lesson(2).activities[0].sides == "4+2"
    assert [r.sizes for r in larger.plan.of_lesson(2)] == [sizes_for(larger.lesson(2).activities[0], 24)] * 3
    assert [r.sizes for r in smaller.plan.of_lesson(2)] == [(4,) * 4 + (2,) * 4] * 3
    assert smaller.plan.of_lesson(1) == record.plan.of_lesson(1)
    with pytest.raises(InputError, match="no smaller sides"):
        in_fewer_or_more(planned(class_of([3.0] * 9, Activity("A", sides="2+1"))), 1, "A", 1)


def test_an_activity_takes_sides_on_the_day() -> None:
    """Teams of six become sides of five against three; with neither, or two of them, it is refused."""
    record = planned(class_of([3.0] * 16, Activity("Game", groups=4)))
    mended = in_other_groups(record, 1, "Game", None, sides="5 v 3").record
    assert mended.lesson(1).activities[0].sides == "5+3" and mended.plan.rounds[0].sizes == (5, 5, 3, 3)
    back = in_other_groups(mended, 1, "Game", 4).record
    assert back.lesson(1).activities[0].sides == "" and back.plan.rounds[0].sizes == (4, 4, 4, 4)
    with pytest.raises(InputError, match="or the sides of a game"):
        in_other_groups(record, 1, "Game", 4, sides="5+3")


def _least_spread_with_one_move(record: ClassRecord, before: ClassRecord, away: str) -> float:
    """Of all ways to move one person to where somebody is missing, the nearest totals."""
    groups = [[s for s in group.members if s != away] for group in before.plan.rounds[0].groups]
    spreads = []
    for one in range(len(groups)):
        for student in groups[one]:
            for other in range(len(groups)):
                trial = [list(group) for group in groups]
                trial[one].remove(student)
                trial[other].append(student)
                if sorted(map(len, trial)) == [3, 3, 4, 5]:
                    sums = [sum(record.roster.rating(s, STRAND) for s in group) for group in trial]
                    spreads.append(max(sums) - min(sums))
    return min(spreads)
