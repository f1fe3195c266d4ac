"""2v2 rotations: whist schedules for 4k and 4k + 1 players, as near as it gets for the others."""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grouper.errors import InputError
from grouper.games.doubles import FIXED, DoublesSchedule, measure_doubles, plan_doubles
from grouper.games.rounds import catalogued
from tests.bench.play_catalogue import distance, joined_in_tables, search_base_round


def partners(schedule: DoublesSchedule) -> Counter[frozenset[int]]:
    """How often two play together."""
    return Counter(frozenset(duo) for game in schedule.games for duo in (game.home, game.away))


def opponents(schedule: DoublesSchedule) -> Counter[frozenset[int]]:
    """How often two play against each other."""
    return Counter(frozenset((a, b)) for game in schedule.games for a in game.home for b in game.away)


@pytest.mark.parametrize("players", [v for v in range(4, 41) if v % 4 < 2])
def test_whist_schedules(players: int) -> None:
    """Everyone partners everyone once and opposes everyone twice, in v - 1 or v rounds (whist tournaments
    Wh(v) exist for
    every v = 0 or 1 mod 4: Baker, Hanani, Wilson, as told in Anderson, Combinatorial Designs and Tournaments, 1997)."""
    schedule = plan_doubles(players)
    pairs = {frozenset(pair) for pair in combinations(range(1, players + 1), 2)}
    assert partners(schedule) == dict.fromkeys(pairs, 1)
    assert opponents(schedule) == dict.fromkeys(pairs, 2)
    assert schedule.slots == (players - 1 if players % 4 == 0 else players)


@pytest.mark.parametrize("players", [v for v in range(6, 41) if v % 4 >= 2])
def test_other_numbers_come_as_near_as_it_gets(players: int) -> None:
    """Nobody partners anyone twice or opposes anyone more than twice, and all rest equally often."""
    schedule = plan_doubles(players)
    assert max(partners(schedule).values()) == 1
    assert max(opponents(schedule).values()) == 2
    assert len(set(Counter(p for game in schedule.games for p in game.players).values())) == 1
    assert {len(schedule.resting(slot)) for slot in range(1, schedule.slots + 1)} == {players % 4}


def test_eight_players_by_a_published_base_round() -> None:
    """The partners of the base round (7 0 | 4 6)(1 5 | 3 2), developed mod 7 with 7 fixed (Anderson 1997), are
    joined in
    tables whose opponents have every difference twice, as the published tables have."""
    published = [((0, FIXED), (4, 6)), ((1, 5), (3, 2))]
    joined = joined_in_tables([duo for table in published for duo in table], 7)
    assert joined is not None
    for tables in (published, joined):
        apart = Counter(distance(a, b, 7) for one, two in tables for a in one for b in two)
        assert apart == {0: 2, 1: 2, 2: 2, 3: 2}


@pytest.mark.parametrize("players", [8, 12, 13, 14, 15, 16])
def test_the_catalogue_can_be_made_again(players: int) -> None:
    """The search still finds what the catalogue holds."""
    kept = [((a, b), (c, d)) for (a, b), (c, d) in catalogued("doubles")[players]]
    assert search_base_round(players) == kept


@settings(max_examples=60, deadline=None)
@given(st.integers(4, 40), st.integers(1, 10), st.integers(1, 12))
def test_few_courts_and_slots_hold_together(players: int, courts: int, slots: int) -> None:
    """Nobody is twice in a slot, courts and slots suffice, and no measure beats its bound."""
    schedule = plan_doubles(players, courts, slots)
    for slot in range(1, schedule.slots + 1):
        here = [game for game in schedule.games if game.slot == slot]
        busy = [player for game in here for player in game.players]
        assert len(busy) == len(set(busy))
        assert len({game.court for game in here}) == len(here) <= min(courts, players // 4)
    assert schedule.slots <= slots
    assert max(partners(schedule).values()) == 1
    for measure in measure_doubles(schedule):
        assert measure.reached >= measure.bound if measure.better == "low" else measure.reached <= measure.bound


@pytest.mark.parametrize("wrong", [(3, 1, None), (41, 1, None), (8, 0, None), (8, 1, 0)])
def test_what_cannot_be_played_is_refused(wrong: tuple[int, int | None, int | None]) -> None:
    """Too few or too many players, no court, no slot."""
    with pytest.raises(InputError):
        plan_doubles(*wrong)
