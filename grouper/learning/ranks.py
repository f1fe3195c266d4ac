"""Measures of any kind as ratings, by the rank among those measured: so they need no table of norms."""

from __future__ import annotations

from collections.abc import Sequence

from grouper.learning.scale import Scale


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
