"""Plan a unit, or some of its rounds alone: the record with a plan in it, how it is judged, and what none can beat."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from grouper.engines.annealing import Watch
from grouper.engines.board import Board, Seats
from grouper.engines.bounds import Bounds, bounds_of, cost_floor
from grouper.engines.exact import Answer
from grouper.engines.portfolio import Solved, solve
from grouper.engines.seating import Seating, cost_of, hard_cost
from grouper.engines.start import start_seats
from grouper.engines.wide import is_wide
from grouper.errors import ImpossibleError, InputError
from grouper.model.ledger import Ledger, ledger_of
from grouper.model.plan import Group, Plan, Round
from grouper.model.problem import Problem, RoundSpec, problem_of
from grouper.model.record import ClassRecord
from grouper.model.request import Request, Settings
from grouper.model.unit import RoundKey
from grouper.planning.adjust import swapped
from grouper.planning.explain import refuse, verdict
from grouper.planning.mending import board_for, plan_from, settled
from grouper.planning.noting import without_stale
from grouper.planning.repair import Repair, alone_where_needed, everybody_has_partners, repair
from grouper.planning.reshape import changes_between
from grouper.rules.referee import Judgement, insist
from grouper.words import Remedy

STEPS = {"quick": 40_000, "usual": 375_000, "thorough": 1_650_000}
"""Scorings of a round for a class of USUAL_CLASS: about half a second, three seconds, fifteen on a school laptop."""

SHORT_UNIT = {"quick": 20, "usual": 13, "thorough": 13}
"""So many rounds have all of them; a longer unit gets fewer, so that it takes no longer."""

WIDE_STEPS = {"quick": 80, "usual": 300, "thorough": 1_500}
"""Scorings for each round of a wide board; each looks at some fifty people, so that the work grows with people."""

USUAL_CLASS = 30
SMALL_CLASS = 24
FEWEST_SCORINGS = 8_000


def scorings_for(effort: str, board: Board) -> int:
    """The budget for a board: the more people and rounds, the longer a scoring takes, and the fewer of them there are.

    A swap is written into the prices of every round. A wide board gets so many scorings for each round that is free.

    Raises
    ------
    InputError
        The effort is none of quick, usual, thorough.
    """
    if effort not in STEPS:
        known = tuple(STEPS)
        raise InputError("'{effort}' does not say how long to search", "use {known:or}", effort=effort, known=known)
    if is_wide(board):
        return WIDE_STEPS[effort] * len(board.free)
    rounds = SHORT_UNIT[effort]
    share = (USUAL_CLASS / max(board.size, SMALL_CLASS)) ** 1.5 * (rounds / max(len(board.blocks), rounds))
    return max(FEWEST_SCORINGS, int(STEPS[effort] * share))


@dataclass(frozen=True)
class Outcome:
    """A plan with its proof.

    Parameters
    ----------
    record
        The class with the plan in it.
    problem
        What was asked.
    judgement
        The referee's.
    bounds
        For the same rounds.
    engine
        Which engine made it.
    stopped
        Whether the search was stopped before its budget was used up.
    """

    record: ClassRecord
    problem: Problem
    judgement: Judgement
    bounds: Bounds
    engine: str
    stopped: bool = False

    @property
    def plan(self) -> Plan:
        """The plan of the whole unit."""
        return self.record.plan


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
    # Pinned rounds stand in the new plan as they are, so what is wrong with one is mended before all others go by it.
    record = repair(replace(record, settings=settings or record.settings, seed=chosen), pinned_only=True).record
    problem, board, start = _posed(record, free)
    bounds = bounds_of(board)
    board = with_repeats_put_off(board) if put_off else board
    enough = cost_floor(board, bounds)
    stopped = _Stopped(watch)
    # The first groups are there: somebody who watches may see it, and may be content with them.
    go_on = stopped(0.0, cost_of(board, start))
    scorings = scorings_for(effort, board)
    solved = (
        solve(board, scorings, enough, problem.draw, stopped, start)
        if go_on
        else Solved(Seating(start, cost_of(board, start)), "start")
    )
    # For the search a gap outside of the window is a mere cost beside a trio, and groups that stay follow only now.
    plan = settled(problem, board, plan_from(problem, board, solved.seating.seats))
    # Scored anew from the rules, without a board: a fault of an engine, or of the board, is never saved.
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
        # Asked only after a refusal: it puts the exact question for each round, which the usual plan need not wait for.
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
    # A start that keeps all hard wishes also proves that there is one, before a second of search is spent on it.
    for number, block in enumerate(board.blocks):
        specs = tuple(problem.by_key[key] for key in block.keys)
        if block.free and hard_cost(board, block, seats[number]) > 0:
            seats[number] = _exact_seats(problem, board, specs)
        elif block.free:
            _refuse_if_windows_cannot_hold(problem, specs)
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


def _exact_seats(problem: Problem, board: Board, specs: tuple[RoundSpec, ...]) -> Seats:
    found = verdict(problem, *specs)
    if found.answer is not Answer.YES:
        raise refuse(problem, found.answer, *specs)
    spec = specs[0]
    seats = np.full(board.size, -1, dtype=np.int64)
    place = {student: person for person, student in enumerate(board.students)}
    for group, people in enumerate(sorted(found.groups, key=len, reverse=True)):
        seats[[place[spec.students[person]] for person in people]] = group
    return seats


def improve_rest(record: ClassRecord, after: int, effort: str = "quick") -> Repair:
    """The lessons after lesson ``after`` that are neither taught nor pinned, planned again from how they stand.

    Repeats are put off to later lessons, as these will be planned again themselves.
    """
    return _improved(record, lambda key: key.lesson > after, effort, put_off=True)


def improve_lesson(
    record: ClassRecord, lesson: int, since: int = 1, effort: str = "quick", then_the_rest: bool = False
) -> Repair:
    """The rounds of a lesson from its round ``since`` on, made as good as can be, whoever has to move.

    Where the lessons after it are planned again next, ``then_the_rest``, how they stand now counts little.
    """

    def meant(key: RoundKey) -> bool:
        return key.lesson == lesson and record.place_in_lesson(key) >= since

    return _improved(record, meant, effort, put_off=then_the_rest)


def _improved(record: ClassRecord, meant: Callable[[RoundKey], bool], effort: str, put_off: bool) -> Repair:
    stands = record.plan.by_key
    # What was put into a lesson after its groups were made has none yet, and gets them now.
    free = frozenset(
        key
        for key in record.unit.keys
        if key.lesson not in record.taught
        and not (key in stands and stands[key].pinned)
        and not record.has_begun(key)
        and meant(key)
    )
    if not free:
        return Repair(record)
    improved = plan_unit(record, effort=effort, free=free, put_off=put_off).record
    return Repair(improved, changes_between(record.plan, improved.plan))


TRIED = 12
"""How many exchanges of a round are put before the referee, the most promising first."""


def parted(record: ClassRecord, lesson: int, one: str, other: str, since: int = 1) -> ClassRecord:
    """The record with a request to keep two apart, and with the rounds in which they would meet mended by a swap each.

    Rounds of the lesson before ``since`` stay as they are; those that are mended by a swap are pinned.

    Raises
    ------
    InputError
        The two are one, or the lesson has been taught.
    ImpossibleError
        In some round the two cannot be parted, for reasons that the error gives.
    """
    if one == other:
        raise InputError("two different students are needed; tap another name")
    record.check_open(lesson)
    asked = Request("apart", one, other, first_lesson=lesson)
    result = replace(record, requests=(*record.requests, asked))
    for key in _together(result, lesson, one, other, since):
        result = _with_swap(result, key, one, other)
    return result


def _together(record: ClassRecord, lesson: int, one: str, other: str, since: int) -> list[RoundKey]:
    meant = []
    for round_ in record.plan.rounds:
        key, group = round_.key, round_.group_of(one)
        to_come = key.lesson > lesson or (key.lesson == lesson and record.place_in_lesson(key) >= since)
        if to_come and key.lesson not in record.taught and not record.has_begun(key) and group:
            meant += [key] if other in group.members else []
    return meant


def _with_swap(record: ClassRecord, key: RoundKey, one: str, other: str) -> ClassRecord:
    place = record.place_in_lesson(key)
    ledger = ledger_of(round_ for round_ in record.plan.rounds if round_.key != key)
    offers = sorted(_offers(record.plan.by_key[key], ledger, one, other))[:TRIED]
    for _cost, mover, partner in offers:
        swap = swapped(record, key.lesson, mover, partner, place)
        # The cheapest swap by meetings alone may break a request of somebody else; the referee says so.
        if not swap.breaches:
            return swap.record
    return plan_unit(record, effort="quick", free=frozenset({key})).record


def _offers(round_: Round, ledger: Ledger, one: str, other: str) -> Iterator[tuple[int, str, str]]:
    """Every exchange of one of the two with somebody of another group, by how often the new partners have met."""
    home = round_.group_of(one)
    for mover in (one, other):
        for group in round_.groups:
            if home is None or group == home:
                continue
            for partner in group.members:
                yield _met(ledger, home, mover, partner) + _met(ledger, group, partner, mover), mover, partner


def _met(ledger: Ledger, group: Group, goes: str, comes: str) -> int:
    return sum(ledger.met(comes, student) for student in group.members if student != goes)
