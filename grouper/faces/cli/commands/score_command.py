"""``grouper score``: the result of a game."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import COUNT, class_argument, lesson_option
from grouper.faces.cli.play_options import activity_option
from grouper.faces.cli.team_values import by_team, team_and_number, whole
from grouper.faces.wording.play import result_in_words
from grouper.files.store import ClassFile
from grouper.games.days.hold import held
from grouper.games.days.keep import games_meant
from grouper.games.days.scores import Scored, scored, unscored
from grouper.model.games_day import Fixture, GamesDay


@dataclass(frozen=True)
class Beside:
    """What stands beside the scores, by team."""

    lost: dict[str, float]
    bonus: dict[str, float]
    penalty: dict[str, float]


@click.command()
@class_argument
@click.argument("results", metavar="TEAM=SCORE TEAM=SCORE", nargs=2)
@lesson_option
@activity_option
@click.option("--slot", type=COUNT, metavar="K", help="Which game, where the two teams meet twice.")
@click.option(
    "--lost", multiple=True, metavar="TEAM=POINTS", help="Lost in play, such as in a danger zone: decides the game."
)
@click.option("--bonus", multiple=True, metavar="TEAM=POINTS", help="Added in the table, such as for fair play.")
@click.option("--penalty", multiple=True, metavar="TEAM=POINTS", help="Taken off in the table; decides no game.")
@click.option("--take-back", is_flag=True, help="The game has no result after all; the scores given do not matter.")
def command(
    class_path: Path,
    results: tuple[str, str],
    lesson: int,
    activity: str | None,
    slot: int | None,
    lost: tuple[str, ...],
    bonus: tuple[str, ...],
    penalty: tuple[str, ...],
    take_back: bool,
) -> None:
    """Enter the result of a game, such as: grouper score 7b.class --lesson 3 1=12 4=9

    TEAM=SCORE is what a team won in play; what it lost in play (--lost) counts before the game is decided, so that 12
    won and 4 lost is 8. --bonus and --penalty change the points in the table and nothing in the game.

    Entered again, it replaces the one before. Teams are called as on the sheets; once they have a result they are
    pinned, so that planning the unit again leaves them.
    """
    beside = Beside(by_team(lost, "number of points"), by_team(bonus, "bonus"), by_team(penalty, "penalty"))
    one, other = _sides(results, beside)
    with ClassFile(class_path).change("") as edit:
        day = games_meant(edit.record, lesson, activity)
        if take_back:
            day, game = unscored(day, one.team, other.team, slot)
            edit.what = f"no result after all: {_teams(day, game)} in lesson {lesson}"
        else:
            day, game = scored(day, one, other, slot)
            edit.what = f"result: {_teams(day, game)} in lesson {lesson}"
        edit.record = held(edit.record, day)
    click.echo(f"Taken back: {result_in_words(day, game)}" if take_back else result_in_words(day, game))


def _sides(results: tuple[str, str], beside: Beside) -> tuple[Scored, Scored]:
    one, other = (_side(text, beside) for text in results)
    strangers = sorted({*beside.lost, *beside.bonus, *beside.penalty} - {one.team, other.team})
    if strangers:
        what = "points lost, bonus and penalty are for the two that do"
        raise InputError("team {stranger} does not play in this game", what, stranger=strangers[0])
    return one, other


def _side(text: str, beside: Beside) -> Scored:
    label, value = team_and_number(text, "score")
    lost = beside.lost.get(label, 0.0)
    bonus, penalty = beside.bonus.get(label, 0.0), beside.penalty.get(label, 0.0)
    return Scored(label, whole(value, text), bonus, penalty, whole(lost, f"--lost {label}={lost:g}"))


def _teams(day: GamesDay, game: Fixture) -> str:
    return f"{day.teams[game.home - 1]} - {day.teams[game.away - 1]}"
