"""What a class file keeps of a record: its parts, each with a table; the list is the door for another one.

``tests/store/test_class_file_parts.py`` says which line a new field or part needs in the migration of the next form.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

from grouper.errors import InputError
from grouper.files.cells import scale_of, scale_text
from grouper.files.store.codec import Coder, Reading, Writing, of_parts
from grouper.files.store.tables import KeptAs, Part, Row, Rows, Table
from grouper.model.held import held_up_to, whole
from grouper.model.plan import Group, Round
from grouper.model.play import Assignment, Points, Score
from grouper.model.record import ClassRecord, Unheld
from grouper.model.request import Settings
from grouper.model.tags import TAGS, Tag
from grouper.model.unit import RoundKey

# ---- what is kept in another form than it is in the record


@dataclass(frozen=True)
class KeptRound:
    """A round; ``pinned`` is 2 where it stands as it ran. Groups as planned are left out where they are those that
    stand, which halves the work of reading most files."""

    key: RoundKey
    pinned: int
    as_planned: bool
    groups: tuple[Group, ...]
    planned: tuple[Group, ...]


_RAN = 2


def _round_apart(of: Round) -> KeptRound:
    as_planned = of.groups == of.planned
    pinned = _RAN if of.ran else int(of.pinned)
    return KeptRound(of.key, pinned, as_planned, of.groups, () if as_planned else of.planned)


def _round_together(kept: KeptRound) -> Round:
    planned = kept.groups if kept.as_planned else kept.planned
    return Round(kept.key, kept.groups, planned, bool(kept.pinned), kept.pinned == _RAN)


@dataclass(frozen=True)
class KeptEnd:
    """A lesson that ended early: where, and what became of the rest; what was not held stands among all the others."""

    lesson: int
    after: int
    rest_in: int | None


def _end_apart(of: Unheld) -> KeptEnd:
    return KeptEnd(of.lesson, of.after, of.rest_in)


@dataclass(frozen=True)
class KeptPlayer:
    """Who played in a game for a team, by its number."""

    team: int
    place: int
    student: str


@dataclass(frozen=True)
class KeptAssignment:
    """Who is at a place in a slot, with whoever played in one table for both teams."""

    slot: int
    place: int
    teams: tuple[int, ...]
    duty: int | None
    score: Score | None
    lineup: tuple[KeptPlayer, ...]


def _assignment_apart(of: Assignment) -> KeptAssignment:
    players = (
        KeptPlayer(team, place, student)
        for team, members in zip(of.teams, of.lineup, strict=False)
        for place, student in enumerate(members, start=1)
    )
    return KeptAssignment(of.slot, of.place, of.teams, of.duty, of.score, tuple(players))


def _assignment_together(kept: KeptAssignment) -> Assignment:
    sides = (tuple(p.student for p in kept.lineup if p.team == team) for team in kept.teams)
    return Assignment(kept.slot, kept.place, kept.teams, kept.duty, kept.score, tuple(sides) if kept.lineup else ())


# ---- the parts

_ROUND = ("lesson", "activity", "round")

_SEATS = Part("seat", "members", columns=("student", "role"), beside="roles", filled=True)

PARTS = (
    Part(
        "student",
        "roster.students",
        key=("key",),
        number_of="id",
        placed=True,
        parts=(Part("rating", "ratings", key=("strand",), columns=("value",)),),
    ),
    Part("strand", "roster.strands", columns=("name",)),
    Part("lesson", "unit.lessons", key=("number",), parts=(Part("activity", "activities"),)),
    Part("request", "requests"),
    Part("absence", "absences"),
    Part(
        "round",
        "plan.rounds",
        key=_ROUND,
        placed=True,
        kept=KeptAs(KeptRound, _round_apart, _round_together),
        parts=(
            Part("group", "groups", layer="now", parts=(_SEATS,)),
            Part("group", "planned", layer="planned", parts=(_SEATS,)),
        ),
    ),
    Part("taught", "taught", key=("lesson",)),
    Part("ended", "unheld", key=("lesson",), kept=KeptAs(KeptEnd, _end_apart, lambda kept: kept)),
    Part(
        "event",
        "events",
        key=("lesson", "activity", "kind"),
        parts=(
            Part("event_team", "teams", key=("number",), columns=("label", "called"), beside="called"),
            Part("event_place", "places", key=("number",), columns=("name",)),
            Part("event_closed", "setback.closed", key=("at",)),
            Part("event_out", "setback.out", key=("team",)),
            Part("event_short", "setback.short", key=("team",)),
            Part("event_across", "across", key=("team",)),
            Part("event_loan", "loans", key=("slot", "team", "lender")),
            Part(
                "assignment",
                "assignments",
                key=("slot", "at"),
                names={"place": "at"},
                kept=KeptAs(KeptAssignment, _assignment_apart, _assignment_together),
                parts=(
                    Part("assigned", "teams", columns=("team",)),
                    Part("event_result", "score", key=()),
                    Part("event_lineup", "lineup", key=("team", "place")),
                ),
            ),
        ),
    ),
    Part("note", "notes", key=("lesson", "place")),
    Part(
        "task_result",
        "results",
        key=(*_ROUND, "label"),
        parts=(Part("worked_at", "at", columns=("setting",)),),
    ),
    Part(
        "chosen_task",
        "chosen_tasks",
        key=(*_ROUND, "label"),
        parts=(
            Part("chosen_at", "at", columns=("setting",)),
            Part("chosen_for", "members", columns=("student",)),
        ),
    ),
    Part(
        "challenge",
        "challenges",
        parts=(Part("lever", "levers", parts=(Part("lever_setting", "settings", parts=(Part("needed", "needs"),)),)),),
    ),
    Part("cupboard", "cupboard"),
    Part("adaptation", "adaptations"),
    Part("learnt", "learnt", key=("student", "strand")),
    Part(
        "past_round",
        "past",
        key=("unit", *_ROUND),
        names={"activity": "name"},
        parts=(
            Part(
                "past_group",
                "groups",
                known_as="group",
                parts=(replace(_SEATS, table="past_seat", filled=False),),
            ),
        ),
    ),
)
"""The tables that a record is kept in; rounds that were not held stand among the others, and ``ended`` says so.

Beside them stand ``setting``; ``change``, the log of changes; ``undone``, what was taken back of it; ``stamp``; and
``begun``, what the students' screen has shown, which is no change of the teacher's.
"""

_PERSONS = {of: tuple(name for name, tag in tags.items() if tag is Tag.PERSON) for of, tags in TAGS.items()}
_PERSONS[KeptPlayer] = ("student",)
CODERS = tuple(Coder(part, ClassRecord, _PERSONS) for part in PARTS)

_SETTING = Table("setting", ("name",), ("value",))
_CALLED = {"half_life": "half-life", "order": "tie-breaks"}
"""Settings that are kept under another name than their field has."""


def each_coder(coders: Iterable[Coder]) -> Iterator[Coder]:
    for coder in coders:
        yield coder
        yield from each_coder(coder.parts)


TABLES: tuple[Table, ...] = (*dict.fromkeys(coder.table for coder in each_coder(CODERS)), _SETTING)


# ---- choices, which are names and values


def _settings(record: ClassRecord) -> Iterator[Row]:
    """The seed, the settings and the points, each field a row."""
    yield "seed", str(record.seed)
    for holder in (record.settings, record.points):
        for each in fields(holder):
            value = getattr(holder, each.name)
            if each.name == "scale":
                text = scale_text(value)
            elif isinstance(value, tuple):
                text = ",".join(value)
            else:
                text = value if isinstance(value, str) else repr(float(value))
            yield _CALLED.get(each.name, each.name), text


def _choices(of: type[Settings] | type[Points], values: Mapping[str, str]) -> Any:
    return of(**{each.name: _of_text(each, values[_CALLED.get(each.name, each.name)]) for each in fields(of)})


def _of_text(each: Any, text: str) -> Any:
    if each.name == "scale":
        return scale_of(text)
    if isinstance(each.default, tuple):
        return tuple(filter(None, text.split(",")))
    return float(text) if isinstance(each.default, float) else text


# ---- a whole record


class _Numbers(dict[str, int]):
    """Internal numbers of students by id; an id that is not on the roster is refused."""

    def __missing__(self, student: str) -> int:
        raise InputError("the record names a student '{student}' who is not on its roster", student=student)


def _numbers(record: ClassRecord, stored: Iterable[Row]) -> _Numbers:
    known = {row[2]: row[0] for row in stored}
    new = max(known.values(), default=0)
    numbers = _Numbers()
    for student in record.roster.students:
        if student.id not in known:
            new += 1
        numbers[student.id] = known.get(student.id, new)
    return numbers


def rows_of(record: ClassRecord, stored: Iterable[Row] = ()) -> Rows:
    """The rows that hold a record.

    Parameters
    ----------
    record
        What is to be kept.
    stored
        The rows of the table ``student`` as they stand, so that a student keeps the internal number.

    Raises
    ------
    InputError
        A value has no place in a class file: a number that is none, something given twice, or a request, an absence or
        a seat of somebody who is not on the roster.
    """
    rows: Rows = {table.name: [] for table in TABLES}
    writing = Writing(rows, _numbers(record, stored))
    all_of_it = replace(whole(record), unheld=record.unheld)
    for coder in CODERS:
        coder.write([()], [all_of_it], writing)
    rows[_SETTING.name] = list(_settings(record))
    return rows


def record_of(rows: Rows) -> ClassRecord:
    """The record that these rows hold, the tables read in the order of their primary keys.

    Raises
    ------
    InputError, KeyError, TypeError, ValueError
        The rows were not written by grouper or are damaged.
    """
    reading = Reading(rows, {row[0]: row[2] for row in rows["student"]})
    for coder in CODERS:
        coder.read(reading)
    values: dict[str, str] = dict(rows[_SETTING.name])
    record = ClassRecord(
        **of_parts(ClassRecord, CODERS, reading),
        seed=int(values["seed"]),
        settings=_choices(Settings, values),
        points=_choices(Points, values),
    )
    reading.check_all_taken()
    ended, record = record.unheld, replace(record, unheld=())
    for end in ended:
        record = held_up_to(record, end.lesson, end.after, end.rest_in)
    return record
