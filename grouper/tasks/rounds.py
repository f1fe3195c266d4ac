"""The tasks of a round: what fits each group, why, and what is to be laid out.

Groups change every round, so what is known is carried by student: what they had before, and how it went. Nothing of
this is stored but what the teacher chose and saw; the tasks are worked out anew from the first round on.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from threading import Lock

from grouper.learning.about import strand_of
from grouper.model.ledger import LEARNER
from grouper.model.levers import At, Challenge, Lever
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.tasks.adapt import allowed_for, also_for
from grouper.tasks.fitting import AtWork, Short, fitted, lay_out, second_ways
from grouper.tasks.success import Seen, Success
from grouper.words import folded


@dataclass(frozen=True)
class Swapped:
    """Who learns after a swap of roles (id), the task that they have then, and what stands on the card."""

    student: str
    at: At
    task: str
    card: str


@dataclass(frozen=True)
class GroupTask:
    """A task for a group.

    Parameters
    ----------
    label
        The group's.
    challenge, at
        The levers, and the setting of each; for the teacher alone.
    task
        In words, as those of the group read it.
    expected
        The share of attempts that should succeed, as far as is known.
    strand, rating
        What the members started from: their average rating; None where nobody of the class is rated in it.
    had
        What those at work had last in this activity, each task once; empty at first.
    seen
        The last results of members, the latest first; empty where there are none.
    unseen
        Members (ids) without a result.
    suggested
        The task that was suggested, where the teacher chose this one; None where this is the suggested one.
    learners, swapped
        In a coaching pair: whose task this is (ids) as the roles stand, and who else learns after a swap, with a task
        of their own. Empty elsewhere.
    adapted
        Those of the group (ids) for whom something is always kept.
    other
        Another way that the card offers, to choose instead; empty where it offers none.
    card
        What stands on the card: the task, or what the two ways share and the two to choose from.
    """

    label: str
    challenge: Challenge
    at: At
    task: str
    expected: float
    strand: str
    rating: float | None
    had: tuple[At, ...] = ()
    seen: tuple[Seen, ...] = ()
    unseen: tuple[str, ...] = ()
    suggested: At | None = None
    learners: tuple[str, ...] = ()
    swapped: tuple[Swapped, ...] = ()
    adapted: tuple[str, ...] = ()
    other: At = ()
    card: str = ""

    @property
    def texts(self) -> frozenset[str]:
        """All that stands on the group's card."""
        return frozenset((self.card, *(each.card for each in self.swapped)))

    @property
    def ways(self) -> tuple[tuple[Lever, int, int], ...]:
        """The lever by which the two ways of a card differ, with the place in this task and in the other; or none."""
        levers = zip(self.challenge.levers, self.at, self.other, strict=False)
        return tuple((lever, now, then) for lever, now, then in levers if now != then)

    @property
    def to_choose(self) -> tuple[str, ...]:
        """The two ways as they stand on the card, by the alphabet, so that their order tells nothing; or none."""
        two = (lever.settings[place - 1].said for lever, *places in self.ways for place in places)
        return tuple(sorted(two, key=str.casefold))


@dataclass(frozen=True)
class RoundTasks:
    """The tasks of a round by the label of the group, what they take in all, and what is missing for them."""

    tasks: Mapping[str, GroupTask] = field(default_factory=dict)
    lay_out: tuple[tuple[str, int], ...] = ()
    short: tuple[Short, ...] = ()


def strand_for(record: ClassRecord, key: RoundKey) -> str:
    """The strand of a round's activity; the only one of the class where the activity goes by none; or none."""
    strands = record.roster.strands
    return strand_of(record, key) or (strands[0] if len(strands) == 1 else "")


def challenge_for(record: ClassRecord, key: RoundKey) -> Challenge | None:
    """The levers for the activity of a round, or None."""
    challenge = record.challenge(record.unit.activity(key).name)
    return challenge if challenge and challenge.levers else None


def at_work(group: Group) -> tuple[str, ...]:
    """Whose task it is that stands on a group's card: the learners' where somebody coaches them, else everybody's."""
    learners = tuple(member for member in group.members if group.role(member) == LEARNER)
    return learners or group.members


def tasks_of_round(record: ClassRecord, key: RoundKey) -> Mapping[str, GroupTask]:
    """The tasks of a round by the label of the group; empty where the activity has no levers or the round no groups."""
    return round_tasks(record, key).tasks


def round_tasks(record: ClassRecord, key: RoundKey) -> RoundTasks:
    """The tasks of a round.

    What the teacher chose goes before what is suggested. That rests on ratings and on the results of earlier rounds,
    never on those of the round itself, so that what stood on a card is still what is said of it afterwards.
    """
    challenge = challenge_for(record, key)
    if challenge is None or key not in record.plan.by_key:
        return RoundTasks()
    return _walk(record, challenge).up_to(key)


def success_before(record: ClassRecord, key: RoundKey) -> Success | None:
    """What is known of the class at the activity of a round when it begins; None where it has no levers."""
    challenge = challenge_for(record, key)
    return _walk(record, challenge).success(key) if challenge else None


def success_now(record: ClassRecord, challenge: Challenge) -> Success | None:
    """What is known by all that was seen of an activity; None where the unit has no such activity."""
    return _walk(record, challenge).success_at_the_end()


def task_worked_at(record: ClassRecord, key: RoundKey, label: str) -> At:
    """The task that stood on a group's card, to be kept with its result; empty where there was none."""
    task = tasks_of_round(record, key).get(label)
    return task.at if task else ()


class _Walk:
    """Through the rounds of an activity in the order of play, as far as is asked for."""

    def __init__(self, record: ClassRecord, challenge: Challenge) -> None:
        self.record, self.challenge = record, challenge
        self.keys = [key for key in record.unit.keys if challenge.fits(record.unit.activity(key).name)]
        self.left = list(self.keys)
        self.done: dict[RoundKey, RoundTasks] = {}
        self.had: dict[str, list[At]] = {}
        self.seen: list[Seen] = []
        self.latest: dict[str, Seen] = {}
        self.lock = Lock()

    def up_to(self, key: RoundKey) -> RoundTasks:
        # A page asks from several threads, and what a round rests on is what was done in those before it.
        with self.lock:
            while key not in self.done:
                self._take(self.left.pop(0))
        return self.done[key]

    def success(self, key: RoundKey) -> Success:
        """What is known when a round begins."""
        # The round itself is not taken: what was seen in it is not to change what stood on its cards.
        for each in self.keys:
            if each < key:
                self.up_to(each)
        return self.known(key, [one for one in self.seen if one.result.key < key])

    def success_at_the_end(self) -> Success | None:
        for key in self.keys:
            self.up_to(key)
        return self.known(self.keys[-1], self.seen) if self.keys else None

    def known(self, key: RoundKey, seen: Sequence[Seen]) -> Success:
        roster, wanted = self.record.roster, self.record.settings.success
        return Success(roster, strand_for(self.record, key), self.challenge, wanted, tuple(seen), key.lesson)

    def _take(self, key: RoundKey) -> None:
        round_ = self.record.plan.by_key.get(key)
        self.done[key] = _round(self, self.known(key, self.seen), round_) if round_ else RoundTasks()
        results = {result.label: result for result in self.record.results if result.key == key}
        for group in round_.groups if round_ else ():
            task = self.done[key].tasks.get(group.label)
            if task is None:
                continue
            # What the group really worked at goes before what stood on its card.
            result, working = results.get(group.label), at_work(group)
            at = result.at if result and len(result.at) == len(task.at) else task.at
            for member in working:
                self.had.setdefault(member, []).append(at)
            for swapped in task.swapped:
                self.had.setdefault(swapped.student, []).append(swapped.at)
            if result and result.tells_of_ability:
                seen = Seen(result, at, working)
                self.seen.append(seen)
                self.latest.update(dict.fromkeys(working, seen))


_KEPT = 4
_walks: OrderedDict[tuple[int, str], _Walk] = OrderedDict()
_walks_lock = Lock()


def _walk(record: ClassRecord, challenge: Challenge) -> _Walk:
    """The walk of a record that was asked for just before, or a new one: a page of tasks asks for many rounds."""
    # The walk holds its record, so that the number of a record is not given to another while it is kept.
    name = (id(record), folded(challenge.activity))
    with _walks_lock:
        if name not in _walks:
            _walks[name] = _Walk(record, challenge)
            while len(_walks) > _KEPT:
                _walks.popitem(last=False)
        _walks.move_to_end(name)
        return _walks[name]


def _round(walk: _Walk, success: Success, round_: Round) -> RoundTasks:
    record = walk.record
    chosen = {one.label: one.at for one in record.chosen_tasks if one.key == round_.key}
    groups = [group for group in round_.groups if group.members]
    working = [_at_work(walk, group, at_work(group), chosen.get(group.label)) for group in groups]
    found = fitted(success, working, record.cupboard)
    suggested = fitted(success, [replace(each, fixed=None) for each in working], record.cupboard) if chosen else found
    after, others = _after_the_swap(walk, success, groups), dict[str, At]()
    if walk.challenge.two_ways:
        others = second_ways(success, working, found.tasks, record.cupboard)
        offered = second_ways(success, working, suggested.tasks, record.cupboard)
        # Where the second of two ways was taken, the first one is the other.
        others |= {label: suggested.tasks[label] for label, at in found.tasks.items() if offered.get(label) == at}
    tasks = {}
    for group, each in zip(groups, working, strict=True):
        task = _task(walk, success, group, found.tasks[group.label], others.get(group.label, ()))
        was = suggested.tasks[group.label] if each.fixed else None
        tasks[group.label] = replace(task, suggested=was, swapped=after.get(group.label, ()))
    to_lay_out = lay_out(walk.challenge, working, found.tasks, others) if others else found.lay_out
    return RoundTasks(tasks, to_lay_out, found.short)



def _at_work(walk: _Walk, group: Group, members: tuple[str, ...], fixed: At | None) -> AtWork:
    had = tuple(tuple(walk.had.get(member, ())) for member in members)
    allowed = allowed_for(walk.record, walk.challenge, members)
    # A choice may be of levers that the activity had then, and has no more.
    usable = fixed if fixed and walk.challenge.holds(fixed) else None
    return AtWork(group.label, members, len(group.members), had, usable, allowed)


def _after_the_swap(walk: _Walk, success: Success, groups: Sequence[Group]) -> dict[str, tuple[Swapped, ...]]:
    """The tasks of those who learn next; at any time one of each group does, and all of these share the cupboard."""
    found: dict[str, tuple[Swapped, ...]] = {}
    waiting = {group.label: [one for one in group.members if one not in at_work(group)] for group in groups}
    for turn in range(max(map(len, waiting.values()), default=0)):
        learning = [(group, waiting[group.label][turn]) for group in groups if len(waiting[group.label]) > turn]
        at_turn = [_at_work(walk, group, (one,), None) for group, one in learning]
        served = fitted(success, at_turn, walk.record.cupboard)
        others = second_ways(success, at_turn, served.tasks, walk.record.cupboard) if walk.challenge.two_ways else {}
        for group, one in learning:
            at, other = served.tasks[group.label], others.get(group.label, ())
            swapped = Swapped(one, at, _words(walk, at, (one,)), _on_card(walk, at, other, (one,)))
            found[group.label] = (*found.get(group.label, ()), swapped)
    return found


def _words(walk: _Walk, at: At, members: Sequence[str]) -> str:
    return _with_also(walk, [walk.challenge.words(at)], members)


def _on_card(walk: _Walk, at: At, other: At, members: Sequence[str]) -> str:
    """The task, or what two ways share and then the two by the alphabet, so that their order tells nothing."""
    if not other:
        return _words(walk, at, members)
    lever = next(number for number, (now, then) in enumerate(zip(at, other, strict=True)) if now != then)
    settings = walk.challenge.levers[lever].settings
    two = sorted((settings[place - 1].said for place in (at[lever], other[lever])), key=str.casefold)
    shared = walk.challenge.words(tuple(0 if number == lever else place for number, place in enumerate(at)))
    return _with_also(walk, [*([shared] if shared else []), f"Choose: {two[0]}, or {two[1]}."], members)


def _with_also(walk: _Walk, said: Sequence[str], members: Sequence[str]) -> str:
    also = also_for(walk.record, members)
    *first, last = said
    return " ".join([*first, last if not also or last.endswith(".") else f"{last}.", *(f"{each}." for each in also)])


def _task(walk: _Walk, success: Success, group: Group, at: At, other: At) -> GroupTask:
    working, roster, strand = at_work(group), success.roster, success.strand
    is_rated = any(strand in student.ratings for student in roster.active)
    ratings = [roster.rating(member, strand) for member in working] if is_rated else []
    # The last results, each once with those whose last it is.
    last = {id(seen): seen for member in working if (seen := walk.latest.get(member))}.values()
    results = [replace(seen, members=tuple(m for m in working if walk.latest.get(m) is seen)) for seen in last]
    return GroupTask(
        label=group.label,
        challenge=walk.challenge,
        at=at,
        task=_words(walk, at, working),
        expected=success.share(working, at),
        strand=strand,
        rating=sum(ratings) / len(ratings) if ratings else None,
        had=tuple(dict.fromkeys(walk.had[member][-1] for member in working if walk.had.get(member))),
        seen=tuple(sorted(results, key=lambda seen: seen.result.key, reverse=True)),
        unseen=tuple(member for member in working if member not in walk.latest),
        learners=working if working != group.members else (),
        adapted=tuple(dict.fromkeys(one.student for one in walk.record.adaptations if one.student in working)),
        other=other,
        card=_on_card(walk, at, other, working),
    )



def rounds_with_tasks(record: ClassRecord, lesson: int) -> Iterator[tuple[Round, RoundTasks]]:
    """The rounds of a lesson whose groups have tasks, in the order of play."""
    for round_ in record.plan.of_lesson(lesson):
        found = round_tasks(record, round_.key)
        if found.tasks:
            yield round_, found


def lay_out_of_lesson(record: ClassRecord, lesson: int) -> tuple[tuple[str, int], ...]:
    """What a lesson takes: of each thing the most that a round needs, in the order in which it is first needed."""
    most: dict[str, int] = {}
    for _, found in rounds_with_tasks(record, lesson):
        for item, count in found.lay_out:
            most[item] = max(count, most.get(item, 0))
    return tuple(most.items())
