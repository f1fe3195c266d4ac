"""What was noted of groups, once a round was put right: it follows the people, to their label and to who they were."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TypeVar

from grouper.model.chosen_step import ChosenStep
from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import Fixture, GamesDay
from grouper.model.plan import Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.task_result import TaskResult
from grouper.model.unit import RoundKey

OfGroup = TypeVar("OfGroup", TaskResult, ChosenStep)
Spot = tuple[RoundKey, str]
"""A group: its round and its label."""

People = frozenset[str]


def following(record: ClassRecord, before: Plan) -> ClassRecord:
    """The record whose rounds were put right since ``before``, with results, choices, games and stations of its people.

    A group that only got another label takes what was noted of it along, and plays on under that label. A choice, and a
    score whose two teams stood as in ``before``, are of those who stand in the groups now.
    """
    labels = _new_labels(record.plan, before)
    chosen = _relabelled(record.chosen_steps, labels)
    return replace(
        record,
        results=_relabelled(record.results, labels),
        chosen_steps=tuple(_for_those_now(record.plan, before, one) for one in chosen),
        games=tuple(_with_people(record, day, before, labels) for day in record.games),
        circuits=tuple(_with_labels(record, circuit, labels) for circuit in record.circuits),
    )


def _new_labels(now: Plan, before: Plan) -> dict[Spot, str]:
    found: dict[Spot, str] = {}
    for round_ in _put_right(now, before):
        labels = {frozenset(group.members): group.label for group in round_.groups}
        for group in before.by_key[round_.key].groups:
            label = labels.get(frozenset(group.members), group.label)
            if label != group.label:
                found[(round_.key, group.label)] = label
    return found


def _put_right(now: Plan, before: Plan) -> list[Round]:
    known = before.by_key
    return [round_ for round_ in now.rounds if round_.key in known and known[round_.key].groups != round_.groups]


def _relabelled(noted: tuple[OfGroup, ...], labels: Mapping[Spot, str]) -> tuple[OfGroup, ...]:
    """In order, and one a group: what followed its people goes before what stood at that label."""
    moved = {(one.key, labels.get((one.key, one.label), "")): one for one in noted}
    stayed = {(one.key, one.label): one for one in noted if (one.key, one.label) not in labels}
    found = {**stayed, **{spot: replace(one, label=spot[1]) for spot, one in moved.items() if spot[1]}}
    return tuple(found[spot] for spot in sorted(found))


def _for_those_now(now: Plan, before: Plan, chosen: ChosenStep) -> ChosenStep:
    """The choice for those who are in the group as it was put right; as it was where the round was not."""
    if chosen.key not in {round_.key for round_ in _put_right(now, before)}:
        return chosen
    members = _members(now.by_key[chosen.key]).get(chosen.label, ())
    return replace(chosen, members=members or chosen.members)


def _with_people(record: ClassRecord, day: GamesDay, before: Plan, labels: Mapping[Spot, str]) -> GamesDay:
    key = record.unit.key_of(day.lesson, day.activity, day.round)
    known, now = (plan.by_key.get(key) if key else None for plan in (before, record.plan))
    if key is None or known is None or now is None or known.groups == now.groups:
        return day
    standing = _members(now)
    people = {
        frozenset(group.members): standing.get(labels.get((key, group.label), group.label), ())
        for group in known.groups
    }
    fixtures = tuple(_of_those(game, people) for game in day.fixtures)
    return replace(day, teams=tuple(labels.get((key, team), team) for team in day.teams), fixtures=fixtures)


def _of_those(game: Fixture, people: Mapping[People, tuple[str, ...]]) -> Fixture:
    """The game with the people who really played; a team that was not there at all has nobody."""
    return replace(game, lineup=tuple(people.get(frozenset(side), side) for side in game.lineup))


def _with_labels(record: ClassRecord, circuit: CircuitDay, labels: Mapping[Spot, str]) -> CircuitDay:
    key = record.unit.key_of(circuit.lesson, circuit.activity, circuit.round)
    groups = tuple(labels.get((key, group), group) for group in circuit.groups) if key else circuit.groups
    return replace(circuit, groups=groups)


def _members(round_: Round) -> dict[str, tuple[str, ...]]:
    return {group.label: group.members for group in round_.groups}
