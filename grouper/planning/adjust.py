"""What a teacher decides by hand: a lesson was taught, a round is pinned, two students swap."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import takewhile

from grouper.errors import InputError, require
from grouper.model.held import held_up_to, whole
from grouper.model.ledger import COACH, LEARNER, ledger_of
from grouper.model.noted import Absence, merged
from grouper.model.plan import Group, Round
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.sides import in_words, sides_in
from grouper.model.unit import RoundKey, Unit
from grouper.planning.noting import dropped, without_stale
from grouper.planning.ran import corrected, following
from grouper.planning.repair import Repair, repair
from grouper.planning.requests import breach_sentences
from grouper.planning.reshape import changes_between
from grouper.rules.referee import judge, shape_faults
from grouper.rules.rule import Breach
from grouper.words import Remedy, Said


def taught(
    record: ClassRecord,
    lesson: int,
    as_it_ran: Mapping[RoundKey, tuple[Group, ...]] | None = None,
    up_to: int | None = None,
) -> ClassRecord:
    """Close a lesson: as planned, or with the groups that there were. Planning and repair then leave it alone.

    Where it ended after its round ``up_to``, what came after was not held and counts nowhere. With groups, or with a
    last round, also a lesson that is closed already: it is corrected.

    Raises
    ------
    InputError
        There is no such lesson or round, the lesson is closed already and nothing is given to correct, it has no
        plan, or somebody stands in two groups at once.
    """
    record.lesson(lesson)  # raises where there is no such lesson
    if lesson in record.taught and not as_it_ran and up_to is None:
        raise InputError("lesson {lesson} is marked as taught already", lesson=lesson)
    if up_to is not None:
        # What was left may stand in another lesson by now, and is not to be planned twice.
        moved_to = next((one.rest_in for one in record.unheld if one.lesson == lesson), None)
        record = held_up_to(record, lesson, up_to, moved_to)
    record.check_planned(lesson)
    held = set(record.lesson(lesson).keys)
    # A file of the whole lesson names rounds that were not held after all.
    ran = {key: groups for key, groups in (as_it_ran or {}).items() if key in held}
    if as_it_ran and not ran:
        raise InputError("the groups given are of other lessons than {lesson}", lesson=lesson)
    return replace(corrected(record, ran), taught=record.taught | {lesson})


def reopened(record: ClassRecord, lesson: int) -> ClassRecord:
    """Take back that a lesson was taught; rounds that had not been held are there again.

    Whoever is in no group of a round was away from it, also where that was cleared away since.
    """
    require(lesson in record.taught, "lesson {lesson} is not marked as taught", lesson=lesson)
    open_again = replace(whole(record, lesson), taught=record.taught - {lesson})
    gone: dict[str, list[Absence]] = {}
    for place, key in enumerate(open_again.lesson(lesson).keys, start=1):
        if round_ := open_again.plan.by_key.get(key):
            for student in set(open_again.taking_part(key)) - set(round_.students):
                gone.setdefault(student, []).append(Absence(lesson, student, since=place, until=place))
    missed = (absence for of_student in gone.values() for absence in merged(of_student))
    return replace(open_again, absences=tuple(sorted((*open_again.absences, *missed)))) if gone else open_again


def pinned(record: ClassRecord, lesson: int, number: int | None, pin: bool = True) -> ClassRecord:
    """Pin a round of a lesson (counted from 1 over its activities), or all of them, so that planning leaves them.

    Raises
    ------
    InputError
        There is no such lesson or round, or it has no plan.
    """
    keys = rounds_meant(record, lesson, number)
    rounds = [record.plan.by_key[key] for key in keys]
    # Let go, a round is to be planned anew, and no longer stands as it ran.
    changed = {round_.key: replace(round_, pinned=pin, ran=round_.ran and pin) for round_ in rounds}
    return replace(record, plan=record.plan.with_rounds(changed))


def rounds_meant(record: ClassRecord, lesson: int, number: int | None) -> tuple[RoundKey, ...]:
    """The keys of a lesson's rounds, or of its round with this number.

    Raises
    ------
    InputError
        There is no such lesson or round, or it has no plan.
    """
    keys = record.lesson(lesson).keys
    record.check_planned(lesson)
    return keys if number is None else (record.round_at(lesson, number),)


def round_meant(record: ClassRecord, lesson: int, number: int | None) -> RoundKey:
    """The key of one round: that with the number, or the only one of the lesson.

    Raises
    ------
    InputError
        There is no such lesson or round, it has no plan, or the lesson has several rounds and no number is given.
    """
    keys = rounds_meant(record, lesson, number)
    if len(keys) > 1:
        raise InputError("lesson {lesson} has {last} rounds", Remedy.CHOOSE_ROUND, lesson=lesson, last=len(keys))
    return keys[0]


@dataclass(frozen=True)
class Swap:
    """A record in which two students have swapped, or one has moved to another group.

    ``breaches`` are the hard rules that it newly breaks, ``breaks`` a word on each thing that is worse for it,
    ``repeats`` how many more repeats there are, ``dropped`` a word on each thing noted of a group that has other people
    now.
    """

    record: ClassRecord
    rounds: tuple[RoundKey, ...]
    breaches: tuple[Breach, ...]
    breaks: tuple[Said, ...]
    dropped: tuple[Said, ...] = ()
    repeats: int = 0


def swapped(
    record: ClassRecord, lesson: int, one: str, other: str, number: int | None = None, since: int | None = None
) -> Swap:
    """Let two students swap groups in a round of a lesson, from its round ``since`` on, or in all that have not begun;
    those rounds are pinned. A round that is named, and that from which on it counts, may be one that runs already.

    The teacher decides: a swap is made even where it breaks a request, and ``breaks`` says so.

    Raises
    ------
    InputError
        The lesson has been taught, the two are in one group or not both there.
    """
    record.check_open(lesson)
    rounds = rounds_meant(record, lesson, number if since is None else since)
    if since is not None:
        rounds += record.lesson(lesson).keys[since:]
    # A swap for the whole lesson leaves what runs already alone; one for a round that is named is a correction of it.
    meant = [key for key in rounds if number or (since and key == rounds[0]) or not record.has_begun(key)]
    exchanged = {}
    for key in meant:
        round_ = record.plan.by_key[key]
        here, there = round_.group_of(one), round_.group_of(other)
        if here and there and here != there:
            exchanged[key] = _with_swap(round_, one, other)
    names = f"{record.roster.name(one)} and {record.roster.name(other)}"
    what = "{names} are not in two different groups there, so there is nothing to swap"
    require(bool(exchanged), what, names=names)
    after = without_stale(replace(record, plan=record.plan.with_rounds(exchanged)), record.plan)
    return _swap(record, after, tuple(exchanged))


def _with_swap(round_: Round, one: str, other: str) -> Round:
    """Swapped now, and in what is taken back to when everybody is there again."""
    partner = {one: other, other: one}
    groups, planned = (
        tuple(replace(group, members=tuple(partner.get(who, who) for who in group.members)) for group in groups)
        for groups in (round_.groups, round_.planned)
    )
    return replace(round_, groups=groups, planned=planned, pinned=True)


def moved(record: ClassRecord, lesson: int, student: str, label: str, number: int) -> Swap:
    """Let a student go to another group in a round of a lesson, and in those after it in which these groups go on;
    the rounds are pinned. As in a swap the teacher decides, and ``breaks`` says what is worse for it.

    Raises
    ------
    InputError
        The lesson has been taught, the student or the group is not there, or the groups would not be as large as the
        activity asks for: a group can spare one for a group that has one less.
    """
    record.check_open(lesson)
    (first,) = rounds_meant(record, lesson, number)
    round_ = record.plan.by_key[first]
    name, here = record.roster.name(student), round_.group_of(student)
    there = next((group for group in round_.groups if group.label == label), None)
    if here is None or there is None or here == there:
        raise InputError("{student} cannot move to group {label} in that round", student=name, label=label)
    if len(here.members) != len(there.members) + 1:
        what = (
            "{student} cannot move from a group of {here} to one of {there}, as the groups would not be as large as "
            "they are meant to be; swap two instead"
        )
        raise InputError(what, student=name, here=len(here.members), there=len(there.members))
    after = record.lesson(lesson).keys[number:]
    going_on = takewhile(lambda key: record.unit.activity(key).aim == "stay", after)
    same = [key for key in going_on if record.plan.by_key[key].as_sets == round_.as_sets]
    rounds = {key: _with_move(record.plan.by_key[key], student, label) for key in (first, *same)}
    changed = without_stale(replace(record, plan=record.plan.with_rounds(rounds)), record.plan)
    return _swap(record, changed, tuple(rounds))


def _with_move(round_: Round, student: str, label: str) -> Round:
    """Moved now, and in what is taken back to when everybody is there again."""
    changed = []
    for groups in (round_.groups, round_.planned):
        here = next((group for group in groups if student in group.members), None)
        there = {group.label: group for group in groups}
        # Planned in the group that they go to, as after a repair, they are in it already.
        if here is not None and label in there and here.label != label:
            left, larger = here.only(set(here.members) - {student}), there[label]
            # Where the coach leaves, the first of the others coaches; whoever comes learns where there are roles.
            if COACH in here.roles and COACH not in left.roles:
                left = replace(left, roles=(COACH, *left.roles[1:]))
            roles = (*larger.roles, LEARNER) if COACH in larger.roles else ()
            there |= {here.label: left, label: replace(larger, members=(*larger.members, student), roles=roles)}
        changed.append(tuple(there.values()))
    return replace(round_, groups=changed[0], planned=changed[1], pinned=True)


def _swap(before: ClassRecord, after: ClassRecord, keys: tuple[RoundKey, ...]) -> Swap:
    problem = problem_of(after, frozenset(keys))
    faults = tuple(shape_faults(problem, after.plan))
    if faults:
        raise InputError("that is not possible: {faults}", faults="; ".join(faults))
    was = judge(problem_of(before, frozenset(keys)), before.plan)
    now = judge(problem, after.plan)
    # What was broken before the swap is no news, and not for this swap to answer for.
    broken = tuple(breach for breach in now.breaches if breach not in was.breaches)
    repeats = ledger_of(after.plan.rounds).repeats - ledger_of(before.plan.rounds).repeats
    kept_no_more = [Said("{breach}", facts={"breach": each}) for each in breach_sentences(after.roster, broken)]
    more = [Said("{count:more repeat}", facts={"count": repeats})] if repeats > 0 else []
    even = [spec.activity.name for spec in problem.rounds if spec.fixed is None and spec.activity.aim == "balanced"]
    less_even = even if now.costs.get("balanced", 0) > was.costs.get("balanced", 0) else []
    uneven = [
        Said("teams for '{activity}' are less even", facts={"activity": name})
        for name in dict.fromkeys(less_even)
    ]
    return Swap(after, keys, broken, (*kept_no_more, *more, *uneven), tuple(dropped(before, after)), repeats)


def with_other_groups(
    record: ClassRecord, lesson: int, name: str, groups: int | None, size: int | None, since: int = 1, sides: str = ""
) -> ClassRecord:
    """The record with an activity of a lesson in other groups, as when a court is closed; a repair then mends it.

    Rounds of the lesson before ``since``, counted from 1, have been played and stay as they stand, as do all that have
    begun.

    Raises
    ------
    InputError
        There is no such lesson or activity, the lesson has been taught, not just one of groups, size and sides is
        given, or there are more groups than those who are there can make.
    """
    record.check_open(lesson)
    before = record.lesson(lesson)
    if (groups is not None) + (size is not None) + bool(sides) != 1:
        raise InputError("give either how many groups, or how many people in a group, or the sides of a game")
    if name not in [activity.name for activity in before.activities]:
        names = ", ".join(f"'{activity.name}'" for activity in before.activities)
        what = "lesson {lesson} has no activity '{name}'"
        raise InputError(what, "it has {names}", lesson=lesson, name=name, names=names)
    key = record.unit.key_of(lesson, name, 1)
    people = len(record.taking_part(key)) if key else 0
    most = max(1, people // 2)
    if groups is not None and groups < 1:
        raise InputError("'{name}' needs at least one group", name=name)
    if groups is not None and groups > most:
        alone = "{groups} groups would leave somebody alone"
        raise InputError(alone, "make it {most} at most", groups=groups, most=most)
    if size is not None and not min(2, people) <= size <= people:
        raise InputError("groups of {people} students have 2 to {people} of them, not {size}", people=people, size=size)
    activities = []
    for activity in before.activities:
        if activity.name == name:
            # An edge is of the sides that it was asked for.
            edge = activity.edge if sides == activity.sides else 0
            activity = replace(activity, groups=groups, size=size, sides=sides, edge=edge)
        activities.append(activity)
    after = replace(before, activities=tuple(activities))
    # Pinned as they ran: the repair that follows would else cut the rounds that were played to the new sizes too.
    over = before.keys[: max(since - 1, record.begun_in(lesson))]
    played = {key: replace(record.plan.by_key[key], pinned=True, ran=True) for key in over}
    unit = Unit(tuple(after if each == before else each for each in record.unit.lessons))
    return replace(record, unit=unit, plan=record.plan.with_rounds(played))


def in_other_groups(
    record: ClassRecord,
    lesson: int,
    name: str,
    groups: int | None,
    size: int | None = None,
    since: int = 1,
    sides: str = "",
) -> Repair:
    """An activity in other groups, mended with fewest moves; where there are fewer, they are numbered without a gap.

    Raises
    ------
    InputError
        See ``with_other_groups``.
    ImpossibleError
        The requests cannot all be met in such groups.
    """
    mended = repair(with_other_groups(record, lesson, name, groups, size, since, sides))
    plan = mended.record.plan
    keys = [key for key in record.lesson(lesson).keys if record.unit.activity(key).name == name]
    fewer = [r for key in keys if (r := plan.by_key.get(key)) and not r.ran and len(r.groups) < _groups_in(record, key)]
    counted = {round_.key: replace(round_, groups=_without_gaps(round_.groups)) for round_ in fewer}
    named = following(replace(mended.record, plan=plan.with_rounds(counted)), plan) if counted else mended.record
    return replace(mended, record=named, changes=changes_between(record.plan, named.plan))


def in_fewer_or_more(record: ClassRecord, lesson: int, name: str, by: int, since: int = 1) -> Repair:
    """An activity in one group fewer (``by`` -1) or more (1); of sides that differ each side of a game has then one
    more or fewer, and floaters stay.

    Raises
    ------
    InputError, ImpossibleError
        See ``in_other_groups``, or sides would be empty.
    """
    now = next((one for one in record.lesson(lesson).activities if one.name == name), None)
    if now is None or not now.sides:
        key = record.unit.key_of(lesson, name, 1)
        return in_other_groups(record, lesson, name, (_groups_in(record, key) if key else 0) + by, since=since)
    asked = sides_in(now.sides)
    if min(now.playing) - by < 1:
        raise InputError("{sides} has no smaller sides", "say which sides: 3+2", sides=now.sides)
    ones = asked[len(now.playing) :]
    sides = in_words((*(side - by for side in now.playing), *ones))
    return in_other_groups(record, lesson, name, None, since=since, sides=sides)


def _groups_in(record: ClassRecord, key: RoundKey) -> int:
    round_ = record.plan.by_key.get(key)
    return len(round_.groups) if round_ else 0


def _without_gaps(groups: tuple[Group, ...]) -> tuple[Group, ...]:
    """The groups under the numbers from 1 on; who has one of these keeps it."""
    numbers = [str(number) for number in range(1, len(groups) + 1)]
    if not all(group.label.isdecimal() for group in groups):
        return groups
    free = iter([number for number in numbers if number not in {group.label for group in groups}])
    return tuple(group if group.label in numbers else replace(group, label=next(free)) for group in groups)
