"""What came of it: results of games, the table, and how tasks went."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import COUNT, LESSON, POINTS, class_argument, lesson_option, not_closed_line, show
from grouper.faces.cli.play_options import FileOf, activity_option, file_type
from grouper.faces.views.standings_view import progress_table, table_view, top_table
from grouper.faces.wording.changes import task_in_words
from grouper.faces.wording.play import (
    order_in_words,
    progress_lines,
    result_in_words,
    season_in_words,
    table_lines,
    top_lines,
    worth_in_words,
)
from grouper.files.store import ClassFile
from grouper.files.writing import write_standings
from grouper.games.days.groups import event_meant, labels_of, number_of
from grouper.games.days.season import Scored, Season, scored, season_of, unscored, with_scores
from grouper.games.standings import TIEBREAKS, tie_breaks
from grouper.model.noted import FELT, TaskResult
from grouper.model.play import GAMES, ON_WALL, Assignment, Event, Points
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.adjust import round_meant
from grouper.planning.noting import unseen
from grouper.tasks.choose import out_of, tells_nothing_of_tasks, with_result, with_setting
from grouper.tasks.rounds import round_tasks


@dataclass(frozen=True)
class Beside:
    """What stands beside the scores, by team."""

    lost: dict[str, float]
    bonus: dict[str, float]
    penalty: dict[str, float]


@click.command()
@class_argument
@click.argument("results", metavar="TEAM=SCORE TEAM=SCORE", nargs=-1)
@lesson_option
@activity_option
@click.option("--slot", type=COUNT, metavar="K", help="Which game, where the two teams meet twice.")
@click.option(
    "--lost", multiple=True, metavar="TEAM=POINTS", help="Lost in play, such as in a danger zone: decides the game."
)
@click.option("--bonus", multiple=True, metavar="TEAM=POINTS", help="Added in the table, such as for fair play.")
@click.option("--penalty", multiple=True, metavar="TEAM=POINTS", help="Taken off in the table; decides no game.")
@click.option("--take-back", is_flag=True, help="The game has no result after all; whatever scores are given.")
def score_command(
    class_path: Path,
    results: tuple[str, ...],
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


def _sides(results: tuple[str, ...], beside: Beside) -> tuple[Scored, Scored]:
    if len(results) != 2:
        raise InputError("a game has the scores of two teams", "write both, such as 1=12 4=9")
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


TIE_BREAKS = ", ".join(rule.key for rule in TIEBREAKS)


@click.command(
    epilog=f"Tie-breaks: {TIE_BREAKS}. Points and tie-breaks are remembered; those used are printed below the table."
)
@class_argument
@click.option("--lesson", "lessons", type=LESSON, multiple=True, metavar="N", help="Just this lesson; again for more.")
@activity_option
@click.option("--win", type=POINTS, metavar="P", help="Points for a win; 3 at first.")
@click.option("--draw", type=POINTS, metavar="P", help="Points for a draw, both scores alike; 1 at first.")
@click.option("--loss", type=POINTS, metavar="P", help="Points for a loss; 0 at first.")
@click.option("--order", metavar="A,B,...", help="What decides, in this order: points,head to head,difference,scored.")
@click.option("--students", type=click.Choice(["top", "progress"]), help="Show only what students may see.")
@click.option(
    "--on-wall",
    type=click.Choice(["nothing", *ON_WALL[1:]]),
    help="What the students' screen shows after games, from now on: nothing (at first), top or progress.",
)
@click.option("--places", type=click.IntRange(min=1), default=3, help="How many places 'top' shows; 3.")
@click.option("--to", "csv", type=FileOf(".csv"), metavar="FILE.csv", help="Where to write the table.")
@click.option("--sheets", type=file_type, metavar="FOLDER", help="Where to write the tables to print.")
def standings_command(
    class_path: Path,
    lessons: tuple[int, ...],
    activity: str | None,
    win: float | None,
    draw: float | None,
    loss: float | None,
    order: str | None,
    students: str | None,
    on_wall: str | None,
    places: int,
    csv: Path | None,
    sheets: Path | None,
) -> None:
    """Show the standings: results added up over all lessons with the same teams, or over the lessons given."""
    with ClassFile(class_path).change("what games are worth") as edit:
        points = _points(edit.record.points, win, draw, loss, order)
        if on_wall is not None:
            points = replace(points, on_wall="" if on_wall == "nothing" else on_wall)
        edit.record = replace(edit.record, points=points)
        season = season_of(edit.record, lessons, activity)
        # Refuses an unknown tie-break before it is remembered.
        tie_breaks(season.points)
    show(_for_students(season, students, places) if students else table_lines(season))
    if csv is not None:
        write_standings(csv, _rows(season))
        click.echo(f"Table written to {csv}.")
    if sheets is not None:
        show(_written(season, students, places, sheets))


def _written(season: Season, students: str | None, places: int, folder: Path) -> Iterator[str]:
    """Students get the first places unless everyone's progress is chosen."""
    from grouper.faces.sheets.play_sheets import write_standings_sheets

    shown = progress_table(season) if students == "progress" else top_table(season, places)
    rules = (worth_in_words(season.points), order_in_words(season.points))
    for path in write_standings_sheets(table_view(season), rules, shown, folder):
        yield f"Written: {path}"


def _points(known: Points, win: float | None, draw: float | None, loss: float | None, order: str | None) -> Points:
    chosen = tuple(key.strip().casefold() for key in order.split(",")) if order is not None else known.order
    return Points(
        known.win if win is None else win,
        known.draw if draw is None else draw,
        known.loss if loss is None else loss,
        chosen,
        known.on_wall,
    )


def _for_students(season: Season, what: str, places: int) -> Iterator[str]:
    yield season_in_words(season)
    yield from top_lines(season, places) if what == "top" else progress_lines(season)


def _rows(season: Season) -> Iterator[tuple[str, ...]]:
    for row in season.table:
        numbers = (row.played, row.won, row.drawn, row.lost, row.scored, row.conceded)
        points = (f"{value:g}" for value in (row.bonus, row.penalty, row.points))
        yield str(row.rank), season.teams[row.team - 1], *map(str, numbers), *points


HOW = "write it as GROUP=easy, GROUP=right, GROUP=hard, GROUP=7/10, or points as GROUP=12, GROUP=12-5 or GROUP=12-5/20"

_POINTS = re.compile(r"(\d{1,4})(?:\s*[-−]\s*(\d{1,4})(?:\s*/\s*(\d{1,4}))?)?", re.ASCII)


@click.command()
@class_argument
@click.argument("results", metavar="GROUP=HOW...", nargs=-1, required=True)
@lesson_option
@click.option("--round", "number", type=COUNT, metavar="K", help="Which round of the lesson, where it has several.")
@click.option("--take-back", is_flag=True, help="Nothing was seen of these groups after all; give them without =.")
def felt_command(class_path: Path, results: tuple[str, ...], lesson: int, number: int | None, take_back: bool) -> None:
    """Enter how a task went for groups, such as: grouper felt 7b.class --lesson 3 1=easy 2=right 4=7/10

    A group found it too easy, right or too hard, or succeeded in 7 of 10 attempts; both may be said of one group.
    Points by the activity's way of scoring are 2=12, less what was lost 2=12-5, and of how many attempts 2=12-5/20:
    without attempts they teach nothing about tasks. Where children chose, or did something else than the card says,
    2=ball:small says what they really did. What is entered again replaces what was there.
    """
    with ClassFile(class_path).change(f"how tasks went in lesson {lesson}") as edit:
        key = round_meant(edit.record, lesson, number)
        if take_back:
            edit.what = f"how tasks went in lesson {lesson}: taken back"
            entered = _taken_back(edit.record, key, results)
            for result in entered:
                edit.record = unseen(edit.record, result)
        else:
            edit.record, entered = _tasks_entered(edit.record, key, results)
            for result in entered:
                edit.record = with_result(edit.record, result)
    word = "taken back: " if take_back else ""
    show(f"Lesson {lesson}, {word}{task_in_words(result)}" for result in entered)
    show(_did(edit.record, key, results) if not take_back else ())
    if not take_back and tells_nothing_of_tasks(edit.record, key, entered):
        click.echo(f"Points alone teach nothing about tasks: {POINTS_TEACH}, or 2=easy, 2=right, 2=hard.")
    show(not_closed_line(edit.record, lesson))


POINTS_TEACH = "give the attempts too, as 2=12-0/20 or 2=7/10"


def _said(record: ClassRecord, text: str, key: RoundKey, labels: tuple[str, ...]) -> TaskResult:
    """What was typed of a group: a word, successes and attempts, or points won and lost."""
    group, sign, how = (part.strip() for part in text.rpartition("="))
    if not sign or not group:
        raise InputError("'{text}' says nothing of a group", HOW, text=text)
    label = _label(group, labels)
    if how.casefold() in FELT[1:]:
        return TaskResult(key, label, how.casefold())
    if points := _POINTS.fullmatch(how):
        result = TaskResult(key, label, points=int(points[1]), lost=int(points[2] or 0))
        return out_of(record, result, int(points[3])) if points[3] else result
    hits, slash, tries = (part.strip() for part in how.partition("/"))
    if not (slash and hits.isdecimal() and tries.isdecimal() and len(hits + tries) < 9):
        raise InputError("'{how}' in '{text}' is not understood", HOW, how=how, text=text)
    return TaskResult(key, label, hits=int(hits), tries=int(tries))


def _label(group: str, labels: tuple[str, ...]) -> str:
    return labels[number_of(group, labels, "group") - 1]


def _labels(record: ClassRecord, key: RoundKey) -> tuple[str, ...]:
    return labels_of(record.plan.by_key[key].groups)


def _known(record: ClassRecord, key: RoundKey) -> dict[str, TaskResult]:
    return {result.label: result for result in record.results if result.key == key}


def _tasks_entered(record: ClassRecord, key: RoundKey, texts: Iterable[str]) -> tuple[ClassRecord, list[TaskResult]]:
    """The record with what groups really did, and the results as they are then.

    Of each group they hold what is typed, and what was known before and is not typed anew.
    """
    labels, given = _labels(record, key), list(texts)
    for label, way in _ways(given, labels):
        record = with_setting(record, key, label, way)
    results = _known(record, key)
    said = [_said(record, text, key, labels) for text in given if ":" not in text]
    _refuse_doubles(said)
    for each in said:
        results[each.label] = _with(results.get(each.label), each)
    return record, [results[label] for label in dict.fromkeys(each.label for each in said)]


def _ways(texts: Iterable[str], labels: tuple[str, ...]) -> list[tuple[str, str]]:
    """The groups of which is typed what they did, as LEVER:SETTING, and what that is."""
    parts = (text.partition("=") for text in texts if ":" in text)
    return [(_label(group.strip(), labels), way) for group, _, way in parts]


def _did(record: ClassRecord, key: RoundKey, texts: Iterable[str]) -> Iterator[str]:
    tasks = round_tasks(record, key).tasks
    for label in dict.fromkeys(label for label, _ in _ways(texts, _labels(record, key))):
        yield f"Lesson {key.lesson}, group {label} did: {tasks[label].task}"


def _refuse_doubles(said: list[TaskResult]) -> None:
    """A word, a count and points may be said of one group; two of a kind may not."""
    kinds = [(each.label, _kind(each)) for each in said]
    for label, kind in kinds:
        if kinds.count((label, kind)) > 1:
            raise InputError("group {label} appears twice with {kind}", "give one", label=label, kind=kind)


def _kind(said: TaskResult) -> str:
    return "a word" if said.felt else "points" if said.points is not None else "a count"


def _with(before: TaskResult | None, said: TaskResult) -> TaskResult:
    if before is None:
        return said
    if said.felt:
        return replace(before, felt=said.felt)
    if said.points is not None:
        scored_ = replace(before, points=said.points, lost=said.lost)
        return replace(scored_, hits=said.hits, tries=said.tries) if said.tries else scored_
    return replace(before, hits=said.hits, tries=said.tries)


def _taken_back(record: ClassRecord, key: RoundKey, texts: Iterable[str]) -> list[TaskResult]:
    labels, known = _labels(record, key), _known(record, key)
    wanted = list(dict.fromkeys(_label(text.partition("=")[0], labels) for text in texts))
    missing = [label for label in wanted if label not in known]
    if missing:
        raise InputError("nothing was entered for group {missing} in this round", missing=", ".join(missing))
    return [known[label] for label in wanted]
