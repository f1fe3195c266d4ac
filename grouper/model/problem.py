"""What has to be grouped: the rounds, who takes part in each, the sizes, and what is fixed already."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from hashlib import sha256
from random import Random

from grouper.errors import InputError
from grouper.model.ledger import NO_EARLIER_UNITS, EarlierUnits
from grouper.model.plan import Round
from grouper.model.record import ClassRecord
from grouper.model.request import Request, Settings
from grouper.model.roster import Roster
from grouper.model.unit import Activity, RoundKey, sizes_for


@dataclass(frozen=True)
class RoundSpec:
    """One round to be grouped.

    Parameters
    ----------
    key, activity
        Which round, and the activity that it belongs to.
    students
        Ids of those who take part, in roster order.
    sizes
        Sizes of the groups, largest first; they add up to the number of students.
    leader
        For the aim ``stay``: the round whose groups stay; None for every other aim.
    fixed
        The groups, where they can't change any more (taught, begun or pinned); None where they are free.
    """

    key: RoundKey
    activity: Activity
    students: tuple[str, ...]
    sizes: tuple[int, ...]
    leader: RoundKey | None = None
    fixed: Round | None = None

    @property
    def free(self) -> bool:
        """Whether an engine may choose the groups of this round by themselves."""
        return self.fixed is None and self.leader is None


@dataclass(frozen=True)
class Problem:
    """Everything that the rules need to know, the rounds in the order of play; ``earlier`` is what past units count.

    All that could as well be otherwise is drawn, and never goes by the order of the roster, which may be by ability:
    from ``seed``, for the same plan each time, and from who is in the class, so that no place is the same in all
    classes.
    """

    roster: Roster
    rounds: tuple[RoundSpec, ...]
    requests: tuple[Request, ...] = ()
    settings: Settings = field(default_factory=Settings)
    earlier: EarlierUnits = NO_EARLIER_UNITS
    seed: int = 0

    @cached_property
    def by_key(self) -> dict[RoundKey, RoundSpec]:
        """The rounds by their key."""
        return {spec.key: spec for spec in self.rounds}

    @cached_property
    def free(self) -> tuple[RoundSpec, ...]:
        """The rounds whose groups an engine chooses."""
        return tuple(spec for spec in self.rounds if spec.free)

    def shaped_by(self, key: RoundKey) -> Activity:
        """The activity that says how the groups of a round are made: that of its leader where they stay."""
        spec = self.by_key[key]
        return spec.activity if spec.leader is None else self.by_key[spec.leader].activity

    @cached_property
    def draw(self) -> int:
        """A number that hangs on the seed and on the whole roster, from which all chance is taken."""
        people = [(s.id, s.name, sorted(s.ratings.items())) for s in self.roster.students]
        # hash() is another one in every process.
        return int.from_bytes(sha256(repr((self.seed, people)).encode()).digest()[:8])

    def drawn(self, key: RoundKey, students: Iterable[str]) -> tuple[str, ...]:
        """Students in an order that is drawn anew for each round."""
        if key not in self._drawn:
            # Sorted first, so that the order of the roster has no say in the draw.
            ids = sorted(self.roster.by_id)
            Random(f"{self.draw} {tuple(key)}").shuffle(ids)
            self._drawn[key] = {student: place for place, student in enumerate(ids)}
        return tuple(sorted(students, key=self._drawn[key].__getitem__))

    @cached_property
    def _drawn(self) -> dict[RoundKey, dict[str, int]]:
        return {}

    def requests_in(self, spec: RoundSpec, kind: str) -> tuple[Request, ...]:
        """The requests of one kind that concern two students who both take part in this round."""
        present = set(spec.students)
        return tuple(
            request
            for request in self.requests
            if request.kind == kind
            and request.holds_in(spec.key.lesson)
            and request.student in present
            and request.other in present
        )


def problem_of(record: ClassRecord, free: frozenset[RoundKey] | None = None) -> Problem:
    """The problem that a class record poses.

    Rounds of taught lessons, pinned rounds and those that have begun are fixed as they stand. With ``free`` just these
    rounds are free, all others that have groups are fixed, and those that have none yet are left out: they wait for
    the next plan.

    Raises
    ------
    InputError
        The unit begins with the aim ``stay``, so that there are no groups to keep.
    """
    specs: list[RoundSpec] = []
    for key in record.unit.keys:
        if free is not None and key not in free and key not in record.plan.by_key:
            continue
        activity, fixed = record.unit.activity(key), _fixed(record, key, free)
        # A round that stands may be the first though its groups are to stay: they stand already.
        leader = _leader(activity, key, specs) if specs or fixed is None else None
        students = record.taking_part(key) if fixed is None else fixed.students
        sizes = _sizes(record, activity, students, leader, specs) if fixed is None else fixed.sizes
        specs.append(RoundSpec(key, activity, students, sizes, leader, fixed))
    return Problem(record.roster, tuple(specs), record.requests, record.settings, record.earlier, record.seed)


def _sizes(
    record: ClassRecord, activity: Activity, students: tuple[str, ...], leader: RoundKey | None, before: list[RoundSpec]
) -> tuple[int, ...]:
    """The activity's sizes; where groups stay and the same people are there, the sizes of the groups that stay."""
    if leader is None:
        return sizes_for(activity, len(students))
    led_by = next(spec for spec in before if spec.key == leader)
    if set(led_by.students) == set(students):
        return led_by.sizes
    return sizes_for(record.unit.activity(leader), len(students))


def _fixed(record: ClassRecord, key: RoundKey, free: frozenset[RoundKey] | None) -> Round | None:
    stands = record.plan.by_key.get(key)
    if stands is None:
        return None
    closed = key.lesson in record.taught or stands.pinned or record.has_begun(key) if free is None else key not in free
    return stands if closed else None


def _leader(activity: Activity, key: RoundKey, before: list[RoundSpec]) -> RoundKey | None:
    if activity.aim != "stay":
        return None
    if not before:
        what = "lesson {lesson}, activity '{name}': the aim stay needs groups before it"
        remedy = "give the first activity of the unit another aim"
        raise InputError(what, remedy, lesson=key.lesson, name=activity.name)
    return before[-1].leader or before[-1].key
