"""Games and stations of a lesson for the teacher: who is where, results, the table, and what could be played."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.faces.page.play import first_open_slot
from grouper.faces.page.remedies import BUTTONS
from grouper.faces.views.names import telling_lines
from grouper.faces.views.play_view import PlaySlot, PlayView, Spot, play_view, rule_for_students
from grouper.faces.views.standings_view import TableView, table_view
from grouper.faces.views.tasks_of_class import class_total_in_words
from grouper.faces.wording.play import (
    event_in_words,
    length_in_words,
    order_in_words,
    season_in_words,
    worth_in_words,
)
from grouper.faces.wording.tasks import (
    game_in_words,
    play_in_words,
    ways_in_words,
    where_in_words,
    why_even_teams_start,
)
from grouper.faces.wording.telling import told
from grouper.faces.wording.words import score_in_words
from grouper.games.days.groups import activity_meant, is_stale, round_meant
from grouper.games.days.season import Season, season_of
from grouper.model.play import ORDERS, Event, Score
from grouper.model.record import ClassRecord
from grouper.model.scoring import Count, Scoring
from grouper.tasks.handicap import Play
from grouper.tasks.uneven import levelled, pairings_of, strand_meant

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
    taught = lesson in record.taught or not record.plan.of_lesson(lesson)
    playable = () if taught else tuple(one for one in _playable(record, lesson) if one.name not in with_results)
    # A tournament is for teams; of circuits those with few groups come first, as one of fifteen pairs is rare.
    order = sorted(playable, key=lambda one: (not one.usual) if kind == "games" else one.teams)
    shown = tuple(_event(record, event) for event in events)
    date, last = record.lesson(lesson).date, [event for event in record.events if event.kind == kind][-1:]
    asked = last[0].asked.order if last else ORDERS[kind][0]
    return LessonPlay(lesson, date, lesson in record.taught, shown, tuple(order), asked, record.points.on_wall)


def has_games(record: ClassRecord, lesson: int) -> bool:
    """Whether a lesson has games, or teams that a game would be for."""
    teams = any(activity.groups is not None for activity in record.lesson(lesson).activities)
    return teams or any(event.lesson == lesson for event in record.games)


def _playable(record: ClassRecord, lesson: int) -> list[Playable]:
    found = []
    for activity in reversed(record.lesson(lesson).activities):
        teams = len(round_meant(record, lesson, activity).groups)
        if teams > 1:
            usual = activity.groups is not None or (activity.aim == "stay" and teams <= MOST_TEAMS)
            found.append(Playable(activity.name, teams, usual))
    return found


def _event(record: ClassRecord, event: Event) -> EventView:
    view, first = play_view(event, record), first_open_slot(event)
    return EventView(
        event.activity,
        event_in_words(event),
        view,
        tuple(_rows(event, slot, first) for slot in view.slots) if event.is_games else (),
        len(event.scored),
        len(event.assignments),
        is_stale(record, event),
        length_in_words(record, event),
        _table(record, event) if event.scored and record.is_ranked(event.activity) else None,
        tuple(_place(event, number) for number in range(1, len(event.places) + 1)),
        tuple(Switch(team, f"team {event.name(team)}", team in event.present) for team in event.numbers),
        tuple(zip(event.teams, event.called or [""] * len(event.teams), strict=True)),
        tuple(range(first - 1, event.slots)),
        record.scoring(event.activity),
        rule_for_students(record, event.activity, event.lesson),
        class_total_in_words(record, event.activity, event.lesson),
        (*telling_lines(event.called, of_people=True), *telling_lines(event.places)),
    )


def _place(event: Event, number: int) -> Switch:
    label = f"court {number}" if event.is_games else f"{number} {event.places[number - 1]}".rstrip()
    return Switch(number, label, number in event.open_places)


def _rows(event: Event, slot: PlaySlot, first: int) -> SlotRows:
    games = zip(slot.spots, event.in_slot(slot.slot), strict=True)
    return SlotRows(slot, tuple(_row(spot, game.score) for spot, game in games), slot.slot < first)


def _row(spot: Spot, score: Score | None) -> GameRow:
    if score is None:
        return GameRow(spot)
    lost = (str(score.home_lost or ""), str(score.away_lost or ""))
    return GameRow(spot, (str(score.home), str(score.away)), lost, score_in_words(*score.net) if any(lost) else "")


def _table(record: ClassRecord, event: Event) -> Table:
    """The table of all lessons with these teams, or of this lesson alone."""
    season = _season(record, event)
    rules = (worth_in_words(season.points), order_in_words(season.points))
    return Table(table_view(season), season_in_words(season), rules)


def _season(record: ClassRecord, event: Event) -> Season:
    season = season_of(record)
    return season if event in season.events else season_of(record, (event.lesson,), event.activity)


@dataclass(frozen=True)
class Wish:
    """What was chosen for even games: the activity (empty for the first with several groups), the strand (empty for
    that of the activity), how games are played, and how much of the difference to believe."""

    activity: str
    strand: str
    points: int
    timed: bool
    zone: float
    trust: float


@dataclass(frozen=True)
class EvenGame:
    """A game and what levels it, in words; ``where`` is empty where none is planned."""

    where: str
    said: str
    ways: str = ""


@dataclass(frozen=True)
class EvenGamesView:
    """Starting points that level the games of an activity, for the teacher alone.

    ``trouble`` says why there is nothing to show, empty where there is, and ``why`` why even teams start with points.
    """

    lesson: int
    wish: Wish
    activity: str
    activities: tuple[str, ...]
    strands: tuple[str, ...]
    heading: str
    games: tuple[EvenGame, ...]
    trouble: str
    why: str = ""


def even_games_view(record: ClassRecord, lesson: int, wish: Wish) -> EvenGamesView:
    """The view; what cannot be told is said in its ``trouble`` (InputError where there is no such lesson)."""
    names = tuple(one.name for one in record.lesson(lesson).activities)
    planned = (event.activity for event in record.games if event.lesson == lesson)
    activity = wish.activity or next(planned, names[-1])
    shown = EvenGamesView(lesson, wish, activity, names, record.roster.strands, "", (), "")
    try:
        play = Play(wish.points, wish.timed, wish.zone)
        round_ = round_meant(record, lesson, activity_meant(record, lesson, activity))
        strand = strand_meant(record, round_, wish.strand)
        found = levelled(record, round_, pairings_of(record, round_), strand, play, wish.trust)
    except InputError as error:
        return replace(shown, trouble=told(error.said, BUTTONS))
    games = tuple(EvenGame(where_in_words(game), game_in_words(game, play), ways_in_words(game)) for game in found)
    said = f"For {play_in_words(play)}, by {strand}"
    return replace(shown, heading=said, games=games, why=why_even_teams_start(found))
