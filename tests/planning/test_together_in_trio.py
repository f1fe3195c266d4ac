"""Coaching pairs and requests that a gap window rules out: a plan wherever brute force finds one, reasons elsewhere.

Two who are to be together and differ by too little or too much can be no pair. In an odd class the trio takes them, as
a trio is no breach of the window; so there is room for two such students, or for three who are chained.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, combinations_with_replacement
from random import Random

import pytest
from builders import STRAND, apart, hasty, key, pairs, partitions, quick, record_of, roster_of, together

from grouper.errors import ImpossibleError
from grouper.model.ledger import ledger_of
from grouper.model.plan import Plan, Round
from grouper.model.problem import RoundSpec, problem_of
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Student
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.attend import absent, join, leave
from grouper.planning.plan import parted, plan_unit
from grouper.planning.repair import Repair
from grouper.rules.referee import judge

RATINGS = (2, 2, 1, 1, 3, 3, 4, 4, 5)
"""Of nine: s01 and s02 are alike, as are s03 and s04, s05 and s06."""

WINDOW = f"coaching pairs of 'Peer work' are to differ in {STRAND} by 1 to 2"


def coaching(rounds: int = 1, low: float | None = 1, high: float | None = 2) -> Activity:
    return Activity("Peer work", "coaching", size=2, rounds=rounds, strand=STRAND, min_gap=low, max_gap=high)


def nine(*requests: Request, rounds: int = 3) -> ClassRecord:
    return record_of(roster_of(9, RATINGS), coaching(rounds), requests=requests)


def trios(plan: Plan) -> list[set[str]]:
    return [set(group.members) for round_ in plan.rounds for group in round_.groups if len(group.members) == 3]


# --- on paper ---


@pytest.mark.parametrize(("low", "high"), [(1, 2), (0.5, 2), (1, 4), (1, None)])
def test_two_alike_are_in_the_trio_of_every_round(low: float, high: float | None) -> None:
    """Nine, a window that begins above 0, two of one rating who are to be together: both are in all three trios."""
    record = record_of(roster_of(9, RATINGS), coaching(3, low, high), requests=(together("s01", "s02"),))
    found = trios(hasty(record).plan)
    assert len(found) == 3
    assert all({"s01", "s02"} <= trio for trio in found)


def test_no_three_rounds_have_fewer_repeats() -> None:
    """Over all three rounds of groups in which the request and the window hold: the fewest repeats, by brute force.

    It is 3: two of the request, and one as only two of the nine can work with s09.
    """
    record = nine(together("s01", "s02"))
    spec = problem_of(record).rounds[0]
    valid = [groups for groups in partitions(spec.students, spec.sizes) if fits(record, spec, groups)]
    met = [[pair for group in groups for pair in combinations(group, 2)] for groups in valid]
    least = min(18 - len({*one, *two, *three}) for one, two, three in combinations_with_replacement(met, 3))
    assert ledger_of(quick(record).plan.rounds).repeats == least == 3


def test_a_large_class_over_several_lessons() -> None:
    """Twenty-seven, four rounds of coaching between two lessons of four rounds in pairs, two who are alike.

    They meet in each of the twelve rounds, which makes 11 repeats, and nobody else meets twice.
    """
    ratings = [1 + number % 5 for number in range(27)]
    unit = Unit((Lesson(1, (pairs(4),)), Lesson(2, (coaching(4),)), Lesson(3, (pairs(4),))))
    planned = quick(ClassRecord(roster_of(27, ratings), unit, (together("s01", "s06"),)))
    assert all({"s01", "s06"} <= trio for trio in trios(Plan(planned.plan.of_lesson(2))))
    assert ledger_of(planned.plan.rounds).repeats == 11


def test_two_such_requests_do_not_fit_in_one_trio() -> None:
    """Four students and a trio: the two requests and the window clash, and the third request has no part in it."""
    with pytest.raises(ImpossibleError) as caught:
        quick(nine(together("s01", "s02"), together("s03", "s04"), apart("s05", "s09")))
    assert caught.value.smallest
    assert sorted(caught.value.clash) == sorted(
        ("Student 01 and Student 02 are to be together", "Student 03 and Student 04 are to be together", WINDOW)
    )


def test_an_even_class_has_no_trio() -> None:
    """Eight, and two alike who are to be together: the request and the window clash."""
    record = record_of(roster_of(8, RATINGS[:8]), coaching(), requests=(together("s01", "s02"),))
    with pytest.raises(ImpossibleError) as caught:
        quick(record)
    assert sorted(caught.value.clash) == sorted(("Student 01 and Student 02 are to be together", WINDOW))


def test_a_request_that_holds_only_where_groups_stay() -> None:
    """A round of lesson 2 stays in the groups of coaching in lesson 1: the request for it puts the two in the trio."""
    unit = Unit((Lesson(1, (coaching(),)), Lesson(2, (Activity("Again", "stay"),))))
    planned = quick(ClassRecord(roster_of(9, RATINGS), unit, (together("s01", "s02", 2, 2),)))
    first, second = planned.plan.rounds
    assert first.as_sets == second.as_sets
    assert {"s01", "s02"} <= trios(planned.plan)[0]


def test_two_such_requests_where_groups_stay() -> None:
    """The same with two requests, one a lesson: the groups cannot stay and keep both, and the command says so."""
    unit = Unit((Lesson(1, (coaching(),)), Lesson(2, (Activity("Again", "stay"),))))
    asked = (together("s01", "s02", 1, 1), together("s03", "s04", 2, 2))
    with pytest.raises(ImpossibleError) as caught:
        quick(ClassRecord(roster_of(9, RATINGS), unit, asked))
    assert len(caught.value.clash) == 3


def test_absence_in_the_trio_leaves_the_two_together() -> None:
    """The third of the trio is away, and one of another pair: who is left over of that pair joins the two."""
    planned = quick(nine(together("s01", "s02"), rounds=1))
    (third,) = trios(planned.plan)[0] - {"s01", "s02"}
    pair = next(group.members for group in planned.plan.rounds[0].groups if len(group.members) == 2)
    for away, lone in (pair, pair[::-1]):
        mended = absent(planned, 1, (third, away)).record
        assert trios(mended.plan) == [{"s01", "s02", lone}]


# --- any small class, against brute force ---


def any_class(chance: Random) -> ClassRecord:
    """Three to nine students, a window, up to four requests, often for two whom the window bars from being a pair."""
    people = chance.choice((3, 5, 5, 7, 7, 7, 9, 4, 6, 8))
    ratings = [chance.choice((1, 2, 2, 3, 4, 5, None)) for _ in range(people)]
    low, high = chance.choice(((1, 2), (0.5, 2), (1, 4), (2, None), (1, None), (None, 1), (0, 2), (None, None)))
    lessons = tuple(Lesson(number, _activities(chance, low, high)) for number in range(1, chance.randint(1, 2) + 1))
    record = ClassRecord(roster_of(people, ratings), Unit(lessons))
    return replace(record, requests=tuple(_requests(record, chance)))


def _requests(record: ClassRecord, chance: Random) -> Iterator[Request]:
    """At first for two who are barred, in half of the classes; each for all lessons or for the second."""
    two = list(combinations([student.id for student in record.roster.students], 2))
    chance.shuffle(two)
    if chance.random() < 0.5:
        two.sort(key=lambda pair: _in_window(record, record.unit.lessons[0].activities[0], pair))
    for number, pair in enumerate(two[: chance.choice((0, 1, 1, 2, 2, 3, 4))]):
        kind = together if number == 0 else chance.choice((together, together, apart))
        yield kind(*pair, *chance.choice(((None, None), (None, None), (2, 2))))


def _activities(chance: Random, low: float | None, high: float | None) -> tuple[Activity, ...]:
    others = (Activity("Again", "stay"), pairs())
    return (coaching(chance.randint(1, 2), low, high), *(other for other in others if chance.random() < 0.25))


def fits(record: ClassRecord, spec: RoundSpec, groups: tuple[tuple[str, ...], ...], window: bool = True) -> bool:
    """Whether groups keep what must hold in a round, by a count made here."""
    place = {student: number for number, group in enumerate(groups) for student in group}
    asked = [r for r in record.requests if r.holds_in(spec.key.lesson) and {*r.pair} <= place.keys()]
    alone = spec.sizes[0] == 1
    kept = all(
        (place[r.student] == place[r.other]) == (r.kind == "together") or (alone and r.kind == "together")
        for r in asked
    )
    return kept and (not window or all(_in_window(record, spec.activity, group) for group in groups))


def _in_window(record: ClassRecord, activity: Activity, group: tuple[str, ...]) -> bool:
    if activity.aim != "coaching" or len(group) != 2:
        return True
    one, other = (record.roster.rating(student, STRAND) for student in group)
    low, high = activity.min_gap or 0, 99 if activity.max_gap is None else activity.max_gap
    return low <= abs(one - other) <= high


def can_be_planned(record: ClassRecord) -> bool:
    """Whether every round, together with those that stay in its groups, has groups in which all holds."""
    specs = problem_of(record).rounds
    alike = [[spec, *(other for other in specs if other.leader == spec.key)] for spec in specs if spec.leader is None]
    return all(
        any(
            all(fits(record, spec, groups) for spec in same)
            for groups in partitions(same[0].students, same[0].sizes)
        )
        for same in alike
    )


def planned_or_reasons(record: ClassRecord) -> ClassRecord | ImpossibleError:
    try:
        return plan_unit(record, effort="quick", watch=lambda used, cost: used < 0.02).record
    except ImpossibleError as error:
        return error


def plain(round_: Round) -> tuple[tuple[str, ...], ...]:
    return tuple(group.members for group in round_.groups)


CASES = [any_class(Random(seed)) for seed in range(120)]


def test_planning_ends_in_a_valid_plan_or_in_reasons() -> None:
    """A plan exactly where brute force finds groups for every round; it keeps all by a count made here."""
    ends = set()
    for number, record in enumerate(CASES):
        found = planned_or_reasons(record)
        ends.add(type(found))
        assert isinstance(found, ClassRecord) == can_be_planned(record), number
        if isinstance(found, ImpossibleError):
            assert found.clash, number
        else:
            specs = problem_of(found).by_key
            assert all(fits(found, specs[r.key], plain(r)) for r in found.plan.rounds), number
    assert ends == {ClassRecord, ImpossibleError}


def only_in_the_trio(record: ClassRecord) -> bool:
    """Whether a plan can be made, and two are to be together whom the window bars from being a pair."""
    last = record.unit.lessons[-1]
    asked = [r.pair for r in record.requests if r.kind == "together" and r.holds_in(last.number)]
    return any(not _in_window(record, last.activities[0], pair) for pair in asked) and can_be_planned(record)


def test_cases_have_two_who_fit_only_in_the_trio() -> None:
    """The cases are about something: twenty or more can be planned and bar two from being a pair who are together."""
    assert sum(map(only_in_the_trio, CASES)) >= 20


def changes(record: ClassRecord, chance: Random) -> list[tuple[str, ClassRecord | Repair | ImpossibleError]]:
    """What a teacher may do to a plan on the day, each by itself."""
    ids = [student.id for student in record.roster.students]
    one, other = chance.sample(ids, 2)
    new = Student("zoe", "Zoe", {STRAND: chance.randint(1, 5)})
    asked = replace(record, requests=(*record.requests, together(one, other)))
    verbs = {
        "absent": lambda: absent(record, 1, (one,)),
        "two absent": lambda: absent(record, 1, (one, other)),
        "join": lambda: join(record, new, 1),
        "leave": lambda: leave(record, one, 1),
        "parted": lambda: parted(record, 1, one, other),
        "asked": lambda: hasty_from(asked),
    }
    return [(name, _done(verb)) for name, verb in verbs.items()]


def hasty_from(record: ClassRecord) -> ClassRecord:
    """All rounds improved from how they stand, with hardly any work."""
    return plan_unit(record, free=frozenset(record.plan.by_key), watch=lambda used, cost: used < 0.02).record


def _done(verb):  # type: ignore[no-untyped-def]
    try:
        return verb()
    except ImpossibleError as error:
        return error


def test_what_is_done_on_the_day_ends_in_a_valid_plan_or_in_reasons() -> None:
    """Requests hold in every round after a repair, a quarrel and a new request, by a count made here; else reasons.

    Windows may be widened on the day, so that repairs are counted without them.
    """
    ends = set()
    for seed, record in enumerate(record for record in CASES if only_in_the_trio(record)):
        planned = planned_or_reasons(record)
        assert isinstance(planned, ClassRecord), seed
        for name, found in changes(planned, Random(seed)):
            ends.add((name, type(found) is ImpossibleError))
            if isinstance(found, ImpossibleError):
                assert found.clash, (seed, name)
                continue
            after = found.record if isinstance(found, Repair) else found
            specs = problem_of(after).by_key
            window = name in ("parted", "asked")
            assert all(fits(after, specs[r.key], plain(r), window) for r in after.plan.rounds), (seed, name)
    assert {name for name, impossible in ends if not impossible} == {name for name, _ in ends}
    assert ("parted", True) in ends and ("asked", True) in ends


def test_repair_on_the_day_is_accepted_by_the_referee() -> None:
    """Seven, two in the trio who must be, whoever else is away for a day: the groups are accepted as they stand."""
    record = record_of(roster_of(7, (2, 2, 1, 3, 4, 1, 3)), coaching(2), requests=(together("s01", "s02"),))
    planned = quick(record)
    for away in combinations(("s03", "s04", "s05", "s06", "s07"), 2):
        mended = absent(planned, 1, away)
        assert all({"s01", "s02"} <= trio for trio in trios(mended.record.plan)), away
        if not mended.remarks:
            assert judge(problem_of(mended.record), mended.record.plan).accepted, away
        assert mended.record.plan.by_key[key(1)].sizes == (3, 2)
