"""Evidence for the teacher: how fair the rounds are, planned beside actual, against what no plan can beat."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from grouper.engines.bounds import Bounds
from grouper.faces.views.meetings import MeetingMap, TurnsSoFar, meeting_map
from grouper.faces.views.names import display_names, full_name
from grouper.faces.views.ordering import name_order
from grouper.faces.wording.changes import round_title
from grouper.faces.wording.numbers import from_to
from grouper.faces.wording.words import number_in_words
from grouper.model.ledger import ledger_of
from grouper.model.plan import Plan, Round
from grouper.model.record import ClassRecord
from grouper.planning.boards import board_for
from grouper.planning.clash_words import breach_sentences
from grouper.planning.fairness import Fairness, Spread, fairness_of, fewest_met_earlier
from grouper.planning.hindsight import answered, hindsight, in_hindsight
from grouper.planning.turns import Turns, coach_turns_of, trio_turns_of

NOT_KEPT = "Requests not kept"
GAPS_OUTSIDE = "Coaching pairs outside of the gap, by today's ratings"


@dataclass(frozen=True)
class Measure:
    """One part of fairness in words: as it was planned, as it is, and what no plan can beat (empty where none is
    known)."""

    title: str
    planned: str
    actual: str
    bound: str = ""


@dataclass(frozen=True)
class SpreadLine:
    """Even teams in one round: how far the averages are apart, and the tolerance, as text and on a scale to 100."""

    title: str
    strand: str
    spread: str
    tolerance: str
    filled: float
    allowed: float
    within: bool


@dataclass(frozen=True)
class EvidenceView:
    """The evidence of a class over the lessons taught, or over the whole unit."""

    whole: bool
    map: MeetingMap
    measures: tuple[Measure, ...]
    spreads: tuple[SpreadLine, ...]
    breaches: tuple[str, ...]
    taught: int
    lessons: int


@dataclass(frozen=True)
class Evidence:
    """The rounds looked at, how fair they were as planned and as they were, and what no plan could have beaten."""

    whole: bool
    chosen: ClassRecord
    planned: Fairness
    actual: Fairness
    bounds: Bounds


def evidence_of(record: ClassRecord, whole: bool, prove: bool = False) -> Evidence:
    """The measures; where no lesson has been taught yet those of the whole unit. ``prove`` as in ``hindsight``."""
    whole = whole or not record.taught
    chosen = record if whole else taught_alone(record)
    actual = _in_hindsight(chosen, fairness_of(chosen))
    return Evidence(whole, chosen, fairness_of(as_planned(chosen)), actual, hindsight(chosen, prove))


def _in_hindsight(record: ClassRecord, actual: Fairness) -> Fairness:
    """The measures with turns and earlier partners beside what a plan for the same rounds could have made of them."""
    problem, rounds = in_hindsight(record), record.plan.rounds
    return replace(
        actual,
        trio=trio_turns_of(problem, rounds),
        coach=coach_turns_of(problem, rounds),
        fewest_met_in_earlier_units=fewest_met_earlier(
            record, board_for(answered(problem, record.plan)), actual.repeats
        ),
    )


def evidence_view(record: ClassRecord, whole: bool) -> EvidenceView:
    """The evidence; where no lesson has been taught yet the whole unit is shown."""
    return view_of(record, evidence_of(record, whole))


def view_of(record: ClassRecord, found: Evidence) -> EvidenceView:
    """What has been measured, to be shown."""
    actual = found.actual
    turns = TurnsSoFar(_by_student(actual.trio), _by_student(actual.coach))
    return EvidenceView(
        found.whole,
        meeting_map(record, found.chosen.plan.rounds, turns),
        tuple(_measures(found)),
        tuple(_spreads(record, actual.spreads)),
        tuple(breach_sentences(record.roster, actual.breaches)),
        len(record.taught),
        len(record.unit.lessons),
    )


def taught_alone(record: ClassRecord) -> ClassRecord:
    """The record with its taught lessons and no others."""
    lessons = tuple(lesson for lesson in record.unit.lessons if lesson.number in record.taught)
    rounds = tuple(round_ for round_ in record.plan.rounds if round_.key.lesson in record.taught)
    return replace(record, unit=replace(record.unit, lessons=lessons), plan=Plan(rounds))


def as_planned(record: ClassRecord) -> ClassRecord:
    """The record with the groups that stood before anybody was absent."""
    rounds = tuple(replace(round_, groups=round_.planned or round_.groups) for round_ in record.plan.rounds)
    return replace(record, plan=Plan(rounds), taught=frozenset(record.taught) | {r.key.lesson for r in rounds})


def _by_student(turns: Turns | None) -> dict[str, int] | None:
    return None if turns is None else turns.by_student


def _measures(found: Evidence) -> Iterable[Measure]:
    planned, actual, bounds = found.planned, found.actual, found.bounds
    yield Measure("Repeats", str(planned.repeats), str(actual.repeats), f"at least {bounds.repeats}")
    yield Measure(
        "Evenness of repeats", str(planned.meeting_cost), str(actual.meeting_cost), f"at least {bounds.meeting_cost}"
    )
    yield Measure("Different partners each", _partners(planned), _partners(actual))
    yield Measure("The two who met most", str(planned.most_meetings), str(actual.most_meetings))
    yield Measure("Met twice in one lesson", str(planned.twice_in_a_lesson), str(actual.twice_in_a_lesson))
    if actual.met_in_earlier_units is not None:
        again, least = actual.met_in_earlier_units, actual.fewest_met_in_earlier_units
        yield Measure("Met in an earlier unit", str(planned.met_in_earlier_units), str(again), f"at least {least}")
    if actual.trio is not None or planned.trio is not None:
        yield _turns_measure("Turns in the trio, of those there each time", planned.trio, actual.trio)
    if actual.coach is not None or planned.coach is not None:
        yield _turns_measure("Turns as coach, of those there each time", planned.coach, actual.coach)
    yield Measure(NOT_KEPT, str(len(planned.broken_requests)), str(len(actual.broken_requests)))
    if planned.gaps_outside or actual.gaps_outside:
        yield Measure(GAPS_OUTSIDE, str(len(planned.gaps_outside)), str(len(actual.gaps_outside)))


def _partners(fairness: Fairness) -> str:
    return from_to(fairness.fewest_partners, fairness.most_partners)


def _turns(turns: Turns | None) -> str:
    return "none" if turns is None else from_to(turns.fewest, turns.most)


def _turns_measure(title: str, planned: Turns | None, actual: Turns | None) -> Measure:
    least = None if actual is None else actual.least_range
    bound = "" if least is None else f"{least} apart" if least else "the same for all"
    return Measure(title, _turns(planned), _turns(actual), bound)


def _spreads(record: ClassRecord, spreads: tuple[Spread, ...]) -> Iterable[SpreadLine]:
    longest = max((max(s.spread, s.tolerance) for s in spreads), default=0.0) or 1.0
    for spread in spreads:
        yield SpreadLine(
            round_title(record, spread.key),
            spread.strand,
            number_in_words(spread.spread),
            number_in_words(spread.tolerance),
            round(100 * spread.spread / longest, 1),
            round(100 * spread.tolerance / longest, 1),
            spread.spread <= spread.tolerance + 1e-9,
        )


@dataclass(frozen=True)
class PartnerLine:
    """Somebody whom a student worked with: how often, and in which rounds."""

    id: str
    name: str
    times: int
    when: tuple[str, ...]


@dataclass(frozen=True)
class StudentView:
    """One student: with whom and when; ``never`` are those of the class whom they have not worked with."""

    id: str
    name: str
    partners: tuple[PartnerLine, ...]
    never: tuple[str, ...]
    rounds: int
    whole: bool


def student_view(record: ClassRecord, student: str, whole: bool) -> StudentView:
    """The evidence of one student, over the lessons taught or over the whole unit."""
    whole = whole or not record.taught
    rounds = [r for r in record.plan.rounds if whole or r.key.lesson in record.taught]
    names = display_names(record.roster.students, record.roster.in_unit)
    shared = _shared(record, student, rounds)
    lines = [PartnerLine(other, names[other], len(when), when) for other, when in shared.items()]
    lines.sort(key=lambda line: (-line.times, name_order(line.name)))
    never = [names[s.id] for s in record.roster.active if s.id != student and s.id not in shared]
    return StudentView(
        student,
        full_name(record.roster.by_id[student]),
        tuple(lines),
        tuple(sorted(never, key=name_order)),
        sum(student in round_.students for round_ in rounds),
        whole,
    )


def _shared(record: ClassRecord, student: str, rounds: list[Round]) -> dict[str, tuple[str, ...]]:
    shared: dict[str, tuple[str, ...]] = {}
    for round_ in rounds:
        for pair in ledger_of([round_]).meetings:
            if student in pair:
                other = pair[0] if pair[1] == student else pair[1]
                shared[other] = (*shared.get(other, ()), round_title(record, round_.key))
    return shared
