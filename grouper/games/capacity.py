"""Capacity: how much of the class plays at a time, for each way of using the courts, and what to change so
that all do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.errors import require


@dataclass(frozen=True)
class CapacityTask:
    """A class on courts.

    Parameters
    ----------
    students, courts : int
    side : int
        Players of a team that are on court at a time.
    teams : int or None
        How many teams there are, which limits the games at once; None for as many as are needed.
    duty : bool
        Whether a team without a game is on duty at each.
    """

    students: int
    courts: int
    side: int
    teams: int | None = None
    duty: bool = False

    def __post_init__(self) -> None:
        few, students = "a game needs at least 2 students", self.students
        require(students >= 2, few, "there would be {students}", students=students)
        require(self.courts >= 1, "{courts} courts leave nowhere to play", "give at least 1 court", courts=self.courts)
        require(self.side >= 1, "a side of {side} has nobody on court", "give at least 1", side=self.side)
        few, teams = "a game needs at least 2 teams", self.teams
        require(teams is None or teams >= 2, few, "there would be {teams}", teams=teams)

    @property
    def games(self) -> int:
        """Games at once as asked: no more than there are courts, pairs of teams, and players for."""
        pairs = self.courts if self.teams is None else self.teams // 2
        return min(self.courts, pairs, self.students // (2 * self.side))

    def teams_on_duty(self) -> int:
        """Students in the teams without a game that are on duty, one team at a game."""
        over = 0 if self.teams is None else self.teams - 2 * self.games
        return min(over, self.games) * (self.students // self.teams if self.teams else 0)


@dataclass(frozen=True)
class CapacityLine:
    """One way of using the courts.

    Parameters
    ----------
    choice : str
        A fixed name: ``as asked``, ``duty``, ``third role``, ``half courts``, ``smaller sides``, ``larger sides``.
    games, side : int
        Games at once and players of a side in each.
    playing, on_duty, waiting : int
        Students at a time.
    change : str
        What to do for it, as a sentence.
    """

    choice: str
    games: int
    side: int
    playing: int
    on_duty: int
    waiting: int
    change: str

    @property
    def active_share(self) -> float:
        """The share of the class that plays or has a duty."""
        return (self.playing + self.on_duty) / (self.playing + self.on_duty + self.waiting)

    @property
    def playing_share(self) -> float:
        """The share of the class that plays."""
        return self.playing / (self.playing + self.on_duty + self.waiting)


def capacity_lines(task: CapacityTask) -> tuple[CapacityLine, ...]:
    """The ways to use the courts, as asked first, then those in which no more wait: fewest waiting, most playing first.

    Examples
    --------
    >>> lines = capacity_lines(CapacityTask(students=28, courts=2, side=5))
    >>> lines[0].playing, lines[0].waiting, lines[1].choice, lines[1].waiting
    (20, 8, 'larger sides', 0)
    """
    helpers = task.teams_on_duty() if task.duty else 0
    first = _line(task, "as asked", task.games, task.side, helpers, "nothing to change")
    offered = [line for line in _others(task) if line.waiting <= first.waiting]
    return (first, *sorted(offered, key=lambda line: (line.waiting, -line.playing)))


def _line(task: CapacityTask, choice: str, games: int, side: int, helpers: int, change: str) -> CapacityLine:
    """So many games at once, with up to ``helpers`` of those over on duty in all."""
    playing = 2 * side * games
    on_duty = min(helpers, task.students - playing)
    return CapacityLine(choice, games, side, playing, on_duty, task.students - playing - on_duty, change)


def _others(task: CapacityTask) -> Iterator[CapacityLine]:
    """Every other way, whether it helps or not."""
    games, courts, over = task.games, task.courts, task.students - 2 * task.side * task.games
    if not task.duty or task.teams is None:
        change = "a team without a game officiates, keeps the score and looks after the equipment on each court"
        helpers = task.side * games if task.teams is None else task.teams_on_duty()
        yield _line(task, "duty", games, task.side, helpers, change)
    if over and games:
        # The fewest helpers a game that leave nobody over, up to three.
        each = min(3, -(-over // games))
        change = f"up to {each} of those over on each court officiate, score or coach, and change over in every slot"
        yield _line(task, "third role", games, task.side, each * games, change)
    half = max(1, min(task.side, task.students // (4 * courts)))
    at_once = min(2 * courts, task.students // (2 * half))
    change = f"play across: {2 * courts} half courts with sides of {half}{_new_teams(task, at_once)}"
    yield _line(task, "half courts", at_once, half, 0, change)
    filling = task.students // (2 * courts)
    if filling != task.side and filling >= 1:
        choice = "smaller sides" if filling < task.side else "larger sides"
        change = f"make sides of {filling} instead of {task.side}{_new_teams(task, courts)}"
        yield _line(task, choice, courts, filling, 0, change)


def _new_teams(task: CapacityTask, games: int) -> str:
    """How many teams it takes, where there are others."""
    return "" if task.teams in (None, 2 * games) else f", in {2 * games} teams instead of {task.teams}"
