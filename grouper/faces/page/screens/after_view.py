"""What is shown after a lesson: who was in which group, who was out, and how each round went; for the teacher alone."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from grouper.faces.page.state import lesson_mark, round_marks, unit_mark
from grouper.faces.views.attendance_list import absences_in_words
from grouper.faces.views.names import full_name, label_order, name_order
from grouper.faces.views.play_view import rule_for_students
from grouper.faces.views.students import lesson_names, rounds_of
from grouper.faces.views.tasks_of_class import class_total_in_words, own_last_in_words
from grouper.faces.wording.changes import rest_in_words, rounds_not_held, unheld_of
from grouper.model.ledger import COACH
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.scoring import Scoring
from grouper.model.unit import RoundKey
from grouper.planning.noting import note_of
from grouper.tasks.choose import result_of, told_by_points
from grouper.tasks.rounds import challenge_for, round_tasks
from grouper.words import counted

AS_PLANNED = "All groups are as planned"
WORDS = (("easy", "too easy"), ("right", "right"), ("hard", "too hard"))


@dataclass(frozen=True)
class Member:
    """A student of a group by id and short name, and whether they were the coach."""

    id: str
    name: str
    coach: bool


@dataclass(frozen=True)
class WayTaken:
    """One of the two ways on a card: what is typed for it, its short name, and whether the group took it."""

    typed: str
    name: str
    taken: bool


@dataclass(frozen=True)
class WentGroup:
    """A group: who is in it by the alphabet, the word that was tapped, successes and attempts, points won and lost, as
    texts; empty where nothing was said. ``out`` is of how many attempts the points are.

    ``ways`` are the two on its card, none where it offers one; ``last`` is what its members had last time, where they
    are to beat it.
    """

    label: str
    members: tuple[Member, ...]
    felt: str
    hits: str
    tries: str
    points: str = ""
    lost: str = ""
    out: str = ""
    ways: tuple[WayTaken, ...] = ()
    last: str = ""


@dataclass(frozen=True)
class WentRound:
    """A round with its groups by label, and whether students coached one another, or were meant to.

    ``said`` counts the groups of which something was said. ``scoring`` is how points count, None where that is left
    open, ``rule`` the sentence, and ``total`` what the class has together where that is what counts.
    """

    place: int
    activity: str
    coaching: bool
    groups: tuple[WentGroup, ...]
    scoring: Scoring | None = None
    rule: str = ""
    total: str = ""
    with_tasks: bool = False

    @property
    def said(self) -> int:
        return sum(bool(group.felt or group.tries or group.points) for group in self.groups)

    @property
    def with_choice(self) -> bool:
        return any(group.ways for group in self.groups)


def _went_round(record: ClassRecord, names: dict[str, str], round_: Round) -> WentRound:
    groups = sorted(round_.groups, key=lambda group: label_order(group.label))
    activity = record.unit.activity(round_.key).name
    coaches = any(COACH in group.roles for group in round_.groups)
    return WentRound(
        record.place_in_lesson(round_.key),
        activity,
        (coaches or record.unit.activity(round_.key).aim == "coaching"),
        tuple(_went_group(record, names, round_, group) for group in groups),
        record.scoring(activity),
        rule_for_students(record, activity, round_.key.lesson),
        class_total_in_words(record, activity, round_.key.lesson),
        challenge_for(record, round_.key) is not None,
    )


def _went_group(record: ClassRecord, names: dict[str, str], round_: Round, group: Group) -> WentGroup:
    result = result_of(record, round_.key, group.label)
    people = (Member(student, names[student], group.role(student) == COACH) for student in group.members)
    members = tuple(sorted(people, key=lambda member: (name_order(member.name), member.id)))
    last = own_last_in_words(record, round_.key, group.members, names)
    bare = WentGroup(group.label, members, "", "", "", ways=ways_taken(record, round_.key, group.label), last=last)
    if result is None:
        return bare
    hits, tries, points = ("" if n is None else str(n) for n in (result.hits, result.tries, result.points))
    out = tries if told_by_points(record, result) else ""
    bare = replace(bare, felt=result.felt, hits=hits, tries=tries)
    return replace(bare, points=points, lost=str(result.lost or ""), out=out)


def ways_taken(record: ClassRecord, key: RoundKey, label: str) -> tuple[WayTaken, ...]:
    """The two ways of a card in the order in which they stand on it."""
    task = round_tasks(record, key).tasks.get(label)
    if task is None or not task.other:
        return ()
    said = any((one.key, one.label) == (key, label) for one in record.chosen_tasks)
    ((lever, now, then),) = task.ways
    two = sorted((now, then), key=lambda place: lever.settings[place - 1].shown.casefold())
    names = [(lever.settings[place - 1].name, said and place == now) for place in two]
    return tuple(WayTaken(f"{lever.name}:{name}", name, taken) for name, taken in names)


@dataclass(frozen=True)
class AfterLine:
    """A student and the label of their group in each round, empty where they took no part."""

    id: str
    name: str
    full: str
    labels: tuple[str, ...]


@dataclass(frozen=True)
class Ended:
    """How far a lesson got: up to round ``got_to`` of ``last``.

    ``said`` is in words what was not held, empty where all was; ``rest`` what was left of it, and ``lessons`` those
    that it can be put into, none where it has been already.
    """

    last: int
    got_to: int
    said: str
    rest: str
    lessons: tuple[int, ...]


def after_view(record: ClassRecord, lesson: int) -> dict[str, Any]:
    """What the page after a lesson shows (InputError where it has no groups).

    ``moved`` says in how many rounds groups are others than planned. ``shown_unit``, ``shown_whole`` and ``marks`` (by
    place of the round) say what is shown, for forms to send back.
    """
    rounds, names = rounds_of(record, lesson), lesson_names(record, lesson)
    moved = 0
    for round_ in rounds:
        were, are = ({(g.label, frozenset(g.members)) for g in groups} for groups in (round_.planned, round_.groups))
        moved += bool(were) and were != are
    lines = []
    for student in (one for one in record.roster.students if one.id in names):
        labels = tuple(group.label if (group := round_.group_of(student.id)) else "" for round_ in rounds)
        lines.append(AfterLine(student.id, names[student.id], full_name(student), labels))
    students = {absence.student for absence in record.absences if absence.lesson == lesson} & names.keys()
    out = [(names[s], "; ".join(a.sentence for a in absences_in_words(record, lesson, s))) for s in sorted(students)]
    return {
        "of_lesson": lesson,
        "date": record.lesson(lesson).date,
        "taught": lesson in record.taught,
        "lines": sorted(lines, key=lambda line: (name_order(line.name), line.id)),
        "moved": f"In {counted(moved, 'round')} the groups are not as planned" if moved else AS_PLANNED,
        "out": sorted(out, key=lambda one: name_order(one[0])),
        "note": note_of(record, lesson),
        "round_notes": [(note.place, note.text) for note in record.notes if note.lesson == lesson and note.place],
        "went": [_went_round(record, names, round_) for round_ in rounds],
        "shown_unit": unit_mark(record),
        "shown_whole": lesson_mark(record, lesson),
        "marks": round_marks(record, lesson),
        "ended": _ended(record, lesson),
    }


def _ended(record: ClassRecord, lesson: int) -> Ended:
    """As it was closed; before that as far as the students' screen got."""
    last = len(record.lesson(lesson).keys)
    unheld = unheld_of(record, lesson)
    if unheld is None:
        return Ended(last, record.begun_in(lesson) or last, "", "", ())
    still_open = (each.number for each in record.unit.lessons if each.number not in record.taught)
    said = f"{rounds_not_held(unheld)}: {rest_in_words(unheld)}"
    if unheld.rest_in is not None:
        return Ended(unheld.last, unheld.after, f"{said}, now in lesson {unheld.rest_in}.", rest_in_words(unheld), ())
    return Ended(unheld.last, unheld.after, f"{said}.", rest_in_words(unheld), tuple(still_open))
