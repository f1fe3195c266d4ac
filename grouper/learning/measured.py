"""Suggestions from a test: a measure of each student, by rank among those measured, which needs no table of norms.

The 20 m shuttle run is one such test: Léger, Mercier, Gadoury and Lambert (1988), The multistage 20 metre shuttle run
test for aerobic fitness, Journal of Sports Sciences 6:93-101 (not read; the formula is as commonly quoted).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from grouper.errors import InputError
from grouper.learning.guesses import Scale, scale_of
from grouper.learning.suggest import Suggestion
from grouper.model.record import ClassRecord

FEWEST = 3
"""Of fewer students a rank tells nothing."""

RANK_SPREAD = 0.5
"""How far the rating of a test may be off, in steps: a day's form, and the width of a share (common practice)."""


@dataclass(frozen=True)
class Measured:
    """What a test measured.

    Parameters
    ----------
    values
        One number a student (id).
    higher_is_better
        Or lower, as with times.
    unit
        What to call the number in a line; with one, a decimal is enough.
    """

    values: Mapping[str, float]
    higher_is_better: bool = True
    unit: str = ""

    def shown(self, value: float) -> str:
        """A value in a line."""
        return f"{value:.1f} {self.unit}" if self.unit else f"{round(value, 2):g}"


def suggestions_from(record: ClassRecord, strand: str, measured: Measured) -> tuple[Suggestion, ...]:
    """Ratings by the rank among those measured, in the order of the roster, where they differ from those on it.

    A strand that the class does not have yet is rated from 1 to 5; it comes to be when a suggestion is accepted. Only
    the rank goes into the record: neither the measure nor what it was worked out from.

    Raises
    ------
    InputError
        There are fewer than three students, or somebody is not in the class.
    """
    _refuse_if_unfit(record, measured)
    scale = scale_of(record.roster, strand)
    people = [student for student in record.roster.active if student.id in measured.values]
    values = [measured.values[student.id] for student in people]
    ratings = ratings_by_rank(values, scale, measured.higher_is_better)
    in_order, found = sorted(values, reverse=measured.higher_is_better), []
    for student, value, rating in zip(people, values, ratings, strict=True):
        held = student.ratings.get(strand)
        if held != rating:
            reason = f"{measured.shown(value)}: place {in_order.index(value) + 1} of {len(values)}"
            found.append(Suggestion(student.id, strand, held, rating, RANK_SPREAD * scale.step, reason))
    return tuple(found)


def _refuse_if_unfit(record: ClassRecord, measured: Measured) -> None:
    if len(measured.values) < FEWEST:
        raise InputError(
            "a rank needs {fewest} students or more, got {count}", fewest=FEWEST, count=len(measured.values)
        )
    active = {student.id for student in record.roster.active}
    strangers = sorted(set(measured.values) - active)
    if strangers:
        raise InputError("not in the class: {strangers}", "leave them out", strangers=", ".join(strangers))


def mean_ranks(values: Sequence[float], higher_is_better: bool = True) -> list[float]:
    """The rank of each value, from 1 for the worst; equal values share the mean of their ranks.

    Examples
    --------
    >>> mean_ranks([30, 10, 20, 20]), mean_ranks([30, 10, 20, 20], higher_is_better=False)
    ([4.0, 1.0, 2.5, 2.5], [1.0, 4.0, 2.5, 2.5])
    """
    upwards = list(values) if higher_is_better else [-value for value in values]
    ordered = sorted(upwards)
    first = {value: place for place, value in reversed(list(enumerate(ordered, start=1)))}
    return [first[value] + (ordered.count(value) - 1) / 2 for value in upwards]


def ratings_by_rank(values: Sequence[float], scale: Scale, higher_is_better: bool = True) -> list[float]:
    """A rating for each value: every rating of the scale, in half steps, is for an equal share of the class.

    Half steps, because five steps would call alike what a test can tell apart, and finer ones would claim more than a
    rank in one class can hold. Where the shares do not come out even the ratings lie the same way from both ends.

    Examples
    --------
    >>> ratings_by_rank([5, 6, 7, 8, 9, 10, 11, 12, 13], Scale(1, 5))
    [1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0]
    >>> ratings_by_rank([61.2, 58.0, 70.4], Scale(1, 5), higher_is_better=False)
    [3.0, 4.5, 1.5]
    """
    halves = 8
    ranks = mean_ranks(values, higher_is_better)
    return [scale.rounded(scale.low + scale.step / 2 * _share(rank, len(ranks), halves)) for rank in ranks]


def _share(rank: float, people: int, most: int) -> int:
    """Which of the shares 0 .. most a rank falls in; on the border of two, the one nearer to the middle."""
    place, over = divmod((round(2 * rank) - 1) * (most + 1), 2 * people)
    on_border_above_middle = over == 0 and 2 * place > most + 1
    return place - 1 if on_border_above_middle else place


YOUNGEST, ADULT = 8, 18
"""The formula was made for children from 8 years on; grown-ups count as 18 in it."""
MOST_STAGES = 23


def vo2max(stage: float, age: float) -> float:
    """The maximal uptake of oxygen in ml per kg and minute.

    ``31.025 + 3.238 v - 3.248 a + 0.1536 a v`` with the speed v of the last stage in km/h, 8.5 in the first and half a
    km/h more in each, and the age a in years; from 18 on everybody counts as 18.

    Parameters
    ----------
    stage
        The last stage that was completed, from 1; a part of the next may be counted as a fraction.
    age
        In years.

    Raises
    ------
    InputError
        There is no such stage, or the formula was not made for the age.

    Examples
    --------
    >>> round(vo2max(8, 12), 1), round(vo2max(6, 14), 1)
    (53.0, 44.8)
    """
    if not 0 <= stage <= MOST_STAGES:
        what, remedy = "stage {stage:g} is none of the shuttle run", "its stages are 1 to {most_stages}"
        raise InputError(what, remedy, stage=stage, most_stages=MOST_STAGES)
    if not YOUNGEST <= age < 100:
        what, remedy = "the shuttle run cannot be read at the age of {age:g}", "ages are {youngest} or more, in years"
        raise InputError(what, remedy, age=age, youngest=YOUNGEST)
    years, speed = min(age, ADULT), 8 + 0.5 * stage
    return 31.025 + 3.238 * speed - 3.248 * years + 0.1536 * years * speed
