"""What compiled steps of exchange search would bring: ``python tests/bench/compiled_kernel.py SERIES CLASS...``.

Needs numba, which grouper does not. The same steps as ``engines/exchange.py``, with the same draws, written out as
loops for classes of one balanced activity: the seats must be the same, or it stops. Classes are those of
``beside_annealer.py``. Prints how many times as fast they are, the CPU time of the search with numpy, and the cost in
repeats, as it is and after as many compiled steps as take that time.
"""

from __future__ import annotations

import argparse
import time

import numpy as np
from beside_annealer import drawn
from numba import njit

from grouper.engines.annealing import POOL, STAGES, Cooling, always, anneal
from grouper.engines.board import Board
from grouper.engines.exchange import AT_ONCE, HURRY, TOO_HOT, _Search
from grouper.engines.seating import group_totals
from grouper.engines.start import start_seats
from grouper.engines.state import State
from grouper.model.problem import problem_of
from grouper.planning.plan import board_for, scorings_for

FAR = 1e15


@njit(cache=True)
def _uneven(now, scale, high, low, one, other, gained):
    """The spread of a round after ``one`` gains and ``other`` loses; ``high`` and ``low`` hold its three outermost."""
    first = now[one] + gained * scale[one]
    second = now[other] - gained * scale[other]
    top, bottom = max(first, second), min(first, second)
    for place in range(len(high)):
        if high[place] != one and high[place] != other:
            top = max(top, now[high[place]])
            break
    for place in range(len(low)):
        if low[place] != one and low[place] != other:
            bottom = min(bottom, now[low[place]])
            break
    return top - bottom


@njit(cache=True)
def _price(spread, free, step, unit, least, weight):
    beyond = spread - free
    if beyond <= 0:
        return 0.0
    return weight * max(np.ceil(beyond * step / unit), least)


@njit(cache=True)
def _look_again(seats, values, totals, scale, wish, rest):
    free, step, unit, least, weight = wish
    people = len(seats)
    now = totals * scale
    order = np.argsort(now)
    low, high = order[:3], order[::-1][:3]
    cost = _price(now.max() - now.min(), free, step, unit, least, weight)
    for one in range(people):
        for other in range(one + 1, people):
            here, there = seats[one], seats[other]
            change = np.inf
            if here != there:
                spread = _uneven(now, scale, high, low, here, there, values[other] - values[one])
                change = _price(spread, free, step, unit, least, weight) - cost
            rest[one, other] = rest[other, one] = change
        rest[one, one] = np.inf


@njit(cache=True)
def _stage(prices, crossed, seats, totals, values, scale, wish, rest, stale, moving, width, noise, starts, rests,
           places, temperature, cost, best, best_seats):
    people, groups = seats.shape[1], totals.shape[1]
    made = 0
    joining = np.zeros((people, groups))
    for number in range(len(starts)):
        low, high = max(0, places[number]), min(moving, places[number] + width)
        least, winner, change = np.inf, -1, 0.0
        at = starts[number]
        for place in range(low, high):
            row, mine, other_rest = seats[place], prices[place], rest[place]
            if stale[place]:
                _look_again(row, values, totals[place], scale, wish, other_rest)
                stale[place] = False
            joining[:] = 0.0
            for one in range(people):
                for other in range(people):
                    joining[one, row[other]] += mine[one, other]
            for one in range(people):
                own = joining[one, row[one]]
                for other in range(people):
                    score = (joining[one, row[other]] - own + joining[other, row[one]] - joining[other, row[other]]
                             - 2 * mine[one, other] + other_rest[one, other])
                    draw = score - temperature * noise[at]
                    if draw < least:
                        least, change = draw, score
                        winner = (place * people + one) * people + other
                    at += 1
        if winner < 0 or least >= rests[number]:
            continue
        made += 1
        place, pair = divmod(winner, people * people)
        one, other = divmod(pair, people)
        row = seats[place]
        here, there = row[one], row[other]
        for third in range(people):
            if third != one and third != other:
                gained = 1.0 * (row[third] == there) - 1.0 * (row[third] == here)
                if gained:
                    for block in range(len(prices)):
                        step = crossed[block, place] * gained
                        prices[block, one, third] += step
                        prices[block, third, one] += step
                        prices[block, other, third] -= step
                        prices[block, third, other] -= step
        row[one], row[other] = there, here
        totals[place, here] += values[other] - values[one]
        totals[place, there] -= values[other] - values[one]
        stale[place] = True
        cost += change
        if cost < best - 0.5:
            best = cost
            best_seats[:] = seats
    return made, cost, best


def compiled(board: Board, state: State, steps: int, rng: np.random.Generator) -> tuple[float, np.ndarray]:
    """Anneal as ``anneal`` with ``_Search`` does: the best cost and seats."""
    item, cooling = board.blocks[0].averages[0], Cooling()
    width = max(1, min(state.moving, AT_ONCE))
    noise = rng.gumbel(size=POOL + width * board.size**2)
    seats = np.ascontiguousarray(state.seats[state.order])
    totals = np.array([group_totals(row, item.values, len(item.scale)) for row in seats])
    wish = (item.free, item.step, item.unit, item.least, item.weight)
    rest, stale = np.zeros_like(state.prices), np.ones(len(seats), dtype=np.bool_)
    cost = best = state.cost
    best_seats, hot = seats.copy(), False
    for stage in range(STAGES):
        planned = steps * (stage + 1) // STAGES - steps * stage // STAGES
        wanted = -(-planned // HURRY) if hot else planned
        temperature = board.repeat * cooling.at(stage / STAGES)
        starts = rng.integers(POOL, size=wanted)
        rests = -temperature * rng.gumbel(size=wanted)
        places = rng.integers(1 - width, state.moving, size=wanted)
        made, cost, best = _stage(
            state.prices, state.crossed, seats, totals, item.values, item.scale, wish, rest, stale, state.moving, width,
            noise, starts, rests, places, temperature, cost, best, best_seats,
        )
        hot = made > TOO_HOT * wanted
        if best <= 0.5:
            break
    return best, best_seats


def main() -> None:
    """A line a class."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("series")
    parser.add_argument("classes", type=int, nargs="+")
    asked = parser.parse_args()
    for number in asked.classes:
        case = drawn(asked.series, number)
        board = board_for(problem_of(case.record))

        def begun(board: Board = board) -> tuple[State, np.random.Generator]:
            rng = np.random.default_rng(1)
            return State(board, start_seats(board, rng)), rng

        state, rng = begun()
        search = _Search(state, rng, Cooling())
        steps = search.steps(scorings_for("usual", board))
        began = time.process_time()
        ours = anneal(search, steps, 0.0, always)
        usual = time.process_time() - began
        compiled(board, begun()[0], 200, np.random.default_rng(1))
        state, rng = begun()
        began = time.process_time()
        cost, seats = compiled(board, state, steps, rng)
        fast = time.process_time() - began
        if cost != ours.cost or not np.array_equal(seats, ours.seats[state.order]):
            raise AssertionError(f"{case.name}: other seats, {cost} and {ours.cost}")
        state, rng = begun()
        longer, _ = compiled(board, state, int(steps * usual / fast), rng)
        print(f"{case.name}: {usual / fast:.1f} times, {usual:.2f} s; {ours.cost / board.repeat:.2f}, "
              f"{longer / board.repeat:.2f} in the same CPU time", flush=True)


if __name__ == "__main__":
    main()
