"""What a rule is: a key, a sentence for people, its truth in plain Python, and its terms for the engines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

from grouper.model.plan import Plan
from grouper.model.problem import Problem
from grouper.model.unit import RoundKey
from grouper.rules.terms import Level, Term


@dataclass(frozen=True)
class Breach:
    """A hard rule that a plan breaks: which rule, in which round, which students, and a sentence for people."""

    rule: str
    key: RoundKey
    students: tuple[str, ...]
    sentence: str

    @property
    def what(self) -> str:
        """The sentence without the lesson that it begins with: the same for every round of one clash."""
        lesson = f"lesson {self.key.lesson}"
        return self.sentence.removeprefix(f"{lesson}: ").removeprefix(f"{lesson}, ")


class Rule(Protocol):
    """The door for wishes: one line in RULES each."""

    @property
    def key(self) -> str:
        """A short name, as in reports."""

    @property
    def sentence(self) -> str:
        """What the rule wants, in one sentence for people."""

    @property
    def level(self) -> Level:
        """Where the rule's cost stands in the order of preference."""

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """Where a plan breaks the rule; always empty for a rule that only has a cost."""

    def cost(self, problem: Problem, plan: Plan) -> int:
        """What a plan costs under the rule, 0 where nothing could be better."""

    def terms(self, problem: Problem) -> Iterator[Term]:
        """The rule in the words that engines know."""


class Preference:
    """A rule that only has a cost, so that no plan breaks it."""

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """None, whatever the plan."""
        return []
