"""Starting points that level the games of a lesson, for the teacher alone."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.faces.page.remedies import BUTTONS
from grouper.faces.wording.tasks import game_in_words, play_in_words, why_even_teams_start
from grouper.faces.wording.telling import told
from grouper.games.days.groups import activity_meant, round_meant
from grouper.model.record import ClassRecord
from grouper.tasks.handicap import Play
from grouper.tasks.uneven import Levelled, levelled, pairings_of, strand_meant


@dataclass(frozen=True)
class Wish:
    """What was chosen: the activity (empty for the first with several groups), the strand (empty for that of the
    activity), how games are played, and how much of the difference to believe."""

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


@dataclass(frozen=True)
class EvenGamesView:
    """The games of an activity; ``trouble`` says why there is nothing to show, empty where there is, and ``why`` why
    even teams start with points."""

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
    activity = wish.activity or _first_with_games(record, lesson, names)
    shown = EvenGamesView(lesson, wish, activity, names, record.roster.strands, "", (), "")
    try:
        heading, games, why = _levelled(record, lesson, activity, wish)
    except InputError as error:
        return replace(shown, trouble=told(error.said, BUTTONS))
    return replace(shown, heading=heading, games=games, why=why)


def _first_with_games(record: ClassRecord, lesson: int, names: tuple[str, ...]) -> str:
    played = [day.activity for day in record.games if day.lesson == lesson]
    return played[0] if played else names[-1]


def _levelled(record: ClassRecord, lesson: int, activity: str, wish: Wish) -> tuple[str, tuple[EvenGame, ...], str]:
    play = Play(wish.points, wish.timed, wish.zone)
    round_ = round_meant(record, lesson, activity_meant(record, lesson, activity))
    strand = strand_meant(record, round_, wish.strand)
    found = levelled(record, round_, pairings_of(record, round_), strand, play, wish.trust)
    games = tuple(_game(game, play) for game in found)
    return f"For {play_in_words(play)}, by {strand}", games, why_even_teams_start(found)


def _game(game: Levelled, play: Play) -> EvenGame:
    return EvenGame(_where(game), game_in_words(game, play))


def _where(game: Levelled) -> str:
    pairing = game.pairing
    return f"slot {pairing.slot}, court {pairing.court}" if pairing.slot else ""
