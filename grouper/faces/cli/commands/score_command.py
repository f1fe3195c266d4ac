"""``grouper score``: the result of a game."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import COUNT, class_argument, lesson_option
from grouper.faces.cli.play_options import activity_option
from grouper.faces.wording.play import result_in_words
from grouper.files.store import ClassFile
from grouper.games.days.groups import event_meant
from grouper.games.days.season import Scored, scored, unscored, with_scores
from grouper.model.play import GAMES, Assignment, Event


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
    beside = Beside(_by_team(lost, "number of points"), _by_team(bonus, "bonus"), _by_team(penalty, "penalty"))
    one, other = _sides(results, beside)
    with ClassFile(class_path).change("") as edit:
        event = event_meant(edit.record, GAMES, lesson, activity)
        if take_back:
            event, game = unscored(event, one.team, other.team, slot)
        else:
            event, game = scored(event, one, other, slot)
        edit.what = f"{'no result after all' if take_back else 'result'}: {_teams(event, game)} in lesson {lesson}"
        edit.record = with_scores(edit.record, event)
    click.echo(f"{'Taken back: ' if take_back else ''}{result_in_words(event, game)}")


def _sides(results: tuple[str, str], beside: Beside) -> tuple[Scored, Scored]:
    one, other = (_side(text, beside) for text in results)
    strangers = sorted({*beside.lost, *beside.bonus, *beside.penalty} - {one.team, other.team})
    if strangers:
        what = "points lost, bonus and penalty are for the two that do"
        raise InputError("team {stranger} does not play in this game", what, stranger=strangers[0])
    return one, other


def _side(text: str, beside: Beside) -> Scored:
    label, value = _team_and_number(text, "score")
    lost = beside.lost.get(label, 0.0)
    bonus, penalty = beside.bonus.get(label, 0.0), beside.penalty.get(label, 0.0)
    return Scored(label, _whole(value, text), bonus, penalty, _whole(lost, f"--lost {label}={lost:g}"))


def _teams(event: Event, game: Assignment) -> str:
    return f"{event.label(game.home)} - {event.label(game.away)}"


def _team_and_number(text: str, what: str) -> tuple[str, float]:
    """A team's label and a number.

    Raises
    ------
    InputError
        The text is not of the form ``TEAM=NUMBER``.

    Examples
    --------
    >>> _team_and_number("4=12", "score")
    ('4', 12.0)
    """
    label, sign, number = text.rpartition("=")
    if not sign or not label.strip():
        raise InputError(
            "'{text}' is no {what} of a team", "write it as TEAM=NUMBER, such as 4=12", text=text, what=what
        )
    try:
        value = float(number)
    except ValueError:
        raise InputError(
            "'{number}' in '{text}' is no number", "write it as TEAM=NUMBER, such as 4=12", number=number, text=text
        ) from None
    if not 0 <= value < 1e6:
        raise InputError("'{text}': a {what} is 0 or more, and below a million", text=text, what=what)
    return label.strip(), value


def _whole(value: float, text: str) -> int:
    """A whole number (InputError where it is not)."""
    if value != int(value):
        raise InputError("'{text}': scores are whole numbers", "enter points on top with --bonus", text=text)
    return int(value)


def _by_team(texts: Iterable[str], what: str) -> dict[str, float]:
    """Values of teams by label, added up where a team has several."""
    values: dict[str, float] = {}
    for text in texts:
        label, value = _team_and_number(text, what)
        values[label] = values.get(label, 0.0) + value
    return values
