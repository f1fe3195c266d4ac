"""Whether there is any schedule of so many rounds: all are looked through, up to the names of people and groups.

``PYTHONPATH=tests python -m design_search.exhaust 4x4+1x3 6`` says how many there were to look at, and whether one
holds. Two rounds make a board: a row for each group of the first, a column for each of the second, and a person in a
cell, or none, as two meet once at most. All boards are listed, but of those that differ by the order of rows, of
columns, or by which of the two comes first only one is kept. Then all third rounds on a board, of which again one is
kept where the board's own symmetries take one to the other. For each, all rounds that repeat nobody; and among these
as many as are wanted that do not clash with one another.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations, permutations, product

from design_search.symmetry import Permutation
from grouper.engines.designs.catalogue import sizes_from
from grouper.engines.designs.design import Group, Round, Sizes, largest_first

Cell = tuple[int, int]
Board = tuple[Cell, ...]
"""The cells that hold a person, in order; the person's number is the cell's place."""


@dataclass
class Exhaust:
    """A search for ``rounds`` rounds, at least three; the counts are of what it has looked at."""

    sizes: Sizes
    rounds: int
    thirds: int = 0
    kept: int = 0
    fourths: int = 0

    def schedule(self) -> tuple[Round, ...] | None:
        """The first schedule, or None: there is none."""
        for board in boards(self.sizes):
            for third in self._thirds(board):
                rest = self._rest(board, third)
                if rest is not None:
                    return tuple(map(largest_first, [_lines(board, 0), _lines(board, 1), third, *rest]))
        return None

    def _thirds(self, board: Board) -> Iterator[Round]:
        symmetries = own_symmetries(board, self.sizes)
        for third in every_round(self.sizes, strangers(len(board), [_lines(board, 0), _lines(board, 1)])):
            self.thirds += 1
            if _is_first(third, symmetries):
                self.kept += 1
                yield third

    def _rest(self, board: Board, third: Round) -> list[Round] | None:
        if self.rounds == 3:
            return []
        met = [_lines(board, 0), _lines(board, 1), third]
        further = list(every_round(self.sizes, strangers(len(board), met)))
        self.fourths += len(further)
        return _compatible(further, [_pairs(groups) for groups in further], self.rounds - 3)


def boards(sizes: Sizes) -> Iterator[Board]:
    """The ways in which two rounds can cross, one of each kind."""
    seen: set[Board] = set()
    orders = _orders(sizes)
    for board in _every_board(sizes):
        if board not in seen:
            yield board
            seen |= {_moved(board, *way) for way in product(orders, orders, (False, True))}


def own_symmetries(board: Board, sizes: Sizes) -> list[Permutation]:
    """Where each person goes when rows, columns and the two rounds change places and the board stays the same."""
    orders = _orders(sizes)
    number = {cell: person for person, cell in enumerate(board)}
    ways = product(orders, orders, (False, True))
    return [tuple(number[_cell(cell, *way)] for cell in board) for way in ways if _moved(board, *way) == board]


def _orders(sizes: Sizes) -> list[Permutation]:
    """Orders of the groups in which each has the size of the one whose place it takes."""
    return [order for order in permutations(range(len(sizes))) if tuple(sizes[at] for at in order) == sizes]


def _cell(cell: Cell, rows: Permutation, columns: Permutation, over: bool) -> Cell:
    row, column = rows[cell[0]], columns[cell[1]]
    return (column, row) if over else (row, column)


def _moved(board: Board, rows: Permutation, columns: Permutation, over: bool) -> Board:
    return tuple(sorted(_cell(cell, rows, columns, over) for cell in board))


def _every_board(sizes: Sizes, row: int = 0, used: Board = ()) -> Iterator[Board]:
    if row == len(sizes):
        yield used
        return
    filled = Counter(column for _, column in used)
    open_columns = [column for column, size in enumerate(sizes) if filled[column] < size]
    for columns in combinations(open_columns, sizes[row]):
        yield from _every_board(sizes, row + 1, (*used, *((row, column) for column in columns)))


def _lines(board: Board, axis: int) -> Round:
    numbers = dict.fromkeys(sorted(cell[axis] for cell in board))
    return tuple(tuple(p for p, cell in enumerate(board) if cell[axis] == number) for number in numbers)


def strangers(people: int, rounds: Sequence[Round]) -> list[int]:
    """For each person the others that they have not met, as bits."""
    unmet = [(1 << people) - 1 & ~(1 << person) for person in range(people)]
    for groups in rounds:
        for group in groups:
            for person in group:
                unmet[person] &= ~sum(1 << other for other in group)
    return unmet


def every_round(sizes: Sizes, unmet: list[int]) -> Iterator[Round]:
    """All rounds in which only those who have not met are together; groups by their lowest person."""
    left = Counter(sizes)

    def filled(waiting: int) -> Iterator[Round]:
        if not waiting:
            yield ()
            return
        first = (waiting & -waiting).bit_length() - 1
        rest = waiting & (waiting - 1)
        for size in sorted(left):
            if left[size]:
                left[size] -= 1
                for group, others in grown((first,), rest & unmet[first], rest, size - 1):
                    for groups in filled(others):
                        yield (group, *groups)
                left[size] += 1

    def grown(group: Group, may: int, others: int, missing: int) -> Iterator[tuple[Group, int]]:
        if not missing:
            yield group, others
            return
        while may.bit_count() >= missing:
            person = (may & -may).bit_length() - 1
            may &= may - 1
            yield from grown((*group, person), may & unmet[person], others & ~(1 << person), missing - 1)

    return filled((1 << len(unmet)) - 1)


def _is_first(groups: Round, symmetries: list[Permutation]) -> bool:
    """Whether no symmetry takes a round to one that comes before it, as a row of each person's group."""
    group_of = {person: number for number, group in enumerate(groups) for person in group}
    row = [group_of[person] for person in range(len(group_of))]
    return not any(_comes_before(row, symmetry) for symmetry in symmetries)


def _comes_before(row: list[int], symmetry: Permutation) -> bool:
    names: dict[int, int] = {}
    for here, person in zip(row, symmetry, strict=True):
        there = names.setdefault(row[person], len(names))
        if there != here:
            return there < here
    return False


def _compatible(rounds: list[Round], pairs: list[int], wanted: int) -> list[Round] | None:
    """So many of the rounds, of which no two share a pair, or None."""
    if not wanted:
        return []
    for i in range(len(rounds) - wanted + 1):
        apart = [j for j in range(i + 1, len(rounds)) if not pairs[i] & pairs[j]]
        rest = _compatible([rounds[j] for j in apart], [pairs[j] for j in apart], wanted - 1)
        if rest is not None:
            return [rounds[i], *rest]
    return None


def _pairs(groups: Round) -> int:
    return sum(map(_pairs_of_group, groups))


@cache
def _pairs_of_group(group: Group) -> int:
    return sum(1 << (b * (b - 1) // 2 + a) for a, b in combinations(group, 2))


if __name__ == "__main__":
    search = Exhaust(sizes_from(sys.argv[1]), int(sys.argv[2]))
    print(search.schedule() or f"there is none; {search}")  # noqa: T201
