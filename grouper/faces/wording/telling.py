"""What was said, told by a face: the sentence, and what can be done in the words of that face; and notes on a file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from grouper.errors import GrouperError, ImpossibleError, InputError, OurBugError, Trouble
from grouper.files.notes import Note, rows_in_words
from grouper.model.texts import in_one_line, shown
from grouper.words import Remedy, Said, filled

Remedies = Mapping[Remedy, str]
"""How a face words each remedy, with the names of facts in braces."""

MOST_LETTERS = 290
"""Letters of what is told in a line: what an error quotes may be of any length."""

MOST_LISTED = 20


@dataclass(frozen=True)
class Telling:
    """An error as a face tells it: what is wrong, what belongs to it one by one, and how things stand now."""

    first: str
    items: tuple[str, ...] = ()
    standing: tuple[str, ...] = ()


def told(said: Said, remedies: Remedies) -> str:
    """The sentence and its remedy in one line; where the sentence has its full stop, the remedy is another one."""
    sentence, remedy = said.sentence, remedy_in_words(said.remedy, said.facts, remedies)
    if not remedy:
        return sentence
    if sentence.endswith("."):
        return f"{sentence} {remedy[:1].upper()}{remedy[1:]}."
    return f"{sentence}; {remedy}"


def all_told(said: Iterable[Said], remedies: Remedies) -> Iterator[str]:
    """Each in a line."""
    return (told(one, remedies) for one in said)


def remedy_in_words(remedy: Remedy | str, facts: Mapping[str, object], remedies: Remedies) -> str:
    """What to try; empty where nothing is known."""
    return filled(remedies[remedy] if isinstance(remedy, Remedy) else remedy, facts)


def telling(error: GrouperError, remedies: Remedies) -> Telling:
    """The error in clean lines, those of bad input short; one trouble alone is all there is to tell."""
    if isinstance(error, InputError):
        # What is bad input may be of any length; who is to be apart from whom is told in full.
        found = _of_input(error, remedies)
        return Telling(
            in_one_line(found.first, MOST_LETTERS), tuple(in_one_line(item, MOST_LETTERS) for item in found.items)
        )
    first = shown(told(error.said, remedies))
    if isinstance(error, ImpossibleError):
        clash = tuple(shown(sentence) for sentence in error.clash)
        how = "Without any one of these the others on this list can be met." if len(clash) > 1 else ""
        if not error.smallest:
            how = "A part of these may clash already; the time did not suffice to tell."
        return Telling(first, clash, tuple(filter(None, (how, "Nothing was changed."))))
    return Telling(first, tuple(shown(fault) for fault in error.faults) if isinstance(error, OurBugError) else ())


def _of_input(error: InputError, remedies: Remedies) -> Telling:
    """One line where there is one trouble or too many to list, else a line each; those that are alike are one."""
    message = told(error.said, remedies)
    alike: dict[Trouble, list[int]] = {}
    for trouble in error.troubles:
        short = replace(trouble, file=in_one_line(trouble.file, 80))
        alike.setdefault(replace(short, row=0), []).append(trouble.row)
    lines = []
    for trouble, found in alike.items():
        rows = tuple(filter(None, found))
        if len(rows) > 1:
            where = rows_in_words(rows)[:60]
            trouble = replace(trouble, file=f"{where} of {trouble.file}" if trouble.file else where)
        else:
            trouble = replace(trouble, row=rows[0] if rows else 0)
        lines.append(trouble_in_words(trouble, remedies))
    if not lines:
        return Telling(message)
    if len(lines) == 1:
        return Telling(lines[0])
    if len(lines) > MOST_LISTED:
        return Telling(f"{in_one_line(message, 100)}; the first: {lines[0]}")
    return Telling(message, tuple(lines))


def trouble_in_words(trouble: Trouble, remedies: Remedies) -> str:
    """Where, what is wrong, what to try."""
    remedy = remedy_in_words(trouble.remedy, dict(trouble.facts), remedies)
    return f"{trouble.sentence}; {remedy}" if remedy else trouble.sentence


def reading_lines(table: str, summary: str, notes: Iterable[Note], details: bool = False) -> Iterator[str]:
    """The summary of a table, and a line for each note.

    What was read as it plainly says, and what the summary says already, is left for ``details``; what was left out,
    mended or taken to mean something is always there.
    """
    yield f"{table}: {summary}"
    for note in notes:
        if details or not (note.kind == "plain" or note.summed_up):
            yield f"  {note_line(note)}"


def note_line(note: Note) -> str:
    """A note with its place in the table; the file is known from what stands above it."""
    places = (rows_in_words(note.rows), f"column '{note.column}'" if note.column else "")
    place = ", ".join(part for part in places if part)
    return f"{place}: {note.text}" if place else note.text
