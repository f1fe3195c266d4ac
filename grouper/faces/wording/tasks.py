"""Tasks that fit and handicaps, in words for the teacher alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from grouper.model.task_result import TaskResult
from grouper.tasks.climb import Seen
from grouper.tasks.handicap import Handicap, Play
from grouper.tasks.suggest import GroupTask
from grouper.words import listed, short

if TYPE_CHECKING:
    # Looked at by name alone: what works it out brings numpy along, and this is read before most commands.
    from grouper.tasks.uneven import Levelled

MOST_SEEN = 3
"""A reason is one line: no more results than that are told."""

_FELT = {"easy": "too easy", "right": "right", "hard": "too hard"}


def went_in_words(result: TaskResult) -> str:
    """How a task went: '7 of 10', or 'too easy'."""
    return f"{result.hits} of {result.tries}" if result.tries else _FELT[result.felt]


def reason_in_words(task: GroupTask, names: Mapping[str, str]) -> str:
    """Why this step, in one line: '7 of 10 at step 2 last time', or the rating that it starts from."""
    if not task.seen:
        return _start_in_words(task)
    if len(task.seen) == 1 and not task.unseen:
        return _seen_in_words(task.seen[0])
    told = [f"{_seen_in_words(seen)} ({listed(_names(seen.members, names))})" for seen in task.seen[:MOST_SEEN]]
    more = len(task.seen) - MOST_SEEN
    rest = [f"{more} more"] if more > 0 else []
    new = [f"{listed(_names(task.unseen, names))}: nothing seen yet"] if task.unseen and not rest else []
    return "; ".join([*told, *rest, *new])


def _seen_in_words(seen: Seen) -> str:
    return f"{went_in_words(seen.result)} at step {seen.step} last time"


def _names(members: tuple[str, ...], names: Mapping[str, str]) -> list[str]:
    return [names.get(member, member) for member in members]


def _start_in_words(task: GroupTask) -> str:
    if task.rating is None:
        return f"nothing seen yet, and {_no_rating(task)}, so the middle"
    return f"nothing seen yet, {task.strand} {task.rating:.3g} on average"


def _no_rating(task: GroupTask) -> str:
    return f"nobody is rated in {task.strand}" if task.strand else "the activity goes by no rating"


def step_in_words(task: GroupTask) -> str:
    """Where on its ladder a group is: 'step 3 of 6', or 'step 4 of 6, your choice; step 3 is suggested'."""
    step = f"step {task.step} of {task.steps}"
    if task.suggested is None:
        return step
    suggested = "as is suggested" if task.suggested == task.step else f"step {task.suggested} is suggested"
    return f"{step}, your choice; {suggested}"


def shared_reason(tasks: Iterable[GroupTask], names: Mapping[str, str]) -> str:
    """The reason where it is one and the same for several groups, as before the first lesson; else empty."""
    reasons = [reason_in_words(task, names) for task in tasks]
    return reasons[0] if len(reasons) > 1 and len(set(reasons)) == 1 else ""


def task_lines(tasks: Mapping[str, GroupTask], order: list[str], names: Mapping[str, str]) -> Iterator[str]:
    """Two lines a group: its task, and below it the step and the reason; a reason that all share stands once."""
    width = max((len(label) for label in order), default=0)
    shared = shared_reason(tasks.values(), names)
    if shared:
        yield f"  for all groups: {shared}"
    for label in order:
        task = tasks[label]
        reason = "" if shared else f": {reason_in_words(task, names)}"
        yield f"  {label:<{width}}  {task.task}"
        yield f"  {'':<{width}}  {step_in_words(task)}{reason}"


def play_in_words(play: Play) -> str:
    """How games are played: 'games to 11 points', 'about 20 points in all'."""
    zone = f", {play.zone:.0%} of the weaker team's points from the zone, counting double" if play.zone else ""
    what = f"games on time with about {play.points} points in all" if play.timed else f"games to {play.points} points"
    return what + zone


def game_in_words(game: Levelled, play: Play) -> str:
    """Who starts with what, and whether a plan with even teams would call the two even."""
    even = f"; even teams, {short(game.apart)} apart" if game.even else ""
    return handicap_in_words(game.weaker, game.stronger, game.handicap, play) + even


def why_even_teams_start(games: Iterable[Levelled]) -> str:
    """Why two even teams may be given a start; empty where none is."""
    if not any(game.even and game.handicap.start for game in games):
        return ""
    return (
        "Even teams have averages that are close; over all points of a game a small difference adds up, so that a "
        "start can still be right. Where the ratings are rough, even teams play without one."
    )


def handicap_in_words(weaker: str, stronger: str, found: Handicap, play: Play) -> str:
    """Who starts with what, and the weaker team's chance to win before and after."""
    if not found.start and not play.zone:
        return f"{weaker} - {stronger}: no start needed (team {weaker} wins {found.before:.0%} as it is)"
    who = weaker if found.start >= 0 else stronger
    points = "1 point" if abs(found.start) == 1 else f"{abs(found.start)} points"
    start = f"team {who} starts with {points}" if found.start else "no start"
    zone = f", zone for team {weaker}" if play.zone else ""
    chances = f"team {weaker} wins {found.before:.0%} as it is, {found.after:.0%} then"
    return f"{weaker} - {stronger}: {start}{zone} ({chances})"
