"""Figures of games and circuits, each beside its bound: how good it is, and how good it could be at best."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Literal

from grouper.games.carry_over import carry_over_value, least_carry_over
from grouper.games.circuit_rest import RestOfCircuit
from grouper.games.circuits import AROUND, REPLANNED, length_of
from grouper.games.draws import at_once, pairs_of, slots_of, turns_of
from grouper.games.rest_of_games import rest_of_day
from grouper.games.rounds import Slots, breaks_in, longest_wait, played_in
from grouper.model.play import NOTHING_WRONG, Event


@dataclass(frozen=True)
class Measure:
    """What was reached and what cannot be beaten.

    Parameters
    ----------
    key : str
        A short fixed name.
    sentence : str
        What is measured, in words.
    reached : float
    bound : float
        No schedule for the same event can be better than this; it need not be reachable.
    better : {"low", "high"}
    """

    key: str
    sentence: str
    reached: float
    bound: float
    better: Literal["low", "high"] = "low"

    @property
    def is_best(self) -> bool:
        """Whether the bound is reached, so that nothing better exists."""
        return self.reached <= self.bound if self.better == "low" else self.reached >= self.bound - 1e-12


def spread(counts: Sequence[int]) -> int:
    """The largest less the smallest; 0 for none."""
    return max(counts) - min(counts) if counts else 0


def measure_games(event: Event) -> tuple[Measure, ...]:
    """Slots, waits, evenness and activity of the whole day, each beside its bound.

    Keys: ``slots``, ``games``, ``games_difference``, ``longest_wait``, ``home_difference``, ``court_difference``,
    ``most_on_one_court``, ``breaks``, ``carry_over``, ``games_without_duty``, ``duty_difference``, ``duty_running``,
    ``active_share``. Differences are between the teams that are there at the end.
    """
    day = _Day(event)
    return (*day.extent(), *day.evenness(), *day.flow(), *day.duty(), day.activity())


class _Day:
    """An event of games with what the measures count; as planned where nothing has gone wrong yet."""

    def __init__(self, event: Event) -> None:
        self.event, self.teams = event, event.present
        self.slots = slots_of(event.assignments, event.slots)
        self.turns = turns_of(event.assignments, event.slots)
        self.games = played_in(self.slots)
        self.as_planned = event.setback == NOTHING_WRONG and event.played == 0
        self.rest = rest_of_day(event)

    def extent(self) -> tuple[Measure, ...]:
        if self.as_planned:
            fewest, most = fewest_slots(self.event), games_wanted(self.event)
        else:
            fewest = self.event.played + self.rest.fewest_slots
            most = sum(map(len, self.rest.before)) + self.rest.most_games
        return (
            Measure("slots", "slots used", self.event.slots, fewest),
            Measure("games", "games played", len(self.event.assignments), most, "high"),
        )

    def evenness(self) -> tuple[Measure, ...]:
        each = [self.games[team] for team in self.teams]
        uneven = int(2 * games_wanted(self.event) % len(self.event.teams) > 0)
        least = uneven if self.as_planned else self.rest.least_difference
        home = Counter(game.home for game in self.event.assignments)
        surplus = max((abs(2 * home[team] - self.games[team]) for team in self.teams), default=0)
        odd = int(any(games % 2 for games in each))
        return (
            Measure("games_difference", "difference in games between two teams", spread(each), least),
            Measure("home_difference", "difference between games at home and away", surplus, odd),
            *self._courts(each),
        )

    def _courts(self, each: list[int]) -> tuple[Measure, Measure]:
        use = Counter((team, game.place) for game in self.event.assignments for team in game.teams)
        count = at_once(self.event) if self.as_planned else len(self.event.places)
        rows = [[use[team, court] for court in range(1, count + 1)] for team in self.teams]
        least = least_court_difference(count, each, self.slots) if self.as_planned else 0
        most = -(-max(each, default=0) // count)
        if self.as_planned and len(self.teams) == 4 and count == 2 and max(each, default=0) == 3:
            most = 3  # 4 teams on 2 courts have no balanced design
        difference = max(map(spread, rows), default=0)
        return (
            Measure("court_difference", "difference between a team's most and least used court", difference, least),
            Measure("most_on_one_court", "most games of a team on one court", max(map(max, rows), default=0), most),
        )

    def flow(self) -> tuple[Measure, ...]:
        if self.as_planned:
            wait, breaks = least_longest_wait(self.event), fewest_breaks(self.event)
        else:
            wait = max((_longest_wait_over(self.rest.before, team) for team in self.teams), default=0)
            breaks = 0
        carried = least_carry_over(len(self.event.teams), len(self.event.assignments))
        return (
            Measure("longest_wait", "most slots running without a game", longest_wait(self.slots, self.teams), wait),
            Measure("breaks", "times at home, or away, twice running", breaks_in(self.slots), breaks),
            Measure("carry_over", "carry-over value", carry_over_value(self.slots), carried),
        )

    def duty(self) -> tuple[Measure, ...]:
        if self.event.asked.duty == "none":
            return ()
        free = [set(self.teams) - {team for pair in games for team in pair} for games in self.slots]
        count = Counter(team for names in self.turns for team in names)
        without = len(self.event.assignments) - count.total()
        spare = sum(max(0, len(games) - len(teams)) for games, teams in zip(self.slots, free, strict=True))
        running = sum(len(set(one) & set(two)) for one, two in pairwise(self.turns))
        odd = int(self.as_planned and count.total() % len(self.teams) > 0)
        forced = fewest_runs_of_duty([len(names) for names in self.turns], free) if self.as_planned else 0
        difference = spread([count[team] for team in self.teams])
        return (
            Measure("games_without_duty", "games that no team officiates", without, min(without, spare)),
            Measure("duty_difference", "difference in turns on duty", difference, odd),
            Measure("duty_running", "times on duty twice running", running, forced),
        )

    def activity(self) -> Measure:
        """Slots that are over count all teams, those after them the teams that are there; a duty counts too."""
        over, here, everyone = self.event.played, len(self.teams), len(self.event.teams)
        busy = [2 * len(games) + len(duty) for games, duty in zip(self.slots, self.turns, strict=True)]
        places = over * everyone + max(0, self.event.slots - over) * here
        before = sum(busy[:over]) / max(1, over * everyone)
        games = min(self.rest.at_once, self.rest.most_games)
        roles, what = (2, "play") if self.event.asked.duty == "none" else (3, "play or are on duty")
        most = max(before, min(roles * games, here) / here)
        return Measure(
            "active_share", f"share of the teams that {what}, on average", sum(busy) / max(1, places), most, "high"
        )


def _longest_wait_over(before: Slots, team: int) -> int:
    """The longest wait of a team that had ended when the slots were over."""
    places = [place for place, games in enumerate(before) if any(team in pair for pair in games)]
    return max((later - earlier - 1 for earlier, later in pairwise([-1, *places])), default=0)


def fewest_slots(event: Event) -> int:
    """The slots that the games take at least: ceil(games / games at once), or the slots there are."""
    needed = -(-games_wanted(event) // at_once(event))
    return needed if event.asked.slots is None else min(needed, event.asked.slots)


def games_wanted(event: Event) -> int:
    """The games of all legs, or as many as the slots hold."""
    room = None if event.asked.slots is None else event.asked.slots * at_once(event)
    wanted = None if event.asked.legs is None else event.asked.legs * pairs_of(event)
    return min(number for number in (room, wanted) if number is not None)


def least_longest_wait(event: Event) -> int:
    """The slots running without a game that some team cannot be spared.

    In w slots at most w * c games are played, so for everyone to play in any w slots, w * c must be n/2 or more, and
    places left empty must not use up what is above that. And where w * c is exactly n/2, waiting less would part the
    teams into groups that play in turn and never meet.
    """
    teams, courts, slots = len(event.teams), at_once(event), fewest_slots(event)
    needed = -(-teams // 2)
    window = -(-needed // courts)
    if window >= slots:
        return min(slots, window - 1)
    empty = slots * courts - games_wanted(event)
    crowded = empty > (window * courts - needed) * -(-slots // window)
    groups = window > 1 and 2 * window * courts == teams and games_wanted(event) >= pairs_of(event)
    return window - 1 + (crowded or groups)


def fewest_breaks(event: Event) -> int:
    """n - 2 (de Werra 1981) for a single leg of an even number of teams on courts for all of them; else 0 is
    not ruled out.

    Two teams that never break would have to be at home in different rounds, so at most two teams never do.
    """
    teams = len(event.teams)
    complete = not event.across and at_once(event) == teams // 2 and games_wanted(event) >= pairs_of(event)
    return teams - 2 if complete and teams % 2 == 0 else 0


def least_court_difference(courts: int, games_each: Sequence[int], slots: Slots) -> int:
    """How far a team's most and least used court must differ for some team.

    Equal use asks that the courts divide each team's games, and all games. On two courts a team with an even number of
    games differs by an even number.
    """
    if courts == 1:
        return 0
    if all(games % courts == 0 for games in games_each) and sum(map(len, slots)) % courts == 0:
        return 0
    return 2 if courts == 2 and all(games % 2 == 0 for games in games_each) else 1


def fewest_runs_of_duty(need: Sequence[int], free: Sequence[set[int]]) -> int:
    """How often a team must be on duty in two slots running: where both need more teams than are free in either."""
    pairs = pairwise(zip(need, free, strict=True))
    return sum(max(0, one + two - len(here | there)) for (one, here), (two, there) in pairs)


def measure_circuit(event: Event) -> tuple[Measure, ...]:
    """Visits, repeats, order and use of a circuit, each beside a bound that nobody can beat.

    Keys: ``visits``, ``repeats`` (meetings of two groups after their first), ``order_difference`` (between the
    most and the least frequent step from one open station to another), ``most_at_station``; where the rest was planned
    anew also ``waiting``, ``again`` and ``early`` (again while an open one is lacking). What is over counts in the
    bounds as it was, and no bound has more groups at a station than an even share.
    """
    circuit = _Circuit(event)
    measures = (circuit.visits(), circuit.repeats(), circuit.order(), circuit.crowd())
    return (*measures, *circuit.rest_measures()) if circuit.replanned else measures


class _Circuit:
    """A circuit with what the measures count."""

    def __init__(self, event: Event) -> None:
        self.event, self.groups = event, len(event.teams)
        self.replanned = event.method in (REPLANNED, AROUND)
        self.met = Counter(duo for one in event.assignments for duo in combinations(one.teams, 2))
        self.ways = {group: event.way_of(group) for group in event.numbers}
        self.worked = sum(map(len, self.ways.values()))
        self.new = sum(len(set(way)) for way in self.ways.values())
        left = max(0, event.slots - event.played)
        self.rest = RestOfCircuit(self.groups, event.open_places, left, event.up_to(event.played))

    def visits(self) -> Measure:
        return Measure("visits", "visits of groups to stations new to them", self.new, self._most_new(), "high")

    def _most_new(self) -> int:
        """What was new in the slots that are over, and what groups can do, and stations take, in those left."""
        rest = self.rest
        lacking = [rest.lacking(group) for group in self.event.numbers]
        wanted = Counter(station for stations in lacking for station in stations)
        by_group = sum(min(rest.slots, len(stations)) for stations in lacking)
        by_station = sum(min(rest.slots * rest.most_at, number) for number in wanted.values())
        return len(rest.been) + min(by_group, by_station)

    def repeats(self) -> Measure:
        """Meetings beyond one a pair; and where nothing was planned anew, those that moving on forces.

        The groups at a station were at one of the s - 1 others in an earlier slot, so where they are more than s - 1,
        some were together there. Any two slots share so many pairs; a pair that meets m times in L slots is counted
        C(m, 2) times for m - 1 repeats, at most L/2 times each.
        """
        least = max(0, self.met.total() - self.groups * (self.groups - 1) // 2)
        if not self.replanned:
            stations = len(self.event.places)
            small, larger = divmod(self.groups, stations)
            crowds = [small + (station < larger) for station in range(stations)]
            forced = sum(_together_before(crowd, stations - 1) for crowd in crowds)
            least = max(least, (length_of(self.event) - 1) * forced)
        reached = self.met.total() - len(self.met)
        return Measure("repeats", "meetings of two groups after their first", reached, least)

    def order(self) -> Measure:
        stations = self.event.open_places
        steps = Counter(step for way in self.ways.values() for step in pairwise(way))
        counts = [steps[one, two] for one in stations for two in stations if one != two]
        # In a rest planned anew it is open how many steps there are: a group may have to stay where it is.
        even = self.replanned or sum(counts) % max(1, len(counts)) == 0
        what = "difference between how often stations follow each other"
        return Measure("order_difference", what, spread(counts), int(not even))

    def crowd(self) -> Measure:
        event = self.event
        fullest, least = max((len(one.teams) for one in event.assignments), default=0), 0
        for slot in range(1, event.slots + 1):
            stations = event.places if slot <= event.played else event.open_places
            least = max(least, -(-sum(len(one.teams) for one in event.in_slot(slot)) // len(stations)))
        return Measure("most_at_station", "most groups at a station", fullest, least)

    def rest_measures(self) -> tuple[Measure, ...]:
        """As nobody waits, a group with nothing new is at a station again."""
        event = self.event
        over = sum(len(one.teams) for one in event.up_to(event.played))
        waited = self.groups * min(event.played, event.slots) - over
        later = {group: [] for group in event.numbers}  # type: dict[int, list[int]]
        for one in event.assignments:
            for group in one.teams if one.slot > event.played else ():
                later[group].append(one.place)
        early = sum(self.rest.cost(group, way).early for group, way in later.items())
        waiting = self.groups * event.slots - self.worked
        again, forced = self.worked - self.new, max(0, self.worked - self._most_new())
        return (
            Measure("waiting", "groups that wait, added up over the slots", waiting, waited),
            Measure("again", "visits to a station once more, so that nobody waits", again, forced),
            Measure("early", "of these while an open station is still to be done", early, 0),
        )


def _together_before(crowd: int, places: int) -> int:
    """The fewest pairs of a crowd that come from the same of so many places."""
    each, more = divmod(crowd, places)
    return more * (each + 1) * each // 2 + (places - more) * each * (each - 1) // 2
