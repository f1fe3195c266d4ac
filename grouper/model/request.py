"""What is asked for: requests about two students, and the settings of a class."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError
from grouper.model.texts import MOST_NUMBER, MOST_OF_TITLE

KINDS = ("apart", "together")


@dataclass(frozen=True)
class Request:
    """Two students, by id, to keep ``apart`` or ``together`` from one lesson to another, both included.

    There is no reason on purpose: a request concerns two children.
    """

    kind: str
    student: str
    other: str
    first_lesson: int | None = None
    last_lesson: int | None = None

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise InputError("a request is 'apart' or 'together', not '{kind}'", kind=self.kind)
        if self.student == self.other:
            raise InputError("a request needs two different students, got '{student}' twice", student=self.student)
        if self.first_lesson and self.last_lesson and self.first_lesson > self.last_lesson:
            what = "a request ends in lesson {last_lesson} before it begins in lesson {first_lesson}"
            raise InputError(what, last_lesson=self.last_lesson, first_lesson=self.first_lesson)

    @property
    def pair(self) -> tuple[str, str]:
        """The two students in a fixed order."""
        return (self.student, self.other) if self.student < self.other else (self.other, self.student)

    def holds_in(self, lesson: int) -> bool:
        """Whether the request is meant for this lesson."""
        return (self.first_lesson or lesson) <= lesson <= (self.last_lesson or lesson)


PREFERENCES = ("", "new-partners", "rather-new-partners", "rather-even-teams", "even-teams")
"""The usual order, and four that tilt it: new partners before even teams, or teams as even as can be."""

CLOSENESS = ("mild", "strong", "off")
"""How much more a meeting in a small group counts than one in a large team."""


@dataclass(frozen=True)
class Settings:
    """The choices.

    Parameters
    ----------
    prefer, closeness
        One of the words above.
    half_life
        After so many weeks a meeting of an earlier unit counts half; 0 for earlier units not to count.
    success
        The share of attempts at a task that should succeed, from 0.5 to 0.95: three quarters keep a task worth
        doing (rule of thumb, common practice).
    scale
        What each word of a rating is worth, as in good = 4; empty where ratings are numbers.
    """

    prefer: str = ""
    closeness: str = "mild"
    half_life: float = 12.0
    success: float = 0.75
    scale: tuple[tuple[str, float], ...] = ()

    def __post_init__(self) -> None:
        if self.prefer not in PREFERENCES:
            what, remedy = "'{prefer}' is no preference", "use one of {preferences}, or nothing"
            raise InputError(what, remedy, prefer=self.prefer, preferences=PREFERENCES[1:])
        if self.closeness not in CLOSENESS:
            what = "'{closeness}' is no closeness"
            raise InputError(what, "use {known:or}", closeness=self.closeness, known=CLOSENESS)
        if not 0 <= self.half_life <= 1000:
            what, remedy = "the half-life is {half_life:g} weeks", "use 0 (earlier units do not count) to 1000"
            raise InputError(what, remedy, half_life=self.half_life)
        if not 0.5 <= self.success <= 0.95:
            raise InputError("the share of success is {success:.0%}", "use 50% to 95%", success=self.success)
        for word, worth in self.scale:
            if not 0 < len(word) <= MOST_OF_TITLE or set(word) & set("=,;"):
                raise InputError("'{word}' is no word of a scale", "use letters, without = , ;", word=word)
            if not -MOST_NUMBER <= worth <= MOST_NUMBER:
                what, ends = "'{word}' is worth {worth:g} on the scale", (-MOST_NUMBER, MOST_NUMBER)
                remedy = "use {least:,} to {most_number:,}"
                raise InputError(what, remedy, word=word, worth=worth, least=ends[0], most_number=ends[1])
