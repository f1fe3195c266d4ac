"""What students may see of a lesson, on sheets, cards and the screen: built field by field, and nothing else gets in.

No rating, request, size band, aim, strand, gap or step has a field. A task that some groups have and others have not is
on cards alone, as side by side they could be compared. Groups are in the order of their labels, names and places in the
order of the alphabet, so that no order tells anything either. No score is on the screen; of the standings there is what
the teacher chose to show.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from grouper.errors import InputError
from grouper.faces.views.attendance_list import HELPER, shown_role
from grouper.faces.views.names import display_names, label_order, name_order
from grouper.faces.views.play_view import play_view, rule_for_students
from grouper.faces.views.standings_view import StudentsTable, progress_table, top_table
from grouper.games.days.groups import goes_with
from grouper.games.days.season import season_of
from grouper.model.plan import Round
from grouper.model.play import GAMES, Event
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.tasks.jobs import Job, job_in, jobs_in, role_said

ASK = "Ask for your group's task"
"""Stands where groups have different tasks, which no wall or screen shows."""


@dataclass(frozen=True)
class Person:
    """A student by short name, and their role in a round, empty for none."""

    name: str
    role: str = ""


@dataclass(frozen=True)
class GroupCard:
    """A group: its label, and its members by the alphabet."""

    label: str
    members: tuple[Person, ...]


@dataclass(frozen=True)
class RoundBlock:
    """One round as students see it.

    ``place`` counts over the whole lesson from 1. ``task`` is the task of all groups where they share one; where they
    have different ones, these are ``on_cards``, which everybody reads for themselves. ``rule`` is how points are won
    and lost, the same for all. ``aside`` are those who are there
    without taking part, with what they do. ``same_as`` is the place of an earlier round, where everything
    but the activity is the same since then.
    """

    place: int
    activity: str
    minutes: float | None
    groups: tuple[GroupCard, ...]
    aside: tuple[Person, ...] = ()
    same_as: int | None = None
    task: str = ""
    on_cards: bool = False
    rule: str = ""

    @property
    def what_to_do(self) -> str:
        """The line above the groups: their task, or that each has one of its own, and how points count; or empty."""
        task = self.task or (ASK if self.on_cards else "")
        return " ".join(filter(None, (f"{task}." if task and self.rule and task[-1] not in ".!?" else task, self.rule)))


@dataclass(frozen=True)
class StudentLessonView:
    """One lesson as students see it; ``date`` as in the unit, ``YYYY-MM-DD`` or empty."""

    lesson: int
    date: str
    rounds: tuple[RoundBlock, ...]


def student_lesson_view(record: ClassRecord, lesson: int) -> StudentLessonView:
    """The allow-listed view of a lesson.

    Raises
    ------
    InputError
        There is no such lesson, or it has no groups yet.
    """
    names = lesson_names(record, lesson)
    blocks: list[RoundBlock] = []
    for round_ in rounds_of(record, lesson):
        block = _block(record, names, round_)
        # The earlier round whose groups are still standing, or None.
        last = blocks[-1] if blocks and _what_stands(blocks[-1]) == _what_stands(block) else None
        blocks.append(replace(block, same_as=(last.same_as or last.place) if last else None))
    return StudentLessonView(lesson, record.lesson(lesson).date, tuple(blocks))


def rounds_of(record: ClassRecord, lesson: int) -> tuple[Round, ...]:
    """The rounds of a lesson in the order of play, none missing (InputError where one is)."""
    keys = record.lesson(lesson).keys
    missing = [key for key in keys if key not in record.plan.by_key]
    if missing:
        raise InputError("lesson {lesson} has no groups yet", "plan the unit first", lesson=lesson)
    return tuple(record.plan.by_key[key] for key in keys)


def lesson_names(record: ClassRecord, lesson: int) -> dict[str, str]:
    """Short names of everybody who belongs to the class in a lesson or has a place in it, by id."""
    grouped = {student for round_ in record.plan.of_lesson(lesson) for student in round_.students}
    students = record.roster.in_unit
    here = [student for student in record.roster.students if student.belongs_in(lesson) or student.id in grouped]
    return display_names(here, students)


def _block(record: ClassRecord, names: dict[str, str], round_: Round) -> RoundBlock:
    from grouper.tasks.rounds import tasks_of_round  # brings numpy: only where a lesson is shown

    activity = record.unit.activity(round_.key)
    tasks = {text for task in tasks_of_round(record, round_.key).values() for text in task.texts}
    cards = []
    for group in sorted(round_.groups, key=lambda group: label_order(group.label)):
        people = (Person(names[student], shown_role(group.role(student))) for student in group.members)
        cards.append(GroupCard(group.label, _by_name(people)))
    place = record.place_in_lesson(round_.key)
    rule = rule_for_students(record, activity.name, round_.key.lesson)
    aside = _aside(record, names, round_.key)
    block = RoundBlock(place, activity.name, activity.minutes, tuple(cards), aside, rule=rule)
    return replace(block, task=tasks.pop()) if len(tasks) == 1 else replace(block, on_cards=bool(tasks))



def _aside(record: ClassRecord, names: dict[str, str], key: RoundKey) -> tuple[Person, ...]:
    """Those who are there without taking part in a round, each with a role that students may read."""
    round_ = record.plan.by_key.get(key)
    seated = set(round_.students) if round_ else set()
    others = (student for student in record.roster.students if student.id not in seated)
    students = (student for student in others if record.state(student, key) == "aside")
    return _by_name(
        Person(names[student.id], role_aside(record, student.id, key)) for student in students
    )


def _by_name(people: Iterable[Person]) -> tuple[Person, ...]:
    return tuple(sorted(people, key=lambda person: name_order(person.name)))


def aside_lines(record: ClassRecord, key: RoundKey, names: Mapping[str, str]) -> Iterator[str]:
    """Who is aside in a round, in which role, and the task of it: for the teacher to hand on."""
    for student, job in sorted(jobs_in(record, key).items(), key=lambda one: name_order(names[one[0]])):
        yield f"{names[student]}, {role_aside(record, student, key)}: {job_in_words(record, key, job)}"


def job_in_words(record: ClassRecord, key: RoundKey, job: Job) -> str:
    """The task of a job in a round, with the cues of its kind of activity and the rule for points there."""
    # Read just where somebody is aside: it holds words of 31 languages.
    from grouper.files.levers import default_levers, kind_like
    from grouper.files.words.levers import kind_of_activity

    name = record.unit.activity(key).name
    kind = kind_like(record.challenge(name), default_levers()) or kind_of_activity(name)
    scoring = record.scoring(name)
    # Own points are counted by each child, and by nobody else.
    rule = "" if scoring is None or scoring.alone else rule_for_students(record, name, key.lesson)
    return job.what_to_do(kind, rule)


def role_aside(record: ClassRecord, student: str, key: RoundKey) -> str:
    """The role of somebody who is aside, as students may read it: what was said, or else what is dealt out."""
    said = role_said(record, student, key)
    job = job_in(record, key, student)
    return job.role if job and not said else shown_role(said, HELPER)


def _what_stands(block: RoundBlock) -> tuple[object, ...]:
    return block.groups, block.aside, block.task, block.on_cards, block.rule


@dataclass(frozen=True)
class Side:
    """A team or a group at a place: what it is called, and the names of its members."""

    label: str
    people: tuple[str, ...]


@dataclass(frozen=True)
class PlaceCard:
    """A court or a station: the word for it, its number, what is done there, who is there, and the team on duty."""

    word: str
    number: int
    name: str
    sides: tuple[Side, ...]
    duty: str = ""


@dataclass(frozen=True)
class SlotScene:
    """A slot of how many: what happens where, who has a rest, and who lends players to whom (short team, lender).

    ``change`` is how many minutes were given to change places before it.
    """

    number: int
    of: int
    minutes: float | None
    cards: tuple[PlaceCard, ...]
    resting: tuple[str, ...] = ()
    loans: tuple[tuple[str, str], ...] = ()
    change: float = 0.0


@dataclass(frozen=True)
class Scene:
    """What the screen shows at once: the groups of a round, or a slot of the play of these groups.

    ``key`` is the same for the same scene when other scenes come or go. ``minutes`` is how long it lasts, None where
    that is not known, or where the slots that come after it have their own. ``standings`` may follow the last slot of
    games. ``called`` has what groups are called in their play, by label, where that is another word.
    """

    key: str
    block: RoundBlock
    slot: SlotScene | None = None
    minutes: float | None = None
    standings: StudentsTable | None = None
    called: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class ScreenView:
    """A lesson on the screen; ``date`` as in the unit, ``rounds`` how many there are."""

    lesson: int
    date: str
    rounds: int
    scenes: tuple[Scene, ...]


def screen_view(record: ClassRecord, lesson: int) -> ScreenView:
    """The scenes of a lesson in the order of play.

    Games and stations for other groups than there are now have none.

    Raises
    ------
    InputError
        There is no such lesson, or it has no groups yet.
    """
    view = student_lesson_view(record, lesson)
    scenes = [scene for block in view.rounds for scene in _scenes(record, lesson, block)]
    return ScreenView(lesson, view.date, len(view.rounds), tuple(scenes))


def _scenes(record: ClassRecord, lesson: int, block: RoundBlock) -> Iterator[Scene]:
    playing = []
    for event in record.events:
        round_ = record.round_of(event) if event.lesson == lesson else None
        # Play that is for other groups than there are now is not shown.
        if round_ and record.place_in_lesson(round_.key) == block.place and goes_with(round_, event):
            playing.append(event)
    slots = [(event.kind, scene) for event in playing for scene in _slots(record, event, block)]
    names = {event.label(team): event.name(team) for event in playing if event.called for team in event.numbers}
    called = {label: name for label, name in names.items() if name != label}
    timed = any(slot.minutes for _, slot in slots)
    yield Scene(str(block.place), block, None, None if timed else block.minutes, called=called)
    yield from (Scene(f"{block.place} {what} {slot.number}", block, slot, slot.minutes) for what, slot in slots)
    if any(what == GAMES for what, _ in slots) and (table := _standings(record, lesson)):
        yield Scene(f"{block.place} standings", block, standings=table)


def _standings(record: ClassRecord, lesson: int) -> StudentsTable | None:
    """What students are to see of the standings after games; None where that is nothing, or there is no result yet."""
    if not record.points.on_wall or not any(event.scored for event in record.games):
        return None
    season = season_of(record)
    if lesson not in season.lessons:
        return None
    return top_table(season) if record.points.on_wall == "top" else progress_table(season)


def _slots(record: ClassRecord, event: Event, block: RoundBlock) -> Iterator[SlotScene]:
    members = {card.label: tuple(person.name for person in card.members) for card in block.groups}
    people = {event.name(team): members[event.label(team)] for team in event.numbers}
    word, timing = event.place_word.capitalize(), event.timing
    for slot in play_view(event, record).slots:
        cards = []
        for spot in slot.spots:
            sides = tuple(Side(label, people[label]) for label in spot.teams)
            cards.append(PlaceCard(word, spot.place, event.places[spot.place - 1], sides, spot.duty))
        times = (slot.waiting, slot.loans, timing.changeover)
        yield SlotScene(slot.slot, event.slots, timing.play, tuple(cards), *times)
