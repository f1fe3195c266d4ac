"""The result of a game is entered, corrected or taken out, and stays with those who played."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.games.days.groups import goes_with, round_of, team_meant
from grouper.model.play import Assignment, Event, Score
from grouper.model.record import ClassRecord
from grouper.words import Remedy


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
    game = _game(event, one.team, other.team, slot)
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
    if len(games) != 1:
        raise _unclear("teams {one} and {other} have {count:result}", one, other, games)
    return event.with_assignment(replace(games[0], score=None, lineup=())), games[0]


def held(record: ClassRecord, event: Event) -> ClassRecord:
    """The record with this event in the place of the one before, after scores were entered or taken out.

    Each new score remembers who was in the two teams, and where there is any the round is pinned whose groups play, so
    that planning anew makes no other teams of it. A score of teams that are not there any more remembers nobody.
    """
    round_ = round_of(record, event)
    there = round_ if round_ and goes_with(round_, event) else None
    members = {group.label: group.members for group in there.groups} if there else {}

    def with_lineup(game: Assignment) -> Assignment:
        if game.score is None or game.lineup:
            return game if game.score else replace(game, lineup=())
        sides = tuple(members.get(event.label(team), ()) for team in game.teams)
        return replace(game, lineup=sides if all(sides) else ())

    kept = record.with_event(replace(event, assignments=tuple(map(with_lineup, event.assignments))))
    if round_ is None or not event.scored:
        return kept
    return replace(kept, plan=kept.plan.with_rounds({round_.key: replace(round_, pinned=True)}))


def _game(event: Event, one: str, other: str, slot: int | None) -> Assignment:
    games = _between(event, one, other, slot)
    if not games:
        at = f" in slot {slot}" if slot is not None else ""
        raise InputError(
            "teams {one} and {other} do not meet{at}",
            "team {one} plays {opponents}",
            one=one,
            other=other,
            at=at,
            opponents=_opponents(event, one),
        )
    still_open = [game for game in games if not game.score]
    if not still_open and len(games) > 1:
        raise _unclear("teams {one} and {other} have {count:result} already", one, other, games)
    return (still_open or games)[0]


def _between(event: Event, one: str, other: str, slot: int | None) -> list[Assignment]:
    pair = {team_meant(event, label) for label in (one, other)}
    if len(pair) == 1:
        raise InputError("team {one} cannot play itself", "enter two different teams", one=one)
    return [game for game in event.assignments if set(game.teams) == pair and slot in (None, game.slot)]


def _unclear(text: str, one: str, other: str, games: list[Assignment]) -> InputError:
    remedy = Remedy.CHOOSE_SLOT if games else ""
    slots = tuple(game.slot for game in games)
    return InputError(text, remedy, one=one, other=other, count=len(games), slots=slots)


def _opponents(event: Event, label: str) -> str:
    team = team_meant(event, label)
    others = [
        f"{event.name(game.away if game.home == team else game.home)} (slot {game.slot})"
        for game in event.assignments
        if team in game.teams
    ]
    return ", ".join(others) or "nobody"
