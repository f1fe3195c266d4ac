"""Games and stations in words: what was planned, how good it is beside its bound, and what to change."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from grouper.games.days.too_long import TooLong, too_long
from grouper.games.measure import Measure
from grouper.games.pacing import Pacing
from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import Fixture, GamesDay, Score
from grouper.model.record import ClassRecord
from grouper.model.timing import Timing
from grouper.words import counted, listed

SENTENCE_WIDTH = 62


def measure_lines(measures: Iterable[Measure]) -> Iterator[str]:
    """A line for each measure: what it is, what was reached, and whether anything could be better."""
    for measure in measures:
        yield f"  {measure.sentence:<{SENTENCE_WIDTH}} {_figure(measure.reached, measure):>6}   {_beside(measure)}"


def _beside(measure: Measure) -> str:
    if measure.is_best:
        return "proven best"
    side = "below" if measure.better == "low" else "above"
    return f"no schedule can go {side} {_figure(measure.bound, measure)}"


def _figure(value: float, measure: Measure) -> str:
    return f"{value:.0%}" if measure.key == "active_share" else f"{value:g}"


def games_heading(day: GamesDay) -> str:
    """One line on a day of games: where it is, then ``games_in_words``."""
    return f"{_where(day)}{games_in_words(day)}"


def games_in_words(day: GamesDay) -> str:
    """Teams, courts, games, slots and minutes of a day of games."""
    teams = counted(len(day.teams), "team")
    courts = _those_open(day.asked.courts, len(day.setback.courts_closed), "court")
    games, slots = counted(len(day.fixtures), "game"), counted(day.slots, "slot")
    return f"{teams}, {courts}: {games} in {slots}{minutes_in_all(day.timing, day.slots)}"


def circuit_heading(day: CircuitDay) -> str:
    """One line on a circuit: where it is, then ``circuit_in_words``."""
    return f"{_where(day)}{circuit_in_words(day)}"


def circuit_in_words(day: CircuitDay) -> str:
    """Groups, stations, slots and minutes of a circuit."""
    groups, stations = counted(len(day.groups), "group"), _those_open(len(day.stations), len(day.closed), "station")
    slots = counted(day.last_slot, "slot")
    return f"{groups}, {stations}: {slots}{minutes_in_all(day.timing, day.last_slot)}"


def _those_open(count: int, closed: int, noun: str) -> str:
    """How many there are, and how many of them are open where some are closed."""
    return f"{count - closed} of {counted(count, noun)} open" if closed else counted(count, noun)


def too_long_in_words(long: TooLong) -> str:
    """How much longer play is than the time there is, and how many slots fit."""
    fit = f"{long.fit} of {counted(long.slots, 'slot')} fit{'s' if long.fit == 1 else ''}"
    return f"This takes {_minutes(long.takes)} minutes, and there are {_minutes(long.minutes)}: {fit}"


def length_in_words(record: ClassRecord, day: GamesDay | CircuitDay) -> str:
    """How much longer play is than the time its activity has; empty where it fits or nothing is known of the time."""
    long = too_long(record, day)
    return too_long_in_words(long) if long else ""


def _where(day: GamesDay | CircuitDay) -> str:
    return f"Lesson {day.lesson}, {day.activity}: " if day.lesson else ""


def minutes_in_all(timing: Timing, slots: int) -> str:
    """The minutes that slots take, in brackets; empty where they are not known."""
    if timing.play is None or not slots:
        return ""
    whole = Pacing(timing.play, timing.changeover).minutes_for(slots)
    change = f", {_minutes(timing.changeover)} to change" if timing.changeover else ""
    return f" ({_minutes(whole)} minutes: {_minutes(timing.play)} each{change})"


def _minutes(value: float) -> str:
    return f"{value:.3g}" if value < 100 else f"{value:.0f}"


def game_lines(day: GamesDay, after: int = 0) -> Iterator[str]:
    """A line for each slot after the one given: its games by court, who is on duty, and who waits."""
    for slot in range(after + 1, day.slots + 1):
        games = [fixture for fixture in day.fixtures if fixture.slot == slot]
        yield f"  slot {slot:>2}   " + "   ".join(_game(day, game) for game in games) + _waiting(day, games)
    yield from (
        f"  in slot {slot} team {_team(day, lender)} lends team {_team(day, team)} players"
        for slot, team, lender in day.loans
        if slot > after
    )


def _team(day: GamesDay, number: int) -> str:
    return day.teams[number - 1]


def _game(day: GamesDay, game: Fixture) -> str:
    duty = f" (duty {_team(day, game.duty)})" if game.duty is not None else ""
    return f"court {game.court}: {_team(day, game.home)} - {_team(day, game.away)}{duty}"


def _waiting(day: GamesDay, games: Sequence[Fixture]) -> str:
    busy = {team for game in games for team in (game.home, game.away, game.duty)} | set(day.setback.teams_out)
    waiting = [label for number, label in enumerate(day.teams, start=1) if number not in busy]
    return f"   waiting: {', '.join(waiting)}" if waiting else ""


def visit_lines(day: CircuitDay, after: int = 0) -> Iterator[str]:
    """A line for each slot after the one given: the groups at each station, and who waits."""
    for slot in range(after + 1, day.last_slot + 1):
        yield f"  slot {slot:>2}   " + "   ".join(_stations(day, slot)) + _without_station(day, slot)


def _stations(day: CircuitDay, slot: int) -> Iterator[str]:
    for station in range(1, len(day.stations) + 1):
        here = [day.groups[group - 1] for at, place, group in day.visits if (at, place) == (slot, station)]
        if here:
            yield f"station {station}: {listed(here)}"


def _without_station(day: CircuitDay, slot: int) -> str:
    busy = {group for at, _, group in day.visits if at == slot}
    waiting = [label for number, label in enumerate(day.groups, start=1) if number not in busy]
    return f"   waiting: {', '.join(waiting)}" if waiting else ""


def result_in_words(day: GamesDay, game: Fixture) -> str:
    """The result of a game: what decides it, then what made it up, and what is added in the table alone.

    Raises
    ------
    ValueError
        It has none.
    """
    if game.score is None:
        raise ValueError("a game without a score has no result")
    score = game.score
    sides = (
        (game.home, score.home, score.home_lost, score.home_bonus, score.home_penalty),
        (game.away, score.away, score.away_lost, score.away_bonus, score.away_penalty),
    )
    extras = [text for team, *points in sides for text in _extras(_team(day, team), *points)]
    teams = f"team {_team(day, game.home)} - team {_team(day, game.away)}"
    return f"Slot {game.slot}, court {game.court}: {teams} {in_figures(score)}{''.join(extras)}"


def in_figures(score: Score) -> str:
    """What decides a game, in figures.

    >>> in_figures(Score(12, 9, home_lost=4)), in_figures(Score(1, 2, home_lost=3))
    ('8:9', '-2:2')
    """
    return ":".join(map(str, score.net))


def _extras(team: str, won: float, lost: float, bonus: float, penalty: float) -> Iterator[str]:
    if lost:
        yield f", team {team} won {won:g} and lost {lost:g} in play"
    if bonus:
        yield f", team {team} +{bonus:g} in the table"
    if penalty:
        yield f", team {team} -{penalty:g} in the table"
