"""Before a lesson: who would move where if somebody were away, and a rule for two or three, so that paper mends itself.

One away is noted on a copy of the class, so that paper and tool say the same. The rule for two and three is looked for
among a few that a person can follow without a device, and is tried on all twos and threes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import chain, combinations, islice
from math import comb
from random import Random

from grouper.errors import ImpossibleError, OutOfTimeError
from grouper.model.plan import Round
from grouper.model.problem import Problem, problem_of
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.rules.coaching import gap_fits
from grouper.rules.pairs import pairs_of
from grouper.rules.together import pairs_apart, together_in

MOST_TRIED = 6000
"""How many twos, and how many threes, a rule is tried on; of more a sample is drawn (all threes of 33 students)."""

MOST_EXCEPTIONS = 6
"""A rule with more exceptions is none that anybody follows in a hurry."""

HELPERS = 4
"""How many groups or students a rule names who help out, the first that can goes first."""

PAIR_UP, JOIN, FILL_UP, NOTHING, ASK = "pair up", "join", "fill up", "nothing", "ask"

Moves = tuple[tuple[str, str], ...]
"""Who goes to the group with which label."""

Groups = dict[str, frozenset[str]]
"""Who is in the group with which label."""


@dataclass(frozen=True)
class IfAway:
    """What happens where one student is away from the whole lesson: the moves by round, None where the tool must be
    asked because no groups keep every request."""

    student: str
    moves: Mapping[RoundKey, Moves] | None


@dataclass(frozen=True)
class Rule:
    """What to do in a round where several are away; ``kind`` is one of

    - ``pair up``: those left alone work together, or else as ``join``
    - ``join``: each left alone goes to the pair that was three, by the row, or to the first group of ``helpers``
    - ``fill up``: the first student of ``helpers`` joins a group that has lost two
    - ``nothing``: everybody works alone anyway
    - ``ask``: no rule was found

    It keeps every request but with those of ``exceptions`` away, by themselves or among others.
    """

    kind: str
    helpers: tuple[str, ...] = ()
    exceptions: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True)
class Foreseen:
    """A lesson's rounds to come with what to do where one, two or three are away; ``rules`` by round, for two and for
    three."""

    rounds: tuple[RoundKey, ...]
    rows: tuple[IfAway, ...]
    rules: Mapping[RoundKey, tuple[Rule, Rule]]


def foreseen(record: ClassRecord, lesson: int) -> Foreseen:
    """What to do where somebody is away from a lesson: one repair a student, then the rules for two and three.

    Costs a repair a student and some five thousand trials a round, half a second for 30 students and 5 rounds.
    """
    keys = tuple(
        key
        for key in (() if lesson in record.taught else record.lesson(lesson).keys)
        if key in record.plan.by_key and not record.has_begun(key)
    )
    here = {student for key in keys for student in record.plan.by_key[key].students}
    rows = tuple(_if_away(record, lesson, s.id, keys) for s in record.roster.students if s.id in here)
    problem = problem_of(record, frozenset(keys))
    rules: dict[RoundKey, tuple[Rule, Rule]] = {}
    for key in keys:
        leader = problem.by_key[key].leader
        # Groups that stay need no rule of their own, unless a repair would now move somebody in one of the two alone.
        same = leader if leader in rules and _alike(record, rows, key, leader) else None
        rules[key] = rules[same] if same else _rules(_Round.of(problem, record.plan.by_key[key], rows), record.seed)
    return Foreseen(keys, rows, rules)


def by_rule(record: ClassRecord, ahead: Foreseen, key: RoundKey) -> Callable[[tuple[str, ...]], Groups | None]:
    """What tells the groups of a round after its rule for two or three; None where the rule says to ask the tool."""
    round_ = _Round.of(problem_of(record, frozenset({key})), record.plan.by_key[key], ahead.rows)
    exceptions = [set(known) for each in ahead.rules[key] for known in each.exceptions]

    def groups(away: tuple[str, ...]) -> Groups | None:
        rule = ahead.rules[key][len(away) - 2]
        if rule.kind == ASK or any(known <= set(away) for known in exceptions):
            return None
        if rule.kind == NOTHING:
            return round_.without(away)
        return {PAIR_UP: paired_up, JOIN: joined, FILL_UP: filled_up}[rule.kind](round_, away, rule.helpers)

    return groups



def _alike(record: ClassRecord, rows: tuple[IfAway, ...], key: RoundKey, other: RoundKey) -> bool:
    one, two = record.plan.by_key[key], record.plan.by_key[other]
    return one.groups == two.groups and all(row.moves is None or row.moves[key] == row.moves[other] for row in rows)


def _if_away(record: ClassRecord, lesson: int, student: str, keys: tuple[RoundKey, ...]) -> IfAway:
    from grouper.planning.attend import absent  # brings numpy: only where a lesson is shown

    try:
        after = absent(record, lesson, (student,)).record.plan
    # That nothing helps without this student is worth a line on the sheet, and stops no other.
    except (ImpossibleError, OutOfTimeError):
        return IfAway(student, None)
    moves = {}
    for key in keys:
        was, now = (
            {student: group.label for group in plan.by_key[key].groups for student in group.members}
            for plan in (record.plan, after)
        )
        moves[key] = tuple((student, label) for student, label in now.items() if was.get(student) != label)
    return IfAway(student, moves)


@dataclass(frozen=True)
class _Round:
    """A round in sets that are quick to try rules on; ``rows`` are the moves for one away, ``barred`` who may not share
    a group, ``not_two`` who may not be a pair by themselves, ``linked`` who must share one."""

    groups: Mapping[str, frozenset[str]]
    rows: Mapping[str, Moves]
    barred: frozenset[frozenset[str]]
    not_two: frozenset[frozenset[str]]
    linked: tuple[tuple[str, str], ...]

    @staticmethod
    def of(problem: Problem, round_: Round, rows: tuple[IfAway, ...]) -> _Round:
        """The round of a plan, under the requests and the window that hold in it."""
        spec = problem.by_key[round_.key]
        activity = problem.shaped_by(spec.key)
        pairs = combinations(round_.students, 2) if activity.aim == "coaching" else ()
        return _Round(
            {group.label: frozenset(group.members) for group in round_.groups},
            {row.student: row.moves[round_.key] for row in rows if row.moves is not None},
            frozenset(map(frozenset, pairs_apart(problem, spec))),
            frozenset(frozenset(pair) for pair in pairs if not gap_fits(problem, activity, pair)),
            pairs_of(together_in(problem, spec)),
        )

    @property
    def students(self) -> list[str]:
        """Everybody in the round, by id."""
        return sorted(student for members in self.groups.values() for student in members)

    @property
    def smallest(self) -> int:
        """How many the smallest group has."""
        return min(map(len, self.groups.values()), default=0)

    def without(self, away: Iterable[str]) -> Groups:
        """The groups with those away crossed out, groups of nobody left out."""
        gone = frozenset(away)
        return {label: left for label, members in self.groups.items() if (left := members - gone)}

    def may(self, members: frozenset[str]) -> bool:
        """Whether no two of these are to be kept apart."""
        return not any(pair <= members for pair in self.barred)

    def keeps(self, groups: Groups) -> bool:
        """Whether groups keep every request, nobody is left alone and sizes are near to one another.

        A group that nobody has joined is as good as it was planned.
        """
        sizes = [len(members) for members in groups.values()]
        if not sizes or min(sizes) < 2:
            return False
        average = sum(sizes) / len(sizes)
        if max(sizes) > max(3, average + 2) or min(sizes) < average - 2:
            return False
        if not all(members <= self.groups[label] or self.may(members) for label, members in groups.items()):
            return False
        if self.not_two and not self.not_two.isdisjoint(groups.values()):
            return False
        linked = map(set, self.linked)
        return all(sum(not pair.isdisjoint(there) for there in groups.values()) < 2 for pair in linked)


Way = Callable[[_Round, tuple[str, ...]], Groups | None]
"""What a rule makes of a round where some are away; None where it knows no way."""


def _rules(round_: _Round, seed: int) -> tuple[Rule, Rule]:
    """The rules for two and for three away; the same, if any, for both."""
    if all(len(members) == 1 for members in round_.groups.values()):
        return Rule(NOTHING), Rule(NOTHING)
    best = (Rule(ASK), Rule(ASK))
    for kind, helpers, way in _ways(round_):
        two = _wanting(round_, way, 2, seed)
        if len(two) > MOST_EXCEPTIONS:
            continue
        three = _wanting(round_, way, 3, seed, two)
        found = (Rule(kind, helpers, two), Rule(kind, helpers, three) if len(three) <= MOST_EXCEPTIONS else Rule(ASK))
        best = min(best, found, key=lambda rules: [(rule.kind == ASK, len(rule.exceptions)) for rule in rules])
        # Nothing is better than no exception, and trying a way costs far more than all else here.
        if not two and not three:
            break
    return best


def _ways(round_: _Round) -> Iterator[tuple[str, tuple[str, ...], Way]]:
    if round_.smallest >= 3:
        spares = _spares(round_)
        yield FILL_UP, spares, lambda one, away: filled_up(one, away, spares)
        return
    if round_.smallest == 2:
        homes = _homes(round_)
        if not round_.not_two:
            yield PAIR_UP, homes, lambda one, away: paired_up(one, away, homes)
        yield JOIN, homes, lambda one, away: joined(one, away, homes)


def _wanting(
    round_: _Round, way: Way, number: int, seed: int, known: tuple[tuple[str, ...], ...] = ()
) -> tuple[tuple[str, ...], ...]:
    """Those who may not be away at once, as a rule has no way then, or none that keeps every request.

    An exception of two, ``known``, is one of all three with them in it, and need not be told again. It ends where there
    are more than a rule may have.
    """

    def holds(away: tuple[str, ...]) -> bool:
        groups = way(round_, away)
        return groups is not None and round_.keeps(groups)

    drawn = _sample(round_.students, number, seed)
    trials = (away for away in drawn if not any(set(two) <= set(away) for two in known))
    return tuple(islice((away for away in trials if not holds(away)), MOST_EXCEPTIONS + 1))


def _sample(students: list[str], number: int, seed: int) -> list[tuple[str, ...]]:
    if comb(len(students), number) <= MOST_TRIED:
        return list(combinations(students, number))
    # Drawn from the seed of the class, so that the sheet says the same each time it is printed.
    draw = Random(seed)
    return sorted({tuple(sorted(draw.sample(students, number))) for _ in range(MOST_TRIED)})


def paired_up(round_: _Round, away: tuple[str, ...], homes: tuple[str, ...]) -> Groups | None:
    """Those left alone work together where they may; else, and where one is left alone, see ``joined``."""
    left = round_.without(away)
    alone = [label for label in round_.groups if len(left.get(label, ())) == 1]
    if len(alone) > 1:
        together = frozenset(student for label in alone for student in left[label])
        if round_.may(together):
            return {label: members for label, members in left.items() if label not in alone} | {alone[0]: together}
    return joined(round_, away, homes)


def joined(round_: _Round, away: tuple[str, ...], homes: tuple[str, ...]) -> Groups | None:
    """Each who is left alone makes a pair three again that has lost somebody, or else goes by the row of who is away,
    or else to the first of ``homes``: wherever the group is a pair then and all of them may be together."""
    left: Groups | None = round_.without(away)
    for label in round_.groups:
        if left is not None and len(left.get(label, ())) == 1:
            (person,) = left[label]
            short = [other for other, group in left.items() if len(group) == 2 and len(round_.groups[other]) > 2]
            gone = round_.groups[label].intersection(away)
            by_row = [round_.rows.get(student, ()) for student in gone] if len(gone) == 1 else []
            other = (((person, to),) for to in homes if to != label)
            tries = chain((((person, to),) for to in short), by_row, other)
            left = next((after for moves in tries if (after := _if_fitting(round_, left, label, moves))), None)
    return left


def _if_fitting(round_: _Round, left: Groups, label: str, moves: Moves) -> Groups | None:
    """The groups after some moves that help who is left alone, if these can be made and all may be together."""
    own = {who: next((label for label, members in left.items() if who in members), "") for who, _ in moves}
    if not moves or not all(own.values()) or any(to not in left for _, to in moves):
        return None
    after = _moved(left, moves)
    touched = [after[place] for place in {label, *(to for _, to in moves), *own.values()} if place in after]
    return after if all(len(members) in (2, 3) and round_.may(members) for members in touched) else None


def filled_up(round_: _Round, away: tuple[str, ...], spares: tuple[str, ...]) -> Groups | None:
    """A group that has lost two gets the first of ``spares`` who is there, of another group that has not lost two, and
    may be with them all; one that has lost three gets two."""
    left = round_.without(away)
    lost = {label: len(members.intersection(away)) for label, members in round_.groups.items()}
    own = {student: label for label, members in left.items() for student in members}
    used: set[str] = set()
    for label in (label for label, number in lost.items() for _ in range(number - 1)):
        there = left.get(label, frozenset())
        free = [s for s in spares if s in own and s not in used and lost[own[s]] < 2 and round_.may(there | {s})]
        if not free:
            return None
        used.add(free[0])
        left = _moved({**left, label: there}, ((free[0], label),))
    return left


def _moved(groups: Groups, moves: Moves) -> Groups:
    going = {who for who, _ in moves}
    after = {label: members - going for label, members in groups.items()}
    for who, to in moves:
        after[to] = after.get(to, frozenset()) | {who}
    return {label: members for label, members in after.items() if members}


def _homes(round_: _Round) -> tuple[str, ...]:
    """Pairs that take in as many others as can be."""

    def misfits(label: str) -> int:
        return sum(not round_.may(round_.groups[label] | {student}) for student in round_.students)

    pairs = [label for label, members in round_.groups.items() if len(members) == 2]
    return tuple(sorted(pairs, key=lambda label: (misfits(label), sorted(round_.groups[label])))[:HELPERS])


def _spares(round_: _Round) -> tuple[str, ...]:
    """Students who can join as many other groups as can be, from large groups first, each of another group."""
    # Whoever is to be with somebody cannot be the one who is lent.
    bound = {student for pair in round_.linked for student in pair}
    own = {student: label for label, members in round_.groups.items() for student in members}

    def misfits(student: str) -> tuple[int, int, str]:
        not_there = sum(not round_.may(members | {student}) for members in round_.groups.values())
        return not_there, -len(round_.groups[own[student]]), student

    chosen: dict[str, str] = {}
    for student in sorted(set(round_.students) - bound, key=misfits):
        chosen.setdefault(own[student], student)
    return tuple(chosen.values())[:HELPERS]
