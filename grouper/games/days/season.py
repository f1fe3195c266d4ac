"""Results: of a game, entered and kept with those who played; and of lessons that belong together, added up."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass, replace
from statistics import mean

from grouper.errors import InputError, require
from grouper.games.days.groups import goes_with, members_of, team_meant
from grouper.games.standings import Progress, Side, Standing, progress, sides_of, standings
from grouper.model.play import Assignment, Event, Points, Score
from grouper.model.record import ClassRecord
from grouper.planning.turns import Turns, least_range
from grouper.words import Remedy


@dataclass(frozen=True)
class Season:
    """Events of games played by the same teams.

    Parameters
    ----------
    events : tuple of Event
        Those that count, in the order of play.
    left_out : tuple of Event
        Those with results that do not count, because their teams were made of other people.
    points : Points
    """

    events: tuple[Event, ...]
    left_out: tuple[Event, ...]
    points: Points

    @property
    def teams(self) -> tuple[str, ...]:
        """Labels of the teams; team 1 is the first."""
        return self.events[-1].teams

    def name(self, team: int) -> str:
        """What students know a team by."""
        return self.events[-1].name(team)

    @property
    def lessons(self) -> tuple[int, ...]:
        """The lessons that count."""
        return tuple(sorted({event.lesson for event in self.events}))

    @property
    def games(self) -> int:
        """How many games there are, played or not."""
        return sum(len(event.assignments) for event in self.events)

    @property
    def played(self) -> int:
        """How many games have a result."""
        return sum(len(event.scored) for event in self.events)

    @property
    def is_over(self) -> bool:
        """Whether every game there is has a result."""
        return 0 < self.games == self.played

    @property
    def sides(self) -> list[Side]:
        """The results as each team sees them, with lessons counted from 1 among those that count."""
        places = {lesson: place for place, lesson in enumerate(self.lessons, start=1)}
        return [side for event in self.events for side in sides_of(event.assignments, places[event.lesson])]

    @property
    def table(self) -> tuple[Standing, ...]:
        """The standings, best first."""
        return standings(self.sides, len(self.teams), self.points)

    @property
    def progress(self) -> tuple[Progress, ...]:
        """Everyone's points lesson by lesson, in the order of ``lessons``."""
        return progress(self.sides, len(self.teams), self.points)


def season_of(record: ClassRecord, lessons: Collection[int] = (), activity: str | None = None) -> Season:
    """The events that are added up.

    Parameters
    ----------
    record : ClassRecord
    lessons : collection of int
        Just these lessons; all of them where it is empty.
    activity : str or None
        Just games of activities with this name.

    Returns
    -------
    Season
        The last event and all earlier ones with the same teams: the same labels, and in each team more than half of the
        people. With ``lessons`` the events of all of them, whoever was in the teams.

    Raises
    ------
    InputError
        There are no games yet, or the lessons that are named have different numbers of teams.
    """
    for lesson in lessons:
        record.lesson(lesson)
    name = None if activity is None else activity.casefold()
    meant = [
        event
        for event in record.games
        if name in (None, event.activity.casefold()) and (not lessons or event.lesson in lessons)
    ]
    events = tuple(event for event in meant if record.is_ranked(event.activity))
    if meant and not events:
        played, scoring = meant[-1].activity, record.scoring(meant[-1].activity)
        what = "'{activity}' is played for {scoring}, and makes no table"
        called = f"the {scoring.name}" if scoring else ""
        raise InputError(what, "choose another way of scoring for it first", activity=played, scoring=called)
    if not events:
        raise InputError("there are no games yet that could be added up", Remedy.PLAN_GAMES)
    if lessons:
        if len({event.teams for event in events}) > 1:
            raise InputError("the games of these lessons have other teams; add up lessons with the same teams")
        return Season(events, (), record.points)
    last = next((event for event in reversed(events) if event.scored), events[-1])
    now = members_of(record, last)
    same = []
    for event in events:
        pairs = zip(members_of(record, event), now, strict=True) if event.teams == last.teams else ()
        if event.teams == last.teams and all(2 * len(a & b) > min(len(a), len(b)) for a, b in pairs if a and b):
            same.append(event)
    return Season(tuple(same), tuple(one for one in events if one.scored and one not in same), record.points)


def duty_turns(record: ClassRecord, settled: Collection[int] = ()) -> Turns | None:
    """How many games each student's team officiated; None where no game of the record's lessons has a duty.

    Beside it by how much fewest and most must differ, of those who were in a team each time, with as many games
    officiated and the same teams. The duties of lessons that are ``settled`` are taken as they are.
    """
    games = [event for event in record.games if any(game.duty for game in event.assignments)]
    if not games:
        return None
    turns = sum((_turns_of(record, event) for event in games), Counter[str]())
    chances = Counter(student for event in games for team in members_of(record, event) for student in team)
    full = [student for student in chances if chances[student] == max(chances.values())]
    if not full:
        return None
    counted, least = [turns[student] for student in full], _least_duty_range(record, games, settled, full)
    return Turns(min(counted), max(counted), {student: turns[student] for student in chances}, least)


def _least_duty_range(record: ClassRecord, games: list[Event], settled: Collection[int], compared: list[str]) -> int:
    """A team on duty is a turn for each of its members: with teams of two sizes there may be more or fewer turns."""
    had, room, fewest, most = Counter[str](), Counter[str](), 0, 0
    for event in games:
        if event.lesson in settled:
            had += _turns_of(record, event)
            continue
        duties, teams = sum(game.duty is not None for game in event.assignments), members_of(record, event)
        sizes = [len(team) for team in teams]
        fewest, most = fewest + duties * min(sizes), most + duties * max(sizes)
        # Nobody is on duty at two places in a slot, nor more often than there are duties.
        slots = len({game.slot for game in event.assignments if game.duty is not None})
        room.update({student: slots for team in teams for student in team})
    return min(least_range(had, room, turns, compared) for turns in range(fewest, most + 1))


def _turns_of(record: ClassRecord, event: Event) -> Counter[str]:
    members = members_of(record, event)
    return Counter(student for game in event.assignments if game.duty for student in members[game.duty - 1])


def turned_to_even_duty(record: ClassRecord, event: Event) -> Event:
    """New games with their teams exchanged so that duty falls to those who had least of it in the unit so far.

    Where some teams officiate more often than others, they are the ones whose members did least, by the chances that
    they had: who was not there is counted what the others had on average. Where that makes no difference the games stay
    as they are.
    """
    duties = Counter(game.duty for game in event.assignments if game.duty)
    had = _had_before(record, event)
    load = [mean(had.get(student, 0.0) for student in team or ("",)) for team in members_of(record, event)]
    if len({duties[number] for number in event.numbers}) == 1 or len(set(load)) == 1:
        return event
    most_first = sorted(event.numbers, key=lambda number: -duties[number])
    least_first = sorted(event.numbers, key=lambda number: load[number - 1])
    now = dict(zip(most_first, least_first, strict=True))
    turned = (
        replace(game, teams=tuple(now[team] for team in game.teams), duty=game.duty and now[game.duty])
        for game in event.assignments
    )
    return replace(event, assignments=tuple(turned))


def _had_before(record: ClassRecord, event: Event) -> dict[str, float]:
    """Turns on duty in the other games of the unit, and an average of them for each that somebody missed."""
    had: dict[str, float] = {}
    for other in record.games:
        if other.key == event.key:
            continue
        turns, there = _turns_of(record, other), set().union(*members_of(record, other))
        for student in record.roster.by_id:
            missed = 0.0 if student in there or not there else turns.total() / len(there)
            had[student] = had.get(student, 0.0) + turns[student] + missed
    return had


@dataclass(frozen=True)
class Scored:
    """What a team, by label or name, won in a game and lost in play, and what changes its points in the table."""

    team: str
    score: int
    bonus: float = 0.0
    penalty: float = 0.0
    lost: int = 0


def scored(event: Event, one: Scored, other: Scored, slot: int | None = None) -> tuple[Event, Assignment]:
    """The event with a result, and the game it belongs to.

    Where the two teams meet twice, the first game without a result is meant; where all have one, ``slot`` says which is
    corrected.

    Raises
    ------
    InputError
        The two teams do not meet, or it is not clear in which game.
    """
    games = _between(event, one.team, other.team, slot)
    if not games:
        at = f" in slot {slot}" if slot is not None else ""
        team = team_meant(event, one.team)
        own = [game for game in event.assignments if team in game.teams]
        others = [f"{event.name(g.away if g.home == team else g.home)} (slot {g.slot})" for g in own]
        what, remedy = "teams {one} and {other} do not meet{at}", "team {one} plays {opponents}"
        opponents = ", ".join(others) or "nobody"
        raise InputError(what, remedy, one=one.team, other=other.team, at=at, opponents=opponents)
    # Entering a second result corrects the first only where it is plain which game is meant.
    still_open = [game for game in games if not game.score]
    if not still_open and len(games) > 1:
        raise _unclear("teams {one} and {other} have {count:result} already", one.team, other.team, games)
    game = (still_open or games)[0]
    first = team_meant(event, one.team)
    home, away = (one, other) if game.home == first else (other, one)
    score = Score(home.score, away.score, home.bonus, away.bonus, home.penalty, away.penalty, home.lost, away.lost)
    entered = replace(game, score=score)
    return event.with_assignment(entered), entered


def unscored(event: Event, one: str, other: str, slot: int | None = None) -> tuple[Event, Assignment]:
    """The event without the result of a game, and the game as it was.

    Raises
    ------
    InputError
        There is no such result, or it is not clear which one is meant.
    """
    games = [game for game in _between(event, one, other, slot) if game.score]
    require(bool(games), "teams {one} and {other} have no result to take back", one=one, other=other)
    if len(games) != 1:
        raise _unclear("teams {one} and {other} have {count:result}", one, other, games)
    return event.with_assignment(replace(games[0], score=None, lineup=())), games[0]


def with_scores(record: ClassRecord, event: Event) -> ClassRecord:
    """The record with this event in the place of the one before, after scores were entered or taken out.

    Each new score remembers who was in the two teams, and where there is any the round is pinned whose groups play, so
    that planning anew makes no other teams of it. A score of teams that are not there any more remembers nobody.
    """
    round_ = record.round_of(event)
    there = round_ if round_ and goes_with(round_, event) else None
    games = []
    for game in event.assignments:
        if game.score is None or not game.lineup:
            sides = tuple(there.members(event.label(team)) if there and game.score else () for team in game.teams)
            game = replace(game, lineup=sides if all(sides) else ())
        games.append(game)
    kept = record.with_event(replace(event, assignments=tuple(games)))
    if round_ is None or not event.scored:
        return kept
    return replace(kept, plan=kept.plan.with_rounds({round_.key: replace(round_, pinned=True)}))


def _between(event: Event, one: str, other: str, slot: int | None) -> list[Assignment]:
    pair = {team_meant(event, label) for label in (one, other)}
    if len(pair) == 1:
        raise InputError("team {one} cannot play itself", "enter two different teams", one=one)
    return [game for game in event.assignments if set(game.teams) == pair and slot in (None, game.slot)]


def _unclear(text: str, one: str, other: str, games: list[Assignment]) -> InputError:
    remedy = Remedy.CHOOSE_SLOT if games else ""
    slots = tuple(game.slot for game in games)
    return InputError(text, remedy, one=one, other=other, count=len(games), slots=slots)
