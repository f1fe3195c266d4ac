"""What was not held, in words: which rounds, what was left, and where it goes."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.model.record import ClassRecord
from grouper.model.unheld import Unheld
from grouper.words import Remedy, Said, counted, listed


def unheld_of(record: ClassRecord, lesson: int) -> Unheld | None:
    """What lies aside of a lesson that ended early; None where it did not."""
    return next((one for one in record.unheld if one.lesson == lesson), None)


def rounds_not_held(unheld: Unheld) -> str:
    """Such as 'Rounds 4 to 6 were not held'."""
    first, last = unheld.after + 1, unheld.last
    return f"Round {first} was not held" if first == last else f"Rounds {first} to {last} were not held"


def rest_in_words(unheld: Unheld) -> str:
    """The activities that were left, such as 'Passing (2 rounds) and Game (1 round)'."""
    return listed([f"{activity.name} ({counted(activity.rounds, 'round')})" for activity in unheld.rest])


def rest_twice_lines(before: ClassRecord, after: ClassRecord, lesson: int) -> Iterator[str]:
    """A word where more was held than was said when the rest was put into another lesson."""
    was, now = unheld_of(before, lesson), unheld_of(after, lesson)
    if was is not None and was.rest_in is not None and (now is None or now.after > was.after):
        yield f"What was left had been put into lesson {was.rest_in}; take out there what was held after all."


def held_lines(record: ClassRecord, lesson: int) -> Iterator[str | Said]:
    """What was not held of a lesson, and what can be done with it; nothing where it was held to its end."""
    unheld = unheld_of(record, lesson)
    if unheld is None:
        return
    yield f"{rounds_not_held(unheld)} and count{'s' * (unheld.after + 1 == unheld.last)} nowhere."
    if unheld.rest_in is None:
        yield Said("Left are {rest}", Remedy.PUT_REST, {"rest": rest_in_words(unheld), "lesson": lesson})
    else:
        facts = {"rest": rest_in_words(unheld), "into": unheld.rest_in}
        yield Said("What was left, {rest}, is in lesson {into} now", Remedy.PLAN_LESSONS, facts)
    for note in unheld.notes:
        yield f"  note on round {note.place}: {note.text}"
