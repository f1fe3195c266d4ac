"""Games of larger against smaller sides, and what share of a class is active: counted by hand."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest
from builders import class_of

from grouper.games.days.groups import active_in, members_of, of_class
from grouper.games.days.plan import measures_of, planned_in
from grouper.games.draws import plan_games
from grouper.games.rest_of_games import replan_games
from grouper.model.play import GAMES, Asked, Event, Setback
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity
from grouper.planning.plan import plan_unit


def event_of(larger: int, smaller: int, courts: int, duty: str = "none", slots: int | None = None) -> Event:
    teams = tuple(map(str, range(1, larger + smaller + 1)))
    # The larger sides are every second one as far as they go: their numbers say nothing.
    across = tuple(sorted([*range(1, len(teams) + 1, 2), *range(2, len(teams) + 1, 2)][:larger]))
    return Event(GAMES, teams, ("",) * courts, asked=Asked(duty=duty, slots=slots), across=across)


@pytest.mark.parametrize(("larger", "smaller"), [(1, 1), (2, 2), (3, 3), (3, 2), (2, 4), (5, 5)])
@pytest.mark.parametrize("courts", [1, 2, 3, 5])
@pytest.mark.parametrize("duty", ["none", "spare", "always"])
def test_every_larger_side_plays_every_smaller_one_once(larger: int, smaller: int, courts: int, duty: str) -> None:
    """And none of its own kind; in as few slots as the places allow, nobody in two places at once."""
    if duty == "always" and larger + smaller < 3:
        return
    event = plan_games(event_of(larger, smaller, courts, duty))
    met = Counter(frozenset(game.teams) for game in event.assignments)
    kinds = {frozenset((one, other)) for one in event.across for other in event.numbers if other not in event.across}
    assert met == dict.fromkeys(kinds, 1)
    at_once = min(courts, larger, smaller, (larger + smaller) // 3 if duty == "always" else courts)
    assert event.slots == -(-larger * smaller // at_once)
    for measure in measures_of(event):
        beaten = measure.bound - measure.reached if measure.better == "low" else measure.reached - measure.bound
        assert beaten <= 1e-9, measure.key


def test_what_is_left_after_a_setback_is_between_kinds_too() -> None:
    """A court is closed after the first slot, and a side leaves: the others still play the other kind alone."""
    event = plan_games(event_of(3, 3, 3))
    out = next(team for team in event.numbers if team in event.across)
    rest = replan_games(event, 1, Setback((2,), (out,)))
    pairs = [game.teams for game in rest.assignments if game.slot > 1]
    assert pairs and all(out not in pair and len(set(pair) & set(event.across)) == 1 for pair in pairs)
    met = Counter(frozenset(game.teams) for game in rest.assignments)
    wanted = [pair for pair in event.pairs if out not in pair]
    assert all(met[frozenset(pair)] == 1 for pair in wanted)


def played(record: ClassRecord, courts: int, duty: str = "none", slots: int | None = None) -> tuple[ClassRecord, Event]:
    record = plan_unit(record, effort="quick").record
    wish = Event(GAMES, (), ("",) * courts, asked=Asked(duty=duty, slots=slots))
    return planned_in(record, of_class(record, wish, 1, None))


def test_five_against_three_on_two_courts_is_two_thirds_of_the_class() -> None:
    """24 in three games' worth of sides, two games at a time: 16 of 24 play, which is 67 %, and 8 wait."""
    record, event = played(class_of(24, Activity("Attack", sides="5+3")), 2, slots=4)
    sizes = [len(members) for members in members_of(record, event)]
    assert sorted(sizes) == [3, 3, 3, 5, 5, 5]
    assert all({sizes[game.home - 1], sizes[game.away - 1]} == {3, 5} for game in event.assignments)
    active = active_in(record, event)
    assert active and active.playing == (16,) * 4 and active.share == pytest.approx(Fraction(2, 3))


@pytest.mark.parametrize(("people", "sides", "courts", "duty"), [
    (24, "5+3", 2, "spare"), (23, "5+3", 2, "spare"), (18, "4+4+1", 1, "none"), (27, "4+4+1", 2, "spare"),
    (20, "3+2", 3, "always"),
])  # fmt: skip
def test_the_share_is_what_counting_heads_gives(people: int, sides: str, courts: int, duty: str) -> None:
    """Slot by slot: who is in a team that plays or has a duty, and a floater a game as far as there are floaters."""
    record, event = played(class_of(people, Activity("Game", sides=sides)), courts, duty)
    groups = {group.label: group.members for group in record.plan.rounds[0].groups}
    floaters = [group for group in record.plan.rounds[0].groups if "floater" in group.roles]
    assert not {group.label for group in floaters} & set(event.teams), "a floater is no team"
    heads = duties = 0
    for slot in range(1, event.slots + 1):
        games = [one for one in event.assignments if one.slot == slot]
        heads += sum(len(groups[event.teams[team - 1]]) for game in games for team in game.teams)
        heads += min(len(games), len(floaters))
        duties += sum(len(groups[event.teams[game.duty - 1]]) for game in games if game.duty)
    active = active_in(record, event)
    assert active and active.students == people
    assert active.share == pytest.approx(heads / people / event.slots)
    assert active.share_with_duty == pytest.approx((heads + duties) / people / event.slots)


def test_sides_of_one_size_play_all_others() -> None:
    """Four against four with a floater: the sides are teams as any others."""
    record, event = played(class_of(18, Activity("Game", sides="4+4+1")), 2)
    assert event.across == () and len(event.teams) == 4 and len(event.assignments) == 6
    gone = replace(record, events=())
    assert active_in(gone, event) == active_in(record, event)
