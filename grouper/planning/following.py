"""What was noted of groups, once a round was put right: it follows the people, to their label and to who they were."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TypeVar

from grouper.model.chosen_step import ChosenStep
from grouper.model.games_day import Fixture, GamesDay
from grouper.model.plan import Plan
from grouper.model.record import ClassRecord
from grouper.model.task_result import TaskResult
from grouper.model.unit import RoundKey

OfGroup = TypeVar("OfGroup", TaskResult, ChosenStep)
Spot = tuple[RoundKey, str]
"""A group: its round and its label."""

People = frozenset[str]


def following(record: ClassRecord, before: Plan) -> ClassRecord:
    """The record whose rounds were put right since ``before``, with results, choices and scores of the same people.

    A group that only got another label takes what was noted of it along. A score whose two teams stood as in
    ``before`` is of those who stand in them now.
    """
    labels = _new_labels(record.plan, before)
    return replace(
        record,
        results=_relabelled(record.results, labels),
        chosen_steps=_relabelled(record.chosen_steps, labels),
        games=tuple(_with_lineups(record, day, before) for day in record.games),
    )


def _new_labels(now: Plan, before: Plan) -> dict[Spot, str]:
    found: dict[Spot, str] = {}
    for round_ in now.rounds:
        known = before.by_key.get(round_.key)
        if known is not None and known.groups != round_.groups:
            labels = {frozenset(group.members): group.label for group in round_.groups}
            for group in known.groups:
                label = labels.get(frozenset(group.members), group.label)
                if label != group.label:
                    found[(round_.key, group.label)] = label
    return found


def _relabelled(noted: tuple[OfGroup, ...], labels: Mapping[Spot, str]) -> tuple[OfGroup, ...]:
    """In order, and one a group: what followed its people goes before what stood at that label."""
    moved = {(one.key, labels.get((one.key, one.label), "")): one for one in noted}
    stayed = {(one.key, one.label): one for one in noted if (one.key, one.label) not in labels}
    found = {**stayed, **{spot: replace(one, label=spot[1]) for spot, one in moved.items() if spot[1]}}
    return tuple(found[spot] for spot in sorted(found))


def _with_lineups(record: ClassRecord, day: GamesDay, before: Plan) -> GamesDay:
    key = record.unit.key_of(day.lesson, day.activity, day.round)
    known, now = (plan.by_key.get(key) if key else None for plan in (before, record.plan))
    if known is None or now is None or known.groups == now.groups:
        return day
    labels = {group.label: group.members for group in now.groups}
    people = {frozenset(group.members): labels.get(group.label, ()) for group in known.groups}
    return replace(day, fixtures=tuple(_of_those(game, people) for game in day.fixtures))


def _of_those(game: Fixture, people: Mapping[People, tuple[str, ...]]) -> Fixture:
    return replace(game, lineup=tuple(people.get(frozenset(side)) or side for side in game.lineup))
