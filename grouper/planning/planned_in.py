"""Whoever joins or leaves for the rest of the unit: today is mended, and the lessons after it are planned again.

With few changes: the search begins from the mended groups, hardly warm, and parting two who stood together has a price.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from grouper.engines.annealing import Cooling
from grouper.engines.board import Board, Floats, Seats
from grouper.engines.exchange import improve
from grouper.engines.seating import together
from grouper.engines.start import start_seats
from grouper.engines.wide import improve_wide, is_wide
from grouper.model.plan import Group, Plan, Round
from grouper.model.problem import Problem, RoundSpec, problem_of
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.mending import as_planned, board_for, settled, staying_groups
from grouper.planning.noting import dropped, without_stale
from grouper.planning.repair import Repair
from grouper.planning.turns import with_roles
from grouper.rules.referee import insist
from grouper.words import Remedy, Said, listed

STAYING = 0.25
"""In repeats: what a student costs who leaves those that they were planned with."""

COOL = Cooling(warm=0.06, cool=0.02)
SCORINGS = 150
"""For each round that is planned again."""


def planned_in(before: ClassRecord, mended: Repair, today: int) -> Repair:
    """A mended class with the lessons after ``today`` planned again where other people take part in them than before.

    Rounds that are taught, pinned or stand as they ran are left alone. Of what changed only the groups up to today are
    listed; a sentence says which lessons were planned again.

    Parameters
    ----------
    before
        The class before anybody joined or left.
    mended
        The class with its new people, mended with fewest moves.
    today
        The lesson that nobody wants to see changed more than it must.
    """
    record = mended.record
    again = frozenset(round_.key for round_ in record.plan.rounds if _is_open(before, record, round_, today))
    if not again:
        return mended
    problem = problem_of(record, again)
    plan = _with_few_changes(problem, before.plan, record.plan)
    insist(problem, plan)
    planned = without_stale(replace(record, plan=plan), record.plan)
    changes = tuple(change for change in mended.changes if change.key not in again)
    remarks = (*mended.remarks, *dropped(record, planned), _in_words(before, planned, again))
    return Repair(planned, changes, remarks)


def _is_open(before: ClassRecord, record: ClassRecord, round_: Round, today: int) -> bool:
    stood = before.plan.by_key.get(round_.key)
    if round_.key.lesson <= today or round_.key.lesson in record.taught or stood is None:
        return False
    # The teacher has decided on these, or they have been played: newcomers were mended into them already.
    if round_.pinned or round_.ran or record.has_begun(round_.key):
        return False
    return set(stood.students) != set(round_.students)


def _with_few_changes(problem: Problem, stood: Plan, mended: Plan) -> Plan:
    board = board_for(problem, mended.by_key)
    rng = np.random.default_rng([problem.draw, 2])
    search = improve_wide if is_wide(board) else improve
    # Blocks have the mended groups as their seats, so that the search begins at what the class knows.
    start = start_seats(board, rng)
    scorings = SCORINGS * len(board.free)
    seats = search(_with_ties(board, stood), start, scorings, rng, enough=-np.inf, cooling=COOL).seats
    leaders = {block.keys[0]: row for block, row in zip(board.blocks, seats, strict=True) if block.free}
    rounds: dict[RoundKey, Round] = {}
    for spec in problem.rounds:
        rounds[spec.key] = _round(problem, spec, board, leaders, rounds, mended.by_key[spec.key])
    plan = settled(problem, board, Plan(tuple(rounds.values())))
    same = {(r.key, g.label) for r in plan.rounds for g in r.groups if g in mended.by_key[r.key].groups}
    return as_planned(problem, with_roles(problem, plan, frozenset(same)))


def _with_ties(board: Board, stood: Plan) -> Board:
    """The board with a gain for each two who stood together in a round before."""
    number = {student: place for place, student in enumerate(board.students)}
    blocks = list(board.blocks)
    for place in board.free:
        block = blocks[place]
        if block.keys[0] in stood.by_key:
            seats: Seats = np.full(board.size, -1, dtype=np.int64)
            mates = np.ones(board.size)
            for at, group in enumerate(stood.by_key[block.keys[0]].groups):
                here = [number[student] for student in group.members if student in number]
                seats[here] = at
                mates[here] = max(1, len(here) - 1)
            # The price of a student who leaves is shared out over those who were with them.
            ties: Floats = np.round(STAYING * board.repeat * together(seats) / mates[:, None])
            blocks[place] = replace(block, pair_cost=block.pair_cost - ties)
    return replace(board, blocks=tuple(blocks))


def _round(
    problem: Problem,
    spec: RoundSpec,
    board: Board,
    leaders: dict[RoundKey, Seats],
    before: dict[RoundKey, Round],
    now: Round,
) -> Round:
    """The round as it was found, each group under the label that it had."""
    if spec.fixed is not None:
        return spec.fixed
    if spec.leader is not None:
        return replace(now, groups=staying_groups(problem, spec, before[spec.leader]))
    seats = leaders[spec.key]
    teams = [frozenset(board.students[person] for person in np.flatnonzero(seats == place)) for place in set(seats)]
    return replace(now, groups=_under_old_labels(problem, now, [team for team in teams if team]))


def _under_old_labels(problem: Problem, now: Round, teams: list[frozenset[str]]) -> tuple[Group, ...]:
    """The teams, each under the label that most of it had; one that stays as it is keeps its roles."""
    members = {group.label: set(group.members) for group in now.groups}
    fits = ((-len(team & members[label]), place, label) for place, team in enumerate(teams) for label in members)
    label_of: dict[int, str] = {}
    for _, place, label in sorted(fits):
        if place not in label_of and label not in label_of.values():
            label_of[place] = label
    in_order = sorted(label_of.items(), key=lambda item: list(members).index(item[1]))
    return now.as_known(Group(label, problem.drawn(now.key, teams[place])) for place, label in in_order)


def _in_words(before: ClassRecord, planned: ClassRecord, again: frozenset[RoundKey]) -> Said:
    """Which lessons were planned again, for whom, and how much of them is as it was."""
    was = {student for key in again for student in before.plan.by_key[key].students}
    now = {student for key in again for student in planned.plan.by_key[key].students}
    told = (("with", planned, now - was), ("without", before, was - now))
    who = tuple(
        f"{word} {listed(sorted(record.roster.name(student) for student in students))}"
        for word, record, students in told
        if students
    )
    stood = sum(len(before.plan.by_key[key].groups) for key in again)
    same = sum(len(before.plan.by_key[key].as_sets & planned.plan.by_key[key].as_sets) for key in again)
    lessons = sorted({key.lesson for key in again})
    which = f"Lesson {lessons[0]} is" if len(lessons) == 1 else f"Lessons {lessons[0]} to {lessons[-1]} are"
    return Said(
        "{which} planned again {who}; {same} of {stood} groups stay as they were.",
        Remedy.SEE_GROUPS,
        {"which": which, "who": who, "same": same, "stood": stood, "lessons": tuple(lessons)},
    )
