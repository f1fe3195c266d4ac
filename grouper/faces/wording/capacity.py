"""Who is active on the courts there are, and what to change so that nobody waits."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.games.capacity import CapacityLine, CapacityTask, capacity_lines
from grouper.model.games_day import GamesDay
from grouper.words import counted


def capacity_in_words(task: CapacityTask) -> Iterator[str]:
    """Who is active for each way of using the courts, and what to do so that nobody waits."""
    lines = capacity_lines(task)
    yield f"Who is active, of {counted(task.students, 'student')}:"
    yield from (f"  {_capacity(line)}" for line in lines)
    best = min(lines, key=lambda line: (line.waiting, -line.playing))
    if lines[0].waiting:
        fewest = "Nobody waits" if not best.waiting else f"Fewest wait ({best.waiting})"
        yield f"{fewest} if you do this: {best.change}."


def _capacity(line: CapacityLine) -> str:
    waits = f"{line.waiting} wait" if line.waiting else "nobody waits"
    return f"{line.choice:<14} {line.active_share:>4.0%} active{_made_of(line)}, {waits}: {line.change}"


def _made_of(line: CapacityLine) -> str:
    return f" ({line.playing_share:.0%} play, {line.on_duty} on duty)" if line.on_duty else ""


def team_capacity(day: GamesDay) -> Iterator[str]:
    """How many teams are busy at a time, and what to change to have none wait, where nothing is known of students."""
    setback, helped = day.setback, day.asked.duty != "none"
    teams, courts = len(day.teams) - len(setback.teams_out), day.asked.courts - len(setback.courts_closed)
    playing = 2 * min(courts, teams // 2)
    waiting = _teams_waiting(teams, courts, helped)
    yield f"At a time {playing} of {teams} teams play, {teams - playing - waiting} on duty, {waiting} waiting."
    if waiting:
        yield f"Nobody waits {_way_out(teams, helped)}."


def _teams_waiting(teams: int, courts: int, helped: bool) -> int:
    """Teams that neither play nor have a duty in a full slot."""
    games = min(courts, teams // 2)
    return max(0, teams - (3 if helped else 2) * games)


def _way_out(teams: int, helped: bool) -> str:
    enough = next((c for c in range(1, teams + 1) if not _teams_waiting(teams, c, helped)), None)
    if enough is not None:
        return f"with {counted(enough, 'court')}: play across on half courts, with smaller sides"
    fewest = next(c for c in range(1, teams + 1) if not _teams_waiting(teams, c, True))
    return f"with {counted(fewest, 'court')} and the team left over on duty"
