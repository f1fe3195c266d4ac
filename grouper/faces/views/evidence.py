"""Evidence for the teacher: how fair the rounds are, planned beside actual, against what no plan can beat."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from grouper.engines.bounds import Bounds
from grouper.errors import InputError
from grouper.faces.views.names import display_names, full_name, name_order
from grouper.faces.wording.changes import round_title
from grouper.faces.wording.fairness import weighed_in_words
from grouper.faces.wording.words import number_in_words, times_in_words
from grouper.games.days.season import duty_turns
from grouper.model.ledger import TRIO, ledger_of
from grouper.model.plan import Plan, Round
from grouper.model.record import ClassRecord
from grouper.planning.fairness import (
    Fairness,
    Spread,
    Weighed,
    answered,
    fairness_of,
    fewest_met_earlier,
    hindsight,
    in_hindsight,
)
from grouper.planning.mending import board_for
from grouper.planning.requests import breach_sentences
from grouper.planning.turns import Turns, coach_turns_of, trio_turns_of
from grouper.words import from_to

LEVELS = 5
"""Shades of the map beside none; the number stands in each place too."""


@dataclass(frozen=True)
class Meeting:
    """A place of the map, row and column from 0: how often the two met, its shade from 1 to LEVELS, in words."""

    row: int
    column: int
    times: int
    level: int
    said: str


@dataclass(frozen=True)
class MapLine:
    """A student of the map: with how many others, how often in all, turns in the trio and as coach (None for none)."""

    id: str
    name: str
    full: str
    partners: int
    meetings: int
    trio: int | None
    coach: int | None


@dataclass(frozen=True)
class MeetingMap:
    """The students by the alphabet, the places where two have met, and how many pairs met how often."""

    lines: tuple[MapLine, ...]
    meetings: tuple[Meeting, ...]
    pairs_by_times: tuple[tuple[int, int], ...]
    rounds: int

    @property
    def most_partners(self) -> int:
        """Of the student with most partners."""
        return max((line.partners for line in self.lines), default=0)

    @property
    def most_pairs(self) -> int:
        """The longest bar of ``pairs_by_times``."""
        return max((pairs for _, pairs in self.pairs_by_times), default=0)


def meeting_map(
    record: ClassRecord,
    rounds: tuple[Round, ...],
    trio: Mapping[str, int] | None,
    coach: Mapping[str, int] | None,
) -> MeetingMap:
    """The map of some rounds, with turns by id, None where the unit has none.

    All who are in the class or in one of the rounds are on it.
    """
    ledger = ledger_of(rounds)
    seen = {student for round_ in rounds for student in round_.students}
    students = [s for s in record.roster.students if not s.archived or s.id in seen]
    names = display_names(students, record.roster.in_unit)
    students.sort(key=lambda student: (name_order(names[student.id]), student.id))
    partners = ledger.partners(student.id for student in students)
    total = Counter(student for pair, times in ledger.meetings.items() for student in pair for _ in range(times))
    lines = tuple(
        MapLine(
            student.id,
            names[student.id],
            full_name(student),
            partners[student.id],
            total[student.id],
            None if trio is None else trio.get(student.id, 0),
            None if coach is None else coach.get(student.id, 0),
        )
        for student in students
    )
    met = {(one.id, other.id): ledger.met(one.id, other.id) for one in students for other in students if one != other}
    count = Counter(times for (one, other), times in met.items() if one < other)
    pairs_by_times = tuple((times, count[times]) for times in range(max(count, default=-1) + 1))
    return MeetingMap(lines, _places(lines, met), pairs_by_times, len(rounds))


def _places(lines: tuple[MapLine, ...], met: dict[tuple[str, str], int]) -> tuple[Meeting, ...]:
    often = sorted(times for times in met.values() if times)
    # A shade for each number up to LEVELS; where most have met more often, what is usual has the middle one.
    shift = max(0, (often[len(often) // 2] if often else 0) - (LEVELS + 1) // 2)
    return tuple(
        Meeting(
            row,
            column,
            times,
            min(LEVELS, max(1, times - shift)),
            f"{one.name} and {other.name}: {times_in_words(times)}",
        )
        for row, one in enumerate(lines)
        for column, other in enumerate(lines)
        if (times := met.get((one.id, other.id), 0))
    )


NOT_KEPT = "Requests not kept"
GAPS_OUTSIDE = "Coaching pairs closer or further apart than asked, by today's ratings"


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
    """The evidence of a class over the lessons taught, or over the whole unit; ``sentence`` is the gist of it.

    ``earlier`` are the units before this one, by number; ``unit`` is the one that is shown, 0 for the one at hand.
    """

    whole: bool
    sentence: str
    map: MeetingMap
    measures: tuple[Measure, ...]
    spreads: tuple[SpreadLine, ...]
    breaches: tuple[str, ...]
    taught: int
    lessons: int
    earlier: tuple[int, ...] = ()
    unit: int = 0


@dataclass(frozen=True)
class Evidence:
    """The rounds looked at, how fair they were as planned and as they were, what no plan could have beaten, and turns
    on duty in games (None for no games)."""

    whole: bool
    chosen: ClassRecord
    planned: Fairness
    actual: Fairness
    bounds: Bounds
    on_duty: Turns | None


def evidence_of(
    record: ClassRecord, whole: bool, prove: bool = False, with_games: ClassRecord | None = None
) -> Evidence:
    """The measures; where no lesson has been taught yet those of the whole unit. ``prove`` as in ``hindsight``.

    ``with_games`` is the record that has the games, where this one has them no more.
    """
    whole = whole or not record.taught
    chosen = looked_at(record, whole)
    # Turns and earlier partners stand beside what a plan for the same rounds could have made of them.
    problem, rounds, actual = in_hindsight(chosen), chosen.plan.rounds, fairness_of(chosen)
    actual = replace(
        actual,
        trio=trio_turns_of(problem, rounds),
        coach=coach_turns_of(problem, rounds),
        fewest_met_in_earlier_units=fewest_met_earlier(
            chosen, board_for(answered(problem, chosen.plan)), actual.repeats
        ),
    )
    lessons = {lesson.number for lesson in chosen.unit.lessons}
    played = with_games or record
    on_duty = duty_turns(replace(played, events=tuple(event for event in played.games if event.lesson in lessons)))
    return Evidence(whole, chosen, fairness_of(as_planned(chosen)), actual, hindsight(chosen, prove), on_duty)


def looked_at(record: ClassRecord, whole: bool) -> ClassRecord:
    """The record with the lessons that the evidence is of."""
    return record if whole else taught_alone(record)


def proof_in_words(record: ClassRecord, whole: bool, bounds: Bounds, together: Weighed | None) -> tuple[str, ...]:
    """What a proof found: of the meeting cost, and of what everything weighs together."""
    cost = ledger_of(looked_at(record, whole).plan.rounds).meeting_cost
    if cost == bounds.meeting_cost:
        said = f"Evenness of repeats {cost}: proven best, no plan has less."
    elif bounds.meeting_cost:
        said = f"Evenness of repeats {cost}: no plan can have less than {bounds.meeting_cost}."
    else:
        said = f"Evenness of repeats {cost}: whether a plan can have less is not known."
    if together is None or not together.reached:
        return (said,)
    return said, f"All together: {weighed_in_words(together)}."


def evidence_view(record: ClassRecord, whole: bool) -> EvidenceView:
    """The evidence; where no lesson has been taught yet the whole unit is shown."""
    return view_of(record, evidence_of(record, whole))


def view_of(record: ClassRecord, found: Evidence) -> EvidenceView:
    """What has been measured, to be shown."""
    actual = found.actual
    trio, coach = (each.by_student if each else None for each in (actual.trio, actual.coach))
    return EvidenceView(
        found.whole,
        in_one_sentence(actual, found.bounds, len(record.roster.active) - 1, not found.whole),
        meeting_map(record, found.chosen.plan.rounds, trio, coach),
        tuple(_measures(found)),
        tuple(_spreads(record, actual.spreads)),
        tuple(breach_sentences(record.roster, actual.breaches)),
        len(record.taught),
        len(record.unit.lessons),
        units_before(record),
    )


def units_before(record: ClassRecord) -> tuple[int, ...]:
    """The numbers of the units that are over."""
    return tuple(sorted({round_.unit for round_ in record.past}))


def earlier_view(record: ClassRecord, unit: int) -> EvidenceView:
    """The evidence of a unit that is over, as it ran; of how it was planned nothing is kept.

    Raises
    ------
    InputError
        There is no such unit.
    """
    past = [round_ for round_ in record.past if round_.unit == unit]
    if not past:
        raise InputError("there is no unit {unit} before this one", "choose another", unit=unit)
    rounds = tuple(round_.as_round for round_ in past)
    ledger = ledger_of(rounds)
    trios = [group for round_ in past if round_.in_pairs for group in round_.groups if len(group.members) == TRIO]
    trio = Counter(student for group in trios for student in group.members)
    shown = meeting_map(record, rounds, trio or None, ledger.coach_turns or None)
    there = {student for round_ in rounds for student in round_.students}
    partners = [line.partners for line in shown.lines if line.id in there]
    each = from_to(min(partners), max(partners))
    measures = (
        Measure("Repeats", "–", str(ledger.repeats)),
        Measure("Different partners each", "–", each),
        Measure("The two who met most", "–", str(max(ledger.meetings.values(), default=0))),
    )
    lessons = len({round_.key.lesson for round_ in past})
    sentence = f"In unit {unit} everybody worked with {each} of {len(there) - 1} others."
    return EvidenceView(True, sentence, shown, measures, (), (), lessons, lessons, units_before(record), unit)


def in_one_sentence(fairness: Fairness, bounds: Bounds, others: int, so_far: bool) -> str:
    """With how many of the others everybody works, or has worked so far, and whether a plan could give more."""
    verb = "has worked" if so_far else "works"
    if not fairness.most_meetings:
        return f"Everybody {verb} alone."
    said = f"Everybody {verb} with {_partners(fairness)} of {others} others"
    more = fairness.repeats - bounds.repeats
    # Every meeting that is no repeat is a partner more for two: fewest repeats are most partners.
    if more <= 0:
        return f"{said}; no plan gives more."
    return f"{said}; at best {more} more of the {fairness.meetings} meetings could be with somebody new."


def taught_alone(record: ClassRecord) -> ClassRecord:
    """The record with its taught lessons and no others."""
    lessons = tuple(lesson for lesson in record.unit.lessons if lesson.number in record.taught)
    rounds = tuple(round_ for round_ in record.plan.rounds if round_.key.lesson in record.taught)
    return replace(record, unit=replace(record.unit, lessons=lessons), plan=Plan(rounds))


def as_planned(record: ClassRecord) -> ClassRecord:
    """The record with the groups that stood before anybody was absent."""
    rounds = tuple(replace(round_, groups=round_.planned or round_.groups) for round_ in record.plan.rounds)
    return replace(record, plan=Plan(rounds), taught=frozenset(record.taught) | {r.key.lesson for r in rounds})


def _measures(found: Evidence) -> Iterable[Measure]:
    planned, actual, bounds = found.planned, found.actual, found.bounds
    yield Measure("Repeats", str(planned.repeats), str(actual.repeats), f"at least {bounds.repeats}")
    yield Measure(
        "How evenly repeats are shared",
        str(planned.meeting_cost),
        str(actual.meeting_cost),
        f"at least {bounds.meeting_cost}",
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
    if found.on_duty is not None:
        # Games are drawn for the groups that are there: there is no other plan of them to set beside.
        measure = _turns_measure("Turns on duty in games, of those there each time", None, found.on_duty)
        yield replace(measure, planned="–")
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
            # A hair of rounding is nothing uneven.
            spread.spread <= spread.tolerance + 1e-9,
        )
