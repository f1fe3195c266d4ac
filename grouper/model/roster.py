"""Who is in the class, and whether two names mean one person: however they are written, in whatever order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from difflib import SequenceMatcher, get_close_matches
from functools import cached_property, lru_cache
from unicodedata import combining, normalize

from grouper.errors import InputError, require
from grouper.model.texts import MOST_OF_NAME, MOST_OF_TITLE, called, check_id, check_length, check_rating

_LETTERS = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "ı": "i", "æ": "ae", "œ": "oe", "þ": "th"})
"""Letters that no form of Unicode takes apart into a plain one and a mark."""

ALIKE = 0.85
"""From this share of common letters on two names may be one person's, mistyped (chosen by trial on invented names)."""

MUCH_THE_SAME = 0.6
"""A name that an id has had and the one that it has now, where they have no word in common: 'Jo' and 'Joe'."""


@lru_cache(maxsize=4096)
def name_words(name: str) -> tuple[str, ...]:
    """The words of a name in order, without accents, case and punctuation.

    Examples
    --------
    >>> name_words("Groß, Zoë-Marie"), name_words("Søren  ŁUKASZ")
    (('gross', 'zoe', 'marie'), ('soren', 'lukasz'))
    """
    letters = normalize("NFKD", normalize("NFKC", name).casefold()).translate(_LETTERS)
    plain = "".join(sign if sign.isalnum() else " " for sign in letters if not combining(sign))
    return tuple(plain.split())


def are_one_name(one: str, other: str) -> bool:
    """Whether two names have the same words, in either order; a name without any word is nobody else's.

    Examples
    --------
    >>> are_one_name("Núñez, Ana", "ana nunez"), are_one_name("Ana", "Ana Núñez")
    (True, False)
    """
    words = sorted(name_words(one))
    return bool(words) and words == sorted(name_words(other))


def is_part_of(one: str, other: str) -> bool:
    """Whether all words of one of the two names stand in the other, as in 'Kim' and 'Kim Stone'."""
    few, many = sorted((set(name_words(one)), set(name_words(other))), key=len)
    return bool(few) and few <= many


def may_be_one(one: str, other: str) -> bool:
    """Whether two names are so much alike that one may be the other, mistyped."""
    return _are_alike(one, other, ALIKE)


def is_renamed(was: str, now: str) -> bool:
    """Whether somebody with one id may have changed from one name to the other: a word of it stayed, or most letters.

    Examples
    --------
    >>> is_renamed("Kim Jung", "Kim Jung-Alt"), is_renamed("Ben Adler", "Cleo Falk")
    (True, False)
    """
    return bool(set(name_words(was)) & set(name_words(now))) or _are_alike(was, now, MUCH_THE_SAME)


def _are_alike(one: str, other: str, share: float) -> bool:
    letters = SequenceMatcher(None, " ".join(sorted(name_words(one))), " ".join(sorted(name_words(other))))
    return letters.real_quick_ratio() >= share and letters.quick_ratio() >= share and letters.ratio() >= share


def kept_name(was: str, now: str) -> str:
    """How somebody is called whose name is written anew: with the accents and the capitals that one of the two has.

    Where the order of the words differs, the one that is known stays.

    Examples
    --------
    >>> kept_name("Zoë Lam", "ZOE LAM"), kept_name("Zoe Lam", "Zoë Lam"), kept_name("Ana Ruiz", "Ruiz Ana")
    ('Zoë Lam', 'Zoë Lam', 'Ana Ruiz')
    """
    if name_words(was) != name_words(now):
        return was if are_one_name(was, now) else now
    return was if _shouts(now) > _shouts(was) or now == was.lower() or _marks(was) > _marks(now) else now


def _shouts(name: str) -> int:
    """How many words are in capitals, as offices write family names."""
    return sum(word.isupper() and len(word) > 2 for word in name.split())


def _marks(name: str) -> int:
    return sum(not sign.isascii() for sign in normalize("NFC", name))


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
            what, remedy = "size band of {name} is '{size_band}'", "use S, M, L or leave it empty"
            raise InputError(what, remedy, name=self.name, size_band=self.size_band)
        if self.availability not in AVAILABILITIES:
            what, remedy = "availability of {name} is '{availability}'", "use aside, away or nothing"
            raise InputError(what, remedy, name=self.name, availability=self.availability)

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
                what = "student id '{id}' appears twice"
                raise InputError(what, "give each student an id of their own", id=student.id)
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

    def check_strand(self, strand: str) -> None:
        """Raise InputError where the class has no rating of this name."""
        have = ", ".join(self.strands)
        known = "its ratings are {have}" if have else "it has none yet"
        require(strand in self.strands, "there is no rating '{strand}' in this class", known, strand=strand, have=have)

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
        # Spreadsheets take the zeros off 007.
        bare = wanted.lstrip("0")
        named = named or [student for student in self.students if wanted.isdigit() and student.id.lstrip("0") == bare]
        current = [student for student in named if not student.archived] or named
        if len(current) == 1:
            return current[0]
        if current:
            ids, meant = ", ".join(student.id for student in current), len(current)
            raise InputError("'{text}' may be {meant:student}", "use an id: {ids}", text=text, meant=meant, ids=ids)
        known = {name.casefold(): name for name in self._names.values()}
        # A given name alone will do for a command, so it is looked for among given names too.
        known |= {word.casefold(): name for name in self._names.values() for word in name.split()[:1]}
        near = dict.fromkeys(known[word] for word in get_close_matches(wanted.casefold(), known, n=3))
        # A name may have braces in it, so that it is a fact, and no part of the sentence.
        way = f"did you mean {' or '.join(near)}?" if near else "see the roster for how names are written"
        raise InputError("no student with the id or name '{text}' in this class", "{known}", text=text, known=way)

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
        # Of two in the middle the upper one: a rating that somebody has, and no step between two.
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
