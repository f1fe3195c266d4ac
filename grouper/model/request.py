"""What was asked for two students: to be kept apart, or together, in some lessons or in all."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError

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
            raise InputError(
                "a request ends in lesson {last_lesson} before it begins in {first_lesson}",
                last_lesson=self.last_lesson,
                first_lesson=self.first_lesson,
            )

    @property
    def pair(self) -> tuple[str, str]:
        """The two students in a fixed order."""
        return (self.student, self.other) if self.student < self.other else (self.other, self.student)

    def holds_in(self, lesson: int) -> bool:
        """Whether the request is meant for this lesson."""
        return (self.first_lesson or lesson) <= lesson <= (self.last_lesson or lesson)
