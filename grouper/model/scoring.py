"""Ways in which points are won and lost, to choose from for an activity: SCORINGS is the door for another one.

All of them come down to points won and points lost, of which the difference is the net score: that alone decides. The
ways are common practice and have no source; so are the usual numbers of points, which the teacher may set otherwise.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.words import folded

MOST_WORTH = 50


@dataclass(frozen=True)
class Count:
    """Something that is counted: what it is called, and its points; ``lost`` where these are taken off."""

    name: str
    points: int = 1
    lost: bool = False


@dataclass(frozen=True)
class Scoring:
    """A way of winning and losing points.

    Parameters
    ----------
    key
        What it is called, in a table and in a list to choose from.
    sentence
        The rule as students read it, given what the special thing is worth.
    counts
        What is counted, given the same; the first is the usual thing.
    worth
        Points of the special thing: a hit beside near misses, the harder way, a time in the danger zone.
    ranked
        Whether the results of teams or groups may be held against one another, in a table or in what is learnt.
    together
        Whether it is the total of the class that counts, which is no child's.
    """

    key: str
    sentence: Callable[[int], str]
    counts: Callable[[int], tuple[Count, ...]]
    worth: int = 1
    ranked: bool = True
    together: bool = False

    @property
    def name(self) -> str:
        """What it is called, with its number of points where that is not the usual one."""
        return self.key if self.own_worth is None else f"{self.key} {self.own_worth}"

    @property
    def own_worth(self) -> int | None:
        """The points of the special thing where the teacher set others than the usual ones."""
        return None if self.worth == _BY_KEY[self.key].worth else self.worth

    @property
    def rule(self) -> str:
        """The rule in one sentence, as it stands on sheets, cards and the screen."""
        return self.sentence(self.worth)

    @property
    def counted(self) -> tuple[Count, ...]:
        """What is counted, the usual thing first."""
        return self.counts(self.worth)

    @property
    def alone(self) -> bool:
        """Whether everybody is to beat their own last time."""
        return not self.ranked and not self.together

    @property
    def a_hit(self) -> int:
        """The points of a hit where nothing else wins any, so that points won tell how many hits there were; else 0."""
        winning = [count.points for count in self.counted if not count.lost]
        return winning[0] if len(winning) == 1 else 0

    @property
    def most(self) -> int:
        """The most points that one success brings: so much less do points tell than successes would."""
        return max(count.points for count in self.counted)


def _points(number: int) -> str:
    return "1 point" if number == 1 else f"{number} points"


def _hits(worth: int) -> tuple[Count, ...]:
    return (Count("hit", worth),)


SCORINGS = (
    Scoring("per hit", lambda worth: f"{_points(worth)} for each hit.", _hits),
    Scoring(
        "near misses",
        lambda worth: f"{_points(worth)} for each hit, 1 for a near miss.",
        lambda worth: (Count("hit", worth), Count("near miss")),
        worth=2,
    ),
    Scoring(
        "harder way",
        lambda worth: f"1 point for each hit, {worth} with your other hand or from the further line.",
        lambda worth: (Count("hit"), Count("harder way", worth)),
        worth=2,
    ),
    Scoring(
        "danger zone",
        lambda worth: f"1 point for each hit; whoever is in the danger zone loses {worth}.",
        lambda worth: (Count("hit"), Count("danger zone", worth, lost=True)),
    ),
    Scoring("own best", lambda worth: "Count your own points: can you beat your last time?", _hits, ranked=False),
    Scoring(
        "class total",
        lambda worth: "The points of all are added up: can the class beat its last time?",
        _hits,
        ranked=False,
        together=True,
    ),
)
"""Ways of scoring, the plainest first."""

_BY_KEY = {one.key: one for one in SCORINGS}


def scoring_called(name: str) -> Scoring:
    """The way of scoring with this name, such as 'near misses' or 'danger zone 5'.

    Raises
    ------
    InputError
        There is none, or the number of points makes no sense.

    Examples
    --------
    >>> scoring_called("Danger zone 5").rule
    '1 point for each hit; whoever is in the danger zone loses 5.'
    """
    words = folded(name)
    key, _, number = words.rpartition(" ")
    if not (number.isascii() and number.isdecimal() and key in _BY_KEY):
        key, number = words, ""
    if key not in _BY_KEY:
        raise InputError("'{name}' is no way of scoring", "use {known:or}", name=name, known=tuple(_BY_KEY))
    if not number:
        return _BY_KEY[key]
    if not _BY_KEY[key].ranked:
        raise InputError("'{name}': {key} takes no number of points", "leave it out", name=name, key=key)
    # A number of a million digits takes minutes to read.
    if len(number) > 4 or not 1 <= int(number) <= MOST_WORTH:
        raise InputError("'{name}': use 1 to {most} points", name=name, most=MOST_WORTH)
    return replace(_BY_KEY[key], worth=int(number))
