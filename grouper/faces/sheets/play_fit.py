"""How large the letters of sheets on games and stations can be, and in how many columns games fit.

As for groups (``fitting.py``): every letter height and number of columns is laid out by arithmetic and the best taken.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

from grouper.faces.sheets import geometry as g
from grouper.faces.sheets.fitting import head_task_height
from grouper.faces.sheets.geometry import NOWHERE, Layout, lay_out, text_width
from grouper.faces.views.play_view import PlayView

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
    # The smallest letters in one column are taken however wide the teams are: there has to be a sheet.
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


def _room(view: PlayView) -> float:
    """What is left of a page below its head, in mm."""
    return g.PAGE_HEIGHT - g.HEAD_HEIGHT - head_task_height(view.heading.rule)


LEAST_ROW, MOST_ROW = 1.15, 2.0
"""Height of a row, in em, where room is scarce and where there is plenty."""

CAREFUL = 0.97
"""The share of a page that rows are stretched over: fonts differ, and an overfull page costs a page."""

HEADING = 0.36
"""Size of the line above the columns, in em; never below 4.5 mm."""

SLOT = 0.42
"""Size of the number of a slot on a card, in em of the groups."""


@dataclass(frozen=True)
class StationsFit:
    """Letter height, height of a row and width of the first column in mm; columns of slots; rows in all; pages."""

    letter: int
    row: float
    first: float
    columns: int
    rows: int
    pages: int

    def ends_page(self, row: int) -> bool:
        """Whether a new page begins after this row, counted from 1."""
        on_page = ceil(self.rows / self.pages)
        return row % on_page == 0 and row < self.rows

    @property
    def css(self) -> str:
        """The measures as custom properties."""
        return (
            f":root {{ --type: {g.type_size(self.letter):.3f}mm; --way: {self.row:.2f}mm; --who: {self.first:.2f}mm; "
            f"--turns: {self.columns}; --turn-rows: {self.rows}; --turn-slot: {self.first:.2f}mm; }}\n"
        )

    @property
    def worth(self) -> tuple[bool, bool, int, int, int]:
        """A sort key, the best fit first."""
        small = self.letter < g.FLOOR
        return self.pages > 2, small, 0 if small else self.pages, -self.letter, self.columns


def fit_ways(view: PlayView) -> StationsFit:
    """The best way to set the table of groups and slots for the wall; the smallest letters where nothing fits."""
    fits = [fit for letter in g.LETTERS for fit in _ways(view, letter)]
    return min(fits, key=lambda fit: fit.worth) if fits else _crammed(g.LETTERS[-1], len(view.teams))


def _ways(view: PlayView, letter: int) -> Iterable[StationsFit]:
    size = g.type_size(letter)
    widest = max(text_width(team) for team in view.teams)
    first = max(size * widest, _heading(size) * text_width("Group")) + 0.8 * size
    # All slots stand beside one another, as a group looks along its row: there is no second row of columns.
    column = (g.PAGE_WIDTH - first) / max(1, len(view.slots))
    number = max(text_width(str(station)) for station in range(1, len(view.places) + 1))
    slots = _slot_width(view)
    if column >= max(size * (number + 0.3), _heading(size) * (slots + 0.3)):
        room = _room(view) - 2.5 * _heading(size) - _legend(view)
        yield _stretched(letter, len(view.teams), room, first, 1)


def _slot_width(view: PlayView) -> float:
    """The width of the widest number of a slot, or of when one begins, in em."""
    return max(text_width(text) for text in (f"Slot {len(view.slots)}", *(slot.begins for slot in view.slots)))


def _heading(size: float) -> float:
    return max(4.5, HEADING * size)


def _legend(view: PlayView) -> float:
    """The height of the list of stations that have names, in mm."""
    width = sum(6.5 * text_width(f"{number} {name}") + 8 for number, name in enumerate(view.places, start=1) if name)
    return 8.5 * ceil(1.15 * width / g.PAGE_WIDTH) + 4 if width else 0.0


def _stretched(letter: int, rows: int, room: float, first: float, columns: int) -> StationsFit:
    """Rows over as few pages as can be, evenly, and as high as there is room."""
    size = g.type_size(letter)
    on_page = max(1, int(room / (LEAST_ROW * size)))
    pages = max(1, ceil(rows / on_page))
    # Rows that are further apart than that are no table any more.
    row = min(MOST_ROW * size, CAREFUL * room / max(1, ceil(rows / pages)))
    return StationsFit(letter, row, first, columns, rows, pages)


def fit_turns(view: PlayView) -> StationsFit:
    """The best way to set the slots of a card, the same for all cards."""
    fits = [fit for letter in g.LETTERS for columns in (1, 2, 3) for fit in _turns(view, letter, columns)]
    return min(fits, key=lambda fit: fit.worth) if fits else _crammed(g.LETTERS[-1], len(view.slots))


def _turns(view: PlayView, letter: int, columns: int) -> Iterable[StationsFit]:
    size = g.type_size(letter)
    first = SLOT * size * _slot_width(view)
    chips = max(sum(_chip(label) for label in spot.teams) for slot in view.slots for spot in slot.spots)
    width = (g.PAGE_WIDTH - 8 * (columns - 1)) / columns
    if first + size * (0.5 + max(chips, 2.0)) <= width:
        yield _stretched(letter, ceil(len(view.slots) / columns), _room(view), first, columns)


def _chip(label: str) -> float:
    """The width of a framed label with the gap after it, in em."""
    return max(1.5, text_width(label) + 0.55) + 0.3


def _crammed(letter: int, rows: int) -> StationsFit:
    size = g.type_size(letter)
    return StationsFit(letter, LEAST_ROW * size, 3 * size, 1, rows, 99)
