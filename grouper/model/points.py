"""What games are worth to a class, and what parts level teams."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError
from grouper.model.texts import MOST_NUMBER, check_number


@dataclass(frozen=True)
class Points:
    """Points for a win, a draw and a loss, in falling order, and the tie-breaks by their keys, the first first.

    An empty order is the usual one.
    """

    win: float = 3.0
    draw: float = 1.0
    loss: float = 0.0
    order: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for what, value in (("win", self.win), ("draw", self.draw), ("loss", self.loss)):
            check_number(value, f"points for a {what}", -MOST_NUMBER, MOST_NUMBER)
        if not self.win >= self.draw >= self.loss:
            given = f"{self.win:g} for a win, {self.draw:g} for a draw, {self.loss:g} for a loss"
            raise InputError("{given}: give them in falling order", given=given)
