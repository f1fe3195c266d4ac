"""What the students' screen shows of a lesson, scene by scene: each round, and after it the slots of its games or
stations.

Built from the allow-listed views of the round and of the play, and from nothing else: names, labels, places, times.
No score is in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.faces.views.games_view import CourtGame, GamesSlot, games_view
from grouper.faces.views.stations_view import StationsView, stations_view
from grouper.faces.views.student_lesson import RoundBlock, student_lesson_view
from grouper.games.days.stale import goes_with, round_of
from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import GamesDay
from grouper.model.record import ClassRecord


@dataclass(frozen=True)
class Side:
    """A team or a group at a place: its label and the names of its members."""

    label: str
    people: tuple[str, ...]


@dataclass(frozen=True)
class PlaceCard:
    """A court or a station: the word for it, its number, what is done there, who is there, and the team on duty."""

    word: str
    number: int
    name: str
    sides: tuple[Side, ...]
    duty: str = ""


@dataclass(frozen=True)
class SlotScene:
    """A slot of how many: what happens where, who has a rest, and who lends players to whom (short team, lender).

    ``change`` is how many minutes were given to change places before it.
    """

    number: int
    of: int
    minutes: float | None
    cards: tuple[PlaceCard, ...]
    resting: tuple[str, ...] = ()
    loans: tuple[tuple[str, str], ...] = ()
    change: float = 0.0


@dataclass(frozen=True)
class Scene:
    """What the screen shows at once: the groups of a round, or a slot of the play of these groups.

    ``key`` is the same for the same scene when other scenes come or go. ``minutes`` is how long it lasts, None where
    that is not known, or where the slots that come after it have their own.
    """

    key: str
    block: RoundBlock
    slot: SlotScene | None = None
    minutes: float | None = None


@dataclass(frozen=True)
class ScreenView:
    """A lesson on the screen; ``date`` as in the unit, ``rounds`` how many there are."""

    lesson: int
    date: str
    rounds: int
    scenes: tuple[Scene, ...]


def screen_view(record: ClassRecord, lesson: int) -> ScreenView:
    """The scenes of a lesson in the order of play.

    Games and stations for other groups than there are now have none.

    Raises
    ------
    InputError
        There is no such lesson, or it has no groups yet.
    """
    view = student_lesson_view(record, lesson)
    scenes = [scene for block in view.rounds for scene in _scenes(record, lesson, block)]
    return ScreenView(lesson, view.date, len(view.rounds), tuple(scenes))


def _scenes(record: ClassRecord, lesson: int, block: RoundBlock) -> Iterator[Scene]:
    slots = list(_slots(record, lesson, block))
    timed = any(slot.minutes for _, slot in slots)
    yield Scene(str(block.place), block, None, None if timed else block.minutes)
    yield from (Scene(f"{block.place} {what} {slot.number}", block, slot, slot.minutes) for what, slot in slots)


def _slots(record: ClassRecord, lesson: int, block: RoundBlock) -> Iterator[tuple[str, SlotScene]]:
    """The slots of the games of a round, and those of its stations, each with a word for which it is."""
    people = {card.label: tuple(person.name for person in card.members) for card in block.groups}
    for day in record.games:
        if _is_of(record, day, day.teams, lesson, block):
            yield from (("games", _of_games(slot, day, people)) for slot in games_view(day, record).slots)
    for circuit in record.circuits:
        if _is_of(record, circuit, circuit.groups, lesson, block):
            view = stations_view(circuit, record)
            numbers = range(1, circuit.last_slot + 1)
            yield from (("stations", _of_stations(view, number, circuit, people)) for number in numbers)


def _is_of(
    record: ClassRecord, day: GamesDay | CircuitDay, labels: tuple[str, ...], lesson: int, block: RoundBlock
) -> bool:
    """Whether the play is that of this round, with the groups that it has now."""
    round_ = round_of(record, day) if day.lesson == lesson else None
    return (
        round_ is not None and record.place_in_lesson(round_.key) == block.place and goes_with(round_, labels)
    )


def _of_games(slot: GamesSlot, day: GamesDay, people: dict[str, tuple[str, ...]]) -> SlotScene:
    cards = tuple(_court(game, people) for game in slot.games)
    return SlotScene(slot.slot, day.slots, day.timing.play, cards, slot.waiting, slot.loans, day.timing.changeover)


def _court(game: CourtGame, people: dict[str, tuple[str, ...]]) -> PlaceCard:
    sides = tuple(Side(label, people[label]) for label in (game.home, game.away))
    return PlaceCard("Court", game.court, "", sides, game.duty)


def _of_stations(
    view: StationsView, slot: int, circuit: CircuitDay, people: dict[str, tuple[str, ...]]
) -> SlotScene:
    cards = tuple(
        PlaceCard("Station", card.station, card.name, tuple(Side(label, people[label]) for label in there))
        for card in view.cards
        if (there := card.turns[slot - 1].groups)
    )
    resting = tuple(way.label for way in view.ways if way.stations[slot - 1] is None)
    return SlotScene(slot, circuit.last_slot, circuit.timing.play, cards, resting, (), circuit.timing.changeover)
