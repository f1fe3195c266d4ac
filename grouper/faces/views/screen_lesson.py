"""What the students' screen shows of a lesson, scene by scene: each round, and after it the slots of its games or
stations.

Built from the allow-listed views of the round and of the play, and from nothing else: names, labels, places, times.
No score is in it; of the standings there is what the teacher chose to show, and nothing unless they did.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.faces.views.play_view import PlaySlot, Spot, play_view
from grouper.faces.views.standings_view import StudentsTable, progress_table, top_table
from grouper.faces.views.student_lesson import RoundBlock, student_lesson_view
from grouper.games.days.groups import goes_with
from grouper.games.days.season import season_of
from grouper.model.play import GAMES, Event
from grouper.model.record import ClassRecord


@dataclass(frozen=True)
class Side:
    """A team or a group at a place: what it is called, and the names of its members."""

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
    that is not known, or where the slots that come after it have their own. ``standings`` may follow the last slot of
    games.
    """

    key: str
    block: RoundBlock
    slot: SlotScene | None = None
    minutes: float | None = None
    standings: StudentsTable | None = None


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
    if any(what == GAMES for what, _ in slots) and (table := _standings(record, lesson)):
        yield Scene(f"{block.place} standings", block, standings=table)


def _standings(record: ClassRecord, lesson: int) -> StudentsTable | None:
    """What students are to see of the standings after games; None where that is nothing, or there is no result yet."""
    if not record.points.on_wall or not any(event.scored for event in record.games):
        return None
    season = season_of(record)
    if lesson not in season.lessons:
        return None
    return top_table(season) if record.points.on_wall == "top" else progress_table(season)


def _slots(record: ClassRecord, lesson: int, block: RoundBlock) -> Iterator[tuple[str, SlotScene]]:
    """The slots of the games of a round, and those of its stations, each with a word for which it is."""
    members = {card.label: tuple(person.name for person in card.members) for card in block.groups}
    for event in record.events:
        round_ = record.round_of(event) if event.lesson == lesson else None
        # Play that is for other groups than there are now is not shown.
        if round_ and record.place_in_lesson(round_.key) == block.place and goes_with(round_, event):
            people = {event.name(team): members[event.label(team)] for team in event.numbers}
            yield from ((event.kind, _of(slot, event, people)) for slot in play_view(event, record).slots)


def _of(slot: PlaySlot, event: Event, people: dict[str, tuple[str, ...]]) -> SlotScene:
    cards = tuple(_card(spot, event, people) for spot in slot.spots)
    timing = event.timing
    return SlotScene(slot.slot, event.slots, timing.play, cards, slot.waiting, slot.loans, timing.changeover)


def _card(spot: Spot, event: Event, people: dict[str, tuple[str, ...]]) -> PlaceCard:
    sides = tuple(Side(label, people[label]) for label in spot.teams)
    word, name = event.place_word.capitalize(), event.places[spot.place - 1]
    return PlaceCard(word, spot.place, name, sides, spot.duty)
