"""The measures of a wall sheet: one set of figures for the arithmetic of fitting and for the style sheet.

Letter height is the height of a capital. A letter of 0.004 of the reading distance can be read, one of 0.006 well
(NUREG-0700 rev. 2): 12 mm is for 3 m at least. How wide a text is likely to be is a careful guess, since the font of
the reader's machine is not known. Rows go over as few pages as can be; what is left over is air between them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from unicodedata import category, combining, east_asian_width

NARROW = frozenset("iIjl.,:;'|!’-()[]")
SLIM = frozenset("frtszcJ ")
BROAD = frozenset("mwMWÆŒœæ@%")


@lru_cache(maxsize=4096)
def text_width(text: str) -> float:
    """The width of a text in bold sans-serif type, in em.

    The widths are those of wide common fonts, rounded up, so that what is planned to fit does fit.
    """
    return sum(_char_width(char) for char in text)


def _char_width(char: str) -> float:
    # Marks stand on the letter before them and take no room of their own.
    if combining(char) or category(char) in ("Mn", "Me", "Cf"):
        return 0.0
    if east_asian_width(char) in ("W", "F"):
        return 1.0
    if char in NARROW:
        return 0.34
    if char in SLIM:
        return 0.48
    if char in BROAD:
        return 0.98
    return 0.7 if char.isupper() else 0.63


PAGE_WIDTH, PAGE_HEIGHT = 265.0, 194.5
"""What A4 and Letter, both lying on their side, have in common inside the margins, in mm, with a little to spare."""

PAGE_MARGIN = 7.0
"""In mm; common printers reach to within 4 or 5 mm of the edge (common practice, no source)."""

CAPITAL = 0.71
"""Height of a capital in em, in common sans-serif fonts (from memory: Arial 0.716, Noto Sans 0.714, Segoe UI 0.70)."""

READABLE = 0.004
"""Least letter height as a share of the reading distance."""

FLOOR = 12
"""Letter height in mm below which no round goes unless it would take more pages than allowed."""

PAGES_A_ROUND, PEOPLE_A_PAGE, FEW_TEAMS = 2, 20, 4
"""Pages that a round may take: more where that is over so many people a page, one for each of up to so many teams."""

FLOOR_WITH_TASK, PAGES_FOR_TASK = 11, 1
"""The same where a task stands above the groups, and further pages that such a round may take for it: a millimetre less
is better than one page more, which would be half empty."""

LETTERS = (26, 24, 22, 20, 18, 17, 16, 15, 14, 13, 12, 11, 10, 9, 8, 7, 6, 5)
"""Letter heights in mm that a round can be set in."""

HEAD_LETTER = 10.0
"""Letter height of the line above each page of a round, in mm."""

HEAD_HEIGHT = 23.0
"""Height of that line with the space below it, in mm."""

HEAD_TEXT_WIDTH = 165.0
"""Width left in that line for the name of the activity, in mm."""

HEAD_LONG = 0.62
"""Size of the name of an activity that is too long for one line, as a share; two such lines fit."""

HEAD_TASK_LETTER, HEAD_LONG_TASK_LETTER, BELOW_HEAD_TASK = 7.0, 5.0, 2.0
"""Letter height of a task that all groups have, above the first page of a round, of one that is longer than a line, and
the space below it, in mm. The task is told aloud as well; the names are what is looked for from afar."""

GOES_ON_HEIGHT = 15.0
"""Height of the line that says in which later round the same groups go on, in mm."""

LINE = 1.1
"""A line of names, in em."""

ROLE, BEFORE_ROLE = 0.52, 0.25
"""Size of a role after a name, and of the gap before it, in em of the name."""

PAD = 0.08
"""Space above and below the names of a group, each, in em."""

AIR_STEP, AIR_STEPS = 0.05, 6
"""Further space above and below the names where a page has room left: up to so many steps of so many em."""

BETWEEN_GROUPS, BETWEEN_NAMES, BESIDE_LABEL = 0.7, 0.4, 0.35
"""Gaps between columns and beside the rule that follows the label, in em."""

LEAST_NAME_WIDTH = 2.0
"""Narrower columns for names than so many em are not tried."""

LABEL_STEP, LABEL_STEPS = 0.25, 12
"""Labels beside the names get one common width in a round: so many steps of so many em."""

TOP_LABEL = 0.62
"""Size of a label that stands above the names because it is a word, in em of the names."""

ASIDE = 0.7
"""Size of the line about those aside, in em of the names."""

SQUEEZES = (("snug", 0.84), ("tight", 0.7))
"""Sizes for one name that is too wide for its place, in em, the larger first."""

ENDLESS = 11.0
"""A word of so many em, some 18 letters, may be broken; a whole class is not set smaller for it."""

HANGING = 0.3
"""Further lines of a name are set in by so much, in em, so that they do not look like another name."""


def type_size(letter: float) -> float:
    """The type size in mm that gives a letter height in mm."""
    return letter / CAPITAL


def reading_distance(letter: float) -> float:
    """From how far a letter height in mm can be read, in metres, rounded down to half a metre."""
    return int(letter / READABLE / 500) / 2


def geometry_css() -> str:
    """The measures as custom properties and classes for the style sheet of the wall."""
    letters = "\n".join(f".letter-{letter} {{ --type: {type_size(letter):.3f}mm; }}" for letter in LETTERS)
    squeezes = "\n".join(f".{name} {{ font-size: {size}em; }}" for name, size in SQUEEZES)
    counts = "\n".join(
        f".{what}s-{count} {{ --{what}-columns: {count}; }}" for what in ("group", "name") for count in range(1, 5)
    )
    labels = "\n".join(
        f".label-{step} {{ --label-width: {step * LABEL_STEP:g}em; }}" for step in range(LABEL_STEPS + 1)
    )
    airs = "\n".join(f".air-{step} {{ --air: {step * AIR_STEP:g}em; }}" for step in range(AIR_STEPS + 1))
    page = f"@page {{ size: landscape; margin: {PAGE_MARGIN:g}mm; }}"
    return "\n".join((_properties(), page, letters, counts, labels, airs, squeezes, ""))


def tasks_css() -> str:
    """The measures of tasks, for rounds that have any."""
    short, long = type_size(HEAD_TASK_LETTER), type_size(HEAD_LONG_TASK_LETTER)
    return (
        f":root {{ --head-task: {short:.3f}mm; --below-head-task: {BELOW_HEAD_TASK:g}mm; }}\n"
        f".long-task {{ --head-task: {long:.3f}mm; }}\n"
    )


def _properties() -> str:
    measures = {
        "page-width": f"{PAGE_WIDTH:g}mm",
        "head-type": f"{type_size(HEAD_LETTER):.3f}mm",
        "head-long": f"{HEAD_LONG:g}",
        "goes-on-height": f"{GOES_ON_HEIGHT:g}mm",
        "head-height": f"{HEAD_HEIGHT:g}mm",
        "leading-names": f"{LINE:g}",
        "role": f"{ROLE:g}em",
        "before-role": f"{BEFORE_ROLE / ROLE:g}em",
        "pad": f"{PAD:g}em",
        "between-groups": f"{BETWEEN_GROUPS:g}em",
        "between-names": f"{BETWEEN_NAMES:g}em",
        "beside-label": f"{BESIDE_LABEL:g}em",
        "hanging": f"{HANGING:g}em",
        "top-label": f"{TOP_LABEL:g}em",
        "aside": f"{ASIDE:g}em",
    }
    return ":root {\n" + "".join(f"  --{name}: {value};\n" for name, value in measures.items()) + "}"


CAREFUL = 0.85
"""The share of the room left over that is given away as air: fonts differ, and an overfull page costs a page."""


@dataclass(frozen=True)
class Layout:
    """How many pages, after which rows (counted from 1) a page ends, and steps of air above and below each row."""

    pages: int
    breaks: tuple[int, ...] = ()
    air: int = 0


NOWHERE = Layout(999)
"""The layout of rows of which one is higher than a page."""


def lay_out(rows: Sequence[float], last: float, room: float) -> Layout:
    """Lay out rows of these heights on pages of this room, and something of height ``last`` below the last of them.

    A break after all rows means that what comes below them has a page of its own.

    Examples
    --------
    >>> lay_out([2.0, 2.0, 2.0, 2.0], 0.0, 6.0)
    Layout(pages=2, breaks=(2,), air=6)
    """
    things = [*rows, last] if last else list(rows)
    if any(thing > room for thing in things):
        return NOWHERE
    pages = len(_filled(things, room))
    # As few pages as can be, and then these equally full: nobody likes a last page of one group.
    ends = _filled(things, _least_room(things, room, pages))
    spaces = [_space(rows, last, start, end, room) for start, end in pairwise((0, *ends))]
    air = int(min(AIR_STEPS, CAREFUL * max(0.0, min(spaces, default=0.0)) / AIR_STEP))
    return Layout(pages, tuple(ends[:-1]), air)


def in_columns(heights: Sequence[float], columns: int) -> float:
    """About the height of the highest column, where things of these heights run down columns of even height.

    Examples
    --------
    >>> round(in_columns([1.0, 1.0, 1.0], 2), 2)
    2.0
    """
    return _least_room(heights, sum(heights), columns)


def _space(rows: Sequence[float], last: float, start: int, end: int, room: float) -> float:
    """How much room a page leaves above and below each of its rows; no limit on a page without rows."""
    on_page = rows[start:end]
    below = last if end > len(rows) else 0.0
    return (room - sum(on_page) - below) / (2 * len(on_page)) if on_page else float("inf")


def _filled(things: Sequence[float], room: float) -> list[int]:
    """After how many things each page ends, the last page too, when each is filled before the next is begun."""
    ends, left = [], room
    for place, thing in enumerate(things):
        if thing > left:
            ends.append(place)
            left = room
        left -= thing
    return [*ends, len(things)]


def _least_room(things: Sequence[float], room: float, pages: int) -> float:
    """About the least height of a page that makes do with so many pages: it spreads things evenly."""
    low, high = max(things, default=0.0), room
    if len(_filled(things, low)) <= pages:
        return low
    # Halved so often, what is left open is a ten-thousandth of a page.
    for _ in range(14):
        middle = (low + high) / 2
        low, high = (low, middle) if len(_filled(things, middle)) <= pages else (middle, high)
    return high
