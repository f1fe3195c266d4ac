"""The unit at a glance: its lessons, how fair the plan is, and what else could be had."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grouper.faces.page.checks import Check, check_unit
from grouper.faces.page.proposals import Proposal
from grouper.faces.views.aims import aim_in_words
from grouper.faces.views.evidence import in_one_sentence
from grouper.faces.wording.fairness import Part, summary_parts
from grouper.faces.wording.words import minutes_in_words, number_in_words
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, Lesson
from grouper.planning.fairness import Fairness, fairness_of
from grouper.planning.reshape import changes_between
from grouper.words import counted, from_to


@dataclass(frozen=True)
class ActivityLine:
    """An activity in words: its name, in what groups, how long, and what it is after."""

    name: str
    shape: str
    length: str
    aim: str


@dataclass(frozen=True)
class LessonCard:
    """A lesson of the unit; ``state`` is ``taught``, ``ready`` or ``no groups yet``; ``out`` counts those absent."""

    number: int
    date: str
    state: str
    today: bool
    activities: tuple[ActivityLine, ...]
    minutes: str
    out: int


@dataclass(frozen=True)
class PlanLine:
    """A plan to be compared: what it was asked for with, and its figures; ``number`` 0 is the one that stands.

    ``changes`` says how many groups of today's lesson, or where there is none of the lessons to come, would be others.
    """

    number: int
    title: str
    repeats: int
    partners: str
    most: int
    spread: str
    breaches: int
    changes: str = "–"


@dataclass(frozen=True)
class UnitView:
    """The whole unit; ``sentence`` is the gist of how fair it is, ``summary`` are the parts in words."""

    cards: tuple[LessonCard, ...]
    planned: bool
    complete: bool
    summary: tuple[Part, ...]
    check: Check
    plans: tuple[PlanLine, ...]
    students: int
    sentence: str


def unit_view(
    record: ClassRecord, fairness: Fairness | None, today: int | None, proposals: tuple[Proposal, ...]
) -> UnitView:
    """The unit of a class, with how fair it is by ``fairness_of_whole``."""
    planned = bool(record.plan.rounds)
    return UnitView(
        cards=tuple(_card(record, lesson, lesson.number == today) for lesson in record.unit.lessons),
        planned=planned,
        complete=all(key in record.plan.by_key for key in record.unit.keys),
        summary=tuple(summary_parts(record, fairness)) if fairness else (),
        check=check_unit(record),
        plans=_plans(record, today, fairness, proposals),
        students=len(record.roster.active),
        sentence=in_one_sentence(fairness, fairness.bounds, len(record.roster.active) - 1, False) if fairness else "",
    )


def fairness_of_whole(record: ClassRecord) -> Fairness | None:
    """How fair the plan is; None while a round of the unit has no groups."""
    whole = record.unit.keys and all(key in record.plan.by_key for key in record.unit.keys)
    return fairness_of(record) if whole else None


def _card(record: ClassRecord, lesson: Lesson, today: bool) -> LessonCard:
    taught, ready = lesson.number in record.taught, bool(record.plan.of_lesson(lesson.number))
    minutes = sum(a.rounds * a.minutes for a in lesson.activities if a.minutes)
    return LessonCard(
        lesson.number,
        lesson.date,
        "taught" if taught else "ready" if ready else "no groups yet",
        today,
        tuple(_activity(activity) for activity in lesson.activities),
        minutes_in_words(minutes or None),
        len({absence.student for absence in record.absences if absence.lesson == lesson.number}),
    )


def _activity(activity: Activity) -> ActivityLine:
    length = minutes_in_words(activity.minutes)
    rounds = counted(activity.rounds, "round")
    return ActivityLine(
        activity.name, _shape(activity), f"{rounds} of {length}" if length else rounds, aim_in_words(activity)
    )


def _shape(activity: Activity) -> str:
    if activity.groups is not None:
        return counted(activity.groups, "team")
    return {None: "same groups", 1: "alone", 2: "pairs", 3: "threes", 4: "fours", 5: "fives", 6: "sixes"}.get(
        activity.size, f"groups of {activity.size}"
    )


def _plans(
    record: ClassRecord, today: int | None, now: Fairness | None, proposals: tuple[Proposal, ...]
) -> tuple[PlanLine, ...]:
    stands = [_plan(0, "the plan as it is", now)] if now else []
    return tuple(stands + [
        replace(_plan(p.number, _asked(p), p.fairness), changes=_changes(record, p, today)) for p in proposals
    ])


def _changes(record: ClassRecord, proposal: Proposal, today: int | None) -> str:
    """How many groups of today would be others; of all lessons where none is today."""
    changes = changes_between(record.plan, proposal.record.plan)
    number = sum(len(change.after) for change in changes if today is None or change.key.lesson == today)
    return counted(number, "group") if number else "none"


def _asked(proposal: Proposal) -> str:
    prefer = proposal.asked.settings.prefer.replace("-", " ") or "as usual"
    return f"proposal {proposal.number}: {proposal.asked.effort}, {prefer}{', stopped' if proposal.stopped else ''}"


def _plan(number: int, title: str, fairness: Fairness) -> PlanLine:
    worst = fairness.worst_spread
    return PlanLine(
        number,
        title,
        fairness.repeats,
        from_to(fairness.fewest_partners, fairness.most_partners),
        fairness.most_meetings,
        "–" if worst is None else number_in_words(worst.spread),
        len(fairness.breaches),
    )
