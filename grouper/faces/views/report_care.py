"""For whom to care in the next unit: who got the least of what was shared out, in words, without a cause."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from grouper.faces.views.evidence import Evidence
from grouper.faces.views.names import display_names
from grouper.faces.views.ordering import name_order
from grouper.faces.wording.words import times_in_words
from grouper.model.ledger import ledger_of
from grouper.planning.turns import Turns
from grouper.words import counted, listed

MOST = 4
"""More names than these are no help: then nobody stands out."""


@dataclass(frozen=True)
class CareLine:
    """Who, and what was uneven for them."""

    who: str
    why: str


def care_lines(found: Evidence) -> Iterator[CareLine]:
    """Fewest partners, most turns in the trio and as coach, and the two who met most; where somebody stands out."""
    names = display_names(found.chosen.roster.students, found.chosen.roster.in_unit)
    here = {student.id for student in found.chosen.roster.active}
    yield from _fewest_partners(found, names, here)
    yield from _most_turns(found.actual.trio, names, here, "in the group of three")
    yield from _most_turns(found.actual.coach, names, here, "coach")
    yield from _met_most(found, names, here)


def _fewest_partners(found: Evidence, names: dict[str, str], here: set[str]) -> Iterator[CareLine]:
    there = _there_often_enough(found, here) & found.actual.had_the_chance
    partners = {who: count for who, count in found.actual.partners.items() if who in there}
    if not partners:
        return
    middle = sorted(partners.values())[len(partners) // 2]
    fewest = min(partners.values())
    few = [who for who, count in partners.items() if count == fewest]
    if fewest < middle and len(few) <= MOST:
        why = f"worked with {counted(fewest, 'different classmate')}, in the middle of the class it is {middle}"
        yield CareLine(_listed(few, names), why)


def _there_often_enough(found: Evidence, here: set[str]) -> set[str]:
    """Who took part in half as many rounds as the middle of the class: who is new had fewer to meet others in."""
    rounds = Counter(who for round_ in found.chosen.plan.rounds for who in round_.students if who in here)
    middle = sorted(rounds.values())[len(rounds) // 2] if rounds else 0
    return {who for who, count in rounds.items() if 2 * count >= middle}


def _most_turns(turns: Turns | None, names: dict[str, str], here: set[str], what: str) -> Iterator[CareLine]:
    counts = {who: count for who, count in turns.by_student.items() if who in here} if turns else {}
    most, fewest = max(counts.values(), default=0), min(counts.values(), default=0)
    often = [who for who, count in counts.items() if count == most]
    if most > fewest and len(often) <= MOST:
        rest = max(count for count in counts.values() if count < most)
        were = "was" if len(often) == 1 else "were each"
        others = f"at most {times_in_words(rest)}" if rest else "never"
        yield CareLine(_listed(often, names), f"{were} {what} {times_in_words(most)}; others {others}")


def _met_most(found: Evidence, names: dict[str, str], here: set[str]) -> Iterator[CareLine]:
    meetings = ledger_of(found.chosen.plan.rounds).meetings
    among = {pair: times for pair, times in meetings.items() if here.issuperset(pair)}
    most = max(among.values(), default=0)
    pairs = sorted(_listed(list(pair), names) for pair, times in among.items() if times == most)
    if most > 1 and len(pairs) <= MOST:
        for pair in pairs:
            yield CareLine(pair, f"were in one group {times_in_words(most)}, and no two met more often")


def _listed(who: list[str], names: dict[str, str]) -> str:
    return listed(sorted((names[student] for student in who), key=name_order))
