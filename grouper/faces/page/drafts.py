"""Rosters that are looked at before they are taken in; only in memory, and gone when the page ends."""

from __future__ import annotations

from dataclasses import dataclass, field
from secrets import token_urlsafe

from grouper.errors import InputError
from grouper.faces.page.kept import Kept
from grouper.planning.recognise import NOBODY_SAID, Told

KEPT = 8


@dataclass(frozen=True)
class Draft:
    """A file as it was given: its name, its bytes, which class of it, what its columns are, and for which class file.

    ``columns`` are meanings by place, empty while the reader's own are fine; ``names`` are mended names by id;
    ``gone`` are the ids of rows that were taken out, with their names; ``left_out`` says what of a pasted list is no
    name;
    ``numbered`` where each row is a student of its own, told apart by a number although there are no ids; ``told`` is
    what the teacher said of who is who in the class that it is for; ``scale`` what ratings in words are worth, None for
    what the class that it is for remembers.
    """

    file: str
    data: bytes
    title: str = ""
    class_name: str = ""
    columns: tuple[str, ...] = ()
    names: dict[str, str] = field(default_factory=dict)
    gone: dict[str, str] = field(default_factory=dict)
    left_out: tuple[str, ...] = ()
    into: str = ""
    numbered: bool = False
    told: Told = NOBODY_SAID
    scale: str | None = None


class Drafts:
    """The last few drafts by their number."""

    def __init__(self) -> None:
        self._kept: Kept[str, Draft] = Kept(KEPT)

    def add(self, draft: Draft) -> str:
        """Keep a draft; its number is returned."""
        number = token_urlsafe(8)
        self._kept.put(number, draft)
        return number

    def get(self, number: str) -> Draft:
        """A draft (InputError where it is gone)."""
        draft = self._kept.get(number)
        if draft is None:
            raise InputError("this roster is no longer held; give the file again")
        return draft

    def put(self, number: str, draft: Draft) -> None:
        """Put a mended draft in the place of another."""
        self.get(number)
        self._kept.put(number, draft)

    def drop(self, number: str) -> None:
        """Let go of a draft."""
        self._kept.take(number)
