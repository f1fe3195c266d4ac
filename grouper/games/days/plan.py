"""Games or stations are planned in the time there is, for mere numbers or for the groups of an activity."""

from __future__ import annotations

from dataclasses import replace
from math import floor, inf

from grouper.games.checks import require
from grouper.games.circuit_measures import measure_circuit
from grouper.games.circuits import plan_circuit
from grouper.games.days.groups import activity_meant, no_scores_lost
from grouper.games.days.season import turned_to_even_duty
from grouper.games.draws import plan_games
from grouper.games.games_measures import measure_games
from grouper.games.measure import Measure
from grouper.model.play import Event, Timing
from grouper.model.record import ClassRecord

LEAST_THAT_FITS = 0.5
"""What fits is rounded down to half minutes, and less than one is no slot."""


def plan(wish: Event, minutes: float | None = None) -> Event:
    """What is asked for, with who is where in each slot, in the time there is.

    Parameters
    ----------
    wish
        Teams, places, what is asked for, and the length of a slot, None for as long as fits.
    minutes
        All the time there is, None where it does not matter.

    Raises
    ------
    InputError
        Nobody can play like this, or the minutes make no sense.
    """
    limit = slots_given(wish.timing, minutes)
    asked = wish if limit is None else replace(wish, asked=replace(wish.asked, slots=limit))
    planned = plan_games(asked) if wish.is_games else plan_circuit(asked)
    return replace(planned, timing=timing_given(wish.timing, minutes, planned.slots))


def planned_in(record: ClassRecord, wish: Event, minutes: float | None = None) -> tuple[ClassRecord, Event]:
    """The record with what is asked for in the place of what its activity had, and this event.

    Where no minutes are given, those of the activity count, if the unit says how long it is; duty falls to those who
    had least of it.

    Raises
    ------
    InputError
        The lesson has been taught, there are results already, or nobody can play like this.
    """
    record.check_open(wish.lesson)
    no_scores_lost(record, wish)
    if minutes is None:
        minutes = activity_meant(record, wish.lesson, wish.activity).minutes
    event = plan(wish, minutes)
    if event.is_games:
        event = turned_to_even_duty(record, event)
    return record.with_event(event), event


def measures_of(event: Event) -> tuple[Measure, ...]:
    """How good it is, each figure beside what nothing can beat."""
    return measure_games(event) if event.is_games else measure_circuit(event)


def slots_given(timing: Timing, minutes: float | None) -> int | None:
    """How many slots fit in the minutes; None where nothing limits them.

    >>> slots_given(Timing(6, 2), 38)
    5
    """
    if minutes is None:
        return None
    require(
        0 < minutes < inf, f"there is no playing in {minutes:g} minutes; give more than 0 minutes, and an end to them"
    )
    if timing.play is None:
        return None
    fit = timing.slots_in(minutes)
    require(fit >= 1, f"no slot of {timing.play:g} minutes fits in {minutes:g}; give more minutes or shorter slots")
    return fit


def timing_given(timing: Timing, minutes: float | None, slots: int) -> Timing:
    """How long each of so many slots is; what fits is rounded down to half a minute, as nobody plays to the second.

    >>> timing_given(Timing(None, 2), 40, slots=6)
    Timing(play=5.0, changeover=2)
    """
    if timing.play is not None or minutes is None or not slots:
        return timing
    between = (slots - 1) * timing.changeover
    require(
        minutes > between,
        f"{slots} slots need {between:g} minutes for the changes alone, and there are {minutes:g}; "
        "give more minutes, shorter changes, or the length of a slot",
    )
    play = (minutes - between) / slots
    require(
        play >= LEAST_THAT_FITS,
        f"{slots} slots in {minutes:g} minutes leave {play:.2g} minutes each; give more minutes, fewer slots, "
        "or the length of a slot",
    )
    return replace(timing, play=floor(2 * play + 1e-9) / 2)
