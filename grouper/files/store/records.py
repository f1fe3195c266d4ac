"""The class record that rows of a class file hold."""

from __future__ import annotations

from collections import defaultdict

from grouper.files.scale import scale_of
from grouper.files.store.after_rows import chosen_steps_of, ladders_of, learnt_of, notes_of, past_of, results_of
from grouper.files.store.play_rows import circuits_of, games_of
from grouper.files.store.rows import Row, Rows
from grouper.files.store.schema import NOW, PLANNED, RAN
from grouper.model.attendance import Absence
from grouper.model.held import held_up_to
from grouper.model.plan import Group, Plan, Round
from grouper.model.points import Points
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.model.settings import Settings
from grouper.model.unit import Activity, Lesson, RoundKey, Unit


def record_of(rows: Rows) -> ClassRecord:
    """The record that these rows hold, the tables read in the order of their primary keys.

    Raises
    ------
    InputError, KeyError, TypeError, ValueError
        The rows were not written by grouper or are damaged.
    """
    ids = {row[0]: row[2] for row in rows["student"]}
    settings = _settings(rows)
    record = ClassRecord(
        roster=_roster(rows),
        unit=_unit(rows),
        requests=tuple(
            Request(kind, ids[student], ids[other], first, last)
            for _, kind, student, other, first, last in rows["request"]
        ),
        absences=tuple(
            Absence(lesson, ids[student], state, since, role, until)
            for _, lesson, student, state, since, role, until in rows["absence"]
        ),
        plan=_plan(rows, ids),
        taught=frozenset(lesson for (lesson,) in rows["taught"]),
        seed=int(settings["seed"]),
        settings=Settings(
            settings["prefer"],
            settings["closeness"],
            float(settings["half-life"]),
            float(settings["success"]),
            scale_of(settings["scale"]),
        ),
        games=games_of(rows, ids),
        circuits=circuits_of(rows),
        points=_points(settings),
        notes=notes_of(rows),
        results=results_of(rows),
        chosen_steps=chosen_steps_of(rows, ids),
        ladders=ladders_of(rows),
        learnt=learnt_of(rows, ids),
        past=past_of(rows, ids),
    )
    for lesson, after, rest_in in rows["ended"]:
        record = held_up_to(record, lesson, after, rest_in)
    return record


def _settings(rows: Rows) -> dict[str, str]:
    return dict(rows["setting"])


def _points(settings: dict[str, str]) -> Points:
    win, draw, loss = (float(settings[name]) for name in ("win", "draw", "loss"))
    return Points(win, draw, loss, tuple(filter(None, settings["tie-breaks"].split(","))))


def _roster(rows: Rows) -> Roster:
    ratings: dict[int, dict[str, float]] = {row[0]: {} for row in rows["student"]}
    for key, strand, value in rows["rating"]:
        ratings[key][strand] = value
    students = tuple(
        Student(student, name, ratings[key], size_band, availability, first, last)
        for key, _, student, name, size_band, availability, first, last in sorted(rows["student"], key=_place)
    )
    return Roster(students, tuple(name for _, name in rows["strand"]))


def _place(student: Row) -> int:
    place: int = student[1]
    return place


def _unit(rows: Rows) -> Unit:
    activities: dict[int, list[Activity]] = {number: [] for number, _ in rows["lesson"]}
    for lesson, _, *values in rows["activity"]:
        activities[lesson].append(Activity(*values))
    return Unit(tuple(Lesson(number, tuple(activities[number]), date) for number, date in rows["lesson"]))


def _plan(rows: Rows, ids: dict[int, str]) -> Plan:
    groups = _groups(rows, ids)
    rounds = (
        Round(
            RoundKey(*key),
            tuple(groups[(*key, NOW)]),
            tuple(groups[(*key, NOW if as_planned else PLANNED)]),
            bool(pinned),
            pinned == RAN,
        )
        for *key, _, pinned, as_planned in sorted(rows["round"], key=lambda row: row[3])
    )
    return Plan(tuple(rounds))


def _groups(rows: Rows, ids: dict[int, str]) -> dict[Row, list[Group]]:
    """The groups of each layer of each round, in order."""
    members: dict[Row, list[str]] = defaultdict(list)
    roles: dict[Row, list[str]] = defaultdict(list)
    for row in rows["seat"]:
        where = row[:5]
        members[where].append(ids[row[6]])
        if row[7] is not None:
            roles[where].append(row[7])
    groups: dict[Row, list[Group]] = defaultdict(list)
    for row in rows["group"]:
        where = row[:5]
        groups[row[:4]].append(Group(row[5], tuple(members.get(where, ())), tuple(roles.get(where, ()))))
    return groups
