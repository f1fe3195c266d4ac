"""Other ids for the same people, wherever a record names them."""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import replace
from itertools import count

from grouper.model.games_day import Fixture
from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster


def with_ids(record: ClassRecord, ids: Mapping[str, str]) -> ClassRecord:
    """The record in which students go by other ids (old to new, all at once); everything that is theirs follows them.

    Raises
    ------
    InputError
        Two students would have one id.
    """
    if all(old == new for old, new in ids.items()):
        return record

    def now(student: str) -> str:
        return ids.get(student, student)

    def groups(each: tuple[Group, ...]) -> tuple[Group, ...]:
        return tuple(replace(group, members=tuple(map(now, group.members))) for group in each)

    def round_(each: Round) -> Round:
        return replace(each, groups=groups(each.groups), planned=groups(each.planned))

    def lineup(game: Fixture) -> Fixture:
        return replace(game, lineup=tuple(tuple(map(now, side)) for side in game.lineup))

    absences = (replace(absence, student=now(absence.student)) for absence in record.absences)
    return replace(
        record,
        roster=replace(record.roster, students=tuple(replace(s, id=now(s.id)) for s in record.roster.students)),
        requests=tuple(replace(r, student=now(r.student), other=now(r.other)) for r in record.requests),
        absences=tuple(sorted(absences, key=lambda a: (a.lesson, a.student, a.since))),
        plan=Plan(tuple(map(round_, record.plan.rounds))),
        games=tuple(replace(day, fixtures=tuple(map(lineup, day.fixtures))) for day in record.games),
        chosen_steps=tuple(replace(step, members=tuple(map(now, step.members))) for step in record.chosen_steps),
        learnt=tuple(replace(learnt, student=now(learnt.student)) for learnt in record.learnt),
        past=tuple(replace(past, groups=groups(past.groups)) for past in record.past),
    )


def as_called_in(record: ClassRecord, roster: Roster) -> ClassRecord:
    """The record with the ids that the same students have in another roster of the class, from before or after.

    Students keep their places in a roster whatever becomes of them, and who is new stands at the end.
    """
    pairs = list(zip(record.roster.students, roster.students, strict=False))
    ids = {one.id: other.id for one, other in pairs}
    taken = set(ids.values())
    for student in record.roster.students[len(pairs) :]:
        ids[student.id] = free_id(student.id, taken)
        taken.add(ids[student.id])
    return with_ids(record, ids)


def free_id(wanted: str, taken: Container[str]) -> str:
    """The id that is wanted, or one that says whose it was where another student has it."""
    if wanted not in taken:
        return wanted
    names = (f"was {wanted}" + (f" ({number})" if number > 1 else "") for number in count(1))
    return next(name for name in names if name not in taken)
