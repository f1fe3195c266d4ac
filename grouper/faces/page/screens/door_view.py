"""What the door shows: names to tap with what was said of each, and the groups as students may see them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grouper.faces.page.desk import Marks
from grouper.faces.page.play_view import has_games
from grouper.faces.page.remedies import BUTTONS
from grouper.faces.page.state import lesson_mark
from grouper.faces.views.attendance_list import HELPER, absence_in_words, by_round, shown_role
from grouper.faces.views.names import full_name, name_order
from grouper.faces.views.students import RoundBlock, lesson_names, student_lesson_view
from grouper.faces.wording.telling import told
from grouper.games.days.groups import stale_play
from grouper.model.noted import LATE, Absence
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.fairness import broken_in
from grouper.words import counted, listed

TWO_LINES = 24
"""Letters of a name that fit on two lines of the narrowest tile."""


@dataclass(frozen=True)
class DoorLine:
    """A name to tap.

    ``state`` is empty for those who take part, at the least from some round on, else ``away``, ``late`` or ``aside``;
    ``standing`` where the roster says so until further notice; ``said`` is in words what was said of the lesson.
    """

    id: str
    name: str
    full: str
    state: str
    standing: bool
    said: str


@dataclass(frozen=True)
class DoorPerson:
    """A member of a group; ``came`` where the last change put them there."""

    id: str
    name: str
    role: str
    came: bool


@dataclass(frozen=True)
class DoorGroup:
    """A group; ``changed`` where the last change touched it."""

    label: str
    members: tuple[DoorPerson, ...]
    changed: bool


@dataclass(frozen=True)
class DoorRound:
    """A round; ``same_as`` is the place of an earlier one whose groups go on."""

    place: int
    activity: str
    minutes: float | None
    groups: tuple[DoorGroup, ...]
    same_as: int | None
    changed: int
    shape: str
    pinned: bool


@dataclass(frozen=True)
class DoorView:
    """A lesson at the door.

    ``since`` is the round from which on a tap counts, ``games`` whether it is about games, ``begun`` the last round
    that has begun and stays, 0 for none. ``broken`` says that a request does not hold and in which round; whose it is
    stands on the unit's page, as the tablet is in everybody's sight. ``stale`` names games and stations that are for
    other groups than there are now. ``mark`` says what is shown, for forms to send
    back.
    """

    lesson: int
    date: str
    taught: bool
    lines: tuple[DoorLine, ...]
    rounds: tuple[DoorRound, ...]
    since: int
    before: int | None
    after: int | None
    activities: tuple[str, ...]
    games: bool
    begun: int
    broken: str = ""
    stale: tuple[str, ...] = ()
    mark: str = ""

    @property
    def long_names(self) -> bool:
        """Whether a name needs three lines; asked of all, so that no tap makes a tile of another size."""
        return max((len(line.name) for line in self.lines), default=0) > TWO_LINES

    @property
    def changed(self) -> int:
        return sum(round_.changed for round_ in self.rounds)

    @property
    def head_count(self) -> str:
        """How many take part, are away and aside, in words."""
        states = [line.state for line in self.lines]
        parts = [f"{states.count('')} take part"]
        words = {"away": "away", "late": "late", "aside": "sits out" if states.count("aside") == 1 else "sit out"}
        parts += [f"{states.count(state)} {word}" for state, word in words.items() if state in states]
        return ", ".join(parts)


def door_view(record: ClassRecord, lesson: int, marks: Marks, running: int = 0) -> DoorView:
    """The door of a lesson; ``running`` is the last round that has begun, 0 for none."""
    rounds = shown_rounds(record, lesson, marks)
    numbers = [other.number for other in record.unit.lessons]
    place = numbers.index(record.lesson(lesson).number)
    names = lesson_names(record, lesson)
    students = [student for student in record.roster.students if student.belongs_in(lesson)]
    lines = [_line(record, lesson, student, names[student.id], running) for student in students]
    return DoorView(
        lesson=lesson,
        date=record.lesson(lesson).date,
        taught=lesson in record.taught,
        lines=tuple(sorted(lines, key=lambda line: (name_order(line.name), line.id))),
        rounds=rounds,
        since=usual_since(len(rounds), running),
        before=numbers[place - 1] if place else None,
        after=numbers[place + 1] if place + 1 < len(numbers) else None,
        activities=tuple(a.name for a in record.lesson(lesson).activities if a.aim != "stay"),
        games=has_games(record, lesson),
        begun=running,
        broken=_broken(record, lesson),
        stale=() if lesson in record.taught else tuple(told(said, BUTTONS) for said in stale_play(record, lesson)),
        mark=lesson_mark(record, lesson),
    )


def _broken(record: ClassRecord, lesson: int) -> str:
    breaches = broken_in(record, lesson)
    if not breaches:
        return ""
    places = sorted({record.place_in_lesson(breach.key) for breach in breaches})
    requests = len({(breach.rule, frozenset(breach.students)) for breach in breaches})
    rounds = f"{'round' if len(places) == 1 else 'rounds'} {listed([str(place) for place in places])}"
    return f"{counted(requests, 'request')} {'does' if requests == 1 else 'do'} not hold in {rounds}"


def usual_since(rounds: int, running: int) -> int:
    """From which of so many rounds on a tap counts where one has begun: the next; the first where none has."""
    return max(1, min(running + 1, rounds)) if running else 1


def _line(record: ClassRecord, lesson: int, student: Student, name: str, running: int) -> DoorLine:
    absences = by_round(record.absences_of(student.id, lesson))
    if not absences:
        standing = bool(student.availability)
        said = f"{student.availability} until further notice" if standing else "here"
        return DoorLine(student.id, name, full_name(student), student.availability, standing, said)
    words = []
    for absence in absences:
        said_of = absence_in_words(absence)
        if absence.until is not None and _is_expected(absence, running):
            said_of = replace(said_of, when=f"comes in round {absence.until + 1}")
        elif said_of.role:
            # With the role as students may read it: why somebody stands aside is for the teacher.
            said_of = replace(said_of, role=shown_role(said_of.role, HELPER))
        words.append(said_of)
    state = words[-1].state if absences[-1].until is None or _is_expected(absences[-1], running) else ""
    said = "; ".join(one.sentence for one in words)
    return DoorLine(student.id, name, full_name(student), state, False, said)


def _is_expected(absence: Absence, running: int) -> bool:
    """Whether somebody is late and comes later than in the next round."""
    return absence.role == LATE and absence.until is not None and absence.until > running


def shown_rounds(record: ClassRecord, lesson: int, marks: Marks) -> tuple[DoorRound, ...]:
    """The rounds of a lesson as students may see them, with marks; none where it has no groups yet."""
    blocks = student_lesson_view(record, lesson).rounds if record.plan.of_lesson(lesson) else ()
    return tuple(_round(record, lesson, block, marks.in_round(lesson, block.place)) for block in blocks)


def _round(record: ClassRecord, lesson: int, block: RoundBlock, marked: dict[str, frozenset[str]]) -> DoorRound:
    ids = {name: student for student, name in lesson_names(record, lesson).items()}
    stands = record.plan.by_key[record.lesson(lesson).keys[block.place - 1]]
    groups = tuple(
        DoorGroup(
            card.label,
            tuple(DoorPerson(ids[p.name], p.name, p.role, p.name in marked.get(card.label, ())) for p in card.members),
            card.label in marked,
        )
        for card in block.groups
    )
    sizes = sorted({len(group.members) for group in groups})
    shape = f"{counted(len(groups), 'group')} of {listed([str(size) for size in sizes])}"
    said = (block.place, block.activity, block.minutes, groups, block.same_as)
    return DoorRound(*said, len(marked), shape, stands.pinned)
