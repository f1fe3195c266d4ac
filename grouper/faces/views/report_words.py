"""Fairness in words for a head teacher: short sentences, each of which says one thing and what it is measured by."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.engines.bounds import Bounds
from grouper.faces.views.evidence import Evidence
from grouper.faces.wording.words import number_in_words, span_of_times, times_in_words
from grouper.model.record import ClassRecord
from grouper.planning.fairness import Fairness, fairness_of, hindsight
from grouper.planning.turns import Turns
from grouper.words import counted, from_to


def fairness_in_words(found: Evidence, record: ClassRecord) -> Iterator[str]:
    """With how many different classmates, how many repeats against the bound, and who met most."""
    actual = found.actual
    if not actual.most_meetings:
        yield "Everybody worked alone in these rounds."
        return
    yield f"Everybody worked with {_partners(actual)}."
    if len(found.chosen.plan.rounds) == len(record.plan.rounds):
        yield from _repeats(actual, found.bounds)
    else:
        yield from _repeats_so_far(found, record)
    if actual.most_meetings > 1:
        yield f"The two who met most were in one group {times_in_words(actual.most_meetings)}."
    yield from _since_planned(found)


def _repeats(fairness: Fairness, bounds: Bounds) -> Iterator[str]:
    """Repeats beside what no plan for the same rounds could have beaten."""
    if not fairness.repeats:
        yield "Nobody worked with the same classmate twice. No plan can do better."
        return
    there = f"there {_were(fairness.repeats)}"
    if fairness.repeats == bounds.repeats:
        yield f"In these rounds {there} {counted(fairness.repeats, 'repeat')}. No plan could have done it with fewer."
    elif bounds.repeats:
        least = counted(bounds.repeats, "repeat")
        yield f"No plan could have done it with fewer than {least}; {there} {fairness.repeats}."
    else:
        yield f"In these rounds {there} {counted(fairness.repeats, 'repeat')}. Whether any had to be is not known."
    if fairness.meeting_cost == bounds.meeting_cost:
        yield "Repeats were shared out as evenly as any plan could have done."


def _repeats_so_far(found: Evidence, record: ClassRecord) -> Iterator[str]:
    """Of some lessons: beside the whole unit, for which the plan is made, as a few of them alone may have more."""
    whole, bounds = fairness_of(record), hindsight(record, prove=True)
    best = ", and no plan can have fewer" if whole.repeats == bounds.repeats else ""
    least = f"; no plan has fewer than {bounds.repeats}" if 0 < bounds.repeats < whole.repeats else ""
    yield f"The plan is made for the whole unit, which has {counted(whole.repeats, 'repeat')}{best}{least}."
    if not found.actual.repeats:
        yield "In the lessons so far nobody worked with the same classmate twice."
        return
    yield (
        f"{found.actual.repeats} of them {_were(found.actual.repeats)} in the lessons so far. "
        f"A plan for these lessons alone would have needed {_at_least(found.bounds.repeats)}."
    )


def _at_least(count: int) -> str:
    return f"at least {count}" if count else "perhaps none"


def _were(count: int) -> str:
    return "was" if count == 1 else "were"


def _partners(fairness: Fairness) -> str:
    count = from_to(fairness.fewest_partners, fairness.most_partners)
    return f"{count} different classmate{'' if fairness.most_partners == 1 else 's'}"


def _since_planned(found: Evidence) -> Iterator[str]:
    planned, actual = found.planned.repeats, found.actual.repeats
    if planned != actual:
        change = "more" if actual > planned else "fewer"
        yield (
            f"As planned, with everybody there, it would have been {counted(planned, 'repeat')}; absences and changes "
            f"on the day made it {abs(actual - planned)} {change}."
        )


def requests_in_words(found: Evidence) -> Iterator[str]:
    """Whether what was asked for held; nothing where nothing was asked for."""
    broken, outside = len(found.actual.broken_requests), len(found.actual.gaps_outside)
    if outside:
        gap = "was" if outside == 1 else "were"
        yield (
            f"{counted(outside, 'coaching pair')} {gap} outside of the difference that was asked for, by the ratings "
            "of today; those of the day are not kept."
        )
    if broken:
        yield f"{counted(broken, 'request')} to keep two apart or together did not hold."
    elif found.chosen.requests:
        yield "Every request to keep two apart or together was kept."


def turns_in_words(turns: Turns | None, what: str, chances: str) -> str:
    """How evenly turns were shared out; empty where the unit has none."""
    if turns is None:
        return ""
    told = f"Each student who was there for all {chances} was {what} {span_of_times(turns.fewest, turns.most)}."
    if turns.least_range is None or turns.range <= turns.least_range:
        return told
    return f"{told} The fewest and the most could have been {turns.least_range or 'no turn'} apart."


def evenness_in_words(within: int, rounds: int, widest: float) -> str:
    """In how many rounds with even teams the wish held, and how far the averages were apart at most."""
    if within == rounds:
        held = "In every round" if rounds > 1 else "In the one round"
        return f"{held} with even teams, the teams' averages were as close as wished, or closer."
    where = f"of {counted(rounds, 'round')} with even teams"
    held = f"In {within} {where} the averages were" if within else f"In none {where} were the averages"
    return f"{held} as close as wished. At most they were {number_in_words(widest)} apart."
