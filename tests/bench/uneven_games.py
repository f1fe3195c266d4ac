"""Games between uneven teams, with starting points and without: how often the weaker team wins."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from random import Random
from statistics import fmean

from grouper.learning.team_model import LIKENESS
from grouper.model.roster import Roster, Student
from grouper.tasks.handicap import Play, handicap, point_chance, team_rating
from tests.bench.report import table

SEEDS, PEOPLE, SIDE = 4000, 24, 5
STRAND = "skill"
TRUSTS = (1.0, 0.7)
PLAYS = {
    "to 11 points": Play(11, timed=False),
    "about 20 points": Play(20, timed=True),
    "about 20 points, zone 0.3": Play(20, timed=True, zone=0.3),
}


@dataclass(frozen=True)
class Match:
    """A game between two drawn teams: the weaker team's true chance of a point, and the start that it is given.

    ``start`` is below 0 where it goes to the stronger team, which noisy ratings may take for the weaker; ``zoned``
    says whether the zone is the weaker team's.
    """

    point: float
    start: int
    zoned: bool


def matches(noise: float, play: Play, trust: float = 1.0) -> Iterator[Match]:
    """Games with starts by ratings that are off by so much (standard deviation, on a scale from 1 to 5).

    ``trust`` is the share of the difference that is believed.
    """
    for seed in range(SEEDS):
        random = Random(seed)
        truth = [min(5.0, max(1.0, random.gauss(3, 1))) for _ in range(PEOPLE)]
        shown = [min(5.0, max(1.0, value + random.gauss(0, noise))) for value in truth]
        drawn = random.sample(range(PEOPLE), 2 * SIDE)
        yield _match(_roster(truth), _roster(shown), drawn[:SIDE], drawn[SIDE:], play, trust)


def _roster(ratings: list[float]) -> Roster:
    return Roster(tuple(Student(str(who), str(who), {STRAND: value}) for who, value in enumerate(ratings)), (STRAND,))


def _match(truth: Roster, shown: Roster, one: list[int], other: list[int], play: Play, trust: float) -> Match:
    gap = _gap(truth, one, other)
    if gap > 0:
        one, other, gap = other, one, -gap
    seen = trust * _gap(shown, one, other)
    start = handicap(point_chance(shown, STRAND, -abs(seen)), play).start
    return Match(point_chance(truth, STRAND, gap), start if seen <= 0 else -start, seen <= 0)


def _gap(roster: Roster, one: list[int], other: list[int]) -> float:
    return team_rating(roster, STRAND, map(str, one)) - team_rating(roster, STRAND, map(str, other))


def won(match: Match, play: Play, random: Random, likeness: float) -> float:
    """The weaker team's result of one game that is played out, a draw counting half.

    With likeness points of one game are alike beyond the teams' strength: the day's chance is drawn from a beta
    distribution around the true one, as in the beta-binomial model.
    """
    point = match.point
    if likeness:
        size = 1 / likeness - 1
        point = random.betavariate(point * size, (1 - point) * size)
    own, other, made = max(match.start, 0), max(-match.start, 0), 0
    while made < play.points if play.timed else max(own, other) < play.points:
        mine = random.random() < point
        worth = 2 if play.zone and mine == match.zoned and random.random() < play.zone else 1
        own, other, made = own + worth * mine, other + worth * (not mine), made + 1
    return 0.5 if own == other else float(own > other)


def _share(noise: float | None, play: Play, likeness: float) -> float:
    """The share of games that the weaker team wins; without a start where there is no noise to speak of."""
    plain = Play(play.points, play.timed)
    results = []
    for seed, match in enumerate(matches(noise or 0.0, play)):
        random = Random(seed + 2_000_000)
        given = match if noise is not None else Match(match.point, 0, False)
        results.append(won(given, play if noise is not None else plain, random, likeness))
    return fmean(results)


def true_chance(match: Match, play: Play) -> float:
    """The weaker team's exact chance to win, with the start and the zone that it is given or that go to the other."""
    if match.zoned:
        return play.chance(match.point, match.start, play.zone)
    return 1 - play.chance(1 - match.point, -match.start, play.zone)


def _off(noise: float | None, play: Play, trust: float) -> float:
    """How far the weaker team's true chance is from one half on average, game by game."""
    if noise is None:
        plain = Play(play.points, play.timed)
        return fmean(abs(plain.chance(match.point) - 0.5) for match in matches(0.0, plain))
    return fmean(abs(true_chance(match, play) - 0.5) for match in matches(noise, play, trust))


def handicap_tables() -> str:
    """Text and table."""
    kinds: list[tuple[str, float | None]] = [("no handicap", None), ("ratings known", 0.0), ("off by 0.5", 0.5)]
    kinds += [("off by 1", 1.0), ("off by 1.5", 1.5)]
    rows = [
        [name, day, *(f"{_share(noise, play, likeness):.3f}" for _, noise in kinds)]
        for name, play in PLAYS.items()
        for day, likeness in (("as in the model", 0.0), ("form of the day", LIKENESS))
    ]
    off = [
        [name, trust, *(f"{_off(noise, play, trust):.3f}" for _, noise in kinds)]
        for name, play in PLAYS.items()
        for trust in TRUSTS
    ]
    names = [kind for kind, _ in kinds]
    shares = TEXT.format(seeds=SEEDS, side=SIDE, likeness=LIKENESS) + table(["games", "points", *names], rows)
    return f"{shares}\n\n{OFF_TEXT}{table(['games', 'trust', *names], off)}"


OFF_TEXT = """The average over many games could hide that single games are uneven. So this is how far the weaker team's
true chance to win is from one half, game by game on average; it is exact, and as in the model. *Trust* is the share of
the difference in ratings that is believed. Where ratings are off by 1 for each student, a start levels little, and
with all of the trust and worse ratings it harms: poor ratings make even teams look uneven.

"""

TEXT = """{seeds} games between two teams of {side} drawn at random from a class, played out point by point: the share
that the truly weaker team wins, a draw counting half. The start goes by ratings that are known, or off by so much
(standard deviation on a scale from 1 to 5), so that it may even go to the stronger team. *Form of the day*: the points
of a game are alike beyond the teams' strength (correlation {likeness}), which the model of the handicap leaves out.

"""
