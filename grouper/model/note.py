"""What a teacher wants to remember of a lesson; for the teacher alone."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError

MOST_LETTERS = 2000


@dataclass(frozen=True, order=True)
class Note:
    """A note on a round of a lesson, counted from 1 over its activities, or on the whole lesson (``place`` 0)."""

    lesson: int
    place: int
    text: str

    def __post_init__(self) -> None:
        if not self.text.strip():
            raise InputError("a note needs some words")
        if len(self.text) > MOST_LETTERS:
            raise InputError(
                "a note has at most {most_letters} letters, this one has {count}",
                most_letters=MOST_LETTERS,
                count=len(self.text),
            )
        if self.place < 0:
            raise InputError("rounds of a lesson are counted from 1, got {place}", place=self.place)
