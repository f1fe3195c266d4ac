"""All that a class file holds, as one value, replaced rather than changed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from grouper.errors import InputError, require
from grouper.model.ledger import EarlierUnits, PastRound, earlier_of
from grouper.model.levers import Adaptation, Challenge, Store
from grouper.model.noted import Absence, ChosenTask, Learnt, Note, TaskResult
from grouper.model.plan import Plan, Round
from grouper.model.play import GAMES, Event, Points
from grouper.model.request import Request, Settings
from grouper.model.roster import Roster, Student
from grouper.model.scoring import Scoring
from grouper.model.texts import MOST_SEED, in_one_line
from grouper.model.unit import Activity, Lesson, RoundKey, Unit
from grouper.words import Remedy


@dataclass(frozen=True)
class Unheld:
    """What a lesson that ended early had left.

    Parameters
    ----------
    lesson, after
        Its number, and the last of its rounds that was held, counted from 1.
    planned
        All its activities as they were planned.
    rounds, results, chosen_tasks, events
        Of the rounds that were not held.
    notes, absences
        On rounds that were not held; of the absences also, as they were said, those that went on into them.
    rest_in
        The lesson that what was left has been put into, None for none.
    """

    lesson: int
    after: int
    planned: tuple[Activity, ...]
    rounds: tuple[Round, ...] = ()
    results: tuple[TaskResult, ...] = ()
    chosen_tasks: tuple[ChosenTask, ...] = ()
    events: tuple[Event, ...] = ()
    notes: tuple[Note, ...] = ()
    absences: tuple[Absence, ...] = ()
    rest_in: int | None = None

    @property
    def rest(self) -> tuple[Activity, ...]:
        """The activities with the rounds of each that were not held, in order."""
        return tuple(replace(activity, rounds=left) for activity, _, left in split(self.planned, self.after) if left)

    @property
    def last(self) -> int:
        """The last of the rounds that were planned."""
        return sum(activity.rounds for activity in self.planned)


def split(activities: Iterable[Activity], after: int) -> Iterable[tuple[Activity, int, int]]:
    """Each activity with how many of its rounds are among the first ``after``, and how many are not."""
    for activity in activities:
        held = min(activity.rounds, after)
        after -= held
        yield activity, held, activity.rounds - held


@dataclass(frozen=True)
class ClassRecord:
    """A class, its unit, what was asked for, who was absent, the plan, which lessons have been taught, and play.

    ``events`` (games and stations) are in the order of their keys, at most one of a kind an activity; ``notes``,
    ``results`` (how tasks went), ``chosen_tasks`` (of tasks, by the teacher) and ``past`` (rounds of earlier units) in
    the order of play; ``learnt`` are the ratings that were accepted from results, at most one a student and strand.
    Of a lesson that ended early, ``unit``, ``plan`` and all others hold what was held, ``unheld`` the rest.
    ``begun`` has the last round of a lesson that the students' screen has shown; it is no change of the teacher's.
    """

    roster: Roster
    unit: Unit = field(default_factory=lambda: Unit(()))
    requests: tuple[Request, ...] = ()
    absences: tuple[Absence, ...] = ()
    plan: Plan = field(default_factory=Plan)
    taught: frozenset[int] = frozenset()
    seed: int = 0
    settings: Settings = field(default_factory=Settings)
    events: tuple[Event, ...] = ()
    points: Points = field(default_factory=Points)
    notes: tuple[Note, ...] = ()
    results: tuple[TaskResult, ...] = ()
    chosen_tasks: tuple[ChosenTask, ...] = ()
    challenges: tuple[Challenge, ...] = ()
    cupboard: tuple[Store, ...] = ()
    adaptations: tuple[Adaptation, ...] = ()
    learnt: tuple[Learnt, ...] = ()
    past: tuple[PastRound, ...] = ()
    unheld: tuple[Unheld, ...] = ()
    begun: Mapping[int, int] = field(default_factory=dict, compare=False)

    def __post_init__(self) -> None:
        if not 0 <= self.seed <= MOST_SEED:
            raise InputError(
                "the seed is {seed}", "use 0 to {most_seed}", seed=in_one_line(str(self.seed), 40), most_seed=MOST_SEED
            )

    def lesson(self, number: int) -> Lesson:
        """The lesson with this number (InputError where there is none)."""
        return self.unit.lesson(number)

    @property
    def games(self) -> tuple[Event, ...]:
        """The events in which teams play each other."""
        return tuple(event for event in self.events if event.kind == GAMES)

    def with_event(self, event: Event) -> ClassRecord:
        """The record with this event in the place of the one of its kind of the same activity."""
        others = (other for other in self.events if other.key != event.key)
        return replace(self, events=tuple(sorted((*others, event), key=lambda one: one.key)))

    def challenge(self, activity: str) -> Challenge | None:
        """What an activity of this name asks: its levers and its way of scoring; None where nothing was said."""
        return next((one for one in self.challenges if one.fits(activity)), None)

    def scoring(self, activity: str) -> Scoring | None:
        """How points are won and lost in an activity of this name; None where that is left open."""
        challenge = self.challenge(activity)
        return challenge.way_of_scoring if challenge else None

    def is_ranked(self, activity: str) -> bool:
        """Whether results of an activity may be held against one another, as they may where nothing else was chosen."""
        scoring = self.scoring(activity)
        return scoring is None or scoring.ranked

    def check_open(self, lesson: int) -> None:
        """Raise InputError where there is no such lesson, or it has been taught."""
        self.lesson(lesson)
        if lesson in self.taught:
            raise InputError("lesson {lesson} has been taught", Remedy.CORRECT_OR_OPEN, lesson=lesson)

    def check_planned(self, lesson: int) -> None:
        """Raise InputError where no round of a lesson has groups."""
        has_any = bool(self.plan.of_lesson(lesson))
        require(has_any, "lesson {lesson} has no groups yet", Remedy.MAKE_GROUPS, lesson=lesson)

    def absences_of(self, student: str, lesson: int) -> tuple[Absence, ...]:
        """A student's absences in a lesson: more than one where somebody came late and left early."""
        return tuple(a for a in self.absences if a.student == student and a.lesson == lesson)

    def absence(self, student: str, lesson: int) -> Absence | None:
        """The last of a student's absences in a lesson, or None."""
        return max(self.absences_of(student, lesson), key=lambda absence: absence.since, default=None)

    def state(self, student: Student, key: RoundKey) -> str:
        """What a student does in a round: ``""`` takes part, ``aside``, ``away``, or ``gone`` (not in the class)."""
        if not student.belongs_in(key.lesson):
            return "gone"
        place = self.place_in_lesson(key)
        covering = (a.state for a in self.absences_of(student.id, key.lesson) if a.covers(place))
        return next(covering, student.availability)

    def place_in_lesson(self, key: RoundKey) -> int:
        """The place of a round among all rounds of its lesson, counted from 1."""
        return self.lesson(key.lesson).keys.index(key) + 1

    def round_at(self, lesson: int, place: int) -> RoundKey:
        """The round at a place of a lesson, counted from 1 over all of it (InputError where there is none)."""
        keys = self.lesson(lesson).keys
        what = "lesson {lesson} has rounds 1 to {count}, not {place}"
        require(1 <= place <= len(keys), what, lesson=lesson, count=len(keys), place=place)
        return keys[place - 1]

    def key_of(self, event: Event) -> RoundKey | None:
        """The round whose groups play; None where the lesson or the activity is no more."""
        return self.unit.key_of(event.lesson, event.activity, event.round)

    def round_of(self, event: Event) -> Round | None:
        """The same with its groups; None where it has none any more."""
        key = self.key_of(event)
        return self.plan.by_key.get(key) if key else None

    def planned(self, key: RoundKey) -> Round:
        """The round with its groups (InputError where it has none yet)."""
        require(key in self.plan.by_key, "lesson {lesson} has no groups yet", Remedy.MAKE_GROUPS, lesson=key.lesson)
        return self.plan.by_key[key]

    def has_begun(self, key: RoundKey) -> bool:
        """Whether a round of a lesson that is still open runs or is over: its groups are those that were there."""
        last = 0 if key.lesson in self.taught else self.begun.get(key.lesson, 0)
        return last > 0 and key in self.lesson(key.lesson).keys[:last]

    def begun_in(self, lesson: int) -> int:
        """The last round of an open lesson that has begun, counted from 1; 0 for none."""
        return 0 if lesson in self.taught else min(self.begun.get(lesson, 0), len(self.lesson(lesson).keys))

    def taking_part(self, key: RoundKey) -> tuple[str, ...]:
        """Ids of the students who take part in a round, in roster order."""
        return tuple(student.id for student in self.roster.students if self.state(student, key) == "")

    @cached_property
    def earlier(self) -> EarlierUnits:
        """What earlier units count today."""
        here = (student.id for student in self.roster.students)
        return earlier_of(self.past, self.unit, self.settings.half_life, here)
