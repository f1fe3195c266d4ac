"""How fair a plan is: repeats, partners, even teams and turns, each beside what no plan can beat."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from grouper.engines.board import Board
from grouper.engines.bounds import Bounds, bounds_of, fewest_in_a_lesson, fewest_met_before
from grouper.engines.kinds import least_repeats_with_even_teams, least_weighed, weighed
from grouper.engines.proof import Told, proven_bounds
from grouper.model.ledger import ledger_of
from grouper.model.plan import Group, Plan, Round
from grouper.model.problem import Problem, RoundSpec, problem_of
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.model.unit import RoundKey
from grouper.planning.mending import board_for
from grouper.planning.turns import Turns, coach_turns_of, side_turns_of, trio_turns_of
from grouper.rules.balanced import TOLERANCE, parts_of
from grouper.rules.catalogue import RULES
from grouper.rules.coaching import Coaching
from grouper.rules.referee import judge
from grouper.rules.rule import Breach


def hindsight(
    record: ClassRecord, prove: bool = False, effort: float | None = None, told: Told | None = None
) -> Bounds:
    """What no plan could have beaten for the rounds of a record, with the students and group sizes that they had.

    Rounds that were taught count as free here, unlike in ``fairness_of``: there they are as they are, and a bound that
    takes them as given cannot say how good they were. By counting, in a blink; with ``prove`` also by exact cover where
    the class is small, which can take seconds and may give a higher bound: see ``proven_bounds`` for ``effort`` and
    ``told``.
    """
    board, reached = board_for(answered(in_hindsight(record), record.plan)), ledger_of(record.plan.rounds).meeting_cost
    return proven_bounds(board, reached, effort, told) if prove else bounds_of(board)


def in_hindsight(record: ClassRecord) -> Problem:
    """The problem that the rounds of a record posed, with the students and group sizes that they had."""
    settled = problem_of(record, frozenset())
    return replace(settled, rounds=tuple(replace(spec, fixed=None) for spec in settled.rounds))


def answered(problem: Problem, plan: Plan) -> Problem:
    """The problem that a plan really answers, so that what no plan can beat holds for this plan as well.

    A plan that was changed by hand, or is older than the roster or the requests, differs from what would be asked for
    today. Its own people and sizes count in every round, groups stay only where they did, and what it breaks anywhere
    is not asked for. Rounds without groups are left out.
    """
    specs = tuple(_answered(spec, plan) for spec in problem.rounds if spec.key in plan.by_key)
    settled = tuple(replace(spec, fixed=plan.by_key[spec.key]) for spec in specs)
    breaches = judge(replace(problem, rounds=settled), plan).breaches
    broken, keys = {frozenset(breach.students) for breach in breaches}, {breach.key for breach in breaches}
    kept = tuple(request for request in problem.requests if frozenset(request.pair) not in broken)
    eased = tuple(_any_groups(spec) if spec.key in keys and spec.activity.aim == "coaching" else spec for spec in specs)
    return replace(problem, rounds=eased, requests=kept)


def _answered(spec: RoundSpec, plan: Plan) -> RoundSpec:
    if spec.fixed is not None:
        return spec
    round_ = plan.by_key[spec.key]
    there = set(round_.students)
    students = spec.students if there == set(spec.students) else tuple(sorted(there))
    own = replace(spec, students=students, sizes=round_.sizes)
    leader = plan.by_key.get(spec.leader) if spec.leader else None
    if spec.activity.aim != "stay" or (leader and leader.as_sets == round_.as_sets):
        return own
    return _any_groups(own)


def _any_groups(spec: RoundSpec) -> RoundSpec:
    """The round without anything that its activity asks of who is with whom."""
    largest = max(spec.sizes, default=1)
    whatever = replace(spec.activity, aim="fresh", size=largest, groups=None, sides="", edge=0)
    return replace(spec, activity=whatever, leader=None)


REQUESTS = ("apart", "together")
"""The rules that hold what was asked for two students."""


@dataclass(frozen=True)
class Spread:
    """How far the team averages of a round are apart, and the tolerance, in steps of the strand.

    Of sides that differ on purpose: how far their totals are, each shared out over as many as a side has on average.
    """

    key: RoundKey
    activity: str
    strand: str
    spread: float
    tolerance: float


@dataclass(frozen=True)
class Fairness:
    """A plan as it stands now, taught lessons included.

    Parameters
    ----------
    repeats, meetings, meeting_cost
        Meetings after the first, all of them, and the sum over pairs of C(m, 2); every round
        counts, those that stay too.
    bounds
        What no plan for the same rounds and students can beat, taught and pinned rounds being as they are.
    breaches
        Requests and gap windows that do not hold. Windows are judged by the ratings of today, of lessons taught too, as
        those of the day are not kept; the sentence says so.
    partners
        By student: with how many different others.
    had_the_chance
        Those whose partners are compared: who has been in the class in every lesson with groups and still is; who left
        or came in between did not have the lessons for it.
    most_meetings
        Of the two who meet most.
    spreads
        Of the balanced rounds.
    trio, coach, sides
        Turns in a trio of an odd class, as coach, and on a smaller side or as floater, beside the least that fewest and
        most can differ; None where the unit has none.
    twice_in_a_lesson
        Meetings of two who met already in the same lesson, groups that stay on purpose not counted.
    fewest_twice_in_a_lesson
        The fewest of those that any plan for the same rounds can have.
    met_in_earlier_units
        Meetings of two who met in an earlier unit of the class already; None where there was none.
    fewest_met_in_earlier_units
        The fewest of those that a plan without more repeats can have; None where there was no earlier unit.
    """

    repeats: int
    meetings: int
    meeting_cost: int
    bounds: Bounds
    breaches: tuple[Breach, ...]
    partners: dict[str, int]
    had_the_chance: frozenset[str]
    most_meetings: int
    spreads: tuple[Spread, ...]
    trio: Turns | None
    coach: Turns | None
    twice_in_a_lesson: int
    fewest_twice_in_a_lesson: int
    met_in_earlier_units: int | None
    fewest_met_in_earlier_units: int | None
    sides: Turns | None = None

    @property
    def broken_requests(self) -> tuple[Breach, ...]:
        """Requests to keep two apart or together that do not hold."""
        return tuple(breach for breach in self.breaches if breach.rule != Coaching().key)

    @property
    def gaps_outside(self) -> tuple[Breach, ...]:
        """Coaching pairs outside of the gap that was asked for."""
        return tuple(breach for breach in self.breaches if breach.rule == Coaching().key)

    @property
    def fewest_partners(self) -> int:
        """Of the student with the fewest different partners, of those who had the chance."""
        return min((self.partners[student] for student in self.had_the_chance), default=0)

    @property
    def most_partners(self) -> int:
        """Of the student with the most different partners, of those who had the chance."""
        return max((self.partners[student] for student in self.had_the_chance), default=0)

    @property
    def worst_spread(self) -> Spread | None:
        """The balanced round whose team averages are furthest apart, measured by its tolerance; None without one."""
        # Where all are rated alike nothing is tolerated, and nothing can be uneven.
        return max(self.spreads, key=lambda item: item.spread / (item.tolerance or 1.0), default=None)

    @property
    def proven_best(self) -> bool:
        """Whether no plan has a lower meeting cost."""
        return self.meeting_cost == self.bounds.meeting_cost


def fairness_of(record: ClassRecord, effort: float | None = None, told: Told | None = None) -> Fairness:
    """Measure the plan of a record; with more ``effort`` its bound may be higher, see ``proven_bounds``."""
    rounds = record.plan.rounds
    problem = problem_of(record)
    ledger = ledger_of(rounds)
    board = board_for(answered(problem, record.plan))
    breaches = []
    for breach in judge(_as_it_stands(record), record.plan).breaches:
        # A lesson taught may have been right by the ratings of its day.
        if breach.rule == Coaching().key and breach.key.lesson in record.taught:
            breach = replace(breach, sentence=f"{breach.sentence}, by the ratings of today")
        breaches.append(breach)
    seen = list(dict.fromkeys(student for round_ in rounds for student in round_.students))
    # Groups that stay meet again on purpose: their rounds do not count as a second meeting in a lesson.
    moving = [round_ for round_ in rounds if problem.by_key[round_.key].leader is None]
    blocks = (block for block in board.blocks if problem.by_key[block.keys[0]].leader is None)
    lessons = {round_.key.lesson for round_ in moving}
    past, before = record.past, _pairs_of_the_past(record)
    return Fairness(
        repeats=ledger.repeats,
        meetings=sum(ledger.meetings.values()),
        meeting_cost=ledger.meeting_cost,
        bounds=proven_bounds(board, ledger.meeting_cost, effort, told),
        breaches=tuple(breaches),
        partners=ledger.partners(seen),
        had_the_chance=_had_the_chance(record, seen),
        most_meetings=ledger.most_meetings,
        spreads=tuple(_spread(problem, round_) for round_ in rounds if _is_balanced(problem, round_)),
        trio=trio_turns_of(problem, rounds),
        coach=coach_turns_of(problem, rounds),
        twice_in_a_lesson=sum(ledger_of(r for r in moving if r.key.lesson == lesson).repeats for lesson in lessons),
        fewest_twice_in_a_lesson=fewest_in_a_lesson(replace(board, blocks=tuple(blocks))),
        met_in_earlier_units=sum(times for pair, times in ledger.meetings.items() if pair in before) if past else None,
        fewest_met_in_earlier_units=fewest_met_earlier(record, board, ledger.repeats),
        sides=side_turns_of(problem, rounds),
    )


def repeats_bound_with_even_teams(record: ClassRecord) -> int | None:
    """Fewest repeats of a plan for the rounds that have groups, were all its balanced rounds within the tolerance.

    A second or two; None where no round is balanced, or it cannot be told.
    """
    return least_repeats_with_even_teams(board_for(answered(problem_of(record), record.plan)))


@dataclass(frozen=True)
class Weighed:
    """Alike groups, even teams and new partners added up as weighed, in repeats; and what no plan goes below."""

    reached: float
    bound: float

    @property
    def proven_best(self) -> bool:
        """Whether no plan weighs less."""
        return self.reached <= self.bound


def weighed_of(record: ClassRecord, settled: bool = True) -> Weighed | None:
    """What the plan of a record weighs, see ``least_weighed``; a second or two.

    What was taught or pinned is as it is; unless it is not to be taken as ``settled``, as in ``hindsight``.
    """
    problem = problem_of(record) if settled else in_hindsight(record)
    board = board_for(answered(problem, record.plan), record.plan.by_key)
    bound = least_weighed(board)
    if bound is None:
        return None
    reached = weighed(board, np.array([block.seats for block in board.blocks]))
    return Weighed(reached / board.repeat, bound / board.repeat)


def _had_the_chance(record: ClassRecord, seen: list[str]) -> frozenset[str]:
    """Of those who are in any group; where nobody was there throughout those who are in the class, or else all."""
    lessons = {round_.key.lesson for round_ in record.plan.rounds}
    people = [record.roster.by_id[student] for student in seen]
    here = [person for person in people if not person.archived]
    throughout = [person for person in here if all(map(person.belongs_in, lessons))]
    return frozenset(person.id for person in throughout or here or people)


def _pairs_of_the_past(record: ClassRecord) -> frozenset[tuple[str, str]]:
    return frozenset(ledger_of(round_.as_round for round_ in record.past).meetings)


def fewest_met_earlier(record: ClassRecord, board: Board, repeats: int) -> int | None:
    """The fewest meetings with people met in an earlier unit, of all plans on a board without more repeats."""
    if not record.past:
        return None
    places = {student: place for place, student in enumerate(board.students)}
    before = np.zeros((board.size, board.size), dtype=np.bool_)
    for one, other in _pairs_of_the_past(record):
        if one in places and other in places:
            before[places[one], places[other]] = before[places[other], places[one]] = True
    return fewest_met_before(board, before, repeats)


def _as_it_stands(record: ClassRecord) -> Problem:
    """All rounds fixed: the referee then counts breaches and finds no fault with the past."""
    return problem_of(record, frozenset())


def broken_in(record: ClassRecord, lesson: int) -> tuple[Breach, ...]:
    """The requests that do not hold in a lesson, in the order of its rounds; in a blink, unlike ``fairness_of``."""
    problem, plan = _as_it_stands(record), Plan(record.plan.of_lesson(lesson))
    broken = [breach for rule in RULES if rule.key in REQUESTS for breach in rule.breaches(problem, plan)]
    return tuple(sorted(broken, key=lambda breach: breach.key))


def _is_balanced(problem: Problem, round_: Round) -> bool:
    """Whether even teams were asked for, and anybody is rated so that it can be told."""
    activity = problem.by_key[round_.key].activity
    rated = any(activity.strand in student.ratings for student in problem.roster.students)
    return bool(round_.groups) and activity.aim == "balanced" and rated


def _spread(problem: Problem, round_: Round) -> Spread:
    activity = problem.by_key[round_.key].activity
    parts = parts_of(activity, round_.sizes)
    averages = [
        average(problem, group, activity.strand) * (len(group.members) / part)
        for group in round_.groups
        if (part := float(parts.get(len(group.members), len(group.members))))
    ]
    tolerance = even_enough(problem.roster, activity.strand)
    return Spread(round_.key, activity.name, activity.strand, max(averages) - min(averages), tolerance)


def even_enough(roster: Roster, strand: str) -> float:
    """How far apart the averages of two even teams may be: an eighth of the strand's range."""
    return float(TOLERANCE * Fraction(roster.span(strand)))


def average(problem: Problem, group: Group, strand: str) -> float:
    """The average rating of a group, those not rated taken as the middle of the class."""
    return sum(problem.roster.rating(student, strand) for student in group.members) / len(group.members)
