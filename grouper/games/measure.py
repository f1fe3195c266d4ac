"""A figure beside its bound: how good it is, and how good it could be at best."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Measure:
    """What was reached and what cannot be beaten.

    Parameters
    ----------
    key : str
        A short fixed name.
    sentence : str
        What is measured, in words.
    reached : float
    bound : float
        No schedule for the same event can be better than this; it need not be reachable.
    better : {"low", "high"}
    """

    key: str
    sentence: str
    reached: float
    bound: float
    better: Literal["low", "high"] = "low"

    @property
    def is_best(self) -> bool:
        """Whether the bound is reached, so that nothing better exists."""
        return self.reached <= self.bound if self.better == "low" else self.reached >= self.bound - 1e-12


def spread(counts: Sequence[int]) -> int:
    """The largest less the smallest; 0 for none."""
    return max(counts) - min(counts) if counts else 0


def by_key(measures: Iterable[Measure]) -> dict[str, Measure]:
    """The measures under their keys."""
    return {measure.key: measure for measure in measures}
