"""The board of a problem under all rules."""

from __future__ import annotations

from collections.abc import Mapping

from grouper.engines.board import Board
from grouper.engines.compile import board_of
from grouper.model.plan import Round
from grouper.model.problem import Problem
from grouper.model.unit import RoundKey
from grouper.rules.catalogue import RULES


def board_for(problem: Problem, start: Mapping[RoundKey, Round] | None = None) -> Board:
    """The board of a problem under all rules; ``start`` gives groups to begin from, for free rounds."""
    return board_of(problem, (term for rule in RULES for term in rule.terms(problem)), start)
