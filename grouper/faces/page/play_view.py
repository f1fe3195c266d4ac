"""Games and stations of a lesson for the teacher: who is where, results, the table, and what could be played."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.views.names import telling_lines
from grouper.faces.views.play_view import PlaySlot, PlayView, Spot, play_view, rule_for_students
from grouper.faces.views.standings_view import TableView, table_view
from grouper.faces.views.tasks_of_class import class_total_in_words
from grouper.faces.wording import play as wording
from grouper.faces.wording.words import score_in_words
from grouper.games.days.groups import is_stale, round_meant
from grouper.games.days.season import season_of
from grouper.model.play import ORDERS, Event, Score
from grouper.model.record import ClassRecord
from grouper.model.scoring import Count, Scoring

DUTIES = (("spare", "a team that is left over"), ("always", "a team at every game"), ("none", "nobody"))
MEETINGS = (("1", "once"), ("2", "twice"))
ON_WALL = (("", "nothing"), ("top", "the first three places"), ("progress", "everybody's points, lesson by lesson"))
STATION_ORDERS = (("balanced", "in a different order each time"), ("rotation", "to the next one, all in one direction"))
MOST_TEAMS = 12
"""Groups that stay and are more than so many are no teams for a tournament."""


@dataclass(frozen=True)
class GameRow:
    """A game with what stands in its fields: points won, points lost in play; ``net`` where that is another result."""

    game: Spot
    won: tuple[str, str] = ("", "")
    lost: tuple[str, str] = ("", "")
    net: str = ""


@dataclass(frozen=True)
class SlotRows:
    """A slot with its games; ``over`` where it cannot be planned anew any more."""

    slot: PlaySlot
    games: tuple[GameRow, ...]
    over: bool


@dataclass(frozen=True)
class Table:
    """A running table with its sentences: what counts, what a game is worth, and what parts level teams."""

    table: TableView
    counts: str
    rules: tuple[str, ...]


@dataclass(frozen=True)
class Switch:
    """A court, a station or a team by number and label; ``on`` where it can be used, or is there."""

    number: int
    label: str
    on: bool


@dataclass(frozen=True)
class EventView:
    """The games or the stations of an activity; ``played`` are the choices for how many slots are over.

    ``rows`` are games with their results; ``names`` the label of each team and what it is called; ``too_long`` says so
    where they take longer than the time there is. ``scoring`` is how points count, None where that is left open,
    ``rule`` the sentence that students read, and ``total`` what the class has together where that is what counts;
    ``telling`` are sentences on names that tell how able somebody is held to be.
    """

    activity: str
    heading: str
    shown: PlayView
    rows: tuple[SlotRows, ...]
    results: int
    games: int
    stale: bool
    too_long: str
    table: Table | None
    places: tuple[Switch, ...]
    teams: tuple[Switch, ...]
    names: tuple[tuple[str, str], ...]
    played: tuple[int, ...]
    scoring: Scoring | None = None
    rule: str = ""
    total: str = ""
    telling: tuple[str, ...] = ()

    @property
    def taps(self) -> tuple[Count, ...]:
        """What one tap adds to the points of a team."""
        return tuple(count for count in self.scoring.counted if not count.lost) if self.scoring else (Count("point"),)

    @property
    def lost(self) -> tuple[Count, ...]:
        """What one tap adds to the points that a team lost."""
        return tuple(count for count in self.scoring.counted if count.lost) if self.scoring else ()


@dataclass(frozen=True)
class Playable:
    """An activity whose groups could play: how many there are; ``usual`` where they are teams to be offered first."""

    name: str
    teams: int
    usual: bool


@dataclass(frozen=True)
class LessonPlay:
    """The games or the stations of a lesson, and the activities that could have some.

    ``order`` is the one that stations had last, ``on_wall`` what students see of the standings.
    """

    lesson: int
    date: str
    taught: bool
    events: tuple[EventView, ...]
    playable: tuple[Playable, ...]
    order: str
    on_wall: str


def lesson_play(record: ClassRecord, kind: str, lesson: int) -> LessonPlay:
    """The games or the stations of a lesson (InputError where there is no such lesson)."""
    events = [event for event in record.events if (event.lesson, event.kind) == (lesson, kind)]
    with_results = {event.activity for event in events if event.scored}
    playable = []
    if lesson not in record.taught and record.plan.of_lesson(lesson):
        for activity in reversed(record.lesson(lesson).activities):
            teams = len(round_meant(record, lesson, activity).groups)
            usual = activity.groups is not None or (activity.aim == "stay" and teams <= MOST_TEAMS)
            if teams > 1 and activity.name not in with_results:
                playable.append(Playable(activity.name, teams, usual))
    # A tournament is for teams; of circuits those with few groups come first, as one of fifteen pairs is rare.
    playable.sort(key=lambda one: (not one.usual) if kind == "games" else one.teams)
    shown = tuple(_event(record, event) for event in events)
    date, last = record.lesson(lesson).date, [event for event in record.events if event.kind == kind][-1:]
    asked = last[0].asked.order if last else ORDERS[kind][0]
    return LessonPlay(lesson, date, lesson in record.taught, shown, tuple(playable), asked, record.points.on_wall)


def has_games(record: ClassRecord, lesson: int) -> bool:
    """Whether a lesson has games, or teams that a game would be for."""
    teams = any(activity.groups is not None for activity in record.lesson(lesson).activities)
    return teams or any(event.lesson == lesson for event in record.games)


def first_open_slot(event: Event) -> int:
    """The first slot that may still be planned anew: after the last result and after the last planning."""
    return max(event.last_scored, event.played) + 1


def _event(record: ClassRecord, event: Event) -> EventView:
    view, first = play_view(event, record), first_open_slot(event)
    rows = []
    for slot in view.slots if event.is_games else ():
        games = zip(slot.spots, event.in_slot(slot.slot), strict=True)
        rows.append(SlotRows(slot, tuple(_row(spot, game.score) for spot, game in games), slot.slot < first))
    table = None
    if event.scored and record.is_ranked(event.activity):
        # Of all lessons with these teams, or of this one alone where other teams are counted over the unit.
        season = season_of(record)
        season = season if event in season.events else season_of(record, (event.lesson,), event.activity)
        rules = (wording.worth_in_words(season.points), wording.order_in_words(season.points))
        table = Table(table_view(season), wording.season_in_words(season), rules)
    places = (f"court {n}" if event.is_games else f"{n} {name}".rstrip() for n, name in enumerate(event.places, 1))
    return EventView(
        event.activity,
        wording.event_in_words(event),
        view,
        tuple(rows),
        len(event.scored),
        len(event.assignments),
        is_stale(record, event),
        wording.length_in_words(record, event),
        table,
        tuple(Switch(number, said, number in event.open_places) for number, said in enumerate(places, start=1)),
        tuple(Switch(team, f"team {event.name(team)}", team in event.present) for team in event.numbers),
        tuple(zip(event.teams, event.called or [""] * len(event.teams), strict=True)),
        tuple(range(first - 1, event.slots)),
        record.scoring(event.activity),
        rule_for_students(record, event.activity, event.lesson),
        class_total_in_words(record, event.activity, event.lesson),
        (*telling_lines(event.called, of_people=True), *telling_lines(event.places)),
    )


def _row(spot: Spot, score: Score | None) -> GameRow:
    if score is None:
        return GameRow(spot)
    lost = (str(score.home_lost or ""), str(score.away_lost or ""))
    return GameRow(spot, (str(score.home), str(score.away)), lost, score_in_words(*score.net) if any(lost) else "")
