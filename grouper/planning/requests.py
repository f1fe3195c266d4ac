"""Requests that clash or are broken, and what becomes of them when something changes: none ends without a word."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, groupby
from math import inf

from grouper.errors import ImpossibleError
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster
from grouper.model.tags import as_called_in
from grouper.rules.rule import Breach
from grouper.rules.together import Apart, Together
from grouper.words import Said

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
            one, other = (roster.name(student) for student in pair)
            yield f"{one} and {other} are to be {'kept apart' if kind == 'apart' else 'together'}"
            left.pop(0)
        else:
            own = [each for each in left if each[0] == kind and hub in each[1]]
            others = [roster.name(one if other == hub else other) for _, (one, other) in own]
            wish = "kept apart from" if kind == "apart" else "together with"
            yield f"{roster.name(hub)} is to be {wish} {len(others)} others: {', '.join(others)}"
            left = [each for each in left if each not in own]


def _hub(asked: list[Asked], kind: str) -> str | None:
    """The student with the most requests of a kind, where those are many; the first of several in the list."""
    counts = Counter(student for each, pair in asked if each == kind for student in pair)
    student, times = counts.most_common(1)[0]
    return student if times >= MANY else None


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
        lessons = _lessons_in_words([breach.key.lesson for breach in own])
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


def _lessons_in_words(numbers: Iterable[int]) -> str:
    """Numbers of lessons in words: 'lesson 3', 'lessons 1 to 4 and 7'."""
    distinct = sorted(set(numbers))
    runs = [[n for _, n in run] for _, run in groupby(enumerate(distinct), lambda item: item[1] - item[0])]
    parts = [part for run in runs for part in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run))]
    listed = " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)
    return f"lesson{'s' if len(distinct) > 1 else ''} {listed}"


RULES = (Apart(), Together())


def became_of_requests(before: ClassRecord, after: ClassRecord) -> tuple[Said, ...]:
    """A word on each request that a change ended, narrowed or brought back, and for each that it broke.

    None on what ends with a unit where another has begun: that is said before it is ended.
    """
    if not before.requests and not after.requests:
        return ()
    was = as_called_in(before, after.roster)
    said = [*_told(was, after), *newly_broken(was, after)]
    # Two requests can come to the same sentence, which is then told once.
    return tuple({str(one): one for one in said}.values())


def request_in_words(roster: Roster, request: Request) -> str:
    """Such as 'Kim and Noor apart in lessons 2 to 4'.

    Examples
    --------
    >>> from grouper.model.roster import Student
    >>> roster = Roster((Student("k", "Kim"), Student("n", "Noor")))
    >>> request_in_words(roster, Request("apart", "k", "n", 2)), request_in_words(roster, Request("together", "n", "k"))
    ('Kim and Noor apart from lesson 2 on', 'Kim and Noor together')
    """
    one, other = sorted((roster.name(student) for student in request.pair), key=str.casefold)
    first, last = request.first_lesson or 1, request.last_lesson
    when = f" from lesson {first} on" if first > 1 else ""
    if last is not None:
        when = f" in lesson {first}" if first == last else f" in lessons {first} to {last}"
    return f"{one} and {other} {request.kind}{when}"


def _told(was: ClassRecord, after: ClassRecord) -> Iterator[Said]:
    left_before, left = ({s.id for s in record.roster.students if s.archived} for record in (was, after))
    another_unit = was.past != after.past
    for request in was.requests:
        words = request_in_words(was.roster, request)
        if request not in after.requests:
            if not another_unit and not left_before.intersection(request.pair):
                yield from _gone(request, words, after)
        elif left.intersection(request.pair) - left_before:
            who = tuple(after.roster.name(s) for s in request.pair if s in left - left_before)
            have = "have" if len(who) > 1 else "has"
            yield _word("The request for {request} ends, as {who} {have} left the class.", words, who=who, have=have)
        elif left_before.intersection(request.pair) and not left.intersection(request.pair):
            yield _word("The request for {request} holds again.", words)
        elif not another_unit and _has_lesson(was, request) and not _has_lesson(after, request):
            yield _word("The request for {request} ends, as the unit has no such lesson any more.", words)


def _word(text: str, request: str, **facts: object) -> Said:
    return Said(text, facts={"request": request, **facts})


def _gone(request: Request, words: str, after: ClassRecord) -> Iterator[Said]:
    """What a request that is there no more gave way to; nothing where another one asks for all that it did."""
    alike = [other for other in after.requests if (other.kind, other.pair) == (request.kind, request.pair)]
    first, last = request.first_lesson or 1, request.last_lesson or inf
    if any((other.first_lesson or 1) <= first and (other.last_lesson or inf) >= last for other in alike):
        return
    now = "; ".join(request_in_words(after.roster, other) for other in alike)
    if now:
        yield _word("The request for {request} is narrowed to: {now}.", words, now=now)
    else:
        yield _word("The request for {request} ends: it is not asked for any more.", words)


def _has_lesson(record: ClassRecord, request: Request) -> bool:
    bounded = request.first_lesson is not None or request.last_lesson is not None
    return not bounded or any(request.holds_in(lesson.number) for lesson in record.unit.lessons)


def broken_requests(record: ClassRecord) -> list[Breach]:
    """Every breach of a request in a round that has groups."""
    if not record.requests:
        return []
    problem = problem_of(record, frozenset())
    return [breach for rule in RULES for breach in rule.breaches(problem, record.plan)]


def newly_broken(before: ClassRecord, after: ClassRecord) -> Iterator[Said]:
    """A word on each request that a round breaks and did not before.

    Nothing on what was taught before anybody asked for it.
    """
    known = {(breach.rule, breach.key, breach.students) for breach in broken_requests(before)}
    for breach in broken_requests(after):
        stood, stands = before.plan.by_key.get(breach.key), after.plan.by_key[breach.key]
        # A request that comes after a lesson was taught is not broken by it.
        as_it_was = breach.key.lesson in after.taught and stood is not None and stood.as_sets == stands.as_sets
        if (breach.rule, breach.key, breach.students) not in known and not as_it_was:
            yield Said("Not kept: {breach}.", facts={"breach": breach.sentence, "lesson": breach.key.lesson})


def refuse_contradictions(record: ClassRecord) -> None:
    """Stop where two of the class are to be apart and together at once.

    Raises
    ------
    ImpossibleError
        With the two requests.
    """
    for one, other in combinations(record.requests, 2):
        begin = max(one.first_lesson or 1, other.first_lesson or 1)
        end = min(one.last_lesson or inf, other.last_lesson or inf)
        if one.pair == other.pair and one.kind != other.kind and begin <= end:
            asked = [(request.kind, request.pair) for request in (one, other)]
            raise ImpossibleError(
                "these requests cannot both be met", clash=tuple(request_sentences(record.roster, asked))
            )
