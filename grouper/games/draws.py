"""Whole round robins: one list of constructions, each of which says whether it fits, and the plan made by the first.

To add one, write a function that draws the games in slots and put it in DRAWS.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from grouper.errors import OurBugError, require
from grouper.games.carry_over import low_carry_over_rounds
from grouper.games.courts import Courts, courts_of_rounds, settled_courts
from grouper.games.homes import evened_homes, settled_homes
from grouper.games.officials import Eligible, Turns, duty_turns
from grouper.games.rounds import (
    Pair,
    Slots,
    berger_rounds,
    circle_rounds,
    cut_in_slots,
    even_turns,
    in_legs,
    odd_turns,
    packed,
    reversed_homes,
)
from grouper.model.play import DUTIES, GAMES, NOTHING_WRONG, ORDERS, Assignment, Event

MOST_TEAMS = 64


@dataclass(frozen=True)
class Drawn:
    """What a draw hands over: games in slots, and the court of each game where the draw has settled it, from 1.

    ``homes_settled`` says whether home and away are as they should stay.
    """

    slots: Slots
    homes_settled: bool = False
    courts: Courts | None = None


@dataclass(frozen=True)
class Draw:
    """A construction of a whole round robin: whether it can be used for an event, and its games.

    There are at most ``at_once`` games in a slot, and no more slots than the event allows.
    """

    name: str
    fits: Callable[[Event], bool]
    draw: Callable[[Event], Drawn]


def plan_games(event: Event) -> Event:
    """The event with its games, from the first construction that fits; the same event always gets the same games.

    Raises
    ------
    InputError
        No games can be played like this.

    Examples
    --------
    >>> planned = plan_games(Event("games", tuple("123456"), ("", "")))
    >>> planned.slots, len(planned.assignments)
    (8, 15)
    """
    check_games(event)
    draw = next(draw for draw in DRAWS if draw.fits(event))
    drawn = draw.draw(event)
    # Cut off by a limit of slots, even published homes may be two apart for some team.
    slots = evened_homes(drawn.slots) if drawn.homes_settled else settled_homes(drawn.slots)
    courts = drawn.courts or settled_courts(slots, range(1, at_once(event) + 1))
    turns = [] if event.asked.duty == "none" else duty_turns(slots, Eligible(event.numbers))
    games = in_order(slots, courts, turns)
    return sound(
        replace(event, assignments=games, method=draw.name, played=0, setback=NOTHING_WRONG, loans=())
    )


def check_games(event: Event) -> None:
    """Raise InputError where no games can be played as they are asked for."""
    teams, asked = len(event.teams), event.asked
    require(teams >= 2, "a game needs at least 2 teams", "there would be {teams}", teams=teams)
    require(teams <= MOST_TEAMS, "{teams} teams are too many for one round robin", "split them in pools", teams=teams)
    legs, slots = asked.legs, asked.slots
    require(legs is None or 1 <= legs <= 10, "every two teams cannot meet {legs} times", "try 1 or 2", legs=legs)
    require(slots is None or slots >= 1, "no game fits in {slots} slots", "give at least 1 slot", slots=slots)
    require(legs is not None or slots is not None, "with no number of legs, say how many slots to fill")
    require(asked.order in ORDERS[GAMES], "there is no order '{order}'", "try 'breaks'", order=asked.order)
    require(asked.duty in DUTIES, "there is no duty '{duty}'", "try 'spare'", duty=asked.duty)
    require(asked.duty != "always" or teams >= 3, "two teams leave nobody to officiate; ask for no duty, or 3 teams")


def at_once(event: Event) -> int:
    """The most games in one slot: two teams each, and a third where every game has a team on duty."""
    with_duty = len(event.teams) // 3 if event.asked.duty == "always" else len(event.teams)
    return min(len(event.places), event.most_at_once(event.numbers), with_duty)


def pairs_of(event: Event) -> int:
    """How many games a single leg has."""
    return len(event.pairs)


def in_order(slots: Slots, courts: Courts, turns: Turns, first_slot: int = 1) -> tuple[Assignment, ...]:
    """The games in order of slot and court; the teams on duty go to the courts in turn."""
    games: list[Assignment] = []
    for offset, (pairs, places) in enumerate(zip(slots, courts, strict=True)):
        duty = turns[offset] if turns else []
        officials = [*duty, *[None] * (len(pairs) - len(duty))]
        rows = sorted(zip(places, pairs, strict=True))
        games += [
            Assignment(first_slot + offset, court, pair, official)
            for (court, pair), official in zip(rows, officials, strict=True)
        ]
    return tuple(games)


def slots_of(games: Iterable[Assignment], count: int) -> Slots:
    """The pairs of each of the first ``count`` slots, home first."""
    slots: Slots = [[] for _ in range(count)]
    for game in games:
        slots[game.slot - 1].append((game.home, game.away))
    return slots


def turns_of(games: Iterable[Assignment], count: int) -> Turns:
    """The teams on duty in each of the first ``count`` slots."""
    turns: Turns = [[] for _ in range(count)]
    for game in games:
        if game.duty is not None:
            turns[game.slot - 1].append(game.duty)
    return turns


def sound(event: Event) -> Event:
    """The event of games, when nobody is in two places at once and nobody meets too often (OurBugError else)."""
    faults = []
    for slot in range(1, event.slots + 1):
        needed = Counter(team for game in event.in_slot(slot) for team in (*game.teams, game.duty) if team)
        faults += [f"team {team} is needed {n} times in slot {slot}" for team, n in sorted(needed.items()) if n > 1]
    met = Counter(tuple(sorted(game.teams)) for game in event.assignments)
    legs = event.asked.legs or len(event.assignments)
    faults += [f"teams {pair[0]} and {pair[1]} meet {n} times" for pair, n in sorted(met.items()) if n > legs]
    if faults:
        raise OurBugError("the games planned do not hold together: {fault}", fault=faults[0], faults=tuple(faults))
    return event


def _berger(event: Event) -> Drawn:
    """Round after round, homes as published."""
    return Drawn(_round_after_round(berger_rounds(len(event.teams)), event), homes_settled=True)


def _low_carry_over(event: Event) -> Drawn:
    """Rounds in which nobody meets many teams straight after the same other team."""
    return Drawn(_round_after_round(low_carry_over_rounds(len(event.teams)), event))


def _full_rounds(event: Event) -> Drawn:
    """Circle rounds with the fewest breaks, on balanced courts, when there is a court for every game of a round."""
    teams, leg = len(event.teams), circle_rounds(len(event.teams))
    rounds = in_legs(leg, _legs_needed(event))[: event.asked.slots]
    of_pair = {
        frozenset(pair): court
        for games, row in zip(leg, courts_of_rounds(leg, teams), strict=True)
        for pair, court in zip(games, row, strict=True)
    }
    # Moved on by one in each later leg, so that nobody misses the same court again.
    courts = [
        [(of_pair[frozenset(pair)] - 1 + number // len(leg)) % (teams // 2) + 1 for pair in games]
        for number, games in enumerate(rounds)
    ]
    return Drawn(rounds, True, courts)


def _even_turns(event: Event) -> Drawn:
    """Games in a row with even waits, for an even number of teams on fewer courts than a round has games."""
    return Drawn(_row_in_slots(even_turns(len(event.teams), _legs_needed(event)), event), homes_settled=True)


def _round_trips(event: Event) -> Drawn:
    """The same for an odd number of teams: round trips through all of them."""
    return Drawn(_row_in_slots(odd_turns(len(event.teams), _legs_needed(event)), event))


def _across(event: Event) -> Drawn:
    """Larger against smaller sides: in each round every one of the fewer kind has the next of the other kind."""
    many, few = sorted(
        ([n for n in event.numbers if n in event.across], [n for n in event.numbers if n not in event.across]),
        key=len,
        reverse=True,
    )
    rounds = [[(one, many[(k + turn) % len(many)]) for k, one in enumerate(few)] for turn in range(len(many))]
    return Drawn(_round_after_round(rounds, event))


DRAWS: tuple[Draw, ...] = (
    Draw("sides against each other", lambda event: bool(event.across), _across),
    Draw("Berger tables", lambda event: event.asked.order == "berger", _berger),
    Draw("low carry-over", lambda event: event.asked.order == "carry-over", _low_carry_over),
    Draw("full rounds", lambda event: at_once(event) == len(event.teams) // 2, _full_rounds),
    Draw("even turns", lambda event: len(event.teams) % 2 == 0, _even_turns),
    Draw("round trips", lambda event: len(event.teams) % 2 == 1, _round_trips),
)
"""The first that fits is taken; every event has one."""


def _legs_needed(event: Event) -> int:
    """The legs asked for, or those that the slots allow to begin."""
    if event.asked.legs is not None:
        return event.asked.legs
    return max(1, -(-(event.asked.slots or 1) * at_once(event) // pairs_of(event)))


def _row_in_slots(row: Sequence[Pair], event: Event) -> Slots:
    most = len(row) if event.asked.slots is None else event.asked.slots * at_once(event)
    return cut_in_slots(row[:most], at_once(event))


def _round_after_round(leg: Slots, event: Event) -> Slots:
    rounds = [games for k in range(_legs_needed(event)) for games in (reversed_homes(leg) if k % 2 else leg)]
    return packed([pair for games in rounds for pair in games], at_once(event), tuple)[: event.asked.slots]
