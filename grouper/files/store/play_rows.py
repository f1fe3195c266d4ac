"""Games and stations of a class record as rows of the tables of a class file, and back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from grouper.errors import InputError
from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import Fixture, GamesAsked, GamesDay, Score, Setback
from grouper.model.record import ClassRecord
from grouper.model.timing import Timing

Row = tuple[Any, ...]

OUT = "out"
SHORT = "short"


def play_rows(record: ClassRecord, keys: Mapping[str, int]) -> dict[str, list[Row]]:
    """The rows of all tables on play; ``keys`` are the internal numbers of students by id.

    Raises
    ------
    InputError
        An activity has two days of games, or two circuits.
    """
    _refuse_doubles(record)
    games, circuits = record.games, record.circuits
    return {
        "games": [_games(day) for day in games],
        "team": _sorted(row for day in games for row in _teams(day)),
        "closed_court": _sorted((*day.key, court) for day in games for court in day.setback.courts_closed),
        "game": _sorted((*day.key, f.slot, f.court, f.home, f.away, f.duty) for day in games for f in day.fixtures),
        "loan": _sorted((*day.key, *loan) for day in games for loan in day.loans),
        "result": _sorted(row for day in games for row in _results(day)),
        "lineup": sorted(row for day in games for row in _lineups(day, keys)),
        "circuit": [_circuit(day) for day in circuits],
        "station": _sorted(row for day in circuits for row in _stations(day)),
        "circuit_group": _sorted((*day.key, *group) for day in circuits for group in enumerate(day.groups, start=1)),
        "visit": _sorted((*day.key, *visit) for day in circuits for visit in day.visits),
    }


def _refuse_doubles(record: ClassRecord) -> None:
    for what, days in (("days of games", record.games), ("circuits", record.circuits)):
        keys = [day.key for day in days]
        if keys != sorted(set(keys)):
            raise InputError(f"the {what} are out of order, or an activity has two")


def _sorted(rows: Iterable[Row]) -> list[Row]:
    """Rows as the tables keep them; the texts and numbers of primary keys are never None."""
    return sorted(rows, key=lambda row: tuple(row[:5]))


def _games(day: GamesDay) -> Row:
    asked = day.asked
    return (
        *day.key,
        day.round,
        asked.courts,
        asked.legs,
        asked.slots,
        asked.order,
        asked.duty,
        *_timing(day.timing),
        day.draw,
        day.played,
        day.setback.slots_left,
    )


def _timing(timing: Timing) -> tuple[float | None, float]:
    return None if timing.play is None else float(timing.play), float(timing.changeover)


def _teams(day: GamesDay) -> Iterator[Row]:
    states = dict.fromkeys(day.setback.teams_short, SHORT) | dict.fromkeys(day.setback.teams_out, OUT)
    for number, label in enumerate(day.teams, start=1):
        yield (*day.key, number, label, states.get(number, ""))


def _results(day: GamesDay) -> Iterator[Row]:
    for fixture in day.fixtures:
        if fixture.score is not None:
            score = fixture.score
            extras = (score.home_bonus, score.away_bonus, score.home_penalty, score.away_penalty)
            lost = (score.home_lost, score.away_lost)
            yield (*day.key, fixture.slot, fixture.court, score.home, score.away, *map(float, extras), *lost)


def _lineups(day: GamesDay, keys: Mapping[str, int]) -> Iterator[Row]:
    for game in day.fixtures:
        for team, members in zip((game.home, game.away), game.lineup, strict=False):
            for place, student in enumerate(members, start=1):
                yield (*day.key, game.slot, game.court, team, place, keys[student])


def _circuit(day: CircuitDay) -> Row:
    return (*day.key, day.round, day.slots, day.order, *_timing(day.timing), day.method, day.played)


def _stations(day: CircuitDay) -> Iterator[Row]:
    for number, name in enumerate(day.stations, start=1):
        yield (*day.key, number, name, int(number in day.closed))


Tables = Mapping[str, list[Row]]
ByDay = dict[Row, list[Row]]


PARTS = ("team", "closed_court", "game", "loan", "result", "lineup")


def games_of(tables: Tables, ids: Mapping[int, str]) -> tuple[GamesDay, ...]:
    """The days of games that rows hold, in order of lesson and activity."""
    parts = {name: _by_day(tables[name]) for name in PARTS}
    return tuple(
        _games_day(row, {name: rows.get(row[:2], []) for name, rows in parts.items()}, ids) for row in tables["games"]
    )


def _by_day(rows: Iterable[Row]) -> ByDay:
    """The rows of each day, without lesson and activity."""
    days: ByDay = defaultdict(list)
    for row in rows:
        days[row[:2]].append(row[2:])
    return days


def _games_day(row: Row, parts: dict[str, list[Row]], ids: Mapping[int, str]) -> GamesDay:
    lesson, activity, round_, courts, legs, slots, order, duty, play, changeover, draw, played, slots_left = row
    scores = {result[:2]: Score(*result[2:]) for result in parts["result"]}
    sides: dict[Row, list[str]] = defaultdict(list)
    for slot, court, team, _, student in parts["lineup"]:
        sides[(slot, court, team)].append(ids[student])
    return GamesDay(
        lesson,
        activity,
        round_,
        tuple(label for _, label, _ in parts["team"]),
        GamesAsked(courts, legs, slots, order, duty),
        tuple(_fixture(game, scores.get(game[:2]), sides) for game in parts["game"]),
        Timing(play, changeover),
        draw,
        played,
        Setback(
            tuple(court for (court,) in parts["closed_court"]),
            tuple(number for number, _, state in parts["team"] if state == OUT),
            tuple(number for number, _, state in parts["team"] if state == SHORT),
            slots_left,
        ),
        tuple((slot, team, lender) for slot, team, lender in parts["loan"]),
    )


def _fixture(row: Row, score: Score | None, sides: Mapping[Row, list[str]]) -> Fixture:
    slot, court, home, away, duty = row
    lineup = tuple(tuple(sides.get((slot, court, team), ())) for team in (home, away))
    return Fixture(slot, court, home, away, duty, score, lineup if any(lineup) else ())


def circuits_of(tables: Tables) -> tuple[CircuitDay, ...]:
    """The circuits that rows hold, in order of lesson and activity."""
    parts = {name: _by_day(tables[name]) for name in ("station", "circuit_group", "visit")}
    return tuple(
        _circuit_day(row, {name: rows.get(row[:2], []) for name, rows in parts.items()}) for row in tables["circuit"]
    )


def _circuit_day(row: Row, parts: dict[str, list[Row]]) -> CircuitDay:
    lesson, activity, round_, slots, order, play, changeover, method, played = row
    return CircuitDay(
        lesson,
        activity,
        round_,
        tuple(label for _, label in parts["circuit_group"]),
        tuple(name for _, name, _ in parts["station"]),
        tuple((slot, station, group) for slot, station, group in parts["visit"]),
        slots,
        order,
        Timing(play, changeover),
        method,
        played,
        tuple(number for number, _, closed in parts["station"] if closed),
    )
