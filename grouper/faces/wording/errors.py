"""Errors in words for a teacher."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from grouper.errors import GrouperError, ImpossibleError, InputError, OurBugError, Trouble
from grouper.files.notes import rows_in_words
from grouper.model.texts import in_one_line, shown

MOST_LETTERS = 300
"""Letters of a line: what an error quotes may be of any length."""

MOST_LISTED = 20


def error_lines(error: GrouperError) -> Iterator[str]:
    """The lines to show, clean and, of bad input, short: the message, then its facts; one trouble alone is the line."""
    if isinstance(error, InputError) and error.troubles:
        lines = _troubles(error)
    else:
        lines = [f"grouper: {error}"]
        if isinstance(error, ImpossibleError):
            lines.extend(_clash(error))
        if isinstance(error, OurBugError):
            lines.extend(f"  - {fault}" for fault in error.faults)
    for line in lines:
        margin = len(line) - len(line.lstrip())
        # What is bad input may be of any length; who is to be apart from whom is told in full.
        yield margin * " " + in_one_line(line, MOST_LETTERS - margin) if isinstance(error, InputError) else shown(line)


def _troubles(error: InputError) -> list[str]:
    """One line where there is one trouble or too many to list, else a line each; those that are alike are one."""
    alike: dict[Trouble, list[int]] = {}
    for trouble in error.troubles:
        short = replace(trouble, file=in_one_line(trouble.file, 80))
        alike.setdefault(replace(short, row=0), []).append(trouble.row)
    lines = [_with_rows(trouble, tuple(filter(None, rows))) for trouble, rows in alike.items()]
    if len(lines) == 1:
        return [f"grouper: {lines[0]}"]
    if len(lines) > MOST_LISTED:
        return [f"grouper: {in_one_line(str(error), 100)}; the first: {lines[0]}"]
    return [f"grouper: {error}", *(f"  - {line}" for line in lines)]


def _with_rows(trouble: Trouble, rows: tuple[int, ...]) -> str:
    if len(rows) < 2:
        return str(replace(trouble, row=rows[0] if rows else 0))
    where = f"{rows_in_words(rows)[:60]} of {trouble.file}" if trouble.file else rows_in_words(rows)[:60]
    return str(replace(trouble, file=where))


def _clash(error: ImpossibleError) -> Iterator[str]:
    yield from (f"  - {sentence}" for sentence in error.clash)
    if not error.smallest:
        yield "A part of these may clash already; the time did not suffice to tell. Nothing was changed."
    elif len(error.clash) > 1:
        yield "Without any one of these the others on this list can be met. Nothing was changed."
    else:
        yield "Nothing was changed."
