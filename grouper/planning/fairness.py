"""How fair a plan is: every part on its own, beside what no plan can beat."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from fractions import Fraction

from grouper.engines.bounds import Bounds
from grouper.engines.kinds import least_repeats_with_even_teams
from grouper.engines.proof import proven_bounds
from grouper.model.ledger import Ledger, ledger_of
from grouper.model.plan import Group, Round
from grouper.model.problem import Problem, problem_of
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.boards import board_for
from grouper.planning.roles import is_coaching
from grouper.rules.balanced import TOLERANCE
from grouper.rules.coaching import Coaching
from grouper.rules.referee import judge
from grouper.rules.rule import Breach
from grouper.rules.trio_turns import trio_turns, works_in_pairs


@dataclass(frozen=True)
class Spread:
    """How far the team averages of a round are apart, and the tolerance, in steps of the strand."""

    key: RoundKey
    activity: str
    strand: str
    spread: float
    tolerance: float


@dataclass(frozen=True)
class Turns:
    """Fewest and most turns among those who could have one, and everybody's."""

    fewest: int
    most: int
    by_student: dict[str, int]


@dataclass(frozen=True)
class Fairness:
    """A plan as it stands now, taught lessons included.

    Parameters
    ----------
    repeats, meeting_cost
        Meetings after the first, and the sum over pairs of C(m, 2); every round counts, those that stay too.
    bounds
        What no plan for the same rounds and students can beat, taught and pinned rounds being as they are.
    breaches
        Requests and gap windows that do not hold. Windows are judged by the ratings of today, of lessons taught too, as
        those of the day are not kept; the sentence says so.
    partners
        By student: with how many different others.
    most_meetings
        Of the two who meet most.
    spreads
        Of the balanced rounds.
    trio, coach
        Turns in a trio of an odd class, and as coach; None where the unit has none.
    twice_in_a_lesson
        Meetings of two who met already in the same lesson, groups that stay on purpose not counted.
    met_in_earlier_units
        Meetings of two who met in an earlier unit of the class already; None where there was none.
    """

    repeats: int
    meeting_cost: int
    bounds: Bounds
    breaches: tuple[Breach, ...]
    partners: dict[str, int]
    most_meetings: int
    spreads: tuple[Spread, ...]
    trio: Turns | None
    coach: Turns | None
    twice_in_a_lesson: int
    met_in_earlier_units: int | None

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
        """Of the student with the fewest different partners."""
        return min(self.partners.values(), default=0)

    @property
    def most_partners(self) -> int:
        """Of the student with the most different partners."""
        return max(self.partners.values(), default=0)

    @property
    def worst_spread(self) -> Spread | None:
        """The balanced round whose team averages are furthest apart, measured by its tolerance; None without one."""
        return max(self.spreads, key=lambda item: item.spread / (item.tolerance or 1.0), default=None)

    @property
    def proven_best(self) -> bool:
        """Whether no plan has a lower meeting cost."""
        return self.meeting_cost == self.bounds.meeting_cost


def fairness_of(record: ClassRecord) -> Fairness:
    """Measure the plan of a record."""
    rounds = record.plan.rounds
    problem = _with_groups(problem_of(record), record)
    ledger = ledger_of(rounds)
    judgement = judge(_as_it_stands(record), record.plan)
    seen = list(dict.fromkeys(student for round_ in rounds for student in round_.students))
    return Fairness(
        repeats=ledger.repeats,
        meeting_cost=ledger.meeting_cost,
        bounds=proven_bounds(board_for(problem), ledger.meeting_cost),
        breaches=tuple(_as_of_today(record, breach) for breach in judgement.breaches),
        partners=ledger.partners(seen),
        most_meetings=ledger.most_meetings,
        spreads=tuple(_spread(problem, round_) for round_ in rounds if _is_balanced(problem, round_)),
        trio=_trio(problem, rounds),
        coach=_coach(problem, rounds, ledger.coach_turns),
        twice_in_a_lesson=_twice_in_a_lesson(problem, rounds),
        met_in_earlier_units=_met_earlier(record, ledger),
    )


def repeats_bound_with_even_teams(record: ClassRecord) -> int | None:
    """Fewest repeats of a plan for the rounds that have groups, were all its balanced rounds within the tolerance.

    A second or two; None where no round is balanced, or it cannot be told.
    """
    return least_repeats_with_even_teams(board_for(_with_groups(problem_of(record), record)))


def _with_groups(problem: Problem, record: ClassRecord) -> Problem:
    """The problem of the rounds that have groups: a bound that counts others speaks of another plan."""
    missing = [need for need in problem.needs if need.key not in record.plan.by_key]
    return replace(problem, needs=tuple(need for need in problem.needs if need not in missing)) if missing else problem


def _met_earlier(record: ClassRecord, ledger: Ledger) -> int | None:
    if not record.past:
        return None
    before = ledger_of(round_.as_round for round_ in record.past).meetings
    return sum(times for pair, times in ledger.meetings.items() if pair in before)


def _as_it_stands(record: ClassRecord) -> Problem:
    """All rounds fixed: the referee then counts breaches and finds no fault with the past."""
    return problem_of(record, frozenset())


def _as_of_today(record: ClassRecord, breach: Breach) -> Breach:
    """A lesson taught may have been right by the ratings of its day."""
    if breach.rule != Coaching().key or breach.key.lesson not in record.taught:
        return breach
    return replace(breach, sentence=f"{breach.sentence}, by the ratings of today")


def _is_balanced(problem: Problem, round_: Round) -> bool:
    """Whether even teams were asked for, and anybody is rated so that it can be told."""
    activity = problem.by_key[round_.key].activity
    rated = any(activity.strand in student.ratings for student in problem.roster.students)
    return bool(round_.groups) and activity.aim == "balanced" and rated


def _spread(problem: Problem, round_: Round) -> Spread:
    activity = problem.by_key[round_.key].activity
    averages = [average(problem, group, activity.strand) for group in round_.groups]
    tolerance = float(TOLERANCE * Fraction(problem.roster.span(activity.strand)))
    return Spread(round_.key, activity.name, activity.strand, max(averages) - min(averages), tolerance)


def average(problem: Problem, group: Group, strand: str) -> float:
    """The average rating of a group, those not rated taken as the middle of the class."""
    return sum(problem.roster.rating(student, strand) for student in group.members) / len(group.members)


def _trio(problem: Problem, rounds: tuple[Round, ...]) -> Turns | None:
    in_pairs = [round_ for round_ in rounds if works_in_pairs(problem, round_)]
    return _turns(trio_turns(in_pairs), in_pairs)


def _coach(problem: Problem, rounds: tuple[Round, ...], turns: Counter[str]) -> Turns | None:
    return _turns(turns, [round_ for round_ in rounds if is_coaching(problem, round_.key)])


def _turns(turns: Counter[str], rounds: list[Round]) -> Turns | None:
    """Turns of those who took part in as many of these rounds as anybody: who was away had fewer chances."""
    chances = Counter(student for round_ in rounds for student in round_.students)
    if not sum(turns.values()):
        return None
    full = max(chances.values())
    counted = [turns[student] for student in chances if chances[student] == full]
    return Turns(min(counted), max(counted), {student: turns[student] for student in chances})


def _twice_in_a_lesson(problem: Problem, rounds: tuple[Round, ...]) -> int:
    moving = [round_ for round_ in rounds if problem.by_key[round_.key].leader is None]
    lessons = dict.fromkeys(round_.key.lesson for round_ in moving)
    return sum(ledger_of(r for r in moving if r.key.lesson == lesson).repeats for lesson in lessons)
