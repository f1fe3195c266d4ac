"""How large the letters of a slot-by-slot sheet can be, and in how many columns its games stand.

As for groups (``fitting.py``): every letter height and number of columns is laid out by arithmetic and the best taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from grouper.faces.sheets import geometry as g
from grouper.faces.sheets.geometry import NOWHERE, Layout, lay_out, text_width

CAPTION = 0.46
"""Size of what stands beside a game (court, duty) and of who waits, in em of the teams."""

CELL = 1.16
"""Height of a game, in em: one line of teams, two lines beside it."""

WAITING = 0.62
"""Height of the line on who waits, in em."""

BETWEEN = 0.45
"""Gap between two games, in em."""

MOST_COLUMNS = 8
SLOTS_A_PAGE, GAMES_A_PAGE, FEW_PAGES = 6, 10, 6
"""For the sake of large letters a page is allowed for so many slots or games, up to so many pages in all."""

MANY_SLOTS = 5
"""A long day is allowed a page for so many slots."""


@dataclass(frozen=True)
class Line:
    """A slot to be set: its number, texts beside and of its games, and the line below them."""

    slot: str
    begins: str
    captions: tuple[str, ...]
    games: tuple[str, ...]
    below: str = ""


@dataclass(frozen=True)
class SlotsFit:
    """Letter height in mm, columns of games, and where pages end."""

    letter: int
    columns: int
    pages_allowed: int
    layout: Layout = NOWHERE

    def ends_page(self, row: int) -> bool:
        """Whether a new page begins after this row, counted from 1."""
        return row in self.layout.breaks

    @property
    def worth(self) -> tuple[int, bool, int, int, int]:
        """A sort key, the best fit first."""
        small = self.letter < g.FLOOR
        over = max(0, self.layout.pages - self.pages_allowed)
        return over, small, 0 if small else self.layout.pages, -self.letter, self.columns


def fit_slots(lines: Sequence[Line], taken: float = 0.0) -> SlotsFit:
    """The best way to set slots on landscape pages, of each of which so many mm are ``taken`` by what is above them.

    The smallest letters where nothing fits.
    """
    most = min(MOST_COLUMNS, max((len(line.games) for line in lines), default=1))
    room = g.PAGE_HEIGHT - g.HEAD_HEIGHT - taken
    fits = [_fit(lines, letter, columns, room) for letter in g.LETTERS for columns in range(1, most + 1)]
    return min(fits, key=lambda fit: fit.worth)


def _fit(lines: Sequence[Line], letter: int, columns: int, room: float) -> SlotsFit:
    empty = SlotsFit(letter, columns, _pages_allowed(lines))
    size = g.type_size(letter)
    width = g.PAGE_WIDTH / size - slot_width(lines)
    needed = columns * _cell_width(lines) + (columns - 1) * BETWEEN
    if needed > width and (columns > 1 or letter > g.LETTERS[-1]):
        return empty
    heights = [_height(line, columns, width) for line in lines]
    return SlotsFit(letter, columns, empty.pages_allowed, lay_out(heights, 0.0, room / size))


def _pages_allowed(lines: Sequence[Line]) -> int:
    slots, games = len(lines), sum(len(line.games) for line in lines)
    for_large_letters = max(ceil(slots / SLOTS_A_PAGE), ceil(games / GAMES_A_PAGE))
    return max(2, min(FEW_PAGES, for_large_letters), ceil(slots / MANY_SLOTS))


def slot_width(lines: Sequence[Line]) -> float:
    """The width of the number of a slot with its rule, in em; when it begins stands below it."""
    number = max((text_width(line.slot) for line in lines), default=0.0)
    below = max((CAPTION * text_width(line.begins) for line in lines), default=0.0)
    return max(number, below) + 2 * g.BESIDE_LABEL


def caption_width(lines: Sequence[Line]) -> float:
    """The width of the widest text beside a game, in em."""
    return CAPTION * max((text_width(text) for line in lines for text in line.captions), default=0.0)


def _cell_width(lines: Sequence[Line]) -> float:
    teams = max((text_width(text) for line in lines for text in line.games), default=0.0)
    return caption_width(lines) + 0.3 + teams


def _height(line: Line, columns: int, width: float) -> float:
    rows = max(1, ceil(len(line.games) / columns))
    games = rows * CELL + WAITING * ceil(1.1 * CAPTION * text_width(line.below) / width)
    return 2 * g.PAD + max(games, 1.0 + (1.1 * CAPTION if line.begins else 0.0))


def slots_css() -> str:
    """The measures of this sheet as custom properties and classes."""
    columns = "\n".join(f".cells-{count} {{ --cells: {count}; }}" for count in range(1, MOST_COLUMNS + 1))
    return (
        ":root {\n"
        f"  --caption: {CAPTION:g}em;\n  --cell: {CELL:g}em;\n  --below: {WAITING:g}em;\n"
        f"  --between-cells: {BETWEEN:g}em;\n}}\n{columns}\n"
    )
