"""Capacity: how much of the class plays at a time, for each way of using the courts, and what to change so
that all do."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.games.asked import require


@dataclass(frozen=True)
class CapacityTask:
    """A class on courts.

    Parameters
    ----------
    students, courts : int
    side : int
        Players of a team that are on court at a time.
    """

    students: int
    courts: int
    side: int

    def __post_init__(self) -> None:
        require(self.students >= 2, f"{self.students} student(s) cannot play each other; at least 2 are needed")
        require(self.courts >= 1, f"{self.courts} courts leave nowhere to play; give at least 1 court")
        require(self.side >= 1, f"a side of {self.side} has nobody on court; give at least 1")


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
        """The share of the class that plays."""
        return self.playing / (self.playing + self.on_duty + self.waiting)


def capacity_lines(task: CapacityTask) -> tuple[CapacityLine, ...]:
    """The ways to use the courts, as asked first, the others with the fewest waiting and most playing first.

    Examples
    --------
    >>> lines = capacity_lines(CapacityTask(students=28, courts=2, side=5))
    >>> lines[0].playing, lines[0].waiting, lines[1].choice, lines[1].waiting
    (20, 8, 'larger sides', 0)
    """
    first = _line(task, "as asked", task.courts, task.side, 0, "nothing to change")
    others = [_duty(task), _third_role(task), _half_courts(task), *_other_sides(task)]
    offered = [line for line in others if line is not None]
    return (first, *sorted(offered, key=lambda line: (line.waiting, -line.playing)))


def nobody_waits(task: CapacityTask) -> tuple[CapacityLine, ...]:
    """The ways in which everybody plays or has a duty."""
    return tuple(line for line in capacity_lines(task) if line.waiting == 0)


def _line(task: CapacityTask, choice: str, courts: int, side: int, helpers: int, change: str) -> CapacityLine:
    """Games for as many as can play, then up to ``helpers`` of those over on duty at each."""
    games = min(courts, task.students // (2 * side))
    playing = 2 * side * games
    on_duty = min(helpers * games, task.students - playing)
    return CapacityLine(choice, games, side, playing, on_duty, task.students - playing - on_duty, change)


def _duty(task: CapacityTask) -> CapacityLine:
    change = "a team without a game officiates, keeps the score and looks after the equipment on each court"
    return _line(task, "duty", task.courts, task.side, task.side, change)


def _third_role(task: CapacityTask) -> CapacityLine | None:
    """Fewest helpers a game that leave nobody over, up to three."""
    plain = _line(task, "as asked", task.courts, task.side, 0, "")
    if not plain.waiting or not plain.games:
        return None
    helpers = min(3, -(-plain.waiting // plain.games))
    change = f"up to {helpers} of those over on each court officiate, score or coach, and change over in every slot"
    return _line(task, "third role", task.courts, task.side, helpers, change)


def _half_courts(task: CapacityTask) -> CapacityLine:
    side = max(1, min(task.side, task.students // (4 * task.courts)))
    change = f"play across: {2 * task.courts} half courts with sides of {side}"
    return _line(task, "half courts", 2 * task.courts, side, 0, change)


def _other_sides(task: CapacityTask) -> list[CapacityLine]:
    """The side that fills the courts, when it is not the one asked for."""
    filling = task.students // (2 * task.courts)
    if filling == task.side or filling < 1:
        return []
    choice = "smaller sides" if filling < task.side else "larger sides"
    return [_line(task, choice, task.courts, filling, 0, f"make sides of {filling} instead of {task.side}")]
