"""A 2v2 rotation in words."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.faces.wording.play import minutes_in_all
from grouper.games.whist import DoublesSchedule
from grouper.model.timing import Timing
from grouper.words import counted


def doubles_heading(schedule: DoublesSchedule, timing: Timing) -> str:
    """One line on a 2v2 rotation: players, courts, games, slots and minutes."""
    players, courts = counted(schedule.players, "player"), counted(schedule.courts, "court")
    games, slots = counted(len(schedule.games), "game"), counted(schedule.slots, "slot")
    return f"Two against two, {players}, {courts}: {games} in {slots}{minutes_in_all(timing, schedule.slots)}"


def doubles_lines(schedule: DoublesSchedule) -> Iterator[str]:
    """A line for each slot: its games by court, and who rests."""
    for slot in range(1, schedule.slots + 1):
        games = [game for game in schedule.games if game.slot == slot]
        sides = (f"court {g.court}: {g.home[0]}+{g.home[1]} - {g.away[0]}+{g.away[1]}" for g in games)
        resting = ", ".join(map(str, schedule.resting(slot)))
        yield f"  slot {slot:>2}   " + "   ".join(sides) + (f"   resting: {resting}" if resting else "")
