"""Groups that have begun to play stay as they are."""

from __future__ import annotations

from dataclasses import replace

from grouper.games.days.stale import round_of
from grouper.model.games_day import GamesDay
from grouper.model.record import ClassRecord


def held(record: ClassRecord, day: GamesDay) -> ClassRecord:
    """The record with the round pinned whose groups play, so that planning anew makes no other teams of it."""
    round_ = round_of(record, day)
    if round_ is None:
        return record
    return replace(record, plan=record.plan.with_rounds({round_.key: replace(round_, pinned=True)}))
