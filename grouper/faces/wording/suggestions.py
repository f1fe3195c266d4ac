"""What was accepted, and how a task went, in a few words."""

from __future__ import annotations

from collections.abc import Sequence

from grouper.faces.wording.words import number_in_words
from grouper.model.task_result import TaskResult
from grouper.words import counted, listed


def accepted_in_words(count: int, strands: Sequence[str]) -> str:
    """What was accepted, without a name, for the log of changes.

    >>> accepted_in_words(2, ["throwing"])
    '2 suggested ratings accepted in throwing'
    """
    return f"{counted(count, 'suggested rating')} accepted in {listed(strands)}"


def task_in_words(result: TaskResult) -> str:
    """How a task went, such as 'group 3: too hard, 7 of 10'."""
    felt = {"easy": "too easy", "hard": "too hard"}.get(result.felt, result.felt)
    hits = f"{result.hits} of {number_in_words(result.tries)}" if result.tries else ""
    return f"group {result.label}: {', '.join(part for part in (felt, hits) if part)}"
