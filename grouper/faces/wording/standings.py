"""Standings in words: the table, and in which order level teams are parted."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.games.days.season import Season
from grouper.games.standings import Progress, Standing, top_of
from grouper.games.tiebreaks import TIEBREAKS
from grouper.model.points import Points
from grouper.words import listed


def worth_in_words(points: Points) -> str:
    """What a game is worth.

    >>> worth_in_words(Points())
    'A win is worth 3, a draw 1, a loss 0.'
    """
    return f"A win is worth {points.win:g}, a draw {points.draw:g}, a loss {points.loss:g}."


def order_in_words(season: Season) -> str:
    """What decides the order of the table, the first thing first."""
    sentences = {rule.key: rule.sentence for rule in TIEBREAKS}
    return "Before another stands who has " + "; then ".join(sentences[key] for key in season.scoring.order) + "."


def season_in_words(season: Season) -> str:
    """Which lessons count, and how many of their games are played."""
    lessons = [str(lesson) for lesson in season.lessons]
    word = "Lesson" if len(lessons) == 1 else "Lessons"
    return f"{word} {listed(lessons)}: {len(season.results)} of {season.games} games have a result"


def table_lines(season: Season) -> Iterator[str]:
    """The whole table, for the teacher."""
    yield season_in_words(season)
    yield "  rank  team      played  won  drawn  lost   scored   diff  bonus  penalty  points"
    for row in season.table:
        yield _row(season, row)
    yield worth_in_words(season.points)
    yield order_in_words(season)
    yield from left_out_lines(season)


def _row(season: Season, row: Standing) -> str:
    scored = f"{row.scored}:{row.conceded}"
    games = f"{row.played:>6}  {row.won:>3}  {row.drawn:>5}  {row.lost:>4}  {scored:>7}  {row.difference:>+5}"
    points = f"{row.bonus:>5g}  {row.penalty:>7g}  {row.points:>6g}"
    return f"  {row.rank:>4}  {season.teams[row.team - 1]:<8}  {games}  {points}"


def left_out_lines(season: Season) -> Iterator[str]:
    """Days that do not count, and why."""
    for day in season.left_out:
        yield f"Not counted: '{day.activity}' in lesson {day.lesson}, whose teams were made of other people."


def top_lines(season: Season, places: int) -> Iterator[str]:
    """The first places alone: what students may see."""
    for row in top_of(season.table, places):
        yield f"  {row.rank}  team {season.teams[row.team - 1]}  {row.points:g} points"


def progress_lines(season: Season) -> Iterator[str]:
    """Everyone's points lesson by lesson, without a rank: what students may see."""
    for row in season.progress:
        yield f"  team {season.teams[row.team - 1]}  {_steps(row)}"


def _steps(row: Progress) -> str:
    if len(row.by_lesson) < 2:
        return f"{row.total:g} points"
    return " + ".join(f"{points:g}" for points in row.by_lesson) + f" = {row.total:g} points"
