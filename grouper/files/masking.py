"""What a teacher has typed, without the names of others: for somebody who may read of one student alone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from grouper.files.name_words import Found, find, replaced, words_of
from grouper.model.roster import Roster, Student

MASK = "[classmate]"
LONG_ENOUGH = 3
"""Shorter ids look like any number."""


@dataclass(frozen=True)
class Others:
    """The words that could stand for classmates of one student, and those that could stand for the student.

    ``shared`` are words of both, such as a given name that two have: such a word tells nobody apart, so that it is
    masked only as part of a classmate's whole name. ``wholes`` are the whole names of classmates: where one name is the
    beginning of another, the longest that stands in a text is the one that is meant.
    """

    others: tuple[str, ...]
    own: tuple[str, ...]
    shared: frozenset[str]
    ids: tuple[str, ...]
    wholes: tuple[str, ...] = ()

    def masked(self, text: str) -> str:
        """The text with a mask in the place of every name and id of a classmate."""
        without_names = replaced(text, self._others_in(text), MASK)
        return self._without_ids(without_names)

    def speaks_of(self, text: str) -> bool:
        """Whether a text names the student, for certain: by a word that no classmate shares."""
        if self._own_whole_in(text):
            return True
        return any(one.word not in self.shared for one in find(replaced(text, self._others_in(text), ""), self.own))

    def may_speak_of(self, text: str) -> bool:
        """Whether a text may name the student: a word of the name stands in it, and not in a classmate's whole name."""
        of_others = [one for one in self._wholes_in(text) if one.word in self.wholes and one.word not in self.own[:1]]
        return any(not _within(one, of_others) for one in find(text, self.own))

    def _own_whole_in(self, text: str) -> list[Found]:
        """Where the student's whole name stands, and no longer name of a classmate; nowhere if two have it."""
        return [one for one in self._wholes_in(text) if one.word in self.own[:1] and one.word not in self.wholes]

    def _wholes_in(self, text: str) -> list[Found]:
        return list(find(text, (*self.wholes, *self.own[:1])))

    def _others_in(self, text: str) -> Iterator[Found]:
        own = self._own_whole_in(text)
        for one in find(text, self.others):
            if _within(one, own):
                continue
            longer = (word for word in self.own if len(word) > len(one.word) and one.whole.startswith(word))
            if next(longer, None) is None:
                yield one

    def _without_ids(self, text: str) -> str:
        for id_ in self.ids:
            text = re.sub(rf"(?<!\w){re.escape(id_)}(?!\w)", MASK, text)
        return text


def _within(one: Found, spans: list[Found]) -> bool:
    return any(span.start <= one.start and one.end <= span.end for span in spans)


def others_of(roster: Roster, student: Student) -> Others:
    """The words for masking all classmates of a student, those who left included."""
    own = words_of(student.name)
    classmates = [other for other in roster.students if other.id != student.id]
    words = dict.fromkeys(word for other in classmates for word in words_of(other.name))
    shared = frozenset(words) & frozenset(own)
    ids = sorted((o.id for o in classmates if len(o.id) >= LONG_ENOUGH), key=lambda id_: (-len(id_), id_))
    wholes = tuple(dict.fromkeys(words_of(other.name)[0] for other in classmates if words_of(other.name)))
    return Others(tuple(word for word in words if word not in shared), own, shared, tuple(ids), wholes)
