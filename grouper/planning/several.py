"""Several plans: of one class to choose from, and of all classes of a school at once."""

from __future__ import annotations

from collections.abc import Iterable
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from statistics import mean

from grouper.engines.annealing import Watch, always, part_of
from grouper.errors import GrouperError
from grouper.model.record import ClassRecord
from grouper.planning.fairness import Fairness, fairness_of
from grouper.planning.plan import Outcome, plan_unit

FROM_NEW_TO_EVEN = ("new-partners", "rather-new-partners", "", "rather-even-teams", "even-teams")


@dataclass(frozen=True)
class Choice:
    """One plan to pick: the preference that makes it, and what it is worth."""

    prefer: str
    outcome: Outcome
    fairness: Fairness

    @property
    def meeting_cost(self) -> int:
        """Of the unit: repeats, dearer the more often the same two meet."""
        return self.fairness.meeting_cost

    @property
    def unevenness(self) -> float:
        """The mean over all balanced rounds of how far team averages are apart, in steps of the strand."""
        return mean(spread.spread for spread in self.fairness.spreads) if self.fairness.spreads else 0.0

    def beats(self, other: Choice) -> bool:
        """Whether this is no worse in both respects and better in one."""
        mine = (self.meeting_cost, round(self.unevenness, 6))
        theirs = (other.meeting_cost, round(other.unevenness, 6))
        return mine != theirs and mine[0] <= theirs[0] and mine[1] <= theirs[1]


def choices(
    record: ClassRecord, seed: int | None = None, effort: str = "usual", watch: Watch | None = None
) -> tuple[Choice, ...]:
    """Plans none of which is beaten by another in both respects, newest partners first.

    The same record and seed give the same plans, so that a choice is made by planning with its preference. Where no
    round asks for even teams there is nothing to trade, and one plan is the answer.
    """
    balanced = any(activity.aim == "balanced" for lesson in record.unit.lessons for activity in lesson.activities)
    preferences = FROM_NEW_TO_EVEN if balanced else (record.settings.prefer,)
    parts = len(preferences)
    made = []
    for number, prefer in enumerate(preferences):
        part = part_of(watch or always, number / parts, (number + 1) / parts)
        outcome = plan_unit(record, seed, effort, replace(record.settings, prefer=prefer), part)
        made.append(Choice(prefer, outcome, fairness_of(outcome.record)))
    unbeaten = [choice for choice in made if not any(other.beats(choice) for other in made)]
    best: dict[tuple[int, float], Choice] = {}
    # Of two plans of the same worth the one that is made by the usual order needs no explaining.
    for choice in sorted(unbeaten, key=lambda item: abs(FROM_NEW_TO_EVEN.index(item.prefer) - 2)):
        best.setdefault((choice.meeting_cost, round(choice.unevenness, 6)), choice)
    return tuple(sorted(best.values(), key=lambda item: (item.meeting_cost, -item.unevenness)))


@dataclass(frozen=True)
class ClassPlanned:
    """What came of one class: the outcome, or the error that says why there is no plan; exactly one of the two."""

    outcome: Outcome | None = None
    refusal: GrouperError | None = None


def plan_school(
    records: Iterable[ClassRecord], executor: Executor, seed: int | None = None, effort: str = "usual"
) -> tuple[ClassPlanned, ...]:
    """Plan every class; those that cannot be planned do not keep the others from it.

    Parameters
    ----------
    records
        The classes.
    executor
        Any executor in the sense of ``concurrent.futures``: threads, processes, or a cluster's own. Only its
        ``submit`` is called, with what can be pickled; it is not shut down.
    seed, effort
        As for ``plan_unit``, the same for all; with no seed each class keeps its own.

    Returns
    -------
    tuple of ClassPlanned
        One for each class, in the order of ``records``. The plans are those of ``plan_unit``, whatever the executor
        and however many run at once.

    Examples
    --------
    >>> from concurrent.futures import ThreadPoolExecutor
    >>> with ThreadPoolExecutor(2) as threads:
    ...     plan_school([], threads)
    ()
    """
    futures = [executor.submit(planned, record, seed, effort) for record in records]
    return tuple(future.result() for future in futures)


def planned(record: ClassRecord, seed: int | None, effort: str) -> ClassPlanned:
    """One class planned; an error of ours is an answer too, so that it travels back like any other."""
    try:
        return ClassPlanned(outcome=plan_unit(record, seed, effort))
    except GrouperError as refusal:
        return ClassPlanned(refusal=refusal)
