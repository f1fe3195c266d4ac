"""Requests that clash or are broken, in sentences: one for a clash however many rounds it is in, and one for all of a
student who has many of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from grouper.model.roster import Roster
from grouper.rules.rule import Breach

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


def breach_sentences(roster: Roster, breaches: Iterable[Breach]) -> Iterator[str]:
    """A sentence for each clash, with all lessons that it is in; one for all requests of a kind of one student.

    Examples
    --------
    >>> from grouper.model.unit import RoundKey
    >>> says = "Ana and Ben are to be kept apart and share a group"
    >>> kept = [Breach("apart", RoundKey(n, 1, 1), ("ana", "ben"), f"lesson {n}: {says}") for n in (1, 2, 3, 5)]
    >>> list(breach_sentences(Roster(()), kept))
    ['lessons 1 to 3 and 5: Ana and Ben are to be kept apart and share a group']
    """
    left = list(breaches)
    while left:
        own = _of_one_clash(left)
        lessons = _lessons([breach.key.lesson for breach in own])
        if len({breach.what for breach in own}) == 1:
            yield f"{lessons}: {own[0].what}"
        else:
            asked = sorted({(breach.rule, (breach.students[0], breach.students[1])) for breach in own})
            yield f"{lessons}, not kept: {next(request_sentences(roster, asked))}"
        left = [breach for breach in left if breach not in own]


def _of_one_clash(breaches: Sequence[Breach]) -> list[Breach]:
    """The first breach and those that are told with it: of the same clash, or of a student with many requests."""
    first = breaches[0]
    asked = list({(b.rule, frozenset(b.students)): (b.rule, (b.students[0], b.students[1])) for b in breaches}.values())
    hub = _hub(asked, first.rule) if first.rule in ("apart", "together") else None
    if hub is not None and hub in first.students:
        return [breach for breach in breaches if breach.rule == first.rule and hub in breach.students]
    return [breach for breach in breaches if (breach.rule, breach.what) == (first.rule, first.what)]


def _lessons(numbers: Iterable[int]) -> str:
    """Numbers of lessons in words: 'lesson 3', 'lessons 1 to 4 and 7'."""
    distinct = sorted(set(numbers))
    runs = [[n for _, n in run] for _, run in groupby(enumerate(distinct), lambda item: item[1] - item[0])]
    parts = [part for run in runs for part in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run))]
    listed = " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)
    return f"lesson{'s' if len(distinct) > 1 else ''} {listed}"
