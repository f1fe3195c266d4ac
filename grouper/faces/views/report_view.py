"""The report at the end of a unit: fairness in words, planned beside actual, the map, turns, attendance, care."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from grouper.engines.bounds import Bounds
from grouper.faces.views.evidence import (
    GAPS_OUTSIDE,
    NOT_KEPT,
    Evidence,
    EvidenceView,
    MapLine,
    SpreadLine,
    evidence_of,
    view_of,
)
from grouper.faces.views.report_student import CareLine, attendance, care_lines
from grouper.faces.wording.words import number_in_words, span_of_times, times_in_words
from grouper.model.record import ClassRecord
from grouper.planning.fairness import Fairness, fairness_of, hindsight
from grouper.planning.turns import Turns
from grouper.privacy.less import nameless
from grouper.words import counted, from_to, listed


def fairness_in_words(found: Evidence, record: ClassRecord) -> Iterator[str]:
    """With how many different classmates, how many repeats against the bound, and who met most."""
    actual = found.actual
    if not actual.most_meetings:
        yield "Everybody worked alone in these rounds."
        return
    yield f"Everybody worked with {_partners(actual)}."
    if len(found.chosen.plan.rounds) == len(record.plan.rounds):
        yield from _repeats(actual, found.bounds)
    else:
        yield from _repeats_so_far(found, record)
    if actual.most_meetings > 1:
        yield f"The two who met most were in one group {times_in_words(actual.most_meetings)}."
    planned, more = found.planned.repeats, actual.repeats - found.planned.repeats
    if more:
        change = "more" if more > 0 else "fewer"
        yield (
            f"As planned, with everybody there, it would have been {counted(planned, 'repeat')}; absences and changes "
            f"on the day made it {abs(more)} {change}."
        )


def _repeats(fairness: Fairness, bounds: Bounds) -> Iterator[str]:
    """Repeats beside what no plan for the same rounds could have beaten."""
    if not fairness.repeats:
        yield "Nobody worked with the same classmate twice. No plan can do better."
        return
    there = f"there {_were(fairness.repeats)}"
    if fairness.repeats == bounds.repeats:
        yield f"In these rounds {there} {counted(fairness.repeats, 'repeat')}. No plan could have done it with fewer."
    elif bounds.repeats:
        least = counted(bounds.repeats, "repeat")
        yield f"No plan could have done it with fewer than {least}; {there} {fairness.repeats}."
    else:
        yield f"In these rounds {there} {counted(fairness.repeats, 'repeat')}. Whether any had to be is not known."
    if fairness.meeting_cost == bounds.meeting_cost:
        yield "Repeats were shared out as evenly as any plan could have done."


def _repeats_so_far(found: Evidence, record: ClassRecord) -> Iterator[str]:
    """Of some lessons: beside the whole unit, for which the plan is made, as a few of them alone may have more."""
    whole, bounds = fairness_of(record), hindsight(record, prove=True)
    best = ", and no plan can have fewer" if whole.repeats == bounds.repeats else ""
    least = f"; no plan has fewer than {bounds.repeats}" if 0 < bounds.repeats < whole.repeats else ""
    yield f"The plan is made for the whole unit, which has {counted(whole.repeats, 'repeat')}{best}{least}."
    repeats, fewest = found.actual.repeats, found.bounds.repeats
    if not repeats:
        yield "In the lessons so far nobody worked with the same classmate twice."
        return
    needed = f"at least {fewest}" if fewest else "perhaps none"
    yield (
        f"{repeats} of them {_were(repeats)} in the lessons so far. "
        f"A plan for these lessons alone would have needed {needed}."
    )


def _were(count: int) -> str:
    return "was" if count == 1 else "were"


def _partners(fairness: Fairness) -> str:
    count = from_to(fairness.fewest_partners, fairness.most_partners)
    return f"{count} different classmate{'' if fairness.most_partners == 1 else 's'}"


def requests_in_words(found: Evidence) -> Iterator[str]:
    """Whether what was asked for held; nothing where nothing was asked for."""
    broken, outside = len(found.actual.broken_requests), len(found.actual.gaps_outside)
    if outside:
        gap = "was" if outside == 1 else "were"
        yield (
            f"{counted(outside, 'coaching pair')} {gap} outside of the difference that was asked for, by the ratings "
            "of today; those of the day are not kept."
        )
    if broken:
        yield f"{counted(broken, 'request')} to keep two apart or together could not be kept."
    elif found.chosen.requests:
        yield "Every request to keep two apart or together was kept."


def turns_in_words(turns: Turns | None, what: str, chances: str) -> str:
    """How evenly turns were shared out; empty where the unit has none."""
    if turns is None:
        return ""
    told = f"Each student who was there for all {chances} was {what} {span_of_times(turns.fewest, turns.most)}."
    return told + _could_be_more_even(turns)


def _could_be_more_even(turns: Turns) -> str:
    if turns.least_range is None or turns.range <= turns.least_range:
        return ""
    return f" The fewest and the most could have been {turns.least_range or 'no turn'} apart."


def evenness_in_words(within: int, rounds: int, widest: float) -> str:
    """In how many rounds with even teams the wish held, and how far the averages were apart at most."""
    if within == rounds:
        held = "In every round" if rounds > 1 else "In the one round"
        return f"{held} with even teams, the teams' averages were as close as wished, or closer."
    where = f"of {counted(rounds, 'round')} with even teams"
    held = f"In {within} {where} the averages were" if within else f"In none {where} were the averages"
    return f"{held} as close as wished. At most they were {number_in_words(widest)} apart."


SMALL = 5
"""Counts of people below this are not told: the fewer they are, the easier it is to guess who they are. Statistical
offices and education departments use limits of 3 to 10 (from memory); common practice."""

FEWEST_ON_A_MAP = 10
"""With fewer students each place of a map nearly names its two."""

LEFT_OUT = (
    "Names and ids. A1 (or A01) and so on are in a random order, another one after each lesson.",
    "Ratings, size bands, requests and notes, and how far the teams' averages were apart in each round.",
    "What groups and activities were called, and dates: a teacher may have put a name there.",
    "Attendance and turns of single students, and attendance lesson by lesson.",
    "Whom to look after in the next unit, as that is about single students.",
)
"""What a report without names leaves out, as it says itself."""

CAN_BE_FOUND_OUT = (
    "Who knows who was in which group, such as the students themselves, may still find out who some of the letters "
    "are. Share this outside of the class only, and never together with sheets or lists of groups."
)
NO_MAP = f"The map of meetings: with fewer than {FEWEST_ON_A_MAP} students a place on it nearly is a name."


@dataclass(frozen=True)
class StudentLine:
    """A student in the table: the line of the map, turns on duty (None for no games), and lessons they took part in."""

    on_map: MapLine
    duty: int | None
    took_part: str


@dataclass(frozen=True)
class LessonLine:
    """Attendance in a lesson, by the keys of ``attendance``; its date as ``YYYY-MM-DD`` or empty."""

    title: str
    date: str
    counts: Mapping[str, int]


@dataclass(frozen=True)
class ReportView:
    """All that the report shows.

    Parameters
    ----------
    title
        What the class is called; empty in a report without names.
    nameless
        Whether it is one to share.
    facts, fairness, turns, evenness
        Sentences.
    evidence
        Map, measures and breaches; its spreads are empty where nameless.
    spreads
        Even teams by round.
    students, attendance, care
        Lines; empty where nameless.
    total
        Attendance over all lessons in words; a share where nameless.
    with_map
        Whether the class is large enough for a map that is shared.
    left_out, warning
        What is not in a report without names, and what it cannot promise.
    """

    title: str
    nameless: bool
    facts: tuple[str, ...]
    fairness: tuple[str, ...]
    turns: tuple[str, ...]
    evenness: str
    evidence: EvidenceView
    spreads: tuple[SpreadLine, ...] = ()
    students: tuple[StudentLine, ...] = ()
    attendance: tuple[LessonLine, ...] = ()
    total: str = ""
    care: tuple[CareLine, ...] = ()
    with_map: bool = True
    left_out: tuple[str, ...] = ()
    warning: str = ""


def report_view(record: ClassRecord, title: str = "", whole: bool = False) -> ReportView:
    """The report for the teacher and the head of the school, with names; over the lessons taught, or the whole unit."""
    found = evidence_of(record, whole, prove=True)
    view = _common(record, found)
    students, duty = [], found.on_duty
    for line in view.evidence.map.lines:
        counts = attendance(found.chosen, [record.roster.by_id[line.id]], found.chosen.unit.lessons)
        on_duty = None if duty is None else duty.by_student.get(line.id, 0)
        students.append(StudentLine(line, on_duty, f"{counts['full'] + counts['part']} of {counts.total()}"))
    lessons = []
    for lesson in found.chosen.unit.lessons:
        if counts := attendance(found.chosen, found.chosen.roster.students, [lesson]):
            lessons.append(LessonLine(f"Lesson {lesson.number}", lesson.date, counts))
    return replace(
        view,
        title=title,
        fairness=(*view.fairness, *requests_in_words(found)),
        spreads=view.evidence.spreads,
        students=tuple(students),
        attendance=tuple(lessons),
        total=_total(found.chosen),
        care=tuple(care_lines(found)),
    )


def nameless_view(record: ClassRecord, whole: bool = False) -> ReportView:
    """The report to share: without names, single students, and small counts."""
    bare = nameless(record)
    found = evidence_of(bare, whole, prove=True, with_games=record)
    view = _common(bare, found)
    with_map = len(view.evidence.map.lines) >= FEWEST_ON_A_MAP
    measures = tuple(part for part in view.evidence.measures if part.title not in (NOT_KEPT, GAPS_OUTSIDE))
    evidence = replace(view.evidence, measures=measures, spreads=(), breaches=())
    return replace(
        view,
        nameless=True,
        evidence=evidence,
        total=_share(found.chosen),
        with_map=with_map,
        left_out=LEFT_OUT if with_map else (*LEFT_OUT, NO_MAP),
        warning=CAN_BE_FOUND_OUT,
    )


def _common(record: ClassRecord, found: Evidence) -> ReportView:
    evidence = view_of(record, found)
    spreads = evidence.spreads
    within = sum(line.within for line in spreads)
    widest = max((spread.spread for spread in found.actual.spreads), default=0.0)
    return ReportView(
        title="",
        nameless=False,
        facts=tuple(_facts(found, record)),
        fairness=tuple(fairness_in_words(found, record)),
        turns=tuple(_turns(found)),
        evenness=evenness_in_words(within, len(spreads), widest) if spreads else "",
        evidence=evidence,
    )


def _facts(found: Evidence, record: ClassRecord) -> Iterator[str]:
    lessons, taught = len(record.unit.lessons), len(record.taught)
    yield counted(len(record.roster.active), "student")
    if found.whole:
        yield f"the whole unit: {counted(lessons, 'lesson')}, {taught} of them taught"
    else:
        yield f"{taught} of {counted(lessons, 'lesson')} taught"
    yield counted(len(found.chosen.plan.rounds), "round")


def _turns(found: Evidence) -> Iterator[str]:
    lines = (
        turns_in_words(found.actual.trio, "in the group of three", "rounds in pairs"),
        turns_in_words(found.actual.coach, "coach", "coaching rounds"),
    )
    yield from filter(None, lines)
    duty = found.on_duty
    if duty is not None:
        told = f"In games, each student's team was on duty {span_of_times(duty.fewest, duty.most)}."
        yield told + _could_be_more_even(duty)


def _total(record: ClassRecord) -> str:
    counts = attendance(record, record.roster.students, record.unit.lessons)
    if counts["full"] == counts.total():
        return "Everybody took part in every lesson."
    rest = {"part": "in part", "helped": "there to help", "away": "away", "no_group": "in no group"}
    said = [f"{counts[key]} {what}" for key, what in rest.items() if counts[key]]
    throughout = f"{counts['full']} took part throughout"
    return f"Attendance, each student counted in each lesson: {listed([throughout, *said])}."


def _share(record: ClassRecord) -> str:
    """Attendance without a count of people that is small enough to guess who they are."""
    counts = attendance(record, record.roster.students, record.unit.lessons)
    took_part = counts["full"] + counts["part"]
    if counts.total() - took_part < SMALL:
        return "Hardly anybody missed a lesson."
    return f"Students took part in {100 * took_part / counts.total():.0f}% of their lessons."
