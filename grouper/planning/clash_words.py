"""Requests that clash, in sentences: a student with many of them gets one sentence instead of a long list."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from grouper.model.roster import Roster

Asked = tuple[str, tuple[str, str]]
"""``apart`` or ``together``, and the two students by id."""

MANY = 6
"""From so many requests of one kind on, those of one student are said together."""


def request_sentences(roster: Roster, asked: Iterable[Asked]) -> Iterator[str]:
    """A sentence for each request, or for all of one kind that a student with MANY or more of them has.

    Examples
    --------
    >>> from grouper.model.roster import Student
    >>> names = ("Ana", "Ben", "Cem", "Dia", "Eva", "Fin", "Gil")
    >>> roster = Roster(tuple(Student(name.lower(), name) for name in names))
    >>> list(request_sentences(roster, [("apart", ("ana", "ben"))]))
    ['Ana and Ben are to be kept apart']
    >>> asked = [("apart", ("ana", other)) for other in ("ben", "cem", "dia", "eva", "fin", "gil")]
    >>> list(request_sentences(roster, asked))
    ['Ana is to be kept apart from 6 others: Ben, Cem, Dia, Eva, Fin, Gil']
    """
    left = list(asked)
    while left:
        kind, pair = left[0]
        hub = _hub(left, kind)
        if hub is None or hub not in pair:
            yield _of_two(roster, kind, pair)
            left.pop(0)
        else:
            own = [each for each in left if each[0] == kind and hub in each[1]]
            yield _of_many(roster, kind, hub, own)
            left = [each for each in left if each not in own]


def _hub(asked: list[Asked], kind: str) -> str | None:
    """The student with the most requests of a kind, where those are many; the first of several in the list."""
    counts = Counter(student for each, pair in asked if each == kind for student in pair)
    student, times = counts.most_common(1)[0]
    return student if times >= MANY else None


def _of_two(roster: Roster, kind: str, pair: tuple[str, str]) -> str:
    one, other = (roster.name(student) for student in pair)
    return f"{one} and {other} are to be {'kept apart' if kind == 'apart' else 'together'}"


def _of_many(roster: Roster, kind: str, hub: str, asked: list[Asked]) -> str:
    others = [roster.name(one if other == hub else other) for _, (one, other) in asked]
    wish = "kept apart from" if kind == "apart" else "together with"
    return f"{roster.name(hub)} is to be {wish} {len(others)} others: {', '.join(others)}"
