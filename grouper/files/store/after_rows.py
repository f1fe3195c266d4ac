"""What was noted, seen and learnt after lessons, ladders of tasks and earlier units, as rows, and back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import repeat
from typing import Any

from grouper.errors import InputError
from grouper.model.chosen_step import ChosenStep
from grouper.model.ladder import Ladder, Step
from grouper.model.learnt import Learnt
from grouper.model.note import Note
from grouper.model.past import PastRound
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.model.task_result import TaskResult
from grouper.model.unit import RoundKey

Row = tuple[Any, ...]
Tables = Mapping[str, list[Row]]


def after_rows(record: ClassRecord, keys: Mapping[str, int]) -> dict[str, list[Row]]:
    """The rows of these tables; ``keys`` are the internal numbers of students by id.

    Raises
    ------
    InputError
        A note, a result, a chosen step, a learnt rating or a past round is given twice, or out of order.
    """
    _refuse_doubles(record)
    return {
        "note": [(note.lesson, note.place, note.text) for note in record.notes],
        "task_result": [(*r.key, r.label, r.felt, r.hits, r.tries, r.step) for r in record.results],
        "chosen_step": [(*chosen.key, chosen.label, chosen.step) for chosen in record.chosen_steps],
        "chosen_for": [
            (*chosen.key, chosen.label, place, keys[student])
            for chosen in record.chosen_steps
            for place, student in enumerate(chosen.members, start=1)
        ],
        "ladder": [(place, ladder.activity) for place, ladder in enumerate(record.ladders, start=1)],
        "ladder_step": list(_steps(record)),
        "learnt": sorted(_learnt(learnt, keys) for learnt in record.learnt),
        "past_round": [(r.unit, *r.key, r.date, r.activity, int(r.in_pairs)) for r in record.past],
        "past_group": [(*where, group.label) for where, group in _past_groups(record)],
        "past_seat": list(_past_seats(record, keys)),
    }


def _refuse_doubles(record: ClassRecord) -> None:
    whats: tuple[tuple[str, list[Row]], ...] = (
        ("notes", [(note.lesson, note.place) for note in record.notes]),
        ("results", [(result.key, result.label) for result in record.results]),
        ("chosen steps", [(chosen.key, chosen.label) for chosen in record.chosen_steps]),
        ("rounds of earlier units", [(round_.unit, round_.key) for round_ in record.past]),
    )
    for what, keys in whats:
        if keys != sorted(set(keys)):
            raise InputError(f"the {what} are out of order, or one appears twice")
    if len({(learnt.student, learnt.strand) for learnt in record.learnt}) < len(record.learnt):
        raise InputError("a learnt rating appears twice")


def _steps(record: ClassRecord) -> Iterator[Row]:
    for number, ladder in enumerate(record.ladders, start=1):
        for place, step in enumerate(ladder.steps, start=1):
            yield number, place, step.along, step.task


def _learnt(learnt: Learnt, keys: Mapping[str, int]) -> Row:
    guess = None if learnt.guess is None else float(learnt.guess)
    return keys[learnt.student], learnt.strand, guess, float(learnt.value), learnt.through, learnt.since


def _past_groups(record: ClassRecord) -> Iterator[tuple[Row, Group]]:
    for round_ in record.past:
        for place, group in enumerate(round_.groups, start=1):
            yield (round_.unit, *round_.key, place), group


def _past_seats(record: ClassRecord, keys: Mapping[str, int]) -> Iterator[Row]:
    for where, group in _past_groups(record):
        roles = group.roles or repeat(None)
        for place, (student, role) in enumerate(zip(group.members, roles, strict=False), start=1):
            yield *where, place, keys[student], role


def notes_of(tables: Tables) -> tuple[Note, ...]:
    """The notes that rows hold."""
    return tuple(Note(*row) for row in tables["note"])


def results_of(tables: Tables) -> tuple[TaskResult, ...]:
    """How tasks went."""
    return tuple(TaskResult(RoundKey(*row[:3]), *row[3:]) for row in tables["task_result"])


def chosen_steps_of(tables: Tables, ids: Mapping[int, str]) -> tuple[ChosenStep, ...]:
    """The steps of tasks that the teacher chose, and for whom."""
    members: dict[Row, list[str]] = defaultdict(list)
    for row in tables["chosen_for"]:
        members[row[:4]].append(ids[row[5]])
    return tuple(
        ChosenStep(RoundKey(*row[:3]), row[3], row[4], tuple(members.get(row[:4], ()))) for row in tables["chosen_step"]
    )


def ladders_of(tables: Tables) -> tuple[Ladder, ...]:
    """The ladders of tasks."""
    steps: dict[int, list[Step]] = defaultdict(list)
    for ladder, _, along, task in tables["ladder_step"]:
        steps[ladder].append(Step(along, task))
    return tuple(Ladder(activity, tuple(steps[place])) for place, activity in tables["ladder"])


def learnt_of(tables: Tables, ids: Mapping[int, str]) -> tuple[Learnt, ...]:
    """The ratings that were learnt."""
    return tuple(Learnt(ids[student], *rest) for student, *rest in tables["learnt"])


def past_of(tables: Tables, ids: Mapping[int, str]) -> tuple[PastRound, ...]:
    """The rounds of earlier units."""
    seats: dict[Row, list[Row]] = defaultdict(list)
    for row in tables["past_seat"]:
        seats[row[:5]].append(row[6:])
    groups: dict[Row, list[Group]] = defaultdict(list)
    for *where, label in tables["past_group"]:
        groups[tuple(where[:4])].append(_group(label, seats.get(tuple(where), []), ids))
    return tuple(
        PastRound(unit, RoundKey(*key), date, name, bool(in_pairs), tuple(groups[(unit, *key)]))
        for unit, *key, date, name, in_pairs in tables["past_round"]
    )


def _group(label: str, seats: list[Row], ids: Mapping[int, str]) -> Group:
    roles = tuple(role for _, role in seats if role is not None)
    return Group(label, tuple(ids[student] for student, _ in seats), roles)
