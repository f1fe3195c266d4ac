"""What can go wrong during a day of games, checked on creation."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.games.asked import GamesTask, require


@dataclass(frozen=True)
class Change:
    """What has gone wrong, from the next slot on.

    Parameters
    ----------
    courts_closed : tuple of int
        Courts that cannot be used any more.
    teams_out : tuple of int
        Teams that are not there.
    teams_short : tuple of int
        Teams that need players lent by a team without a game.
    slots_left : int or None
        How many slots can still be played; ``None`` for no limit but the task's own.
    """

    courts_closed: tuple[int, ...] = ()
    teams_out: tuple[int, ...] = ()
    teams_short: tuple[int, ...] = ()
    slots_left: int | None = None

    def __post_init__(self) -> None:
        require(self.slots_left is None or self.slots_left >= 0, "fewer than no slots are left; give 0 or more")

    def check(self, task: GamesTask) -> None:
        """Raise InputError unless it speaks of the task's own courts and teams and leaves a game possible."""
        within(self.courts_closed, task.courts, "court")
        within((*self.teams_out, *self.teams_short), task.teams, "team")
        require(bool(self.open_courts(task)), "every court is closed; leave one open, or end the games here")
        require(len(self.present(task)) >= 2, "fewer than 2 teams are left; end the games here")

    def open_courts(self, task: GamesTask) -> tuple[int, ...]:
        """The courts that can still be used."""
        return tuple(c for c in range(1, task.courts + 1) if c not in self.courts_closed)

    def present(self, task: GamesTask) -> tuple[int, ...]:
        """The teams that are there."""
        return tuple(t for t in range(1, task.teams + 1) if t not in self.teams_out)


NOTHING_WRONG = Change()


def within(numbers: tuple[int, ...], most: int, what: str) -> None:
    for number in numbers:
        require(1 <= number <= most, f"there is no {what} {number}; they are numbered 1 to {most}")
