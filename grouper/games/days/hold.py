"""Groups that have begun to play stay as they are, and a score stays with those who played."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from grouper.games.days.keep import with_games
from grouper.games.days.stale import goes_with, round_of
from grouper.model.games_day import Fixture, GamesDay
from grouper.model.record import ClassRecord


def held(record: ClassRecord, day: GamesDay) -> ClassRecord:
    """The record with this day in the place of the one before, after scores were entered or taken out.

    Each new score remembers who was in the two teams, and where there is any the round is pinned whose groups play, so
    that planning anew makes no other teams of it. A score of teams that are not there any more remembers nobody.
    """
    round_ = round_of(record, day)
    there = round_ is not None and goes_with(round_, day.teams)
    teams = {group.label: group.members for group in round_.groups} if round_ and there else {}
    kept = with_games(record, replace(day, fixtures=tuple(_with_lineup(day, one, teams) for one in day.fixtures)))
    if round_ is None or not day.scored:
        return kept
    return replace(kept, plan=kept.plan.with_rounds({round_.key: replace(round_, pinned=True)}))


def _with_lineup(day: GamesDay, game: Fixture, teams: Mapping[str, tuple[str, ...]]) -> Fixture:
    if game.score is None:
        return replace(game, lineup=())
    if game.lineup:
        return game
    sides = tuple(teams.get(day.teams[team - 1], ()) for team in (game.home, game.away))
    return replace(game, lineup=sides if all(sides) else ())
