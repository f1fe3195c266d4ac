"""Play in one activity of a lesson: games on courts, or groups that go round stations.

Both are one ``Event``: teams, places, and who is where in each slot. What is asked for is an event without assignments;
the schedulers of ``grouper.games`` fill it, and plan its rest anew after a setback; results stand in the assignments.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from itertools import combinations

from grouper.errors import InputError
from grouper.model.texts import MOST_MINUTES, MOST_NUMBER, MOST_PEOPLE, check_length, check_number
from grouper.words import Remedy, folded

GAMES, STATIONS = "games", "stations"
KINDS = (GAMES, STATIONS)

ORDERS = {GAMES: ("breaks", "berger", "carry-over"), STATIONS: ("balanced", "rotation")}
"""Games: fewest breaks and shortest waits, the Berger tables, or the lowest carry-over. Stations: each follows each
other one equally often, or everyone moves on to the next."""

DUTIES = ("none", "spare", "always")
"""No team officiates; whoever is spare does; or no game starts without an officiating team."""

ON_WALL = ("", "top", "progress")
"""Nothing, the first places and nobody else, or everybody's points by lesson without a rank: nobody is shown last."""

LEAST_PLAY = 0.1
"""Minutes below which a slot is a slip of the hand."""


@dataclass(frozen=True)
class Timing:
    """Minutes of a slot without the change (None where they are not known), and minutes of the change to the next."""

    play: float | None = None
    changeover: float = 0.0

    def __post_init__(self) -> None:
        if self.play is not None and not self.play >= LEAST_PLAY:
            remedy = "give more than 0 minutes, {least:g} at least"
            raise InputError("a slot of {play:g} minutes is no time to play", remedy, play=self.play, least=LEAST_PLAY)
        if not self.changeover >= 0:
            what = "a change cannot take {changeover:g} minutes"
            raise InputError(what, "give 0 or more", changeover=self.changeover)
        check_number(self.play, "minutes of a slot", 0, MOST_MINUTES)
        check_number(self.changeover, "minutes of a change", 0, MOST_MINUTES)

    def slots_in(self, minutes: float) -> int:
        """How many slots fit, the last without a change after it; the length of a slot must be known.

        >>> Timing(play=6, changeover=2).slots_in(38)
        5
        """
        if self.play is None:
            raise InputError("it is not known how long a slot is", Remedy.SAY_SLOTS_LEFT)
        # A hundred-millionth of a slot forgives the rounding of decimal fractions such as 0.1.
        return int((max(0.0, minutes) + self.changeover) / (self.play + self.changeover) + 1e-8) if minutes > 0 else 0

    def minutes_for(self, slots: int) -> float | None:
        """The minutes that so many slots take, None where the length of a slot is not known."""
        return None if self.play is None else slots * self.play + max(0, slots - 1) * self.changeover

    def start_of(self, slot: int) -> float | None:
        """Minutes from the beginning to the start of a slot, counted from 1; None where they are not known."""
        return None if self.play is None else (slot - 1) * (self.play + self.changeover)


@dataclass(frozen=True)
class Score:
    """The score of a game, and the points beside it (all 0 or more).

    Parameters
    ----------
    home, away
        Points that the two teams won in play.
    home_bonus, away_bonus, home_penalty, away_penalty
        What is added to and taken from their points in the table; the game is decided without them.
    home_lost, away_lost
        Points that they lost in play, as in a danger zone; they count before the game is decided.
    """

    home: int
    away: int
    home_bonus: float = 0.0
    away_bonus: float = 0.0
    home_penalty: float = 0.0
    away_penalty: float = 0.0
    home_lost: int = 0
    away_lost: int = 0

    def __post_init__(self) -> None:
        extras = (self.home_bonus, self.away_bonus, self.home_penalty, self.away_penalty)
        numbers = (self.home, self.away, self.home_lost, self.away_lost, *extras)
        if not min(numbers) >= 0:
            raise InputError(
                "points won and lost, a bonus and a penalty are 0 or more; what is lost is taken off by itself"
            )
        for number in numbers:
            check_number(number, "points, a bonus or a penalty", 0, MOST_NUMBER)

    @property
    def net(self) -> tuple[int, int]:
        """What decides the game: points won less points lost in play, of home and away; it may be below 0."""
        return self.home - self.home_lost, self.away - self.away_lost


@dataclass(frozen=True)
class Assignment:
    """Who is at a place in a slot; slots, places and teams are numbered from 1.

    Parameters
    ----------
    slot, place
        When and where: a court or a station.
    teams
        The home and the away team of a game; at a station all groups that are there, in order.
    duty
        The team that officiates, None for nobody.
    score
        Of a game, once it is known.
    lineup
        The members (ids) of the home and the away team when the score was entered, so that it stays theirs whatever
        becomes of the groups; empty without a score, and where it was entered before this was kept.
    """

    slot: int
    place: int
    teams: tuple[int, ...]
    duty: int | None = None
    score: Score | None = None
    lineup: tuple[tuple[str, ...], ...] = ()

    @property
    def home(self) -> int:
        """The team at home in a game."""
        return self.teams[0]

    @property
    def away(self) -> int:
        """The team that is not at home in a game."""
        return self.teams[1]

    @property
    def spot(self) -> tuple[int, int]:
        """Slot and place: where it stands in its event."""
        return self.slot, self.place


@dataclass(frozen=True)
class Asked:
    """What was asked for.

    Parameters
    ----------
    legs
        How often every two teams meet in games; None for as often as the slots allow.
    slots
        Most slots; None for as many as it takes, at stations one a station.
    order, duty
        Words of ``ORDERS`` and ``DUTIES``.
    """

    legs: int | None = 1
    slots: int | None = None
    order: str = "breaks"
    duty: str = "spare"


@dataclass(frozen=True)
class Setback:
    """All that is wrong from the next slot on (not only what is new).

    Closed places, teams that are out or short (those need players lent by a team without a game), and how many slots
    are left where that is limited.
    """

    closed: tuple[int, ...] = ()
    out: tuple[int, ...] = ()
    short: tuple[int, ...] = ()
    slots_left: int | None = None


NOTHING_WRONG = Setback()


@dataclass(frozen=True)
class Event:
    """The games of an activity, or its stations.

    Parameters
    ----------
    kind
        ``GAMES`` or ``STATIONS``.
    teams
        Labels of the groups that play; team 1 is the first.
    places
        Names of the courts or stations, empty where one has none; place 1 is the first.
    lesson, activity, round
        The lesson's number, the activity's name, and the round whose groups play. Lesson 0: mere numbers, of no class.
    asked, timing
        What was asked for, and how long a slot is.
    assignments
        In order of slot and place; none before it is planned.
    method
        The construction that they came from.
    played
        How many slots were over when the rest was last planned.
    setback
        What had gone wrong then.
    loans
        Slot, short team, and the team that lends it players.
    called
        What the teacher calls each team, by the colour of its bibs or another name; empty for its label, and empty
        altogether where none is called anything.
    across
        The numbers of the larger sides, where sides differ on purpose: each of them plays the others and none of its
        own kind. Empty where everybody plays everybody.
    """

    kind: str
    teams: tuple[str, ...]
    places: tuple[str, ...]
    lesson: int = 0
    activity: str = ""
    round: int = 1
    asked: Asked = field(default_factory=Asked)
    assignments: tuple[Assignment, ...] = ()
    timing: Timing = field(default_factory=Timing)
    method: str = ""
    played: int = 0
    setback: Setback = NOTHING_WRONG
    loans: tuple[tuple[int, int, int], ...] = ()
    called: tuple[str, ...] = ()
    across: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        if not self.places:
            raise InputError("no {place} leaves nowhere to play", "give at least 1 {place}", place=self.place_word)
        check_number(len(self.places), f"the number of {'courts' if self.is_games else 'stations'}", 1, MOST_PEOPLE)
        for name in self.places:
            check_length(name, "the name of a station")
        for name in self.called:
            check_length(name, "the name of a team")
        if self.called and len(self.called) != len(self.teams):
            raise InputError("{names} names are given for {teams:team}", names=len(self.called), teams=len(self.teams))
        taken = [*map(folded, self.teams), *(folded(name) for name in self.called if name)]
        if self.called and len(set(taken)) < len(taken):
            # Results are entered by name or by label, so that no name may be another team's label either.
            raise InputError("a team is called by a name or label that another one has", "give it another name")
        twice = [spot for spot, times in Counter(one.spot for one in self.assignments).items() if times > 1]
        if twice:
            raise InputError("slot {slot} has two entries for one place, {place}", slot=twice[0][0], place=twice[0][1])
        for one in self.assignments:
            known = 1 <= one.place <= len(self.places)
            known = known and all(1 <= team <= len(self.teams) for team in (*one.teams, one.duty or 1))
            once = len(set(one.teams)) == len(one.teams) and (len(one.teams) == 2 if self.is_games else one.teams)
            if not known or not once:
                what = "slot {slot}, {place} {number}: no such place, or no such teams to be there together"
                raise InputError(what, slot=one.slot, place=self.place_word, number=one.place)

    @property
    def is_games(self) -> bool:
        """Whether teams play each other."""
        return self.kind == GAMES

    @property
    def place_word(self) -> str:
        """What a place is called."""
        return "court" if self.is_games else "station"

    @property
    def key(self) -> tuple[int, str, str]:
        """Lesson, activity and kind: an activity has one event of a kind at most."""
        return self.lesson, self.activity, self.kind

    @property
    def numbers(self) -> range:
        """The numbers of the teams."""
        return range(1, len(self.teams) + 1)

    @property
    def pairs(self) -> tuple[tuple[int, int], ...]:
        """Who plays whom in a leg, the smaller number first."""
        everybody = combinations(self.numbers, 2)
        return tuple(pair for pair in everybody if not self.across or len(set(pair) & set(self.across)) == 1)

    def most_at_once(self, teams: Iterable[int]) -> int:
        """How many of their games so many teams can have at the same time."""
        there = list(teams)
        larger = sum(team in self.across for team in there)
        return min(larger, len(there) - larger) if self.across else len(there) // 2

    @property
    def slots(self) -> int:
        """The last slot in which anybody is anywhere."""
        return max((one.slot for one in self.assignments), default=0)

    @property
    def open_places(self) -> tuple[int, ...]:
        """The courts or stations that are not closed."""
        return tuple(place for place in range(1, len(self.places) + 1) if place not in self.setback.closed)

    @property
    def present(self) -> tuple[int, ...]:
        """The teams that are there."""
        return tuple(team for team in self.numbers if team not in self.setback.out)

    @property
    def scored(self) -> tuple[Assignment, ...]:
        """The games whose score is known."""
        return tuple(one for one in self.assignments if one.score)

    @property
    def last_scored(self) -> int:
        """The last slot in which a game has a score; 0 where none has."""
        return max((one.slot for one in self.scored), default=0)

    def label(self, team: int) -> str:
        """The label of a team by its number."""
        return self.teams[team - 1]

    def name(self, team: int) -> str:
        """What students know a team by: what it is called, or its label."""
        return (self.called and self.called[team - 1]) or self.label(team)

    def in_slot(self, slot: int) -> tuple[Assignment, ...]:
        """What happens in a slot."""
        return tuple(one for one in self.assignments if one.slot == slot)

    def up_to(self, slot: int) -> tuple[Assignment, ...]:
        """What happens in the slots up to this one."""
        return tuple(one for one in self.assignments if one.slot <= slot)

    def waiting(self, slot: int) -> tuple[str, ...]:
        """Names of those who are nowhere in a slot; teams that are out wait only in the slots before they were."""
        busy = {team for one in self.in_slot(slot) for team in (*one.teams, one.duty)}
        gone = set(self.setback.out) if slot > self.played else set()
        return tuple(self.name(team) for team in self.numbers if team not in busy | gone)

    def way_of(self, team: int) -> tuple[int, ...]:
        """The places of a team, slot by slot."""
        return tuple(one.place for one in self.assignments if team in one.teams)

    def with_assignment(self, assignment: Assignment) -> Event:
        """The event with one assignment in the place of the one with the same slot and place."""
        found = (assignment if one.spot == assignment.spot else one for one in self.assignments)
        return replace(self, assignments=tuple(found))


@dataclass(frozen=True)
class Points:
    """What games are worth to a class: points for a win, a draw and a loss, in falling order.

    ``order`` holds the tie-breaks that part level teams by their keys, the first first; empty for the usual ones.
    ``on_wall`` is what the students' screen shows of the standings after games, a word of ``ON_WALL``.
    """

    win: float = 3.0
    draw: float = 1.0
    loss: float = 0.0
    order: tuple[str, ...] = ()
    on_wall: str = ""

    def __post_init__(self) -> None:
        if self.on_wall not in ON_WALL:
            raise InputError("standings are not shown as '{word}'", "use top, progress or nothing", word=self.on_wall)
        for what, value in (("win", self.win), ("draw", self.draw), ("loss", self.loss)):
            check_number(value, f"points for a {what}", -MOST_NUMBER, MOST_NUMBER)
        if not self.win >= self.draw >= self.loss:
            given = f"{self.win:g} for a win, {self.draw:g} for a draw, {self.loss:g} for a loss"
            raise InputError("{given}: give them in falling order", given=given)

    def of(self, scored: float, conceded: float) -> float:
        """What a game is worth to a team, without bonus and penalty."""
        return self.draw if scored == conceded else self.win if scored > conceded else self.loss
