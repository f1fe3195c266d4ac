"""Results of games, as entered, and the points that they are worth."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.games.asked import require


@dataclass(frozen=True)
class GameResult:
    """The score of a game and what was added to or taken from the teams' points.

    Parameters
    ----------
    home, away : int
        The teams.
    home_score, away_score : int
        What they scored, less what they lost in play; it may be below 0.
    home_bonus, away_bonus : float
        Points on top in the table, such as one for fair play.
    home_penalty, away_penalty : float
        Points taken off in the table, such as one for late cleaning up.
    lesson : int
        The lesson it was played in, from 1.

    Raises
    ------
    InputError
        When it is no result of two different teams.
    """

    home: int
    away: int
    home_score: int
    away_score: int
    home_bonus: float = 0.0
    away_bonus: float = 0.0
    home_penalty: float = 0.0
    away_penalty: float = 0.0
    lesson: int = 1

    def __post_init__(self) -> None:
        game = f"game {self.home} - {self.away}"
        require(self.home != self.away, f"{game}: a team cannot play itself; enter two different teams")
        require(min(self.home, self.away) >= 1, f"{game}: teams are numbered from 1")
        extras = (self.home_bonus, self.away_bonus, self.home_penalty, self.away_penalty)
        require(min(extras) >= 0, f"{game}: bonus and penalty are entered as 0 or more, penalties are then taken off")
        require(self.lesson >= 1, f"{game}: lessons are numbered from 1")


@dataclass(frozen=True)
class Side:
    """A result as one of the two teams sees it."""

    team: int
    opponent: int
    scored: int
    conceded: int
    bonus: float
    penalty: float
    lesson: int


def sides(result: GameResult) -> tuple[Side, Side]:
    """The result as the home team and as the away team sees it."""
    r = result
    return (
        Side(r.home, r.away, r.home_score, r.away_score, r.home_bonus, r.home_penalty, r.lesson),
        Side(r.away, r.home, r.away_score, r.home_score, r.away_bonus, r.away_penalty, r.lesson),
    )


@dataclass(frozen=True)
class Worth:
    """Points for a win, a draw and a loss."""

    win: float = 3.0
    draw: float = 1.0
    loss: float = 0.0

    def __post_init__(self) -> None:
        require(
            self.win >= self.draw >= self.loss,
            f"{self.win:g} for a win, {self.draw:g} for a draw, {self.loss:g} for a loss: give them in falling order",
        )

    def of(self, side: Side) -> float:
        """What the game itself is worth to a side, without bonus and penalty."""
        if side.scored == side.conceded:
            return self.draw
        return self.win if side.scored > side.conceded else self.loss
