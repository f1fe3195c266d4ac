"""What was understood of a file, in words: a summary, and below it whatever a teacher may want to look at."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from grouper.files.notes import Note, rows_in_words


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
