"""What is taught: a unit of lessons, each of activities, each of one or more rounds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import NamedTuple

from grouper.errors import InputError, require
from grouper.model.sides import Sizes, floaters, games_for, in_words, playing, sides_in
from grouper.model.texts import (
    MOST_LESSONS,
    MOST_MINUTES,
    MOST_NUMBER,
    MOST_OF_TITLE,
    MOST_PEOPLE,
    MOST_ROUNDS,
    MOST_ROUNDS_OF_UNIT,
    check_length,
    check_number,
    tidy,
)
from grouper.words import Remedy

AIMS = ("fresh", "balanced", "coaching", "similar", "stay")
YEARS = (1900, 2200)
"""The first and the last year of a lesson: beyond them reckoning with days and weeks comes to an end."""

LEAST_EDGE, MOST_EDGE = -80, 400

CAUTIONS = ("contact", "gymnastics", "striking", "swimming")


class RoundKey(NamedTuple):
    """Which round: lesson, activity of the lesson and round of the activity, each counted from 1.

    Keys sort in the order of play.
    """

    lesson: int
    activity: int
    round: int


def check_date(text: str, whose: str) -> None:
    """Raise InputError where a text is no date written ``YYYY-MM-DD``, or of a year in which nobody teaches."""
    try:
        day = date.fromisoformat(text)
    except ValueError as error:
        raise InputError("{whose}: '{text}' is no date", "write it as 2026-09-14", whose=whose, text=text) from error
    if not YEARS[0] <= day.year <= YEARS[1]:
        what, (first, last) = "{whose}: the year of {text} is no year of a lesson", YEARS
        raise InputError(what, "use {first} to {last}", whose=whose, text=text, first=first, last=last)


@dataclass(frozen=True)
class Activity:
    """A stretch of a lesson with one way of grouping.

    Parameters
    ----------
    name
        As the teacher calls it; unique within its lesson.
    aim
        ``fresh`` new people, ``balanced`` even teams, ``coaching`` across abilities, ``similar`` alike in ability,
        ``stay`` the same groups as before.
    size, groups
        People in a group (1 is alone), or how many teams; exactly one of the two or of ``sides``, none for ``stay``.
    rounds
        How often the class is grouped afresh, at least 1.
    minutes
        Length of a round in minutes; None where it is not known.
    strand
        The rated skill that ``balanced``, ``coaching`` and ``similar`` go by.
    min_gap, max_gap
        For ``coaching``: the window for the difference in ``strand`` within a pair, in rating steps.
    caution
        One of CAUTIONS, ``"none"`` to switch the caution off, or empty to guess it from the name.
    sides
        The sides of one game where they differ on purpose, such as ``5+3`` or ``4+4+1``; empty for none.
    edge
        Of ``balanced`` sides: by how many percent the largest is meant to be stronger in all than the others, below 0
        for weaker.
    """

    name: str
    aim: str = "fresh"
    size: int | None = None
    groups: int | None = None
    rounds: int = 1
    minutes: float | None = None
    strand: str = ""
    min_gap: float | None = None
    max_gap: float | None = None
    caution: str = ""
    sides: str = ""
    edge: int = 0

    def __post_init__(self) -> None:
        check_length(self.name, "the name of an activity", MOST_OF_TITLE)
        if self.sides:
            object.__setattr__(self, "sides", in_words(sides_in(self.sides)))
        check_length(self.strand, "the name of a strand", MOST_OF_TITLE)
        for fault in self._faults():
            raise InputError("activity '{name}': {fault}", name=self.name, fault=fault)
        for what, value, most in (
            ("rounds", self.rounds, MOST_ROUNDS),
            ("minutes", self.minutes, MOST_MINUTES),
            ("size", self.size, MOST_PEOPLE),
            ("groups", self.groups, MOST_PEOPLE),
            ("min_gap", self.min_gap, MOST_NUMBER),
            ("max_gap", self.max_gap, MOST_NUMBER),
        ):
            check_number(value, f"activity '{self.name}': {what}", 0, most)

    def _faults(self) -> list[str]:
        upside_down = self.min_gap is not None and self.max_gap is not None and self.min_gap > self.max_gap
        checks = (
            (not tidy(self.name), "it needs a name"),
            (self.aim not in AIMS, f"the aim '{self.aim}' is not known; use one of {', '.join(AIMS)}"),
            (self.rounds < 1, f"rounds is {self.rounds}; use 1 or more"),
            (self.minutes is not None and self.minutes <= 0, f"minutes is {self.minutes}; use a number above 0"),
            (self.size is not None and self.size < 1, f"size is {self.size}; use 1 or more"),
            (self.groups is not None and self.groups < 1, f"groups is {self.groups}; use 1 or more"),
            (self.size is not None and self.groups is not None, "size and groups are both given; leave one empty"),
            (
                self.aim != "stay" and self.size is None and self.groups is None and not self.sides,
                "it has neither size nor groups nor sides; give one of them",
            ),
            (
                bool(self.sides) and (self.size is not None or self.groups is not None),
                "sides say how large teams are; leave size and groups empty",
            ),
            (bool(self.sides) and self.aim in ("coaching", "stay"), f"the aim {self.aim} has no sides; use another"),
            (not LEAST_EDGE <= self.edge <= MOST_EDGE, f"edge is {self.edge}; use {LEAST_EDGE} to {MOST_EDGE} percent"),
            (bool(self.edge) and self.aim != "balanced", "an edge is for balanced sides; use the aim balanced"),
            (
                bool(self.edge) and len(set(self.playing)) < 2,
                "an edge is for the largest of sides that differ, such as 5+3",
            ),
            (self.aim in ("balanced", "coaching", "similar") and not self.strand, f"the aim {self.aim} needs a rating"),
            (upside_down, f"min_gap {self.min_gap} is above max_gap {self.max_gap}"),
            (self.caution not in ("", "none", *CAUTIONS), f"the caution '{self.caution}' is not known"),
        )
        return [message for wrong, message in checks if wrong]

    @property
    def in_pairs(self) -> bool:
        """Whether people work in pairs, with one trio in an odd class."""
        return self.size == 2

    @property
    def playing(self) -> Sizes:
        """The sides of one game without the floaters, the largest first; empty where sides do not differ on purpose."""
        return playing(sides_in(self.sides)) if self.sides else ()


@dataclass(frozen=True)
class Lesson:
    """One lesson: its number from 1, its activities in order, its date as ``YYYY-MM-DD`` or empty."""

    number: int
    activities: tuple[Activity, ...]
    date: str = ""

    def __post_init__(self) -> None:
        names = [activity.name for activity in self.activities]
        twice = sorted({name for name in names if names.count(name) > 1})
        if not 1 <= self.number <= MOST_LESSONS:
            what = "lesson number {number}: lessons are counted from 1 to {most_lessons}"
            raise InputError(what, number=self.number, most_lessons=MOST_LESSONS)
        if self.date:
            check_date(self.date, f"lesson {self.number}")
        if not names:
            raise InputError("lesson {number} has no activity", number=self.number)
        if twice:
            what = "lesson {number}: the activity '{twice}' appears twice"
            raise InputError(what, "give each its own name", number=self.number, twice=twice[0])

    @cached_property
    def keys(self) -> tuple[RoundKey, ...]:
        """The lesson's rounds in the order of play."""
        return tuple(
            RoundKey(self.number, place, number)
            for place, activity in enumerate(self.activities, start=1)
            for number in range(1, activity.rounds + 1)
        )


@dataclass(frozen=True)
class Unit:
    """A series of lessons in the order of their numbers."""

    lessons: tuple[Lesson, ...]

    def __post_init__(self) -> None:
        numbers = [lesson.number for lesson in self.lessons]
        if numbers != sorted(set(numbers)):
            raise InputError("lessons must be in order, each number once", "got {numbers}", numbers=numbers)
        rounds = sum(activity.rounds for lesson in self.lessons for activity in lesson.activities)
        if rounds > MOST_ROUNDS_OF_UNIT:
            what, most = "the unit has {rounds:,} rounds", MOST_ROUNDS_OF_UNIT
            raise InputError(what, "use {most_rounds_of_unit:,} at most", rounds=rounds, most_rounds_of_unit=most)

    @cached_property
    def keys(self) -> tuple[RoundKey, ...]:
        """All rounds of the unit in the order of play."""
        return tuple(key for lesson in self.lessons for key in lesson.keys)

    def key_of(self, lesson: int, activity: str, number: int) -> RoundKey | None:
        """The key of a round of an activity by its name; None where the unit has no such activity."""
        for each in self.lessons:
            names = [one.name for one in each.activities]
            if each.number == lesson and activity in names:
                return RoundKey(lesson, names.index(activity) + 1, number)
        return None

    def lesson(self, number: int) -> Lesson:
        """The lesson with this number.

        Raises
        ------
        InputError
            The unit has no such lesson.
        """
        for lesson in self.lessons:
            if lesson.number == number:
                return lesson
        require(bool(self.lessons), "the class has no lessons yet", Remedy.NAME_LESSONS)
        have = ", ".join(str(lesson.number) for lesson in self.lessons)
        raise InputError("there is no lesson {number} in this unit", "its lessons are {have}", number=number, have=have)

    def activity(self, key: RoundKey) -> Activity:
        """The activity that a round belongs to."""
        return self.lesson(key.lesson).activities[key.activity - 1]

    def shaping(self, key: RoundKey) -> Activity:
        """The activity that says how large the groups of a round are: an earlier one where they stay."""
        found = self.activity(key)
        for other in reversed(self.keys[: self.keys.index(key)]):
            if found.aim != "stay":
                break
            found = self.activity(other)
        return found


def sizes_for(activity: Activity, people: int) -> tuple[int, ...]:
    """Sizes of the groups of a round, largest first.

    Groups differ by at most one unless the activity has sides. With size 2 an odd class gets one trio; with a larger
    size no group is larger, so that there are ceil(people / size) groups.

    Examples
    --------
    >>> sizes_for(Activity("Passing", size=2), 7)
    (3, 2, 2)
    >>> sizes_for(Activity("Relay", size=4), 10)
    (4, 3, 3)
    >>> sizes_for(Activity("Game", groups=3), 10)
    (4, 3, 3)
    >>> sizes_for(Activity("Attack", sides="5+3"), 16)
    (5, 5, 3, 3)
    """
    if people == 0:
        return ()
    if activity.sides:
        return tuple(sorted((side for game in games_of(activity, people) for side in game), reverse=True))
    if activity.size is None and activity.groups is None:
        raise InputError("activity '{name}' has no size of its own", name=activity.name)
    # An odd class in pairs has one trio in the place of somebody alone.
    groups = max(1, people // 2) if activity.size == 2 else -(-people // (activity.size or 1))
    if activity.groups is not None:
        groups = min(activity.groups, people)
    small, larger = divmod(people, groups)
    return (small + 1,) * larger + (small,) * (groups - larger)


def games_of(activity: Activity, people: int) -> tuple[Sizes, ...]:
    """The sides of each game, floaters last, where an activity has sides; so many people play in all."""
    return games_for(sides_in(activity.sides), people)


def large_and_small(activity: Activity, sizes: Sizes) -> tuple[frozenset[int], frozenset[int]]:
    """Of the sizes of a round with sides: those of the largest sides, and those of smaller ones; floaters are neither.

    Examples
    --------
    >>> large_and_small(Activity("Attack", sides="5+3"), (5, 5, 4, 3, 3, 3))
    (frozenset({4, 5}), frozenset({3}))
    """
    asked = sides_in(activity.sides)
    games = games_of(activity, sum(sizes))
    least = min((side for game in games for side, was in zip(game, asked, strict=False) if was == asked[0]), default=1)
    playing_sizes = frozenset(sizes) - floating(activity, sizes)
    return frozenset(s for s in playing_sizes if s >= least), frozenset(s for s in playing_sizes if s < least)


def floating(activity: Activity, sizes: Sizes) -> frozenset[int]:
    """The sizes, one or none, of groups that are a floater; where all are ones they play each other."""
    has_floater = bool(activity.sides) and floaters(sides_in(activity.sides)) > 0
    return frozenset({1}) if has_floater and max(sizes, default=0) > 1 else frozenset()
