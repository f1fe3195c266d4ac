"""Plan a whole school: many classes at once, on whatever runs things side by side."""

from __future__ import annotations

from collections.abc import Iterable
from concurrent.futures import Executor
from dataclasses import dataclass

from grouper.errors import GrouperError
from grouper.model.record import ClassRecord
from grouper.planning.outcome import Outcome
from grouper.planning.plan import plan_unit


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
