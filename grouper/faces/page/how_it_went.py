"""How the rounds of a lesson went: what a teacher says after a round, put into the verbs, and what is shown of it.

How the task was for a group, what was counted, who coached; for the teacher alone. The sentences stand in the bar on
top, which students may see at the door: they name a group and never say how it went.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.faces.views.names import label_order, name_order
from grouper.faces.views.play_view import rule_for_students
from grouper.faces.views.students import lesson_names, rounds_of
from grouper.faces.views.tasks_of_class import class_total_in_words, own_last_in_words
from grouper.model.ledger import COACH
from grouper.model.noted import TaskResult
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.scoring import Scoring
from grouper.model.unit import RoundKey
from grouper.planning.noting import noted, unseen
from grouper.planning.ran import had_role
from grouper.tasks.choose import as_suggested, out_of, result_of, told_by_points, with_result, with_setting
from grouper.tasks.rounds import challenge_for, round_tasks

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
        """Of how many groups something was said."""
        return sum(bool(group.felt or group.tries or group.points) for group in self.groups)

    @property
    def with_choice(self) -> bool:
        """Whether any card offers two ways."""
        return any(group.ways for group in self.groups)


def went_view(record: ClassRecord, lesson: int) -> tuple[WentRound, ...]:
    """The rounds of a lesson in the order of play (InputError where it has no groups)."""
    names = lesson_names(record, lesson)
    return tuple(_went_round(record, names, round_) for round_ in rounds_of(record, lesson))


def _went_round(record: ClassRecord, names: dict[str, str], round_: Round) -> WentRound:
    groups = sorted(round_.groups, key=lambda group: label_order(group.label))
    activity = record.unit.activity(round_.key).name
    return WentRound(
        record.place_in_lesson(round_.key),
        activity,
        _is_coaching(record, round_),
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
    bare = WentGroup(group.label, members, "", "", "", ways=_ways(record, round_.key, group.label), last=last)
    if result is None:
        return bare
    hits, tries, points = ("" if n is None else str(n) for n in (result.hits, result.tries, result.points))
    out = tries if told_by_points(record, result) else ""
    bare = replace(bare, felt=result.felt, hits=hits, tries=tries)
    return replace(bare, points=points, lost=str(result.lost or ""), out=out)


def _ways(record: ClassRecord, key: RoundKey, label: str) -> tuple[WayTaken, ...]:
    """The two ways of a card in the order in which they stand on it."""
    task = round_tasks(record, key).tasks.get(label)
    if task is None or not task.other:
        return ()
    said = any((one.key, one.label) == (key, label) for one in record.chosen_tasks)
    ((lever, now, then),) = task.ways
    two = sorted((now, then), key=lambda place: lever.settings[place - 1].shown.casefold())
    names = [(lever.settings[place - 1].name, said and place == now) for place in two]
    return tuple(WayTaken(f"{lever.name}:{name}", name, taken) for name, taken in names)


def _is_coaching(record: ClassRecord, round_: Round) -> bool:
    coaches = any(COACH in group.roles for group in round_.groups)
    return coaches or record.unit.activity(round_.key).aim == "coaching"


Done = tuple[ClassRecord, str]

Counted = tuple[str, ...]
"""What stands in the fields of a group: successes and attempts, or points won and lost, and of how many attempts."""


def with_note(record: ClassRecord, lesson: int, text: str) -> Done:
    """A note on the lesson; an empty one takes it away."""
    return noted(record, lesson, 0, text), f"note on lesson {lesson}"


def coached(record: ClassRecord, lesson: int, place: int, student: str) -> Done:
    """A student was the coach of their group in a round, and the others were learners."""
    done = had_role(record, record.round_at(lesson, place), student, COACH)
    return done, f"who coached in round {place} of lesson {lesson}"


def felt(record: ClassRecord, lesson: int, place: int, label: str, word: str) -> Done:
    """The task was easy, right or hard for a group; an empty word takes that back, and what was counted stays."""
    key = record.round_at(lesson, place)
    before = result_of(record, key, label)
    return _with(record, key, label, replace_felt(before, key, label, word)), _where(lesson, place, label)


def replace_felt(before: TaskResult | None, key: RoundKey, label: str, word: str) -> TaskResult | None:
    """The result with another word, or None where nothing is left to say."""
    if before is None:
        return TaskResult(key, label, word) if word else None
    return replace(before, felt=word) if word or before.tries or before.points is not None else None


def counted(
    record: ClassRecord,
    lesson: int,
    place: int,
    were: Mapping[str, Counted],
    now: Mapping[str, Counted],
    points: bool = False,
) -> Done:
    """Successes of attempts as they were typed, by group; with ``points`` those won and lost.

    Only what is other than the page showed counts as typed.

    Raises
    ------
    InputError
        A group has one number of the two, or numbers that cannot be.
    """
    key, what = record.round_at(lesson, place), "points" if points else "successes"
    typed = {label: fields for label, fields in now.items() if fields != were.get(label)}
    if not typed:
        said = "points" if points else "successes and attempts"
        raise InputError("no number was changed", "type {said} of a group first", said=said)
    for label, fields in typed.items():
        before = result_of(record, key, label)
        after = _with_points(record, key, label, fields) if points else _with_numbers(before, key, label, *fields)
        record = _with(record, key, label, after)
    return record, f"{what} counted in round {place} of lesson {lesson}"


def _with_numbers(before: TaskResult | None, key: RoundKey, label: str, hits: str, tries: str) -> TaskResult | None:
    if not hits and not tries:
        left = before and (before.felt or before.points is not None)
        return replace(before, hits=None, tries=None) if before and left else None
    counted_now = _number(label, hits), _number(label, tries)
    if before is None:
        return TaskResult(key, label, "", *counted_now)
    return replace(before, hits=counted_now[0], tries=counted_now[1])


def _with_points(record: ClassRecord, key: RoundKey, label: str, fields: Counted) -> TaskResult | None:
    """Where points tell hits, these follow them as long as the number of attempts stands there."""
    won, lost, tries = (*fields, "")[:3]
    before = result_of(record, key, label)
    if before and told_by_points(record, before):
        before = replace(before, hits=None, tries=None)
    if not won and not lost:
        return replace(before, points=None, lost=0) if before and before.tells_of_ability else None
    points, off = _number(label, won or "0"), _number(label, lost or "0")
    after = replace(before, points=points, lost=off) if before else TaskResult(key, label, points=points, lost=off)
    return out_of(record, after, _number(label, tries)) if tries else after


def chose(record: ClassRecord, lesson: int, place: int, label: str, setting: str) -> Done:
    """Which of two ways a group took; tapped again it is not known any more, and counts as the first."""
    key = record.round_at(lesson, place)
    if any(way.taken and way.typed == setting for way in _ways(record, key, label)):
        done = as_suggested(record, key, label)
    else:
        done = with_setting(record, key, label, setting)
    return done, f"what group {label} did in round {place} of lesson {lesson}"


def _number(label: str, text: str) -> int:
    if text.isascii() and text.isdecimal() and len(text) < 5:
        return int(text)
    wrong = "group {label}: '{text}' is no number" if text else "group {label}: successes and attempts go together"
    raise InputError(wrong, "write both, such as 7 of 10; nothing was saved", label=label, text=text)


def _with(record: ClassRecord, key: RoundKey, label: str, result: TaskResult | None) -> ClassRecord:
    if result is not None:
        return with_result(record, result)
    before = result_of(record, key, label)
    return unseen(record, before) if before else record


def _where(lesson: int, place: int, label: str) -> str:
    return f"how round {place} of lesson {lesson} went for group {label}"
