"""Chances are exact, and a start brings them nearest to one half; against counting by hand, and games played out."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import product
from random import Random

import pytest
from builders import roster_of
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import nbinom

from grouper.errors import InputError
from grouper.faces.wording.tasks import ways_in_words
from grouper.tasks.handicap import Play, even_ways, handicap, point_chance, race_chance, team_rating, timed_chance
from grouper.tasks.uneven import Levelled, Pairing

POINTS = st.integers(1, 8).map(lambda tenths: Fraction(tenths, 9))
"""Chances of a point that are no whole powers of two."""


def score_after(run: tuple[str, ...], own: int, other: int, target: int | None) -> tuple[int, int]:
    """The score after points that are won (W), won from the zone (Z) or lost (L), up to a target if there is one."""
    for kind in run:
        if target is not None and max(own, other) >= target:
            break
        own += {"W": 1, "Z": 2, "L": 0}[kind]
        other += kind == "L"
    return own, other


def by_counting(point: Fraction, zone: Fraction, start: int, length: int, target: int | None) -> Fraction:
    """The chance to win, a draw counting half, over every run of so many points."""
    chances = {"W": point * (1 - zone), "Z": point * zone, "L": 1 - point}
    won = Fraction(0)
    for run in product("WZL", repeat=length):
        chance = Fraction(1)
        for kind in run:
            chance *= chances[kind]
        own, other = score_after(run, max(start, 0), max(-start, 0), target)
        won += chance * (Fraction(1) if own > other else Fraction(1, 2) if own == other else 0)
    return won


@given(POINTS, st.integers(1, 4), st.sampled_from((Fraction(0), Fraction(1, 3), Fraction(1))), st.data())
def test_a_race_against_every_run_of_points(point: Fraction, target: int, zone: Fraction, data: st.DataObject) -> None:
    """Exact fractions over every run; a race to T is over after at most 2T - 1 points."""
    start = data.draw(st.integers(1 - target, target - 1))
    counted = by_counting(point, zone, start, 2 * target - 1, target)
    assert race_chance(float(point), target, start, float(zone)) == pytest.approx(float(counted), abs=1e-12)


@given(POINTS, st.integers(1, 7), st.sampled_from((Fraction(0), Fraction(1, 4), Fraction(1))), st.integers(-5, 5))
def test_a_timed_game_against_every_run_of_points(point: Fraction, points: int, zone: Fraction, start: int) -> None:
    """Exact fractions over every run of so many points."""
    counted = by_counting(point, zone, start, points, None)
    assert timed_chance(float(point), points, start, float(zone)) == pytest.approx(float(counted), abs=1e-12)


def test_a_race_against_the_binomial_distribution() -> None:
    """The problem of points of Pascal and Fermat: who needs a points wins if the other makes fewer than the b that
    they need before that (scipy's negative binomial); from every score on the way to 11."""
    for point, own, other in product((0.24, 0.36, 0.5), range(11), range(11)):
        needs, others_need = 11 - own, 11 - other
        lead = own - other
        if min(own, other) == 0:
            assert race_chance(point, 11, lead) == pytest.approx(nbinom.cdf(others_need - 1, needs, point))


@pytest.mark.parametrize(("play", "point"), [(Play(11, False, 0.3), 0.36), (Play(20, True, 0.3), 0.24)])
def test_chances_against_games_played_out(play: Play, point: float) -> None:
    """40,000 games with a seed: within four standard deviations."""
    random, games, start = Random(7), 40_000, 2
    won = 0.0
    for _ in range(games):
        run = tuple(
            ("Z" if random.random() < play.zone else "W") if random.random() < point else "L"
            for _ in range(play.points if play.timed else 2 * play.points)
        )
        own, other = score_after(run, start, 0, None if play.timed else play.points)
        won += 1.0 if own > other else 0.5 if own == other else 0.0
    assert play.chance(point, start, play.zone) == pytest.approx(won / games, abs=4 * 0.5 / games**0.5)


PLAYS = st.builds(Play, st.integers(1, 21), st.booleans(), st.sampled_from((0.0, 0.2, 0.5)))
CHANCES = st.floats(0.02, 0.98)


@given(PLAYS, CHANCES)
def test_no_other_start_is_nearer_to_one_half(play: Play, point: float) -> None:
    """Over all starts of either side."""
    found = handicap(point, play)
    most = play.most_start
    others = [play.chance(point, start, play.zone) for start in range(-most, most + 1)]
    assert abs(found.after - 0.5) <= min(abs(chance - 0.5) for chance in others) + 1e-9
    assert found.before == pytest.approx(play.chance(point))


@given(PLAYS, CHANCES, st.floats(0, 0.3))
def test_chances_and_starts_are_monotone(play: Play, point: float, less: float) -> None:
    """A point more at the start or a better chance of a point never harms; who is weaker never starts with fewer."""
    weaker = max(0.01, point - less)
    for start in range(-play.most_start, play.most_start):
        assert play.chance(point, start) <= play.chance(point, start + 1) + 1e-12
        assert play.chance(weaker, start) <= play.chance(point, start) + 1e-12
    assert handicap(weaker, play).start >= handicap(point, play).start - (abs(weaker - point) < 1e-9)


@given(st.builds(Play, st.integers(1, 21), st.booleans()), CHANCES, st.data())
def test_the_two_sides_are_mirror_images(play: Play, point: float, data: st.DataObject) -> None:
    """What one side wins the other loses; and the stronger side is told the same start the other way round."""
    start = data.draw(st.integers(-play.most_start, play.most_start))
    assert play.chance(point, start) + play.chance(1 - point, -start) == pytest.approx(1)
    one, other = handicap(point, play), handicap(1 - point, play)
    assert abs(one.after - 0.5) == pytest.approx(abs(other.after - 0.5), abs=1e-9)


@given(st.integers(1, 21), st.booleans())
def test_even_teams_need_no_start(points: int, timed: bool) -> None:
    """Without a zone."""
    found = handicap(0.5, Play(points, timed))
    assert (found.start, found.after) == (0, pytest.approx(0.5))


def test_a_zone_is_never_to_the_harm_of_its_team() -> None:
    """With more of its points from the zone the weaker team wins more often."""
    for timed in (False, True):
        chances = [Play(15, timed).chance(0.4, 0, zone / 10) for zone in range(11)]
        assert chances == sorted(chances)


def test_the_chance_of_a_point_has_the_published_values() -> None:
    """Expected scores of Elo: 0 .500, 100 .640, 200 .760, 400 .909; a step of a scale from 1 to 5 is 100 points."""
    roster = roster_of(4, (1, 2, 3, 5))
    for gap, share in ((0, 0.5), (1, 0.640), (2, 0.760), (4, 0.909)):
        assert point_chance(roster, "passing", gap) == pytest.approx(share, abs=5e-4)
        assert point_chance(roster, "passing", -gap) == pytest.approx(1 - share, abs=5e-4)


def test_who_is_not_rated_has_the_middle_rating() -> None:
    """Of 1 3 5 the middle is 3."""
    roster = roster_of(4, (1, 3, 5, None))
    assert team_rating(roster, "passing", ("s01", "s04")) == 2


def test_without_any_rating_there_is_no_telling() -> None:
    """An error that says so, instead of an even game."""
    with pytest.raises(InputError, match="nobody is rated"):
        point_chance(roster_of(4), "passing", 0)


@pytest.mark.parametrize(("points", "zone"), [(0, 0.0), (201, 0.0), (11, -0.1), (11, 1.5)])
def test_games_that_cannot_be_are_refused(points: int, zone: float) -> None:
    """No points, too many, or a share that is none."""
    with pytest.raises(InputError):
        Play(points, False, zone)


@pytest.mark.parametrize("point", [0.3, 0.4, 0.47])
def test_each_of_four_ways_brings_the_game_nearer_to_even(point: float) -> None:
    """Against chances worked out by playing through all scores (games to 11): the better of the amounts is taken."""
    play = Play(11, timed=False)
    found = {way.kind: way for way in even_ways(point, play, 5)}
    before = play.chance(point)
    assert list(found) == ["start", "zone", "target", "player"]
    assert all(abs(way.after - 0.5) <= abs(before - 0.5) for way in found.values())
    assert found["start"].after == handicap(point, play).after
    assert found["zone"].after == race_chance(point, 11, 0, found["zone"].amount)
    odds = found["target"].amount * point / (1 - point)
    assert found["target"].after == pytest.approx(race_chance(odds / (1 + odds), 11))
    players = (5 + found["player"].amount) / 5 * point / (1 - point)
    assert found["player"].after == pytest.approx(race_chance(players / (1 + players), 11))


def test_a_way_that_changes_nothing_is_no_wider_target_and_no_player_more() -> None:
    """'1 times as wide' and '0 more' are said as a teacher says them."""
    play = Play(11, timed=False)
    game = Levelled(Pairing("1", "2"), "1", "2", handicap(0.48, play), 0.2, True, even_ways(0.48, play, 4))
    said = ways_in_words(game)
    assert "the same target" in said and "nobody more" in said and "1 times" not in said and " 0 more" not in said
    even = replace(game, ways=even_ways(0.5, play, 4))
    assert all(way.changes_nothing for way in even.ways) and ways_in_words(even) == ""


def test_an_even_game_needs_no_way() -> None:
    """Nothing to start with, no zone, the target as it is, nobody more."""
    assert [way.amount for way in even_ways(0.5, Play(11, timed=False), 4)] == [0, 0, 1, 0]
