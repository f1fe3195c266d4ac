"""How large the letters of a round can be, and in how many columns it stands.

Every combination of letter height and columns is laid out on paper by arithmetic and the best is taken: no more pages
than allowed, then letters for reading at 3 m, then as few pages as can be, then the largest letters. A long name may be
set smaller than the others, as long as few are; a word is broken only where it is endless.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product
from math import ceil

from grouper.faces.sheets import geometry as g
from grouper.faces.sheets.geometry import NOWHERE, Layout, in_columns, lay_out, text_width
from grouper.faces.views.names import letters_of
from grouper.faces.views.students import GroupCard, Person, RoundBlock

SIDE_LABEL_LETTERS = 3
"""Labels of up to so many letters stand beside the names, longer ones above."""


@dataclass(frozen=True)
class Fit:
    """How a round is set: letter height in mm, columns of groups, columns of names in a group.

    ``name_width`` is the room for a name in em; ``label_on_top`` tells where labels stand; ``layout`` where pages end;
    ``usual_letter`` is the letter height of all names but a few, ``floor`` the least that is not too small.
    """

    letter: int
    group_columns: int
    name_columns: int
    label_on_top: bool
    name_width: float
    pages_allowed: int
    layout: Layout = NOWHERE
    squeezed: int = 0
    broken: int = 0
    usual_letter: float = 0.0
    floor: float = g.FLOOR

    def breaks(self, name: str) -> bool:
        """Whether a word of the name is too wide even at the smallest size, endless words aside."""
        return self.name_width < g.SQUEEZES[-1][1] * _widest_word(name) and _widest_word(name) < g.ENDLESS

    @property
    def pages(self) -> int:
        """How many pages the round takes."""
        return self.layout.pages

    def ends_page(self, group: int) -> bool:
        """Whether a new page begins after this group, counted from 1."""
        rows, over = divmod(group, self.group_columns)
        return over == 0 and rows in self.layout.breaks

    def squeeze(self, name: str) -> str:
        """The class that makes a name smaller if its longest word is too wide for its place; empty if it is not."""
        widest = _widest_word(name)
        if widest <= self.name_width:
            return ""
        return next((kind for kind, size in g.SQUEEZES if widest * size <= self.name_width), g.SQUEEZES[-1][0])


def fit_round(block: RoundBlock, go_on: int = 0) -> Fit:
    """The best way to set a round, with a line for each of ``go_on`` later rounds in which its groups go on."""
    on_top = any(len(letters_of(card.label)) > SIDE_LABEL_LETTERS for card in block.groups)
    largest = max((len(card.members) for card in block.groups), default=1)
    shapes = product(g.LETTERS, range(1, 5), range(1, min(4, largest) + 1))
    return min((_fit(block, letter, groups, names, on_top, go_on) for letter, groups, names in shapes), key=_worth)


def _worth(fit: Fit) -> tuple[bool, bool, int, int, float, int, int]:
    """A sort key, the best fit first."""
    # Once letters are too small for 3 m, larger ones are worth any number of pages that is allowed.
    small = fit.usual_letter < fit.floor
    columns = fit.group_columns + fit.name_columns
    pages = 0 if small else fit.pages
    return fit.pages > fit.pages_allowed, small, pages, fit.broken, -fit.usual_letter, fit.squeezed, columns


def _fit(block: RoundBlock, letter: int, group_columns: int, name_columns: int, on_top: bool, go_on: int) -> Fit:
    width = _name_width(block, letter, group_columns, name_columns, on_top)
    floor = g.FLOOR_WITH_TASK if block.what_to_do else g.FLOOR
    fit = Fit(letter, group_columns, name_columns, on_top, width, _pages_allowed(block), floor=floor)
    if width < g.LEAST_NAME_WIDTH:
        return fit
    names = [person.name for card in block.groups for person in card.members]
    squeezed = [fit.squeeze(name) for name in names if fit.squeeze(name)]
    return replace(
        fit,
        layout=_layout(block, fit, go_on),
        squeezed=len(squeezed),
        broken=sum(fit.breaks(name) for name in names),
        usual_letter=_usual_letter(letter, squeezed, len(names)),
    )


def _pages_allowed(block: RoundBlock) -> int:
    """How many pages a round may take for the sake of large letters; where teams are few, one for each."""
    groups, people = len(block.groups), sum(len(card.members) for card in block.groups)
    usual = max(g.PAGES_A_ROUND, ceil(people / g.PEOPLE_A_PAGE))
    usual += g.PAGES_FOR_TASK if block.what_to_do else 0
    return max(usual, groups) if groups <= g.FEW_TEAMS else usual


def _usual_letter(letter: int, squeezed: list[str], names: int) -> float:
    """The letter height that counts: a tenth of the names, and one at least, may be smaller."""
    # One long name is no reason to set a whole class smaller.
    few = max(1, names // 10)
    return letter if len(squeezed) <= few else letter * min(dict(g.SQUEEZES)[kind] for kind in squeezed)


def _name_width(block: RoundBlock, letter: int, group_columns: int, name_columns: int, on_top: bool) -> float:
    """The room for one name, in em."""
    page = g.PAGE_WIDTH / g.type_size(letter)
    column = (page - (group_columns - 1) * g.BETWEEN_GROUPS) / group_columns
    label = 0.0 if on_top else label_width(block)
    return (column - label - (name_columns - 1) * g.BETWEEN_NAMES) / name_columns


def label_width(block: RoundBlock) -> float:
    """The width that labels beside the names take with the rule and the gaps, in em."""
    return label_step(block) * g.LABEL_STEP + 2 * g.BESIDE_LABEL


def label_step(block: RoundBlock) -> int:
    """The width of the widest label in steps of LABEL_STEP, rounded up."""
    widest = max((text_width(card.label) for card in block.groups), default=0.0)
    return min(g.LABEL_STEPS, ceil(widest / g.LABEL_STEP))


def _layout(block: RoundBlock, fit: Fit, go_on: int) -> Layout:
    """Where the rows of a round go."""
    size = g.type_size(fit.letter)
    room = (g.PAGE_HEIGHT - head_height(block)) / size
    heights = [_group_height(card, fit) for card in block.groups]
    rows = [max(heights[start : start + fit.group_columns]) for start in range(0, len(heights), fit.group_columns)]
    if rows:
        # The task stands once, above the first row: pages of a round hang side by side.
        rows[0] += head_task_height(block.what_to_do) / size
    # Those aside stand below the last group, and never on a page before it.
    last = _aside_height(block.aside, g.PAGE_WIDTH / size) if block.aside else 0.0
    return lay_out(rows, last + go_on * g.GOES_ON_HEIGHT / size, room)


def head_height(block: RoundBlock) -> float:
    """The height of what stands above each page of a round, in mm."""
    return g.HEAD_HEIGHT + _long_head_height(block.activity)


def _long_head_height(activity: str) -> float:
    """What a name adds that needs more than two lines."""
    if not is_long(activity):
        return 0.0
    size = g.type_size(g.HEAD_LETTER) * g.HEAD_LONG
    # A tenth more, as lines end at words and not where the room does; so for all texts that are not laid out by words.
    lines = ceil(1.1 * text_width(activity) * size / g.HEAD_TEXT_WIDTH)
    return max(0, lines - 2) * g.LINE * size


def head_task_height(task: str) -> float:
    """The height of a task of all groups, or of how points count."""
    if not task:
        return 0.0
    size = g.type_size(g.HEAD_LONG_TASK_LETTER if is_long_task(task) else g.HEAD_TASK_LETTER)
    return g.BELOW_HEAD_TASK + g.LINE * size * _task_lines(task, size)


def is_long_task(task: str) -> bool:
    """Whether a task is too long for one line above the groups."""
    return _task_lines(task, g.type_size(g.HEAD_TASK_LETTER)) > 1


def _task_lines(task: str, size: float) -> int:
    # Words are counted one by one here, so that a hair for other fonts is enough.
    words = [1.03 * text_width(word) for word in _words(task)]
    return _lines(words, g.PAGE_WIDTH / size)


def is_long(activity: str) -> bool:
    """Whether the name of an activity is too long for one line above the groups."""
    return text_width(activity) * g.type_size(g.HEAD_LETTER) > g.HEAD_TEXT_WIDTH


def _group_height(card: GroupCard, fit: Fit) -> float:
    people = [_person_height(person, fit) for person in card.members]
    label = g.TOP_LABEL * g.LINE if fit.label_on_top else 0.0
    return 2 * g.PAD + label + max(in_columns(people, fit.name_columns), g.LINE)


def _person_height(person: Person, fit: Fit) -> float:
    """A smaller name still has lines of the usual height."""
    size = dict(g.SQUEEZES).get(fit.squeeze(person.name), 1.0)
    words = [size * text_width(word) for word in _words(person.name)]
    role = [g.BEFORE_ROLE + g.ROLE * text_width(person.role)] if person.role else []
    return g.LINE * _lines(words + role, fit.name_width)


def _lines(words: list[float], width: float) -> int:
    """How many lines words of these widths take; a word is broken only where it is wider than a line."""
    lines, used = 1, 0.0
    for needed in words:
        if used and used + needed > width:
            lines, used = lines + 1, 0.0
        lines += max(0, ceil(needed / width) - 1)
        used += needed
    return lines


@lru_cache(maxsize=4096)
def _widest_word(name: str) -> float:
    return max(text_width(word.rstrip()) for word in _words(name))


@lru_cache(maxsize=4096)
def _words(name: str) -> tuple[str, ...]:
    """The pieces between which a name may be broken: after blanks and hyphens."""
    return tuple(piece for piece in name.replace(" ", " \0").replace("-", "-\0").split("\0") if piece)


def _aside_height(aside: tuple[Person, ...], page_width: float) -> float:
    text = sum(text_width(f"{person.name} {person.role}") + 1.0 for person in aside) + 5.0
    return 3 * g.PAD + g.LINE * g.ASIDE * ceil(text * g.ASIDE / page_width * 1.1)
