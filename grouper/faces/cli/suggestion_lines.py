"""Suggested ratings in lines for the terminal."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.faces.views.suggestions_view import StrandSuggestions, SuggestionRow, SuggestionsView
from grouper.faces.wording.words import lessons_in_words
from grouper.words import counted, listed


def suggestion_lines(view: SuggestionsView, how_to_accept: str) -> Iterator[str]:
    """All suggestions with their reasons, and the command that accepts them."""
    if view.nothing_yet:
        yield "There are no results yet: enter games with grouper score, or how tasks went with grouper felt."
    for part in view.parts:
        yield from part_lines(part)
    if view.lessons_without_strand:
        yield from _unnamed_lines(view)
    if view.lessons_outdated:
        yield view.outdated
    if view.count:
        yield f"Nothing is changed yet. Accept with: {how_to_accept}"


def part_lines(part: StrandSuggestions) -> Iterator[str]:
    """The suggestions of a strand, a line each."""
    if not part.rows:
        yield f"{part.strand}: nothing more to suggest{_yet(part)}"
        return
    yield f"{part.strand}: {counted(len(part.rows), 'suggestion')}"
    width = max(len(row.name) for row in part.rows)
    for row in part.rows:
        yield f"  {row.name:<{width}}  {_change(row):<10}  {row.certainty:<10}  {row.reason}".rstrip()


def _yet(part: StrandSuggestions) -> str:
    """From how many results; the fewer there are, the less a single player shows in them."""
    seen = [counted(number, noun) for number, noun in ((part.games, "game"), (part.tasks, "task")) if number]
    return f" from {listed(seen)} so far; what one player can do shows over several lessons" if seen else ""


def _change(row: SuggestionRow) -> str:
    return f"{row.now} -> {row.suggested}"


def _unnamed_lines(view: SuggestionsView) -> Iterator[str]:
    where = lessons_in_words(view.lessons_without_strand)
    if view.strands:
        yield f"Results of {where} belong to no strand; have them count with --strand {' or '.join(view.strands)}"
    else:
        yield f"Results of {where} belong to no strand, and nobody is rated yet; give the roster a column of ratings"
