"""Plan a unit: from a class record to the same record with a plan in it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from grouper.engines.annealing import Watch
from grouper.engines.board import Board, Seats
from grouper.engines.bounds import bounds_of, cost_floor
from grouper.engines.exact import Answer
from grouper.engines.portfolio import Solved, solve
from grouper.engines.seating import Seating, cost_of, hard_cost
from grouper.engines.start import start_seats
from grouper.errors import ImpossibleError, InputError
from grouper.model.problem import Problem, RoundSpec, problem_of
from grouper.model.record import ClassRecord
from grouper.model.request import Settings
from grouper.model.unit import RoundKey
from grouper.planning.assemble import board_for, plan_from
from grouper.planning.explain import refuse, verdict
from grouper.planning.noting import without_stale
from grouper.planning.outcome import Outcome, scorings_for
from grouper.planning.repair import alone_where_needed, everybody_has_partners, repair
from grouper.planning.settle import settled
from grouper.rules.referee import insist
from grouper.words import Remedy


def plan_unit(
    record: ClassRecord,
    seed: int | None = None,
    effort: str = "usual",
    settings: Settings | None = None,
    watch: Watch | None = None,
    free: frozenset[RoundKey] | None = None,
    put_off: bool = False,
) -> Outcome:
    """Plan every round that is neither taught nor pinned; or improve just the ``free`` rounds from how they stand.

    Parameters
    ----------
    record
        The class, its unit, requests and what stands already: taught lessons and pinned rounds stay as they are.
    seed
        The same seed gives the same plan; the record's own where it is None.
    effort
        ``quick``, ``usual`` or ``thorough``.
    settings
        What goes first where aims pull apart; the record's own where it is None.
    watch
        Told the share of the work done and the cost so far, first once there are groups that keep all hard wishes;
        may stop the search.
    put_off
        Where repeats cannot be avoided they are put off to later lessons, see ``with_repeats_put_off``.

    Raises
    ------
    ImpossibleError
        The requests cannot all be met.
    OutOfTimeError
        Whether they can was not found out in time.
    InputError
        The unit cannot be planned as it is described.
    """
    if not record.unit.lessons:
        raise InputError("there are no lessons to plan", Remedy.NAME_LESSONS)
    chosen = record.seed if seed is None else seed
    record = repair(replace(record, settings=settings or record.settings, seed=chosen), pinned_only=True).record
    problem, board, start = _posed(record, free)
    bounds = bounds_of(board)
    board = with_repeats_put_off(board) if put_off else board
    enough = cost_floor(board, bounds)
    stopped = _Stopped(watch)
    # The first groups are there: somebody who watches may see it, and may be content with them.
    go_on = stopped(0.0, cost_of(board, start))
    scorings = scorings_for(effort, board)
    solved = solve(board, scorings, enough, problem.draw, stopped, start) if go_on else _as_it_starts(board, start)
    plan = settled(problem, board, plan_from(problem, board, solved.seating.seats))
    judgement = insist(problem, plan)
    planned = without_stale(replace(record, plan=plan), record.plan)
    return Outcome(planned, problem, judgement, bounds, solved.engine, stopped.so)


def _posed(record: ClassRecord, free: frozenset[RoundKey] | None) -> tuple[Problem, Board, Seats]:
    """The problem with its board and first seats; where absences leave no other way somebody works alone."""
    problem, stands = problem_of(record, free), {} if free is None else record.plan.by_key
    board = board_for(problem, stands)
    try:
        return problem, board, feasible_start(problem, board)
    except ImpossibleError:
        problem, remarks = alone_where_needed(record, problem)
        if not remarks:
            raise
        board = board_for(problem, stands)
        return problem, board, feasible_start(problem, board)


NOT_YET = 0.3
"""What a repeat counts in a lesson after all that are planned now; it will be planned again before it is held."""


def with_repeats_put_off(board: Board) -> Board:
    """The board on which a repeat costs the less the later it lies, on average of the lessons planned as much as usual.

    Hardly a lesson comes about as it was planned: somebody is away, joins or leaves. The rest is then planned again,
    and a repeat that was to come may not be needed any more; one that was held stays.
    """
    lessons = np.array([block.keys[0].lesson for block in board.blocks])
    when, now = np.maximum.outer(lessons, lessons), lessons[list(board.free)]
    if not len(now):
        return board
    to_go = np.clip((lessons.max() - when) / (lessons.max() - now.min() + 1), 0.0, 1.0)
    price = np.where(when > now.max(), NOT_YET, (1 + to_go) / 1.5)
    # The floor of the cost is counted in repeats, the cheapest of which must not be taken for more than it is.
    return replace(board, affinity=np.round(price * board.affinity), repeat=board.repeat * min(1.0, price.min()))


def _as_it_starts(board: Board, start: Seats) -> Solved:
    return Solved(Seating(start, cost_of(board, start)), "start")


class _Stopped:
    """Remembers whether the one who watches said stop."""

    def __init__(self, watch: Watch | None) -> None:
        self.watch = watch
        self.so = False

    def __call__(self, share: float, cost: float) -> bool:
        self.so = self.so or not (self.watch is None or self.watch(share, cost))
        return not self.so


def refuse_impossible(record: ClassRecord) -> None:
    """Stop where the rounds to be planned have no groups that keep every hard wish; no plan is made.

    Raises
    ------
    ImpossibleError, OutOfTimeError
        There are none, or none were found in time.
    """
    if record.unit.lessons and record.roster.active:
        _posed(record, None)


def feasible_start(problem: Problem, board: Board) -> Seats:
    """Seats that keep all hard wishes, to start from.

    Raises
    ------
    ImpossibleError, OutOfTimeError
        There are none, or none were found in time.
    """
    seats = start_seats(board, np.random.default_rng([problem.draw, 1]))
    for number, block in enumerate(board.blocks):
        if block.free and hard_cost(board, block, seats[number]) > 0:
            seats[number] = _exact_seats(problem, board, number)
        elif block.free:
            _refuse_if_windows_cannot_hold(problem, tuple(problem.by_key[key] for key in block.keys))
    return seats


def _refuse_if_windows_cannot_hold(problem: Problem, specs: tuple[RoundSpec, ...]) -> None:
    """At once, for rounds with a trio: there the search takes a gap outside of the window for a mere cost.

    All rounds with the same groups are asked for at once, as requests may hold in some of them only.
    """
    spec = specs[0]
    if spec.activity.aim == "coaching" and set(spec.sizes) != {2} and not everybody_has_partners(problem, spec):
        answer = verdict(problem, *specs).answer
        if answer is Answer.NO:
            raise refuse(problem, answer, *specs)


def _exact_seats(problem: Problem, board: Board, number: int) -> Seats:
    block = board.blocks[number]
    specs = tuple(problem.by_key[key] for key in block.keys)
    found = verdict(problem, *specs)
    if found.answer is not Answer.YES:
        raise refuse(problem, found.answer, *specs)
    spec = specs[0]
    seats = np.full(board.size, -1, dtype=np.int64)
    place = {student: person for person, student in enumerate(board.students)}
    for group, people in enumerate(sorted(found.groups, key=len, reverse=True)):
        seats[[place[spec.students[person]] for person in people]] = group
    return seats
