"""What students may see of games and stations: labels, places and times, and the score of what was played.

There is no name of a student, no rating and no rank in it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from grouper.faces.wording.words import number_in_words
from grouper.games.doubles import DoublesSchedule
from grouper.model.play import Event, Timing
from grouper.model.record import ClassRecord
from grouper.tasks.kept import last_total


@dataclass(frozen=True)
class PlayHeading:
    """Name of the activity, number of the lesson (0 for none), its date, the length of a slot, and how points count;
    empty for unknown."""

    title: str
    lesson: int = 0
    date: str = ""
    length: str = ""
    rule: str = ""


@dataclass(frozen=True)
class Spot:
    """Who is at a court or a station in a slot, by name; the team on duty and the score, empty for none yet."""

    slot: int
    begins: str
    place: int
    teams: tuple[str, ...]
    duty: str = ""
    score: tuple[str, str] = ("", "")


@dataclass(frozen=True)
class PlaySlot:
    """A slot: when it begins, who is where, who waits, and who lends players to whom (short team, lender)."""

    slot: int
    begins: str
    spots: tuple[Spot, ...]
    waiting: tuple[str, ...] = ()
    loans: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class PlayView:
    """Games or stations, slot by slot; ``teams`` are all of them, ``places`` the names of the courts or stations.

    ``called`` says which group a team is that has a name of its own: name and label.
    """

    heading: PlayHeading
    slots: tuple[PlaySlot, ...]
    teams: tuple[str, ...]
    places: tuple[str, ...]
    called: tuple[tuple[str, str], ...] = ()

    @property
    def with_duty(self) -> bool:
        """Whether any team officiates."""
        return any(spot.duty for slot in self.slots for spot in slot.spots)

    @property
    def with_names(self) -> bool:
        """Whether any place has a name."""
        return any(self.places)

    def at(self, place: int) -> tuple[Spot, ...]:
        """Who is at a place in each slot; nobody in a slot in which it is free or closed."""
        return tuple(
            next((spot for spot in slot.spots if spot.place == place), Spot(slot.slot, slot.begins, place, ()))
            for slot in self.slots
        )

    def way_of(self, team: str) -> tuple[int | None, ...]:
        """The place of a team in each slot, None where it has none."""
        return tuple(next((spot.place for spot in slot.spots if team in spot.teams), None) for slot in self.slots)


def play_view(event: Event, record: ClassRecord | None = None) -> PlayView:
    """The allow-listed view of games or stations, of a class or of mere numbers."""
    slots = []
    for slot in range(1, event.slots + 1):
        loans = tuple((event.name(short), event.name(lender)) for at, short, lender in event.loans if at == slot)
        start, spots = begins(event.timing, slot), []
        for one in event.in_slot(slot):
            home, away = ("", "") if one.score is None else map(number_in_words, one.score.net)
            duty = "" if one.duty is None else event.name(one.duty)
            spots.append(Spot(slot, start, one.place, tuple(map(event.name, one.teams)), duty, (home, away)))
        slots.append(PlaySlot(slot, start, tuple(spots), event.waiting(slot), loans))
    date = record.lesson(event.lesson).date if record is not None and event.lesson else ""
    title = event.activity or ("Games" if event.is_games else "Stations")
    rule = rule_for_students(record, event.activity, event.lesson) if record is not None else ""
    heading = PlayHeading(title, event.lesson, date, _length(event.timing), rule)
    called = tuple((name, label) for name, label in zip(event.called, event.teams, strict=False) if name)
    return PlayView(heading, tuple(slots), tuple(map(event.name, event.numbers)), event.places, called)



def doubles_view(schedule: DoublesSchedule, timing: Timing) -> PlayView:
    """The view of two against two: players by number, those who rest as waiting."""
    slots = []
    for slot in range(1, schedule.slots + 1):
        start = begins(timing, slot)
        spots = (
            Spot(slot, start, game.court, (_pair(game.home), _pair(game.away)))
            for game in schedule.games
            if game.slot == slot
        )
        slots.append(PlaySlot(slot, start, tuple(spots), tuple(map(str, schedule.resting(slot)))))
    players = tuple(str(player) for player in range(1, schedule.players + 1))
    heading = PlayHeading("Two against two", length=_length(timing))
    return PlayView(heading, tuple(slots), players, ("",) * schedule.courts)


def _pair(players: Sequence[int]) -> str:
    return "+".join(map(str, players))


BIBS = ("red", "orange", "yellow", "green", "blue", "purple", "pink", "white", "black", "grey")
"""Colours that stand beside a team that is called by one; the word is always there."""


def bib(name: str) -> str:
    """The colour in what a team is called, empty for none.

    >>> bib("Reds"), bib("Dark blue"), bib("Foxes")
    ('red', 'blue', '')
    """
    words = name.casefold().split()
    return next((colour for word in words for colour in BIBS if word in (colour, f"{colour}s")), "")


def bib_of(name: str) -> Markup:
    """The attribute of an element that holds a team's name, by which the style sheet puts a spot of colour before it.

    >>> str(bib_of("Red")), str(bib_of("4"))
    (' data-bib="red"', '')
    """
    colour = bib(name)
    return Markup(f' data-bib="{colour}"' if colour else "")


def begins(timing: Timing, slot: int) -> str:
    """When a slot begins, in minutes from the first; empty where it is not known.

    >>> begins(Timing(5, 2), 3)
    'min 14'
    """
    start = timing.start_of(slot)
    return "" if start is None else f"min {_whole_or_half(start)}"


def _length(timing: Timing) -> str:
    return "" if timing.play is None else f"{_whole_or_half(timing.play)} min each"


def _whole_or_half(minutes: float) -> str:
    """Minutes rounded down to a half: nobody plays to the second."""
    return number_in_words(int(2 * minutes + 1e-6) / 2, 1)


def rule_for_students(record: ClassRecord, activity: str, lesson: int) -> str:
    """How points count in an activity, in a sentence, with what the class had last where it plays for its total.

    A total is the class's and nobody's; no other number of points stands beside a rule.
    """
    challenge, scoring = record.challenge(activity), record.scoring(activity)
    rule = challenge.rule if challenge else ""
    last = last_total(record, activity, lesson) if scoring and scoring.together else None
    return f"{rule} Last time: {last}." if last is not None else rule
