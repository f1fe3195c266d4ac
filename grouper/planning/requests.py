"""What becomes of requests when something changes: none ends, is narrowed or broken without a word."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import inf

from grouper.errors import ImpossibleError
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.renumbering import as_called_in
from grouper.model.request import Request
from grouper.model.roster import Roster
from grouper.planning.clash_words import request_sentences
from grouper.rules.apart import Apart
from grouper.rules.rule import Breach
from grouper.rules.together import Together
from grouper.words import Said

RULES = (Apart(), Together())


def became_of_requests(before: ClassRecord, after: ClassRecord) -> tuple[Said, ...]:
    """A word on each request that a change ended, narrowed or brought back, and for each that it broke.

    None on what ends with a unit where another has begun: that is said before it is ended.
    """
    if not before.requests and not after.requests:
        return ()
    was = as_called_in(before, after.roster)
    said = [*_told(was, after), *newly_broken(was, after)]
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
    return f"{one} and {other} {request.kind}{_lessons(request)}"


def _lessons(request: Request) -> str:
    first, last = request.first_lesson or 1, request.last_lesson
    if last is None:
        return f" from lesson {first} on" if request.first_lesson and first > 1 else ""
    return f" in lesson {first}" if first == last else f" in lessons {first} to {last}"


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
    if any(_covers(other, request) for other in alike):
        return
    now = "; ".join(request_in_words(after.roster, other) for other in alike)
    if now:
        yield _word("The request for {request} is narrowed to: {now}.", words, now=now)
    else:
        yield _word("The request for {request} ends: it is not asked for any more.", words)


def _covers(one: Request, other: Request) -> bool:
    begins = (one.first_lesson or 1) <= (other.first_lesson or 1)
    return begins and (one.last_lesson or inf) >= (other.last_lesson or inf)


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
        if one.pair == other.pair and one.kind != other.kind and _at_once(one, other):
            asked = [(request.kind, request.pair) for request in (one, other)]
            raise ImpossibleError(
                "these requests cannot both be met", clash=tuple(request_sentences(record.roster, asked))
            )


def _at_once(one: Request, other: Request) -> bool:
    begins = max(one.first_lesson or 1, other.first_lesson or 1)
    return begins <= min(one.last_lesson or inf, other.last_lesson or inf)
