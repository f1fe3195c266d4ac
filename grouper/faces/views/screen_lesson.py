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
from grouper.games.days.groups import labels_of
from grouper.games.days.stale import round_of
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
    """A slot of how many: what happens where, who has a rest, and who lends players to whom (short team, lender)."""

    number: int
    of: int
    minutes: float | None
    cards: tuple[PlaceCard, ...]
    resting: tuple[str, ...] = ()
    loans: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Scene:
    """What the screen shows at once: the groups of a round, or a slot of the play of these groups.

    ``key`` is the same for the same scene when other scenes come or go.
    """

    key: str
    block: RoundBlock
    slot: SlotScene | None = None

    @property
    def minutes(self) -> float | None:
        """How long it lasts, None where that is not known."""
        return self.slot.minutes if self.slot else self.block.minutes


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
    yield Scene(str(block.place), block)
    people = {card.label: tuple(person.name for person in card.members) for card in block.groups}
    for day in record.games:
        if _is_of(record, day, day.teams, lesson, block):
            for game in games_view(day, record).slots:
                slot = _of_games(game, day, people)
                yield Scene(f"{block.place} games {game.slot}", block, slot)
    for circuit in record.circuits:
        if _is_of(record, circuit, circuit.groups, lesson, block):
            for number in range(1, circuit.last_slot + 1):
                slot = _of_stations(stations_view(circuit, record), number, circuit, people)
                yield Scene(f"{block.place} stations {number}", block, slot)


def _is_of(
    record: ClassRecord, day: GamesDay | CircuitDay, labels: tuple[str, ...], lesson: int, block: RoundBlock
) -> bool:
    """Whether the play is that of this round, with the groups that it has now."""
    round_ = round_of(record, day) if day.lesson == lesson else None
    return (
        round_ is not None
        and record.place_in_lesson(round_.key) == block.place
        and labels_of(round_.groups) == labels
    )


def _of_games(slot: GamesSlot, day: GamesDay, people: dict[str, tuple[str, ...]]) -> SlotScene:
    cards = tuple(_court(game, people) for game in slot.games)
    return SlotScene(slot.slot, day.slots, day.timing.play, cards, slot.waiting, slot.loans)


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
    return SlotScene(slot, circuit.last_slot, circuit.timing.play, cards, resting)
