"""Any small class with any unit, for hypothesis, and any groups for it."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from builders import STRAND, roster_of
from hypothesis import strategies as st

from grouper.model.ledger import PastRound
from grouper.model.noted import Absence
from grouper.model.plan import Group, Plan, Round
from grouper.model.problem import Problem, RoundSpec, problem_of
from grouper.model.record import ClassRecord
from grouper.model.request import CLOSENESS, PREFERENCES, Request, Settings
from grouper.model.roster import Roster
from grouper.model.unit import Activity, Lesson, RoundKey, Unit

_RATINGS = st.none() | st.integers(1, 5) | st.sampled_from((2.5, 3.25, 41.7))

SIDES = ("2+1", "3+2", "2+2+1")


@st.composite
def activities(draw: st.DrawFn, name: str, stays: bool = True, windows: bool = True) -> Activity:
    """An activity with any aim; with ``stays`` false not stay, with ``windows`` false without a gap window."""
    aim = draw(st.sampled_from(("fresh", "balanced", "coaching", "similar", *(("stay", "stay") if stays else ()))))
    rounds = draw(st.integers(1, 2))
    if aim == "stay":
        return Activity(name, aim, rounds=rounds)
    sides = draw(st.sampled_from(("", "", "", *SIDES))) if aim != "coaching" else ""
    if sides:
        edge = draw(st.sampled_from((0, 25, -20))) if aim == "balanced" and sides != "2+2+1" else 0
        return Activity(name, aim, rounds=rounds, strand=STRAND, sides=sides, edge=edge)
    size, teams = draw(st.sampled_from(((1, None), (2, None), (2, None), (3, None), (4, None), (None, 2), (None, 3))))
    ends = ((None, None), (1, None), (None, 2), (1, 2)) if windows and aim == "coaching" else ((None, None),)
    low, high = draw(st.sampled_from(ends))
    return Activity(name, aim, size, teams, rounds, None, STRAND, low, high)


@st.composite
def units(draw: st.DrawFn, stays: bool = True, windows: bool = True) -> Unit:
    """One to three lessons of one or two activities, the first of which does not stay in groups that are not there."""
    lessons = []
    for number in range(1, draw(st.integers(1, 3)) + 1):
        places = range(1, draw(st.integers(1, 2)) + 1)
        drawn = [draw(activities(f"A{place}", stays and (number, place) != (1, 1), windows)) for place in places]
        lessons.append(Lesson(number, tuple(drawn)))
    return Unit(tuple(lessons))


@st.composite
def requests(draw: st.DrawFn, roster: Roster) -> Request:
    """Any request, for some lessons or for all."""
    one, other = draw(st.lists(st.sampled_from([s.id for s in roster.students]), min_size=2, max_size=2, unique=True))
    span = draw(st.sampled_from(((None, None), (None, None), (1, 1), (2, None), (None, 2))))
    return Request(draw(st.sampled_from(("apart", "together"))), one, other, *span)


@st.composite
def records(
    draw: st.DrawFn, fewest: int = 2, most: int = 8, absent: bool = True, stays: bool = True, windows: bool = True
) -> ClassRecord:
    """Any class with a unit, requests and absences, and no plan; without ``absent`` everybody is always there."""
    people = draw(st.integers(fewest, most))
    roster = roster_of(people, draw(st.lists(_RATINGS, min_size=people, max_size=people)))
    unit = draw(units(stays, windows))
    asked = draw(st.lists(requests(roster), max_size=3, unique_by=lambda r: (r.kind, r.pair))) if people > 1 else []
    away = st.builds(
        Absence,
        st.sampled_from([lesson.number for lesson in unit.lessons]),
        st.sampled_from([student.id for student in roster.students]),
    )
    absences = draw(st.lists(away, max_size=2, unique_by=lambda a: (a.lesson, a.student))) if absent else []
    past = tuple(draw(st.lists(past_rounds(roster), max_size=2, unique_by=lambda round_: (round_.unit, round_.key))))
    return ClassRecord(roster, unit, tuple(asked), tuple(absences), settings=draw(any_settings), past=past)


@st.composite
def past_rounds(draw: st.DrawFn, roster: Roster) -> PastRound:
    """A round of an earlier unit, in which anybody may have been with anybody."""
    key, people = RoundKey(draw(st.integers(1, 2)), 1, 1), draw(st.permutations([s.id for s in roster.students]))
    size = draw(st.sampled_from((2, 3)))
    parts = [tuple(people[start : start + size]) for start in range(0, len(people), size)]
    groups = tuple(Group(str(number), members) for number, members in enumerate(parts, start=1))
    return PastRound(draw(st.integers(1, 2)), key, "", "Passing", draw(st.booleans()), groups)


@st.composite
def begun(draw: st.DrawFn, most: int = 8, absent: bool = True, stays: bool = True, odd: bool = True) -> ClassRecord:
    """Such a class in the middle of its unit: rounds pinned and lessons taught, with ``odd`` perhaps in odd groups."""
    record = draw(records(most=most, absent=absent, stays=stays))
    chance = Random(draw(st.integers(0, 10**6)))
    plan = any_plan(problem_of(record), chance)
    keys = [round_.key for round_ in plan.rounds]
    taught = frozenset(range(1, draw(st.integers(0, len(record.unit.lessons))) + 1))
    pinned = frozenset(draw(st.lists(st.sampled_from(keys), max_size=2)))
    odd = odd and draw(st.booleans())
    rounds = (
        replace(
            round_,
            groups=_odd_groups(round_, chance) if odd and round_.key.lesson in taught else round_.groups,
            pinned=round_.key in pinned,
        )
        for round_ in plan.rounds
    )
    return replace(record, plan=Plan(tuple(rounds)), taught=taught)


def _odd_groups(round_: Round, chance: Random) -> tuple[Group, ...]:
    """As a lesson may really have run: any number of groups of any sizes."""
    people = list(round_.students)
    chance.shuffle(people)
    groups: list[Group] = []
    while people:
        size = chance.randint(1, min(4, len(people)))
        groups.append(Group(str(len(groups) + 1), tuple(people[:size])))
        people = people[size:]
    return tuple(groups)


any_settings = st.builds(Settings, st.sampled_from(PREFERENCES), st.sampled_from(CLOSENESS))


def any_plan(problem: Problem, chance: Random) -> Plan:
    """Groups drawn at random for every round of a problem; what is fixed stands, and groups stay that are to stay."""
    rounds: dict[RoundKey, Round] = {}
    for spec in problem.rounds:
        rounds[spec.key] = Round(spec.key, _any_groups(spec, rounds, chance))
    return Plan(tuple(rounds.values()))


def _any_groups(spec: RoundSpec, before: dict[RoundKey, Round], chance: Random) -> tuple[Group, ...]:
    if spec.fixed is not None:
        return spec.fixed.groups
    if spec.leader is not None and set(before[spec.leader].students) == set(spec.students):
        return before[spec.leader].groups
    people = list(spec.students)
    chance.shuffle(people)
    groups = []
    for label, size in enumerate(spec.sizes, start=1):
        groups.append(Group(str(label), tuple(people[:size])))
        people = people[size:]
    return tuple(groups)
