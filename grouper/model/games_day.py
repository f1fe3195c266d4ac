"""The games of one activity of a lesson, as they are kept: who plays whom, what went wrong, and the scores."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace

from grouper.errors import InputError
from grouper.model.texts import MOST_NUMBER, MOST_PEOPLE, check_number
from grouper.model.timing import Timing


@dataclass(frozen=True)
class Score:
    """The score of a game, and the points beside it (all 0 or more).

    Parameters
    ----------
    home, away
        Points that the two teams won in play.
    home_bonus, away_bonus, home_penalty, away_penalty
        What is added to and taken from their points in the table; the game is decided without them.
    home_lost, away_lost
        Points that they lost in play, as in a danger zone; they count before the game is decided.
    """

    home: int
    away: int
    home_bonus: float = 0.0
    away_bonus: float = 0.0
    home_penalty: float = 0.0
    away_penalty: float = 0.0
    home_lost: int = 0
    away_lost: int = 0

    def __post_init__(self) -> None:
        extras = (self.home_bonus, self.away_bonus, self.home_penalty, self.away_penalty)
        numbers = (self.home, self.away, self.home_lost, self.away_lost, *extras)
        if not min(numbers) >= 0:
            raise InputError(
                "points won and lost, a bonus and a penalty are 0 or more; what is lost is taken off by itself"
            )
        for number in numbers:
            check_number(number, "points, a bonus or a penalty", 0, MOST_NUMBER)

    @property
    def net(self) -> tuple[int, int]:
        """What decides the game: points won less points lost in play, of home and away; it may be below 0."""
        return self.home - self.home_lost, self.away - self.away_lost


@dataclass(frozen=True)
class Fixture:
    """A game: slot, court, teams and the team on duty (None for nobody), all from 1; its score once it is known.

    ``lineup`` holds the members (ids) of the home and the away team when the score was entered, so that the score stays
    theirs whatever becomes of the groups; empty without a score, and where it was entered before this was kept.
    """

    slot: int
    court: int
    home: int
    away: int
    duty: int | None = None
    score: Score | None = None
    lineup: tuple[tuple[str, ...], ...] = ()

    def is_between(self, one: int, other: int) -> bool:
        """Whether these two teams play it, whichever is at home."""
        return {one, other} == {self.home, self.away}


@dataclass(frozen=True)
class GamesAsked:
    """What was asked for.

    Parameters
    ----------
    courts
        How many.
    legs
        How often every two teams meet; None for as often as the slots allow.
    slots
        Most slots; None for as many as it takes.
    order, duty
        Words of ``grouper.games.asked``.
    """

    courts: int
    legs: int | None = 1
    slots: int | None = None
    order: str = "breaks"
    duty: str = "spare"

    def __post_init__(self) -> None:
        check_number(self.courts, "the number of courts", 1, MOST_PEOPLE)


@dataclass(frozen=True)
class Setback:
    """All that is wrong from the next slot on: closed courts, teams that are out or short, slots left if limited."""

    courts_closed: tuple[int, ...] = ()
    teams_out: tuple[int, ...] = ()
    teams_short: tuple[int, ...] = ()
    slots_left: int | None = None


@dataclass(frozen=True)
class GamesDay:
    """The games of an activity.

    Parameters
    ----------
    lesson, activity
        The lesson's number and the activity's name.
    round
        The round of the activity whose groups are the teams.
    teams
        Labels of the groups; team 1 is the first.
    asked, timing
        What was asked for, and how long a slot is.
    fixtures
        In order of slot and court.
    draw
        The construction that the games came from.
    played
        How many slots were over when the rest was last planned.
    setback
        What had gone wrong then.
    loans
        Slot, short team, and the team that lends it players.
    """

    lesson: int
    activity: str
    round: int
    teams: tuple[str, ...]
    asked: GamesAsked
    fixtures: tuple[Fixture, ...]
    timing: Timing = field(default_factory=Timing)
    draw: str = ""
    played: int = 0
    setback: Setback = field(default_factory=Setback)
    loans: tuple[tuple[int, int, int], ...] = ()

    def __post_init__(self) -> None:
        twice = [place for place, times in Counter((f.slot, f.court) for f in self.fixtures).items() if times > 1]
        if twice:
            raise InputError("two games are on court {other} in slot {one}", other=twice[0][1], one=twice[0][0])
        for fixture in self.fixtures:
            if not (1 <= fixture.home <= len(self.teams) and 1 <= fixture.away <= len(self.teams)):
                raise InputError(
                    "game {home} - {away}: the teams are numbered 1 to {count}",
                    home=fixture.home,
                    away=fixture.away,
                    count=len(self.teams),
                )

    @property
    def key(self) -> tuple[int, str]:
        """Lesson and activity."""
        return self.lesson, self.activity

    @property
    def slots(self) -> int:
        """The last slot with a game."""
        return max((fixture.slot for fixture in self.fixtures), default=0)

    @property
    def last_scored(self) -> int:
        """The last slot in which a game has a score; 0 where none has."""
        return max((fixture.slot for fixture in self.fixtures if fixture.score), default=0)

    @property
    def scored(self) -> tuple[Fixture, ...]:
        """The games whose score is known."""
        return tuple(fixture for fixture in self.fixtures if fixture.score)

    def with_fixture(self, fixture: Fixture) -> GamesDay:
        """The day with one game in the place of the one with the same slot and court."""
        return replace(
            self,
            fixtures=tuple(fixture if (f.slot, f.court) == (fixture.slot, fixture.court) else f for f in self.fixtures),
        )
