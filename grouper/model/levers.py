"""What makes a task easier or harder: the levers of an activity, what their settings need, the cupboard, and what is
always kept for one child."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from grouper.errors import InputError
from grouper.model.scoring import Scoring, scoring_called
from grouper.model.texts import MOST_OF_TITLE, MOST_PEOPLE, check_length, check_number, tidy
from grouper.words import folded

KINDS = ("space", "target", "equipment", "movement", "action", "scoring", "people")
"""What a lever moves: how large the space, what to aim at, with what, how to move, what to do, how points are won and
lost, how many on a side (STEP: space, task, equipment, people; Sport Wales)."""

MOST_OF_WORDS = 500
MOST_LEVERS = 6
"""More at once and nobody can say which of them it was."""

At = tuple[int, ...]
"""A task: the setting of each lever in its order, counted from 1; 0 where a lever was not in play."""


@dataclass(frozen=True, order=True)
class Needed:
    """So many of a thing: for a group, or for ``each`` of its members."""

    item: str
    count: int = 1
    each: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "item", tidy(self.item))
        check_length(self.item, "the name of a thing", MOST_OF_TITLE)
        if not self.item:
            raise InputError("a thing that is needed has no name", "write it as '2 cones' or 'ball each'")
        check_number(self.count, f"how many of '{self.item}' are needed", 1, MOST_PEOPLE)

    def of(self, people: int) -> int:
        """How many a group of so many needs."""
        return self.count * people if self.each else self.count


def needed_from(text: str) -> tuple[Needed, ...]:
    """What a setting needs, as it is written.

    Examples
    --------
    >>> needed_from("2 cones; rope each")
    (Needed(item='cones', count=2, each=False), Needed(item='rope', count=1, each=True))
    """
    parts = (part.strip() for part in re.split(r"[;+]", text))
    return tuple(_needed(part) for part in parts if part)


def _needed(part: str) -> Needed:
    found = re.fullmatch(r"(?:(\d{1,4})\s*(?:x\s)?\s*)?(.*?)(\s+each)?", part, re.IGNORECASE | re.DOTALL)
    count, item, each = found.groups() if found else (None, part, None)
    return Needed(item, int(count) if count else 1, bool(each))


def needs_in_words(needs: Iterable[Needed]) -> str:
    """What a setting needs, as it is read again."""
    return "; ".join(
        f"{f'{one.count} ' if one.count > 1 or one.item[:1].isdigit() else ''}{one.item}{' each' if one.each else ''}"
        for one in needs
    )


@dataclass(frozen=True)
class Setting:
    """One way of a lever: its short name, the words on a student's card, and what it needs."""

    name: str
    words: str = ""
    needs: tuple[Needed, ...] = ()

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise InputError("a setting needs a name")
        check_length(self.name, "a setting", MOST_OF_WORDS)
        check_length(self.words, "the words of a setting", MOST_OF_WORDS)

    @property
    def shown(self) -> str:
        """What students read."""
        return self.words or self.name

    @property
    def said(self) -> str:
        """The same within a sentence."""
        return self.shown.strip().rstrip(".;,")


@dataclass(frozen=True)
class Lever:
    """Something that can be changed about a task: its settings from the easiest to the hardest.

    ``kind`` is one of KINDS, or empty where it is several at once, as in a ladder of whole tasks.
    """

    name: str
    settings: tuple[Setting, ...]
    kind: str = ""

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise InputError("a lever has no name", "call it 'distance' or 'ball', for instance")
        check_length(self.name, "the name of a lever", MOST_OF_TITLE)
        if self.kind not in ("", *KINDS):
            raise InputError("a lever moves {known:or} or nothing of these, not '{kind}'", known=KINDS, kind=self.kind)
        if len(self.settings) < 2:
            raise InputError("the lever '{lever}' has one setting", "give it two or more", lever=self.name)
        names = [folded(setting.name) for setting in self.settings]
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice:
            what = "the lever '{lever}' has the setting '{setting}' twice"
            raise InputError(what, "give each its own name", lever=self.name, setting=twice)

    def place(self, setting: str) -> int:
        """The place of a setting by its name or its number, from 1; 0 where there is none."""
        wanted = folded(setting)
        names = [folded(each.name) for each in self.settings]
        if wanted in names:
            return names.index(wanted) + 1
        number = int(wanted) if wanted.isascii() and wanted.isdecimal() and len(wanted) < 4 else 0
        return number if number <= len(names) else 0


@dataclass(frozen=True)
class Challenge:
    """What an activity asks, by its name: its levers, and how points are won and lost.

    Parameters
    ----------
    activity, levers
        Its name, and what can be changed about its task; with one lever it is a ladder of tasks. None where it has a
        way of scoring alone.
    scoring
        The name of a way of scoring, of ``SCORINGS``; empty where none is chosen.
    own_rule
        The rule as the teacher says it; empty for the sentence that comes along.
    two_ways
        Whether cards offer two ways, for children to choose.
    """

    activity: str
    levers: tuple[Lever, ...]
    scoring: str = ""
    own_rule: str = ""
    two_ways: bool = False

    def __post_init__(self) -> None:
        if not self.activity.strip():
            raise InputError("levers need the name of the activity that they are for")
        check_length(self.activity, "the name of an activity")
        object.__setattr__(self, "own_rule", tidy(self.own_rule))
        check_length(self.own_rule, "the words of a rule", MOST_OF_WORDS)
        if self.scoring:
            object.__setattr__(self, "scoring", scoring_called(self.scoring).name)
        if not self.levers and not self.scoring:
            raise InputError("'{activity}' has no lever", "give it one or more", activity=self.activity)
        if len(self.levers) > MOST_LEVERS:
            what = "'{activity}' has {count} levers"
            raise InputError(
                what, "use {most} at most", activity=self.activity, count=len(self.levers), most=MOST_LEVERS
            )
        names = [folded(lever.name) for lever in self.levers]
        if len(set(names)) < len(names):
            raise InputError("two levers of '{activity}' are called alike", "rename one", activity=self.activity)

    @cached_property
    def all_settings(self) -> tuple[Setting, ...]:
        """The settings of all levers."""
        return tuple(setting for lever in self.levers for setting in lever.settings)

    @cached_property
    def things(self) -> dict[str, str]:
        """What any setting needs: each thing as it is written, by its folded name, in the order of the levers."""
        return {folded(needed.item): needed.item for setting in self.all_settings for needed in setting.needs}

    def fits(self, activity: str) -> bool:
        """Whether it is for an activity with this name, upper and lower case and spaces alike."""
        return folded(self.activity) == folded(activity)

    @property
    def way_of_scoring(self) -> Scoring | None:
        """How points are won and lost; None where that is left open."""
        return scoring_called(self.scoring) if self.scoring else None

    @property
    def rule(self) -> str:
        """How points are won and lost, in one sentence that students read; empty where that is left open."""
        return self.own_rule or (scoring_called(self.scoring).rule if self.scoring else "")

    def lever(self, name: str) -> Lever | None:
        """The lever with this name."""
        return next((lever for lever in self.levers if folded(lever.name) == folded(name)), None)

    @cached_property
    def counts(self) -> At:
        """How many settings each lever has."""
        return tuple(len(lever.settings) for lever in self.levers)

    @property
    def middle(self) -> At:
        """The task with every lever in its middle; of two as near the easier one."""
        return tuple((count + 1) // 2 for count in self.counts)

    def holds(self, at: At) -> bool:
        """Whether there is such a task."""
        return len(at) == len(self.levers) and all(1 <= k <= n for k, n in zip(at, self.counts, strict=True))

    def settings(self, at: At) -> tuple[Setting, ...]:
        """The settings of a task, lever by lever."""
        return tuple(lever.settings[place - 1] for lever, place in zip(self.levers, at, strict=True) if place)

    def words(self, at: At) -> str:
        """The task as students read it: one lever after another."""
        said = [setting.said for setting in self.settings(at)]
        return said_in_a_line(said) if len(self.levers) > 1 or not said else self.settings(at)[0].shown

    def needs(self, at: At, people: int) -> dict[str, int]:
        """How many of each thing a group of so many needs, by the folded name of the thing."""
        found: dict[str, int] = {}
        for setting in self.settings(at):
            for needed in setting.needs:
                found[folded(needed.item)] = found.get(folded(needed.item), 0) + needed.of(people)
        return found


@dataclass(frozen=True, order=True)
class Store:
    """How many of a thing there are: balls, hoops, goals, courts."""

    item: str
    count: int

    def __post_init__(self) -> None:
        object.__setattr__(self, "item", tidy(self.item))
        check_length(self.item, "the name of a thing", MOST_OF_TITLE)
        if not self.item:
            raise InputError("a thing in the cupboard needs a name")
        check_number(self.count, f"how many of '{self.item}' there are", 0, 10 * MOST_PEOPLE)


ADAPTATIONS = ("always", "never", "also", "not at")
"""A setting that is kept, one that is not used, words that go with every task, a station without them."""


@dataclass(frozen=True, order=True)
class Adaptation:
    """Of a student (id): one of ADAPTATIONS, and what: 'large ball', 'hopping', 'seated', '4'."""

    student: str
    kind: str
    what: str

    def __post_init__(self) -> None:
        object.__setattr__(self, "what", tidy(self.what))
        if self.kind not in ADAPTATIONS:
            what = "'{kind}' is nothing to keep for somebody"
            raise InputError(what, "use {known:or}", kind=self.kind, known=ADAPTATIONS)
        if not self.what:
            raise InputError("say what is {kind} so", "such as 'large ball'", kind=self.kind)
        check_length(self.what, "what is kept for somebody", MOST_OF_TITLE)


def said_in_a_line(said: Iterable[str]) -> str:
    """Several short instructions as one line, the first letter large.

    Examples
    --------
    >>> said_in_a_line(["four big steps apart", "small soft ball"])
    'Four big steps apart; small soft ball.'
    """
    line = "; ".join(said)
    return f"{line[:1].upper()}{line[1:]}." if line else ""
