"""What is said, as facts; and the few helpers that make English of numbers, lists and names.

A verb raises or returns ``Said``: a sentence with places for its facts, and the remedy. Which words a remedy has, a
button or a command, is for the face that shows it (``grouper.faces.wording.telling``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum, auto
from string import Formatter
from typing import Any


class Remedy(Enum):
    """What can be done about something, where the way to do it differs from face to face."""

    MAKE_GROUPS = auto()
    NAME_LESSONS = auto()
    CHANGE_LESSONS = auto()
    DATE_LESSONS = auto()
    SEE_GROUPS = auto()
    CHOOSE_ROUND = auto()
    SAY_WHERE_IT_ENDED = auto()
    CLOSE_LESSON = auto()
    PUT_REST = auto()
    PLAN_LESSONS = auto()
    TAKE_BACK = auto()
    SAME_STUDENT = auto()
    WHO_IS_WHO = auto()
    RESTORE_COPY = auto()
    GIVE_CLASS_FILE = auto()
    SEE_TEMPLATE = auto()
    ADD_HEADERS = auto()
    SEE_LADDERS = auto()
    ADD_ROUNDS_OR_END = auto()
    MAKE_CLASS = auto()
    ANY_PORT = auto()
    INSTALL_PHONE = auto()
    GIVE_TASKS = auto()
    CHOOSE_STRAND = auto()
    PLAN_GAMES = auto()
    PLAN_STATIONS = auto()
    PLAN_REST = auto()
    SAY_SLOTS_OVER = auto()
    SAY_SLOTS_LEFT = auto()
    CHOOSE_SLOT = auto()
    CORRECT_OR_OPEN = auto()
    CHOOSE_KIND = auto()
    CHOOSE_CLASS = auto()


@dataclass(frozen=True)
class Said:
    """A sentence and what can be done.

    Parameters
    ----------
    text
        The sentence, with the names of its facts in braces; it is the same for a kind of thing, whatever the facts.
    remedy
        A ``Remedy`` where each face has its own words for it, else what to try, in words.
    facts
        By name, for whoever wants to know more than the sentence.

    Examples
    --------
    >>> str(Said("{count:student} in {labels}", "take one", {"count": 3, "labels": ("A", "B")}))
    '3 students in A and B; take one'
    """

    text: str
    remedy: Remedy | str = ""
    facts: Mapping[str, Any] = field(default_factory=dict, hash=False)

    @property
    def sentence(self) -> str:
        """What is so, without what can be done."""
        return filled(self.text, self.facts)

    def __str__(self) -> str:
        """The sentence with a remedy that is the same for all faces."""
        tried = filled(self.remedy, self.facts) if isinstance(self.remedy, str) else ""
        return f"{self.sentence}; {tried}" if tried else self.sentence


class _Filling(Formatter):
    def format_field(self, value: Any, format_spec: str) -> str:
        if isinstance(value, (tuple, list)):
            return listed([str(each) for each in value], format_spec or "and")
        # A noun may have two words ('more repeat'); one letter is a format of Python's own.
        if isinstance(value, int) and len(format_spec) > 1 and format_spec.replace(" ", "").isalpha():
            return counted(value, format_spec)
        return str(super().format_field(value, format_spec))


def filled(text: str, facts: Mapping[str, Any]) -> str:
    """The text with its facts; ``{n:round}`` counts, ``{names:or}`` lists; as it stands where there are no facts.

    Examples
    --------
    >>> filled("{n:round}: {names:or}", {"n": 1, "names": ("Ann", "Ben", "Cid")})
    '1 round: Ann, Ben or Cid'
    """
    return _Filling().vformat(text, (), facts) if facts else text


def counted(count: int, noun: str, nouns: str = "") -> str:
    """A number with its noun.

    Examples
    --------
    >>> counted(1, "repeat"), counted(3, "repeat"), counted(2, "class", "classes")
    ('1 repeat', '3 repeats', '2 classes')
    """
    return f"{count} {noun if count == 1 else nouns or noun + 's'}"


def listed(items: Sequence[str], joint: str = "and") -> str:
    """Items as people list them.

    Examples
    --------
    >>> listed(["Ann"]), listed(["Ann", "Ben", "Cid"]), listed(["1", "2"], "or")
    ('Ann', 'Ann, Ben and Cid', '1 or 2')
    """
    return f"{', '.join(items[:-1])} {joint} {items[-1]}" if len(items) > 1 else "".join(items)


def from_to(least: int, most: int) -> str:
    """A span of numbers: '3' where both ends are alike, else '3 to 5'."""
    return f"{least}" if least == most else f"{least} to {most}"


def short(number: float, places: int = 2) -> str:
    """A number with no more decimals than needed, two at most.

    Examples
    --------
    >>> short(0.6666), short(12.5), short(2.0), short(-0.001)
    ('0.67', '12.5', '2', '0')
    """
    text = f"{number:.{places}f}"
    trimmed = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if trimmed == "-0" else trimmed


def folded(text: str) -> str:
    """A text for looking it up: in one line, in small letters.

    Examples
    --------
    >>> folded("  Even   Teams ")
    'even teams'
    """
    return " ".join(text.split()).casefold()
