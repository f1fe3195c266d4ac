"""What came of it: results of games, the table, and how tasks went."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from grouper.errors import InputError
from grouper.faces.cli import common
from grouper.faces.views.standings_view import progress_table, table_view, top_table
from grouper.faces.wording import play as wording
from grouper.faces.wording.changes import task_in_words
from grouper.files.store import ClassFile
from grouper.files.writing import write_standings
from grouper.games.days.groups import event_meant
from grouper.games.days.season import Scored, scored, season_of, unscored, with_scores
from grouper.games.standings import TIEBREAKS, tie_breaks
from grouper.model.noted import FELT, TaskResult
from grouper.model.play import GAMES, ON_WALL
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.adjust import round_meant
from grouper.planning.noting import unseen
from grouper.tasks.choose import out_of, tells_nothing_of_tasks, with_result, with_setting
from grouper.tasks.rounds import round_tasks


@click.command()
@common.class_argument
@click.argument("results", metavar="TEAM=SCORE TEAM=SCORE", nargs=-1)
@common.lesson_option
@common.activity_option
@click.option("--slot", type=common.COUNT, metavar="K", help="Which game, where the two teams meet twice.")
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
    off, added, taken = (
        _by_team(*each) for each in ((lost, "number of points"), (bonus, "bonus"), (penalty, "penalty"))
    )
    if len(results) != 2:
        raise InputError("a game has the scores of two teams", "write both, such as 1=12 4=9")
    one, other = (
        Scored(
            team,
            _whole(points, text),
            added.get(team, 0.0),
            taken.get(team, 0.0),
            _whole(off.get(team, 0.0), f"--lost {team}={off.get(team, 0.0):g}"),
        )
        for text in results
        for team, points in [_team_and_number(text, "score")]
    )
    strangers = sorted({*off, *added, *taken} - {one.team, other.team})
    if strangers:
        what = "points lost, bonus and penalty are for the two that do"
        raise InputError("team {stranger} does not play in this game", what, stranger=strangers[0])
    with ClassFile(class_path).change("") as edit:
        event = event_meant(edit.record, GAMES, lesson, activity)
        if take_back:
            event, game = unscored(event, one.team, other.team, slot)
        else:
            event, game = scored(event, one, other, slot)
        teams = f"{event.label(game.home)} - {event.label(game.away)}"
        edit.what = f"{'no result after all' if take_back else 'result'}: {teams} in lesson {lesson}"
        edit.record = with_scores(edit.record, event)
    click.echo(f"{'Taken back: ' if take_back else ''}{wording.result_in_words(event, game)}")


def _team_and_number(text: str, what: str) -> tuple[str, float]:
    """A team's label and a number, from TEAM=NUMBER."""
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
@common.class_argument
@click.option(
    "--lesson", "lessons", type=common.LESSON, multiple=True, metavar="N", help="Just this lesson; again for more."
)
@common.activity_option
@click.option("--win", type=common.POINTS, metavar="P", help="Points for a win; 3 at first.")
@click.option("--draw", type=common.POINTS, metavar="P", help="Points for a draw, both scores alike; 1 at first.")
@click.option("--loss", type=common.POINTS, metavar="P", help="Points for a loss; 0 at first.")
@click.option("--order", metavar="A,B,...", help="What decides, in this order: points,head to head,difference,scored.")
@click.option("--students", type=click.Choice(["top", "progress"]), help="Show only what students may see.")
@click.option(
    "--on-wall",
    type=click.Choice(["nothing", *ON_WALL[1:]]),
    help="What the students' screen shows after games, from now on: nothing (at first), top or progress.",
)
@click.option("--places", type=click.IntRange(min=1), default=3, help="How many places 'top' shows; 3.")
@click.option("--to", "csv", type=common.FileOf(".csv"), metavar="FILE.csv", help="Where to write the table.")
@click.option("--sheets", type=common.file_type, metavar="FOLDER", help="Where to write the tables to print.")
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
    given = {"win": win, "draw": draw, "loss": loss}
    chosen: dict[str, Any] = {name: worth for name, worth in given.items() if worth is not None}
    if order is not None:
        chosen["order"] = tuple(key.strip().casefold() for key in order.split(","))
    if on_wall is not None:
        chosen["on_wall"] = "" if on_wall == "nothing" else on_wall
    # Looking at the table writes nothing: what is as it was is no change.
    with ClassFile(class_path).change("what games are worth") as edit:
        edit.record = replace(edit.record, points=replace(edit.record.points, **chosen))
        season = season_of(edit.record, lessons, activity)
        # Refuses an unknown tie-break before it is remembered.
        tie_breaks(season.points)
    if students:
        click.echo(wording.season_in_words(season))
        common.show(wording.top_lines(season, places) if students == "top" else wording.progress_lines(season))
    else:
        common.show(wording.table_lines(season))
    if csv is not None:
        rows = []
        for row in season.table:
            numbers = (row.played, row.won, row.drawn, row.lost, row.scored, row.conceded)
            worth = (f"{value:g}" for value in (row.bonus, row.penalty, row.points))
            rows.append((str(row.rank), season.teams[row.team - 1], *map(str, numbers), *worth))
        write_standings(csv, rows)
        click.echo(f"Table written to {csv}.")
    if sheets is not None:
        from grouper.faces.sheets.play_sheets import write_standings_sheets

        # Students get the first places unless everyone's progress is chosen.
        shown = progress_table(season) if students == "progress" else top_table(season, places)
        rules = (wording.worth_in_words(season.points), wording.order_in_words(season.points))
        common.show(f"Written: {path}" for path in write_standings_sheets(table_view(season), rules, shown, sheets))


HOW = "write it as GROUP=easy, GROUP=right, GROUP=hard, GROUP=7/10, or points as GROUP=12, GROUP=12-5 or GROUP=12-5/20"

_POINTS = re.compile(r"(\d{1,4})(?:\s*[-−]\s*(\d{1,4})(?:\s*/\s*(\d{1,4}))?)?", re.ASCII)


@click.command()
@common.class_argument
@click.argument("results", metavar="GROUP=HOW...", nargs=-1, required=True)
@common.lesson_option
@common.which_round_option
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
        did: dict[str, str] = {}
        if take_back:
            edit.what = f"how tasks went in lesson {lesson}: taken back"
            known = _known(edit.record, key)
            wanted = dict.fromkeys(common.label_meant(edit.record, key, text.partition("=")[0]) for text in results)
            missing = [label for label in wanted if label not in known]
            if missing:
                raise InputError("nothing was entered for group {missing} in this round", missing=", ".join(missing))
            entered = [known[label] for label in wanted]
            for result in entered:
                edit.record = unseen(edit.record, result)
        else:
            for text in results:
                group, _, way = text.partition("=")
                if ":" in text:
                    label = common.label_meant(edit.record, key, group.strip())
                    edit.record, did[label] = with_setting(edit.record, key, label, way), way
            entered = _entered(edit.record, key, [text for text in results if ":" not in text])
            for result in entered:
                edit.record = with_result(edit.record, result)
    common.show(f"Lesson {lesson}, {'taken back: ' if take_back else ''}{task_in_words(result)}" for result in entered)
    tasks = round_tasks(edit.record, key).tasks if did else {}
    common.show(f"Lesson {lesson}, group {label} did: {tasks[label].task}" for label in did)
    if not take_back and tells_nothing_of_tasks(edit.record, key, entered):
        click.echo(f"Points alone teach nothing about tasks: {POINTS_TEACH}, or 2=easy, 2=right, 2=hard.")
    common.show(common.not_closed_line(edit.record, lesson))


POINTS_TEACH = "give the attempts too, as 2=12-0/20 or 2=7/10"


def _known(record: ClassRecord, key: RoundKey) -> dict[str, TaskResult]:
    return {result.label: result for result in record.results if result.key == key}


def _entered(record: ClassRecord, key: RoundKey, texts: Iterable[str]) -> list[TaskResult]:
    """Of each group what is typed, and what was known before and is not typed anew.

    A word, a count and points may be said of one group; two of a kind may not.
    """
    known = _known(record, key)
    results: dict[str, TaskResult] = {}
    kinds: set[tuple[str, str]] = set()
    for said in [_said(record, text, key) for text in texts]:
        label, kind = said.label, "a word" if said.felt else "points" if said.points is not None else "a count"
        if (label, kind) in kinds:
            raise InputError("group {label} appears twice with {kind}", "give one", label=label, kind=kind)
        kinds.add((label, kind))
        before = results.get(label) or known.get(label)
        if before is None:
            results[label] = said
        elif said.felt:
            results[label] = replace(before, felt=said.felt)
        else:
            if said.points is not None:
                before = replace(before, points=said.points, lost=said.lost)
            results[label] = before if said.tries is None else replace(before, hits=said.hits, tries=said.tries)
    return list(results.values())


def _said(record: ClassRecord, text: str, key: RoundKey) -> TaskResult:
    """What was typed of a group: a word, successes and attempts, or points won and lost."""
    group, sign, how = (part.strip() for part in text.rpartition("="))
    if not sign or not group:
        raise InputError("'{text}' says nothing of a group", HOW, text=text)
    label = common.label_meant(record, key, group)
    if how.casefold() in FELT[1:]:
        return TaskResult(key, label, how.casefold())
    if points := _POINTS.fullmatch(how):
        result = TaskResult(key, label, points=int(points[1]), lost=int(points[2] or 0))
        return out_of(record, result, int(points[3])) if points[3] else result
    hits, slash, tries = (part.strip() for part in how.partition("/"))
    if not (slash and hits.isdecimal() and tries.isdecimal() and len(hits + tries) < 9):
        raise InputError("'{how}' in '{text}' is not understood", HOW, how=how, text=text)
    return TaskResult(key, label, hits=int(hits), tries=int(tries))
