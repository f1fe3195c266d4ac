"""Group averages that should lie near one another: what swaps change, and windows in their place on wide boards."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from grouper.engines.board import Averages, Block, Board, Floats, Seats, Totals

FAR = 1e15
"""Further than any average: stands for the others where there are no others."""


def swap_prices(averages: Averages, seats: Seats, totals: Floats) -> Floats:
    """What a round with these totals would cost after each swap of two people: people x people.

    Of two who share a group the entry means nothing, nor that of somebody who is NOWHERE.
    """
    now = totals * averages.scale
    groups = len(now)
    both = (seats * groups)[:, None] + seats
    after = averages.scale[seats][:, None] * averages.differences
    after += now[seats][:, None]
    high, low = np.maximum(after, after.T), np.minimum(after, after.T)
    levels = now.tolist()
    order = sorted(range(groups), key=levels.__getitem__)
    np.maximum(high, _outermost(levels, order[::-1], -FAR).take(both, mode="wrap"), out=high)
    np.minimum(low, _outermost(levels, order, FAR).take(both, mode="wrap"), out=low)
    high -= low
    return averages.price(high)


def _outermost(levels: list[float], order: list[int], none: float) -> Floats:
    """Groups x groups: for each two of them the level of the first in order that is neither; ``none`` without one."""
    ranked = [*(levels[group] for group in order[:3]), none, none]
    table = np.full((len(levels), len(levels)), ranked[0])
    first = order[0]
    table[first] = table[:, first] = ranked[1]
    if len(order) > 1:
        table[first, order[1]] = table[order[1], first] = ranked[2]
    return table


def guided(board: Board) -> Board:
    """The board with a window for each group's total in the place of averages, which no single group can tell.

    The window lies about the average of those who take part, so that totals within it are averages within the
    tolerance; hundreds of people have room enough there.
    """
    blocks = tuple(
        replace(block, totals=(*block.totals, *(_windows(block, item) for item in block.averages)), averages=())
        if block.averages
        else block
        for block in board.blocks
    )
    return replace(board, blocks=blocks)


def _windows(block: Block, averages: Averages) -> Totals:
    sizes = np.array(block.sizes, dtype=np.float64)
    mean = float(averages.values[block.people].mean())
    if len(set(block.sizes)) == 1:
        wide = np.floor(averages.free / averages.scale + 1e-9)
        low = np.round(mean * sizes - wide / 2)
        high = low + wide
    else:
        half = averages.free / averages.scale / 2
        low, high = np.ceil(mean * sizes - half - 1e-9), np.floor(mean * sizes + half + 1e-9)
        none = low > high
        low, high = np.where(none, np.floor(mean * sizes), low), np.where(none, np.ceil(mean * sizes), high)
    step = np.maximum(1.0, np.round(averages.price(averages.free + averages.scale)))
    return Totals(averages.values, low, high, step)
