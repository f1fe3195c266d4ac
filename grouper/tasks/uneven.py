"""Handicaps for the groups of a round, game by game."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import combinations
from math import exp

from grouper.errors import require
from grouper.games.days.groups import goes_with, labels_of, larger_sides, teams_in
from grouper.model.plan import Round
from grouper.model.play import GAMES, Event
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.fairness import even_enough
from grouper.tasks.handicap import EvenWay, Handicap, Play, easier, even_ways, handicap, point_chance, team_rating
from grouper.tasks.rounds import challenge_for, strand_for, success_before
from grouper.words import Remedy


@dataclass(frozen=True)
class Pairing:
    """Two groups by label, and the slot and court where they play, where that is planned."""

    one: str
    other: str
    slot: int | None = None
    court: int | None = None


@dataclass(frozen=True)
class Levelled:
    """A game with its handicap; of two even groups the first counts as the weaker.

    ``apart`` is the difference between their averages, or of sides of two sizes between their totals, shared out over
    the mean of the two; ``even`` whether a plan with even teams is content with it, and
    ``ways`` are four ways to even it, each by itself.
    """

    pairing: Pairing
    weaker: str
    stronger: str
    handicap: Handicap
    apart: float
    even: bool
    ways: tuple[EvenWay, ...] = ()


def pairings_of(record: ClassRecord, round_: Round) -> tuple[Pairing, ...]:
    """The games of a round as they are planned, or every two groups where none are."""
    event = next((event for event in record.games if record.round_of(event) == round_), None)
    if event is None:
        labels, larger = labels_of(teams_in(round_)), larger_sides(record, round_)
        anybody = Event(GAMES, labels, ("",), across=larger)
        return tuple(Pairing(labels[one - 1], labels[other - 1]) for one, other in anybody.pairs)
    what = "the games of '{activity}' are for other teams than there are now"
    require(goes_with(round_, event), what, "plan them again", activity=event.activity)
    return tuple(Pairing(event.label(g.home), event.label(g.away), g.slot, g.place) for g in event.assignments)


def strand_meant(record: ClassRecord, round_: Round, strand: str | None) -> str:
    """The strand that teams are compared in: the one that is named, or that of the activity.

    Raises
    ------
    InputError
        The class has no such strand, or the activity has none.
    """
    strand = strand or strand_for(record, round_.key)
    require(bool(strand), "this activity goes by no rating", Remedy.CHOOSE_STRAND, strands=record.roster.strands)
    record.roster.check_strand(strand)
    return strand


def levelled(
    record: ClassRecord, round_: Round, pairings: Iterable[Pairing], strand: str, play: Play, trust: float = 1.0
) -> tuple[Levelled, ...]:
    """The handicap of each game.

    ``trust`` is the share of the difference in ratings that is believed: of teams that look far apart part of the
    difference is commonly a fault of the ratings.

    Raises
    ------
    InputError
        A group is not in the round, nobody is rated in the strand, or the share is none.
    """
    what = "the share of the difference that you trust is {trust:g}"
    require(0 < trust <= 1, what, "use above 0 to 1, such as 0.7", trust=trust)
    return tuple(_levelled(record, round_, pairing, strand, play, trust) for pairing in pairings)


KNOWN = 0.4
"""A setting is known where what it does is no further off than this, in logits (standard deviation; 0.6 at first)."""


def _learnt_target(record: ClassRecord, key: RoundKey, point: float, play: Play) -> EvenWay | None:
    """Two settings of a lever for the target, one for each team, that even a game nearest; None where results of the
    class do not tell yet what such settings do: an attempt is then taken for a point."""
    challenge = challenge_for(record, key)
    success = success_before(record, key) if challenge else None
    if challenge is None or success is None or not success.seen:
        return None
    found: list[EvenWay] = []
    for lever in challenge.levers:
        rises = [rise for rise in success.rises() if rise[0] == lever.name]
        if lever.kind != "target" or any(spread > KNOWN for *_, spread in rises):
            continue
        # How much harder each setting is than the easiest one of its lever.
        hard = [sum(mean for _, _, mean, _ in rises[:step]) for step in range(len(rises) + 1)]
        for low, high in combinations(range(len(hard)), 2):
            logits = hard[high] - hard[low]
            after = replace(play, zone=0.0).chance(easier(point, exp(logits)))
            said = f"{lever.settings[low].shown} for the one, {lever.settings[high].shown} for the other"
            found.append(EvenWay("target", logits, after, said))
    # Where no two settings come nearer than the game as it is, nothing is to be changed.
    as_it_is = EvenWay("target", 1.0, replace(play, zone=0.0).chance(point))
    return min((as_it_is, *found), key=lambda way: abs(way.after - 0.5)) if found else None


def _levelled(
    record: ClassRecord, round_: Round, pairing: Pairing, strand: str, play: Play, trust: float
) -> Levelled:
    one, other = pairing.one, pairing.other
    require(one != other, "group {one} cannot play against itself", "name two groups", one=one)
    known = [group.label for group in round_.groups]
    ratings, players = {}, {}
    for label in (one, other):
        labels, what = ", ".join(labels_of(round_.groups)), "there is no group {label} in this round"
        require(label in known, what, "there are {labels}", label=label, labels=labels)
        ratings[label] = team_rating(record.roster, strand, round_.members(label))
        # Of five against three the five are the stronger side where all are alike: numbers count as in the ways.
        players[label] = len(round_.members(label))
    point = point_chance(record.roster, strand, trust * (ratings[one] - ratings[other]))
    if players[one] != players[other]:
        point = easier(point, players[one] / players[other])
    weaker, stronger = (one, other) if point <= 0.5 else (other, one)
    point = min(point, 1 - point)
    apart = abs(ratings[one] - ratings[other])
    if players[one] != players[other]:
        mean = sum(players.values()) / 2
        apart = abs(ratings[one] * players[one] - ratings[other] * players[other]) / mean
    even = apart <= even_enough(record.roster, strand) + 1e-9
    ways = even_ways(point, play, players[weaker])
    learnt = _learnt_target(record, round_.key, point, play)
    if learnt:
        ways = tuple(learnt if way.kind == "target" else way for way in ways)
    return Levelled(pairing, weaker, stronger, handicap(point, play), apart, even, ways)
