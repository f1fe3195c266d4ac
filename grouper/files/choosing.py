"""Which sheet of a workbook holds the roster, the lessons or the requests."""

from __future__ import annotations

from collections.abc import Callable

from grouper.files.sheet import Sheet
from grouper.files.vocabulary import Vocabulary
from grouper.files.words.lessons import LESSON_SHEETS, LESSONS
from grouper.files.words.requests import REQUEST_SHEETS, REQUESTS, ROSTER_SHEETS
from grouper.files.words.roster import NAME_FIELDS, ROSTER

_SEARCHED_ROWS = 60


def looks_like_lessons(sheet: Sheet) -> bool:
    """Whether a row of the sheet names an activity and a lesson."""
    return _has_row(sheet, lambda cells: _means(LESSONS, cells, ("activity", "lesson")))


def looks_like_requests(sheet: Sheet) -> bool:
    """Whether a row of the sheet names two students and the kind of request."""
    return _has_row(sheet, lambda cells: _means(REQUESTS, cells, ("student", "other", "kind")))


def looks_like_roster(sheet: Sheet) -> bool:
    """Whether a row of the sheet names a column of names, and it is neither lessons nor requests."""
    named = _has_row(sheet, lambda cells: ROSTER.knows_any(cells, NAME_FIELDS))
    return named and not looks_like_lessons(sheet) and not looks_like_requests(sheet)


def _has_row(sheet: Sheet, suits: Callable[[tuple[str, ...]], bool]) -> bool:
    return any(suits(row.cells) for row in sheet.rows[:_SEARCHED_ROWS])


def _means(vocabulary: Vocabulary, cells: tuple[str, ...], all_of: tuple[str, ...]) -> bool:
    return all(vocabulary.knows_any(cells, (meaning,)) for meaning in all_of)


def roster_sheet(sheets: tuple[Sheet, ...], title: str = "") -> Sheet:
    """The sheet of the roster: the one with this title, or named so, or the first that looks like one, or the first."""
    titled = [sheet for sheet in sheets if title and sheet.title.casefold() == title.casefold()]
    return titled[0] if titled else _best(sheets, ROSTER_SHEETS, looks_like_roster) or sheets[0]


def lessons_sheet(sheets: tuple[Sheet, ...]) -> Sheet | None:
    """The sheet of the lessons, by its name or its headers; the only one of a text file; None where there is none."""
    return _only_text(sheets) or _best(sheets, LESSON_SHEETS, looks_like_lessons)


def requests_sheet(sheets: tuple[Sheet, ...]) -> Sheet | None:
    """The sheet of the requests, by its name or its headers; the only one of a text file; None where there is none."""
    return _only_text(sheets) or _best(sheets, REQUEST_SHEETS, looks_like_requests)


def _only_text(sheets: tuple[Sheet, ...]) -> Sheet | None:
    return sheets[0] if len(sheets) == 1 and not sheets[0].title else None


def _best(sheets: tuple[Sheet, ...], titles: Vocabulary, looks: Callable[[Sheet], bool]) -> Sheet | None:
    named = [sheet for sheet in sheets if titles.meaning(sheet.title)]
    looking = [sheet for sheet in sheets if looks(sheet)]
    both = [sheet for sheet in named if sheet in looking]
    return next(iter([*both, *looking, *named]), None)
