"""The rest of a day of games, planned anew when something goes wrong: what was played stays as it was.

FILLERS are the ways to put the games that are left into slots. Each says whether it applies; all that do are tried in
turn until one reaches the bounds, and the best is taken. To add one, write a function and put it in the list.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from random import Random
from typing import Any

from grouper.errors import InputError, require
from grouper.games.colours import Colours
from grouper.games.courts import settled_courts
from grouper.games.draws import in_order, slots_of, sound, turns_of
from grouper.games.homes import settled_homes
from grouper.games.officials import Eligible, duty_turns
from grouper.games.rounds import Pair, Slots, longest_wait, packed, played_in
from grouper.model.play import Assignment, Event, Setback

Loan = tuple[int, int, int]
"""A slot, a short team, and the team that lends it players."""

TRIES, MOST_WORK = 24, 60_000
"""How many fillings with ties broken by lot are tried, and when fewer are."""

MOST_CHOICES, MOST_TIME = 2500, 0.6
"""How large a rest the exact search takes on, and how long (deterministic time)."""


@dataclass(frozen=True)
class Rest:
    """Games that are left to be put into slots.

    Parameters
    ----------
    teams : tuple of int
        Who is there.
    left : tuple of pairs
        The games not yet played, in the order in which they were planned.
    at_once : int
        Most games in a slot.
    slots : int or None
        Most slots, ``None`` for as many as it takes.
    before : list of list of pairs
        The slots that are over.
    """

    teams: tuple[int, ...]
    left: tuple[Pair, ...]
    at_once: int
    slots: int | None
    before: Slots

    @cached_property
    def games_before(self) -> Counter[int]:
        """How many games each team has played."""
        return played_in(self.before)

    @cached_property
    def games_left(self) -> Counter[int]:
        """How many games each team still has."""
        return played_in([self.left])

    @cached_property
    def most_games(self) -> int:
        """A bound above the games that can still be played."""
        if self.slots is None:
            return len(self.left)
        reach = sum(min(self.slots, self.games_left[team]) for team in self.teams) // 2
        return min(len(self.left), self.at_once * self.slots, reach)

    @cached_property
    def fewest_slots(self) -> int:
        """A bound below the slots that all games left take, or those there are."""
        needed = max(-(-len(self.left) // self.at_once), max(self.games_left.values(), default=0))
        return needed if self.slots is None else min(needed, self.slots)

    @cached_property
    def least_difference(self) -> int:
        """A bound below the difference in games between two teams at the end of the day."""
        before, left = self.games_before, self.games_left
        most = self.fewest_slots if self.slots is None else self.slots
        if self.most_games == len(self.left):
            counts = [before[team] + left[team] for team in self.teams]
            return max(counts) - min(counts)
        total = sum(before[team] for team in self.teams) + 2 * self.most_games
        ceiling = max(max(before[team] for team in self.teams), -(-total // len(self.teams)))
        floor = min(total // len(self.teams), *(before[t] + min(left[t], most) for t in self.teams))
        return max(0, ceiling - floor)

    def merit(self, slots: Slots) -> tuple[int, int, int, int]:
        """What a filling is judged by, lowest first: games left out, slots, difference in games, longest wait."""
        day = [*self.before, *slots]
        played = played_in(day)
        counts = [played[team] for team in self.teams]
        left_out = len(self.left) - sum(map(len, slots))
        return left_out, len(slots), max(counts) - min(counts), longest_wait(day, self.teams)

    def at_its_best(self, slots: Slots) -> bool:
        """Whether no filling can have more games, fewer slots or a smaller difference."""
        missing, used, difference, _ = self.merit(slots)
        full = len(self.left) - missing == self.most_games
        return full and used <= self.fewest_slots and difference <= self.least_difference

    def last_played(self) -> dict[int, int]:
        """The slot in which each team played last, from 0; -1 for none."""
        last = dict.fromkeys(self.teams, -1)
        for slot, games in enumerate(self.before):
            last.update((team, slot) for pair in games for team in pair)
        return last


def replan_games(event: Event, played: int, setback: Setback) -> Event:
    """The same event with the games after the slots that are over planned anew.

    Evenness in games, homes, courts and duty counts the whole day. A team that comes back is there again when it is no
    longer among ``setback.out``: the games that it missed are planned as far as slots allow.

    Parameters
    ----------
    event : Event
    played : int
        How many slots are over; their games are kept exactly.
    setback : Setback
        What holds from the next slot on (not only what is new).

    Raises
    ------
    InputError
        The setback speaks of courts or teams that do not exist, or leaves no game possible.
    """
    what = "{played} slots cannot be over"
    require(0 <= played <= event.slots, what, "the day has {slots}", played=played, slots=event.slots)
    _check(event, setback)
    anew = replace(event, played=played, setback=setback)
    done, rest = event.up_to(played), rest_of_day(anew)
    name, slots = filled(rest)
    homed = settled_homes(slots, rest.before)
    use = Counter((team, game.place) for game in done for team in game.teams)
    courts = settled_courts(homed, anew.open_places[: rest.at_once], use)
    later = in_order(homed, courts, _duty(anew, homed, rest), played + 1)
    loans = tuple(loan for loan in event.loans if loan[0] <= played)
    loans += _loans(later, setback.short, rest.teams)
    return sound(replace(anew, assignments=done + later, method=name, loans=loans))


def _check(event: Event, setback: Setback) -> None:
    named = (("court", setback.closed, len(event.places)), ("team", (*setback.out, *setback.short), len(event.teams)))
    for what, numbers, most in named:
        wrong = [number for number in numbers if not 1 <= number <= most]
        if wrong:
            remedy = "they are numbered 1 to {most}"
            raise InputError("there is no {what} {number}", remedy, what=what, number=wrong[0], most=most)
    require(setback.slots_left is None or setback.slots_left >= 0, "the slots left cannot be below 0; give 0 or more")
    anew = replace(event, setback=setback)
    require(bool(anew.open_places), "every court is closed; leave one open, or end the games here")
    require(len(anew.present) >= 2, "fewer than 2 teams are left; end the games here")


def rest_of_day(event: Event) -> Rest:
    """What is left to play after the slots that are over, by whom and within which limits."""
    played, asked, present = event.played, event.asked, event.present
    limits = (event.setback.slots_left, None if asked.slots is None else max(0, asked.slots - played))
    # With a short team, one team at least stays without a game to lend players.
    able = len(present) - bool(event.setback.short) if len(present) > 2 else len(present)
    with_duty = 3 if asked.duty == "always" else 2
    left = [(game.home, game.away) for game in event.assignments if game.slot > event.played]
    # Those that fell out before come after what was planned for later.
    met = Counter(frozenset(game.teams) for game in event.assignments)
    left += [pair for leg in range(asked.legs or 0) for pair in event.pairs if met[frozenset(pair)] <= leg]
    return Rest(
        teams=present,
        left=tuple(pair for pair in left if set(present).issuperset(pair)),
        at_once=max(1, min(len(event.open_places), event.most_at_once(present), able // with_duty)),
        slots=min((limit for limit in limits if limit is not None), default=None),
        before=slots_of(event.up_to(played), played),
    )


def _duty(event: Event, slots: Slots, rest: Rest) -> list[list[int]]:
    if event.asked.duty == "none":
        return []
    lenders = [sum(team in event.setback.short for pair in games for team in pair) for games in slots]
    return duty_turns(slots, Eligible(rest.teams, turns_of(event.up_to(event.played), event.played), lenders))


def _loans(games: Sequence[Assignment], short: Sequence[int], present: Sequence[int]) -> tuple[Loan, ...]:
    """For every game of a short team a lender: a team without game and duty in that slot, each about equally often."""
    lent: Counter[int] = Counter()
    loans: list[Loan] = []
    for slot in sorted({game.slot for game in games}):
        here = [game for game in games if game.slot == slot]
        busy = {team for game in here for team in (*game.teams, game.duty)} | set(short)
        for team in (team for game in here for team in game.teams if team in short):
            free = [other for other in present if other not in busy]
            if free:
                lender = min(free, key=lambda other: (lent[other], other))
                lent[lender] += 1
                busy.add(lender)
                loans.append((slot, team, lender))
    return tuple(loans)


@dataclass(frozen=True)
class Filler:
    """A way to fill slots: whether it can be used, and games in slots within the limits, None when it finds nothing."""

    name: str
    fits: Callable[[Rest], bool]
    fill: Callable[[Rest], Slots | None]


def filled(rest: Rest) -> tuple[str, Slots]:
    """The best filling, with the name of its maker."""
    found: list[tuple[str, Slots]] = []
    for filler in FILLERS:
        slots = filler.fill(rest) if filler.fits(rest) else None
        if slots is not None:
            found.append((filler.name, slots))
            if rest.at_its_best(slots) and len(found) > 1:
                break
    return min(found, key=lambda one: rest.merit(one[1]))


def _fewest_first(rest: Rest) -> Slots:
    """Slot by slot, those first who have played least and waited longest: the best of several ways to break ties."""
    rng = Random(0)
    tries = max(1, min(TRIES, MOST_WORK // (1 + len(rest.left) * rest.fewest_slots)))
    best = _Filling(rest, rng).slots()
    for _ in range(tries - 1):
        if rest.at_its_best(best):
            break
        best = min(best, _Filling(rest, rng).slots(), key=rest.merit)
    return best


@dataclass
class _Filling:
    """What is left, how many games each team has had, and when it last played."""

    rest: Rest
    rng: Random
    left: list[Pair] = field(init=False)
    had: Counter[int] = field(init=False)
    last: dict[int, int] = field(init=False)

    def __post_init__(self) -> None:
        self.left, self.had, self.last = list(self.rest.left), Counter(self.rest.games_before), self.rest.last_played()

    def slots(self) -> Slots:
        slots: Slots = []
        while self.left and (self.rest.slots is None or len(slots) < self.rest.slots):
            chosen = self._chosen(sorted(self.left, key=self._urgency))
            for pair in chosen:
                self.left.remove(pair)
                self.had.update(pair)
                self.last.update(dict.fromkeys(pair, len(self.rest.before) + len(slots)))
            slots.append(chosen)
        return slots

    def _urgency(self, pair: Pair) -> tuple[int, int, float]:
        one, two = pair
        return (self.had[one] + self.had[two], self.last[one] + self.last[two], self.rng.random())

    def _chosen(self, order: list[Pair]) -> list[Pair]:
        """The most urgent games that fit together; one may make way for two."""
        chosen: list[Pair] = []
        for pair in order:
            if len(chosen) < self.rest.at_once and _apart(pair, chosen):
                chosen.append(pair)
        while len(chosen) < self.rest.at_once and (better := _one_for_two(chosen, order)):
            chosen = better
        return chosen


def _apart(pair: Pair, chosen: Sequence[Pair]) -> bool:
    return all(pair[0] not in other and pair[1] not in other for other in chosen)


def _one_for_two(chosen: list[Pair], order: list[Pair]) -> list[Pair] | None:
    """One game more, by leaving one out and taking two that it stood in the way of."""
    for out in reversed(chosen):
        kept = [pair for pair in chosen if pair != out]
        fitting = [pair for pair in order if pair != out and _apart(pair, kept)]
        for i, one in enumerate(fitting):
            for two in fitting[i + 1 :]:
                if _apart(one, [two]):
                    return [*kept, one, two]
    return None


def _balanced(rest: Rest) -> Slots | None:
    """All games left in the fewest slots, equally full, None if no place is found for one of them.

    Slots are colours of the games: no team twice in one colour. The slot comes next whose teams have together waited
    longest.
    """
    table = Colours(rest.fewest_slots)
    if not all(table.add(number, pair) for number, pair in enumerate(rest.left)):
        return None
    table.balance()
    left, last = table.slots(), rest.last_played()
    ordered: Slots = []
    # Colours are even, but perhaps too few: then a slot would have more games than courts.
    if max(map(len, left), default=0) > rest.at_once:
        return None
    while left:
        games = min(left, key=lambda games: sum(last[team] for pair in games for team in pair) / (1 + len(games)))
        left.remove(games)
        last.update((team, len(rest.before) + len(ordered)) for pair in games for team in pair)
        ordered.append(games)
    return ordered


def _exact(rest: Rest) -> Slots | None:
    """The best filling found in a fixed amount of work (CP-SAT), or None when it does not suffice.

    Most games, then fewest slots, then the smallest difference in games. Where there is no limit on slots, one slot
    more than the bound is allowed.
    """
    from ortools.sat.python import cp_model

    from grouper.engines.exact import cp_sat

    count = rest.slots if rest.slots is not None else rest.fewest_slots + 1
    model = cp_model.CpModel()
    plays = [[model.new_bool_var("") for _ in range(count)] for _ in rest.left]
    used = [model.new_bool_var("") for _ in range(count)]
    for row in plays:
        model.add_at_most_one(row)
    for slot, flag in enumerate(used):
        model.add(sum(row[slot] for row in plays) <= rest.at_once * flag)
        for team in rest.teams:
            model.add_at_most_one(row[slot] for pair, row in zip(rest.left, plays, strict=True) if team in pair)
    _aim(model, rest, plays, used)
    solver = cp_sat(MOST_TIME, seed=0)
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    slots = [[pair for pair, row in zip(rest.left, plays, strict=True) if solver.value(row[s])] for s in range(count)]
    found = [games for games in slots if games]
    return found if rest.slots is not None or sum(map(len, found)) == len(rest.left) else None


def _aim(model: Any, rest: Rest, plays: Sequence[Sequence[Any]], used: Sequence[Any]) -> None:
    limit = max(rest.games_before.values(), default=0) + len(used)
    most, fewest = model.new_int_var(0, limit, ""), model.new_int_var(0, limit, "")
    for team in rest.teams:
        had = rest.games_before[team] + sum(
            sum(row) for pair, row in zip(rest.left, plays, strict=True) if team in pair
        )
        model.add(had <= most)
        model.add(had >= fewest)
    games = sum(sum(row) for row in plays)
    model.maximize(games * (limit + 1) * (len(used) + 1) - sum(used) * (limit + 1) - (most - fewest))


FILLERS: tuple[Filler, ...] = (
    Filler("as planned", lambda rest: True, lambda rest: packed(rest.left, rest.at_once, tuple)[: rest.slots]),
    Filler("fewest games first", lambda rest: True, _fewest_first),
    Filler("balanced slots", lambda rest: rest.most_games == len(rest.left), _balanced),
    Filler("exact search", lambda rest: 0 < len(rest.left) * rest.fewest_slots <= MOST_CHOICES, _exact),
)
