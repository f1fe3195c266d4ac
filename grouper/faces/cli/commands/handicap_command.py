"""``grouper handicap``: points to start with, so that both sides of an uneven game have an even chance."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import COUNT, class_argument, lesson_option
from grouper.faces.cli.play_options import activity_option, round_option
from grouper.faces.cli.share import share
from grouper.faces.wording.tasks import game_in_words, play_in_words, ways_in_words, why_even_teams_start
from grouper.files.store import ClassFile
from grouper.games.days.groups import activity_meant, round_meant
from grouper.tasks.handicap import Play
from grouper.tasks.uneven import Levelled, Pairing, levelled, pairings_of, strand_meant

ABOUT = 20
"""So many points are taken for a game where nothing is said: an assumption, printed with the answer."""


@click.command()
@class_argument
@lesson_option
@activity_option
@round_option
@click.option("--teams", nargs=2, metavar="ONE OTHER", help="Just these two groups; all games if left out.")
@click.option("--to", "goal", type=COUNT, metavar="POINTS", help="Games to this number of points.")
@click.option("--about", type=COUNT, metavar="POINTS", help="Games on time with about so many points in all; 20.")
@click.option(
    "--zone", type=share, default=0.0, metavar="SHARE", help="This share of the weaker team's points counts double."
)
@click.option("--strand", metavar="NAME", help="What teams are compared in; that of the activity if left out.")
@click.option("--ways", is_flag=True, help="Four ways side by side: start, zone, target, players more.")
@click.option("--trust", type=share, default=1.0, metavar="SHARE", help="How much of the difference to believe; 1.")
def command(
    class_path: Path,
    lesson: int,
    activity: str | None,
    number: int,
    teams: tuple[str, str] | None,
    goal: int | None,
    about: int | None,
    zone: float,
    strand: str | None,
    trust: float,
    ways: bool,
) -> None:
    """Show with how many points the weaker team should start, game by game, for an even chance.

    It goes by the teams' average ratings, so it is as good as they are; where you are unsure of them, try --trust 0.7.
    For you alone. A zone is a place from which the weaker team's points count double; SHARE says how many of its points
    it makes there, such as 0.3.
    """
    if goal is not None and about is not None:
        raise InputError("a game goes to a number of points or is played on time; give --to or --about")
    points = next(given for given in (goal, about, ABOUT) if given is not None)
    play = Play(points, goal is None, zone)
    record = ClassFile(class_path).read().record
    round_ = round_meant(record, lesson, activity_meant(record, lesson, activity), number)
    pairings = (Pairing(*teams),) if teams else pairings_of(record, round_)
    found = levelled(record, round_, pairings, strand_meant(record, round_, strand), play, trust)
    click.echo(f"For {play_in_words(play)}:")
    for game in found:
        click.echo(f"  {_where(game)}{game_in_words(game, play)}")
        if ways and (said := ways_in_words(game)):
            click.echo(f"    {said}")
    if why := why_even_teams_start(found):
        click.echo(why)


def _where(game: Levelled) -> str:
    pairing = game.pairing
    return f"slot {pairing.slot}, court {pairing.court}: " if pairing.slot else ""
