"""2v2 rotation (a whist schedule): a new partner in every game, everyone else an opponent equally often.

For 4k and 4k + 1 players everyone partners everyone once and opposes everyone twice. For 4k + 2 and 4k + 3 nobody
partners anyone twice or opposes anyone more than twice, and rest turns are even.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from grouper.engines.designs.field import field_of
from grouper.errors import OurBugError, require
from grouper.games.carry_over import powers_of_primitive
from grouper.games.measure import Measure, spread
from grouper.games.rounds import catalogued, packed

Table = tuple[tuple[int, int], tuple[int, int]]

FIXED = -1
MOST_PLAYERS = 40


@dataclass(frozen=True, order=True)
class DoublesGame:
    """Two players against two on a court in a slot, all counted from 1."""

    slot: int
    court: int
    home: tuple[int, int]
    away: tuple[int, int]

    @property
    def players(self) -> tuple[int, int, int, int]:
        return (*self.home, *self.away)


@dataclass(frozen=True)
class DoublesSchedule:
    """A 2v2 rotation; nobody is in two games of a slot.

    Parameters
    ----------
    players, courts : int
    games : tuple of DoublesGame
        In order of slot and court.
    """

    players: int
    courts: int
    games: tuple[DoublesGame, ...]

    def __post_init__(self) -> None:
        places = Counter((game.slot, player) for game in self.games for player in game.players)
        twice = tuple(
            f"player {player} is needed twice in slot {slot}" for (slot, player), n in places.items() if n > 1
        )
        if twice:
            raise OurBugError("the 2v2 games do not hold together: {fault}", fault=twice[0], faults=twice)

    @property
    def slots(self) -> int:
        return max((game.slot for game in self.games), default=0)

    def resting(self, slot: int) -> tuple[int, ...]:
        """Who has no game in a slot."""
        busy = {player for game in self.games if game.slot == slot for player in game.players}
        return tuple(player for player in range(1, self.players + 1) if player not in busy)


def plan_doubles(players: int, courts: int | None = None, slots: int | None = None) -> DoublesSchedule:
    """A 2v2 rotation on the courts there are, whole or as many slots as there are.

    Parameters
    ----------
    players : int
        4 to 40, numbered from 1.
    courts : int or None
        How many games can go on at once; ``None`` for a court for every four.
    slots : int or None
        Most slots; ``None`` for the whole rotation.

    Raises
    ------
    InputError
        With fewer than 4 or more than 40 players, or without a court or a slot.

    Examples
    --------
    >>> plan_doubles(4).games[0]
    DoublesGame(slot=1, court=1, home=(1, 4), away=(2, 3))
    """
    most = MOST_PLAYERS
    require(players >= 4, "{players} players cannot play 2v2", "at least 4 are needed", players=players)
    many, remedy = "{players} players are too many for one 2v2 rotation", "split them, {most} at most each"
    require(players <= most, many, remedy, players=players, most=most)
    nowhere = "{courts} courts leave nowhere to play"
    require(courts is None or courts >= 1, nowhere, "give at least 1 court", courts=courts)
    require(slots is None or slots >= 1, "no game fits in {slots} slots", "give at least 1 slot", slots=slots)
    at_once = min(courts or players // 4, players // 4)
    tables = [table for games in whist_rounds(players) for table in games]
    day = packed(tables, at_once, lambda table: table[0] + table[1])[:slots]
    games = (
        DoublesGame(slot, court, *table)
        for slot, there in enumerate(day, start=1)
        for court, table in enumerate(there, start=1)
    )
    return DoublesSchedule(players, at_once, tuple(games))


def whist_rounds(players: int) -> list[list[Table]]:
    """The rounds of the rotation, players from 1: players - 1 rounds for 4k players, else as many as players."""
    if players == 9:
        field = field_of(3, 2)
        powers = powers_of_primitive(field)

        def moved(i: int, step: int) -> Table:
            a, b, c, d = (field.plus(powers[i + turn], step) + 1 for turn in (0, 4, 2, 6))
            return (a, b), (c, d)

        return [[moved(i, step) for i in range(2)] for step in range(9)]
    base: list[Table] = [((0, FIXED), (1, 2))]
    if players > 4:
        base = [((a, b), (c, d)) for (a, b), (c, d) in catalogued("doubles")[players]]
    m = players - 1 if players % 4 == 0 else players
    rounds = []
    for step in _steps(base, m):
        on = [[players if x == FIXED else (x + step) % m + 1 for x in (*home, *away)] for home, away in base]
        rounds.append([((a, b), (c, d)) for a, b, c, d in on])
    return rounds



def _steps(base: Sequence[Table], m: int) -> list[int]:
    """The order of development in which those rest next who have rested least, so that rests are even early on."""
    seated = {player for table in base for duo in table for player in duo}
    resting = [player for player in range(m) if player not in seated]
    if len(resting) < 2:
        return list(range(m))
    rests: Counter[int] = Counter()
    left, order = list(range(m)), []
    while left:
        step = min(left, key=lambda s: sorted((rests[(p + s) % m] for p in resting), reverse=True))
        rests.update((p + step) % m for p in resting)
        left.remove(step)
        order.append(step)
    return order


def measure_doubles(schedule: DoublesSchedule) -> tuple[Measure, ...]:
    """How often players partner and oppose each other and rest, each beside a bound that nobody can beat.

    Keys: ``most_partnered``, ``most_opposed``, ``fewest_partners``, ``rest_difference``, ``slots``.
    """
    partners = Counter(tuple(sorted(duo)) for game in schedule.games for duo in (game.home, game.away))
    opposed = Counter(tuple(sorted((a, b))) for game in schedule.games for a in game.home for b in game.away)
    played = Counter(player for game in schedule.games for player in game.players)
    everyone = range(1, schedule.players + 1)
    pairs = list(combinations(everyone, 2))
    games = len(schedule.games)
    met = [sum(partners[min(a, b), max(a, b)] > 0 for b in everyone if b != a) for a in everyone]
    partnered, against = max(partners.values(), default=0), max(opposed.values(), default=0)
    uneven = int(4 * games % schedule.players > 0)
    most_met = min(schedule.players - 1, 4 * games // schedule.players)
    rests = spread([played[p] for p in everyone])
    return (
        Measure("most_partnered", "most games together", partnered, -(-2 * games // len(pairs))),
        Measure("most_opposed", "most games against each other", against, -(-4 * games // len(pairs))),
        Measure("fewest_partners", "fewest different partners", min(met), most_met, "high"),
        Measure("rest_difference", "difference in games between players", rests, uneven),
        Measure("slots", "slots used", schedule.slots, -(-games // schedule.courts)),
    )
