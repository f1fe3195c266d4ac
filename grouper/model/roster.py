"""Who is in the class: students, what they are rated in, and between which lessons they belong to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from grouper.errors import InputError
from grouper.model.naming import name_words
from grouper.model.texts import MOST_OF_NAME, MOST_OF_TITLE, called, check_id, check_length, check_rating

SIZE_BANDS = ("", "S", "M", "L")
AVAILABILITIES = ("", "aside", "away")
"""Standing availability: takes part, is there but takes no part, is not there until further notice."""


@dataclass(frozen=True)
class Student:
    """One person of the class.

    Parameters
    ----------
    id
        What the school calls the student; text, so that leading zeros stay.
    name
        As shown to people: one line, without what cannot be seen.
    ratings
        Strand to value; a strand that is not there is not rated.
    size_band
        ``S``, ``M``, ``L`` or empty; for the teacher alone.
    availability
        ``""`` takes part, ``"aside"`` is there without taking part, ``"away"`` is not there.
    first_lesson, last_lesson
        The lessons, counted from 1, that the student belongs to; no last one while the student stays.
    """

    id: str
    name: str
    ratings: Mapping[str, float] = field(default_factory=dict, hash=False)
    size_band: str = ""
    availability: str = ""
    first_lesson: int = 1
    last_lesson: int | None = None

    def __post_init__(self) -> None:
        check_id(self.id, "the id of a student")
        object.__setattr__(self, "name", called(self.name, f"the name of student {self.id}", MOST_OF_NAME))
        for strand, value in self.ratings.items():
            check_rating(value, f"the rating of {self.name} in '{strand}'")
        if self.size_band not in SIZE_BANDS:
            raise InputError(
                "size band of {name} is '{size_band}'",
                "use S, M, L or leave it empty",
                name=self.name,
                size_band=self.size_band,
            )
        if self.availability not in AVAILABILITIES:
            raise InputError(
                "availability of {name} is '{availability}'",
                "use aside, away or nothing",
                name=self.name,
                availability=self.availability,
            )

    @property
    def archived(self) -> bool:
        """Whether the student has left the class."""
        return self.last_lesson is not None

    def back_from(self, lesson: int) -> Student:
        """The student in the class again from a lesson on; without a gap where they left just before it or in it."""
        went_on = self.last_lesson is None or self.last_lesson in (lesson - 1, lesson)
        return replace(self, first_lesson=self.first_lesson if went_on else lesson, last_lesson=None)

    def belongs_in(self, lesson: int) -> bool:
        """Whether the student is on the roster in this lesson."""
        return self.first_lesson <= lesson and (self.last_lesson is None or lesson <= self.last_lesson)


@dataclass(frozen=True)
class Roster:
    """The class: its students in roster order (those who left included) and its strands in column order."""

    students: tuple[Student, ...]
    strands: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for strand in self.strands:
            check_length(strand, "the name of a strand", MOST_OF_TITLE)
        seen: set[str] = set()
        for student in self.students:
            if student.id in seen:
                raise InputError(
                    "student id '{id}' appears twice", "give each student an id of their own", id=student.id
                )
            seen.add(student.id)

    @cached_property
    def by_id(self) -> dict[str, Student]:
        """The students by id."""
        return {student.id: student for student in self.students}

    @property
    def active(self) -> tuple[Student, ...]:
        """The students who have not left, in roster order."""
        return tuple(student for student in self.students if not student.archived)

    @property
    def in_unit(self) -> tuple[Student, ...]:
        """Everybody who belongs to a lesson of the unit, in roster order, those who have left since included."""
        return tuple(student for student in self.students if student.last_lesson != 0)

    def name(self, student: str) -> str:
        """The name of the student with this id, with a number where others in the unit have the same name."""
        return self._names[student]

    @cached_property
    def _names(self) -> dict[str, str]:
        alike: dict[tuple[str, ...], list[str]] = {}
        for student in self.in_unit:
            alike.setdefault(tuple(sorted(name_words(student.name))), []).append(student.id)
        numbered = {id_: n for same in alike.values() if len(same) > 1 for n, id_ in enumerate(same, start=1)}
        return {s.id: f"{s.name} ({numbered[s.id]})" if s.id in numbered else s.name for s in self.students}

    def find(self, text: str) -> Student:
        """The student meant by an id or by a name that is unique, upper and lower case alike.

        Raises
        ------
        InputError
            Nobody, or more than one, is meant; the message lists who could be.
        """
        wanted = _folded(text)
        if wanted in self.by_id:
            return self.by_id[wanted]
        named = [student for student in self.students if _folded(student.name).casefold() == wanted.casefold()]
        current = [student for student in named if not student.archived] or named
        if len(current) == 1:
            return current[0]
        raise InputError(self._not_found(text, current))

    def _not_found(self, text: str, named: list[Student]) -> str:
        if named:
            ids = ", ".join(student.id for student in named)
            return f"'{text}' is the name of {len(named)} students; use an id: {ids}"
        return f"no student with the id or name '{text}' in this class{self._near(text)}"

    def _near(self, text: str) -> str:
        from difflib import get_close_matches

        near = get_close_matches(text, self._names.values(), n=3)
        return f"; did you mean {' or '.join(near)}?" if near else "; see the roster for how names are written"

    @cached_property
    def _values(self) -> dict[str, list[float]]:
        """The ratings of those who are in the class, by strand, the lowest first."""
        values: dict[str, list[float]] = {}
        for student in self.active:
            for strand, rating in student.ratings.items():
                values.setdefault(strand, []).append(rating)
        return {strand: sorted(ratings) for strand, ratings in values.items()}

    def span(self, strand: str) -> float:
        """The range of a strand: highest less lowest rating of the students of the class, 0 where none is rated."""
        values = self._values.get(strand)
        return values[-1] - values[0] if values else 0.0

    def middle(self, strand: str) -> float:
        """The median rating of a strand, which stands in for a student who is not rated; 0 where none is."""
        values = self._values.get(strand)
        return values[len(values) // 2] if values else 0.0

    def rating(self, student: str, strand: str) -> float:
        """The student's rating in a strand, or the median of the class where there is none."""
        own = self.by_id[student].ratings.get(strand)
        return self.middle(strand) if own is None else own

    def with_student(self, student: Student) -> Roster:
        """The roster with one student put in the place of the one with the same id, or added at the end."""
        if student.id in self.by_id:
            return replace(self, students=tuple(student if s.id == student.id else s for s in self.students))
        return replace(self, students=(*self.students, student))


def _folded(text: str) -> str:
    return " ".join(text.split())
