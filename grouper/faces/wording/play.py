"""Games and stations in words: what was planned, how good it is beside its bound, and what to change."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from grouper.faces.wording.numbers import counted, listed
from grouper.games.capacity import CapacityLine, CapacityTask, capacity_lines
from grouper.games.measure import Measure
from grouper.games.pacing import Pacing
from grouper.games.whist import DoublesSchedule
from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import Fixture, GamesDay
from grouper.model.timing import Timing

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
    """One line on a day of games: teams, courts, games, slots and minutes."""
    teams, courts = counted(len(day.teams), "team"), counted(day.asked.courts, "court")
    games, slots = counted(len(day.fixtures), "game"), counted(day.slots, "slot")
    return f"{_where(day)}{teams}, {courts}: {games} in {slots}{minutes_in_all(day.timing, day.slots)}"


def circuit_heading(day: CircuitDay) -> str:
    """One line on a circuit: groups, stations, slots and minutes."""
    groups, stations = counted(len(day.groups), "group"), counted(len(day.stations), "station")
    slots = counted(day.last_slot, "slot")
    return f"{_where(day)}{groups}, {stations}: {slots}{minutes_in_all(day.timing, day.last_slot)}"


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
    """A line for each slot after the one given: the groups at each station."""
    for slot in range(after + 1, day.last_slot + 1):
        yield f"  slot {slot:>2}   " + "   ".join(_stations(day, slot))


def _stations(day: CircuitDay, slot: int) -> Iterator[str]:
    for station in range(1, len(day.stations) + 1):
        here = [day.groups[group - 1] for at, place, group in day.visits if (at, place) == (slot, station)]
        if here:
            yield f"station {station}: {listed(here)}"


def capacity_in_words(task: CapacityTask) -> Iterator[str]:
    """Who is active for each way of using the courts, and what to do so that nobody waits."""
    lines = capacity_lines(task)
    yield f"Who is active, of {counted(task.students, 'student')}:"
    yield from (f"  {_capacity(line)}" for line in lines)
    best = min(lines, key=lambda line: (line.waiting, -line.playing))
    if lines[0].waiting:
        fewest = "Nobody waits" if not best.waiting else f"Fewest wait ({best.waiting})"
        yield f"{fewest} if you do this: {best.change}."


def _capacity(line: CapacityLine) -> str:
    duty = f", {line.on_duty} on duty" if line.on_duty else ""
    waits = f"{line.waiting} wait" if line.waiting else "nobody waits"
    return f"{line.choice:<14} {line.active_share:>4.0%} play{duty}, {waits}: {line.change}"


def team_capacity(day: GamesDay) -> Iterator[str]:
    """How many teams are busy at a time, and what to change to have none wait, where nothing is known of students."""
    setback, helped = day.setback, day.asked.duty != "none"
    teams, courts = len(day.teams) - len(setback.teams_out), day.asked.courts - len(setback.courts_closed)
    playing = 2 * min(courts, teams // 2)
    waiting = _teams_waiting(teams, courts, helped)
    yield f"At a time {playing} of {teams} teams play, {teams - playing - waiting} on duty, {waiting} waiting."
    if waiting:
        yield f"Nobody waits {_way_out(teams, helped)}."


def _teams_waiting(teams: int, courts: int, helped: bool) -> int:
    """Teams that neither play nor have a duty in a full slot."""
    games = min(courts, teams // 2)
    return max(0, teams - (3 if helped else 2) * games)


def _way_out(teams: int, helped: bool) -> str:
    enough = next((c for c in range(1, teams + 1) if not _teams_waiting(teams, c, helped)), None)
    if enough is not None:
        return f"with {counted(enough, 'court')}: play across on half courts, with smaller sides"
    fewest = next(c for c in range(1, teams + 1) if not _teams_waiting(teams, c, True))
    return f"with {counted(fewest, 'court')} and the team left over on duty"


def result_in_words(day: GamesDay, game: Fixture) -> str:
    """The result of a game.

    Raises
    ------
    ValueError
        It has none.
    """
    if game.score is None:
        raise ValueError("a game without a score has no result")
    score = game.score
    sides = (
        (game.home, score.home_bonus, score.home_penalty),
        (game.away, score.away_bonus, score.away_penalty),
    )
    extras = [text for team, bonus, penalty in sides for text in _extras(_team(day, team), bonus, penalty)]
    teams = f"team {_team(day, game.home)} - team {_team(day, game.away)}"
    return f"Slot {game.slot}, court {game.court}: {teams} {score.home}:{score.away}{''.join(extras)}"


def _extras(team: str, bonus: float, penalty: float) -> Iterator[str]:
    if bonus:
        yield f", team {team} +{bonus:g}"
    if penalty:
        yield f", team {team} -{penalty:g}"


def doubles_heading(schedule: DoublesSchedule, timing: Timing) -> str:
    """One line on a 2v2 rotation: players, courts, games, slots and minutes."""
    players, courts = counted(schedule.players, "player"), counted(schedule.courts, "court")
    games, slots = counted(len(schedule.games), "game"), counted(schedule.slots, "slot")
    return f"Two against two, {players}, {courts}: {games} in {slots}{minutes_in_all(timing, schedule.slots)}"


def doubles_lines(schedule: DoublesSchedule) -> Iterator[str]:
    """A line for each slot: its games by court, and who rests."""
    for slot in range(1, schedule.slots + 1):
        games = [game for game in schedule.games if game.slot == slot]
        sides = (f"court {g.court}: {g.home[0]}+{g.home[1]} - {g.away[0]}+{g.away[1]}" for g in games)
        resting = ", ".join(map(str, schedule.resting(slot)))
        yield f"  slot {slot:>2}   " + "   ".join(sides) + (f"   resting: {resting}" if resting else "")
