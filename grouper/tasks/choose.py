"""What the teacher says of a group's task: another one, one that is easier or harder, and how it went."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.model.levers import At, Challenge, Lever
from grouper.model.noted import ChosenTask, TaskResult
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.noting import seen
from grouper.tasks.adapt import allowed_for, is_meant
from grouper.tasks.rounds import GroupTask, at_work, challenge_for, round_tasks, success_before, task_worked_at
from grouper.words import Remedy, folded

WAYS = 3


def with_task(record: ClassRecord, key: RoundKey, label: str, at: At) -> ClassRecord:
    """The record with a task for a group of a round; what was seen of the group in that round is then of this task.

    Raises
    ------
    InputError
        The activity has no levers or no such settings, or the round has no such group.
    """
    challenge = _task(record, key, label).challenge
    if not challenge.holds(at):
        ends = ", ".join(f"{lever.name} 1 to {len(lever.settings)}" for lever in challenge.levers)
        raise InputError(
            "the tasks of '{activity}' have {ends}, not {at}",
            activity=record.unit.activity(key).name,
            ends=ends,
            at=", ".join(map(str, at)),
        )
    chosen = ChosenTask(key, label, at, record.plan.members(key, label))
    kept = [other for other in record.chosen_tasks if (other.key, other.label) != (key, label)]
    return _results_follow(replace(record, chosen_tasks=tuple(sorted([*kept, chosen], key=_order))), key, label)


def with_setting(record: ClassRecord, key: RoundKey, label: str, said: str) -> ClassRecord:
    """The record with one lever set for a group, as it is typed: 'ball small', 'distance=far', '4' where there is one.

    Raises
    ------
    InputError
        No lever or no setting is called so.
    """
    task = _task(record, key, label)
    return with_task(record, key, label, setting_meant(task.challenge, task.at, said))


def setting_meant(challenge: Challenge, at: At, said: str) -> At:
    """The task with the setting that is typed, the other levers as they are (InputError where none is meant)."""
    name, sign, setting = (part.strip() for part in said.replace("=", ":").partition(":"))
    found = [
        (number, place)
        for number, lever in enumerate(challenge.levers)
        if (folded(lever.name) == folded(name) if sign else len(challenge.levers) == 1 or not said.isdecimal())
        and (place := lever.place(setting if sign else said) or _meant_by_words(lever, setting if sign else said))
    ]
    if len(found) != 1:
        raise InputError(
            "'{said}' is no setting of '{activity}'",
            "{settings}",
            said=said,
            activity=challenge.activity,
            settings=_settings_of(challenge, name if sign else ""),
        )
    ((number, place),) = found
    return tuple(place if each == number else was for each, was in enumerate(at))


def _meant_by_words(lever: Lever, said: str) -> int:
    """The place of the one setting in which all these words stand, as 'large' for the large soft ball."""
    # A number is that of a setting, and no word in one: '7' is not 'around 7 cones'.
    if said.isdecimal():
        return 0
    found = [place for place, setting in enumerate(lever.settings, start=1) if is_meant(said, setting)]
    return found[0] if len(found) == 1 else 0


def _settings_of(challenge: Challenge, name: str) -> str:
    levers = [lever for lever in challenge.levers if folded(lever.name) == folded(name)] or challenge.levers
    if len(levers) == 1:
        return f"{levers[0].name} has steps 1 to {len(levers[0].settings)}: " + ", ".join(
            setting.name for setting in levers[0].settings
        )
    return "write it as " + ", ".join(f"{lever.name}:{lever.settings[-1].name}" for lever in levers)


def as_suggested(record: ClassRecord, key: RoundKey, label: str) -> ClassRecord:
    """The record in which a group gets the suggested task again.

    Raises
    ------
    InputError
        The round has no such group or no task, or nothing was chosen for it.
    """
    _task(record, key, label)
    kept = tuple(other for other in record.chosen_tasks if (other.key, other.label) != (key, label))
    if len(kept) == len(record.chosen_tasks):
        raise InputError("no task was chosen for group {label} in this round", label=label)
    return _results_follow(replace(record, chosen_tasks=kept), key, label)


@dataclass(frozen=True)
class Way:
    """A way to make a group's task easier or harder: another setting of one lever.

    ``fetch`` and ``put_back`` are what the group has to get and bring back for it (thing and number), ``expected`` the
    share of attempts that should succeed then, ``enough`` whether the cupboard allows it beside all others.
    """

    lever: str
    setting: str
    at: At
    words: str
    expected: float
    fetch: tuple[tuple[str, int], ...]
    put_back: tuple[tuple[str, int], ...]
    enough: bool

    @property
    def trouble(self) -> int:
        """How much is to be rearranged: the things that are moved."""
        return sum(count for _, count in (*self.fetch, *self.put_back))


def ways(record: ClassRecord, key: RoundKey, label: str, harder: bool) -> tuple[Way, ...]:
    """Three ways at most to make a task harder or easier, each by another lever, the least to rearrange first.

    Of each lever the next setting that is right for those at work. What the cupboard does not allow comes last, and a
    space or a target counts as a thing to rearrange.
    """
    task = _task(record, key, label)
    group = next(group for group in record.plan.by_key[key].groups if group.label == label)
    allowed = allowed_for(record, task.challenge, at_work(group)) or (lambda lever, place: True)
    found = []
    for number in range(len(task.challenge.levers)):
        steps = (
            range(task.at[number] + 1, task.challenge.counts[number] + 1)
            if harder
            else range(task.at[number] - 1, 0, -1)
        )
        place = next((step for step in steps if allowed(number, step)), None)
        if place:
            at = tuple(place if each == number else was for each, was in enumerate(task.at))
            found.append(_way(record, key, task, number, at, len(group.members)))
    order = {way.at: _weight(task.challenge, way) for way in found}
    return tuple(sorted(found, key=lambda way: order[way.at]))[:WAYS]


def _weight(challenge: Challenge, way: Way) -> tuple[bool, int, int]:
    kinds = ["scoring", "action", "movement", "", "people", "equipment", "target", "space"]
    lever = challenge.lever(way.lever)
    return not way.enough, way.trouble, kinds.index(lever.kind if lever else "")


def _way(record: ClassRecord, key: RoundKey, task: GroupTask, number: int, at: At, people: int) -> Way:
    lever = task.challenge.levers[number]
    setting = lever.settings[at[number] - 1]
    before, after = (Counter(task.challenge.needs(each, people)) for each in (task.at, at))
    group = next(group for group in record.plan.by_key[key].groups if group.label == task.label)
    success = success_before(record, key)
    expected = success.share(at_work(group), at) if success else task.expected
    more = after - before
    return Way(
        lever.name, setting.name, at, setting.shown, expected,
        tuple(more.items()), tuple((before - after).items()), _is_enough(record, key, more),
    )  # fmt: skip


def _is_enough(record: ClassRecord, key: RoundKey, more: Counter[str]) -> bool:
    used = {folded(item): count for item, count in round_tasks(record, key).lay_out}
    there = {folded(store.item): store.count for store in record.cupboard}
    return all(used.get(item, 0) + count <= there.get(item, used.get(item, 0) + count) for item, count in more.items())


def with_result(record: ClassRecord, result: TaskResult) -> ClassRecord:
    """The record with how a group's task went; the task that it worked at is looked up where it is not given.

    Raises
    ------
    InputError
        The round has no groups, or none with this label, or points are lost where nothing loses any.
    """
    _check_lost(record, result)
    known = seen(record, result)
    if result.at:
        return known
    at = task_worked_at(known, result.key, result.label)
    return seen(known, replace(result, at=at)) if at else known


def out_of(record: ClassRecord, result: TaskResult, tries: int) -> TaskResult:
    """A result in points with the hits that these tell, out of so many attempts; then it teaches which task fits.

    Raises
    ------
    InputError
        Hits bring different points in the activity, or so many points are no number of hits.
    """
    activity = record.unit.activity(result.key).name
    scoring = record.scoring(activity)
    # Where no way was chosen a point is a hit.
    a_hit = scoring.a_hit if scoring else 1
    hits, rest = divmod(result.points or 0, a_hit or 1)
    if not a_hit or rest:
        raise InputError(
            "in '{activity}' {points} points of group {label} do not tell how many hits there were",
            "give the points, and the hits of attempts beside them, such as 7/10",
            activity=activity,
            points=result.points,
            label=result.label,
        )
    return replace(result, hits=hits, tries=tries)


def told_by_points(record: ClassRecord, result: TaskResult) -> bool:
    """Whether the hits of a result are those that its points tell."""
    scoring = record.scoring(record.unit.activity(result.key).name)
    return result.points is not None and bool(result.tries) and scoring is not None and scoring.a_hit > 0 and (
        (result.hits or 0) * scoring.a_hit == result.points
    )


def tells_nothing_of_tasks(record: ClassRecord, key: RoundKey, results: Iterable[TaskResult]) -> bool:
    """Whether points were counted in a round with tasks of which, without attempts, nothing is learnt."""
    return challenge_for(record, key) is not None and any(
        result.points is not None and not result.tells_of_ability for result in results
    )


def _check_lost(record: ClassRecord, result: TaskResult) -> None:
    """A child's own points and those of all are counted up; a rule of the teacher's own may take some off."""
    known = result.key in record.unit.keys
    challenge = record.challenge(record.unit.activity(result.key).name) if known else None
    before = result_of(record, result.key, result.label)
    if challenge is None or challenge.own_rule or record.is_ranked(challenge.activity):
        return
    if result.lost and (before is None or before.lost != result.lost):
        raise InputError(
            "group {label} cannot lose {lost}: '{activity}' is played for the {scoring}, which takes nothing off",
            "give what it won",
            label=result.label,
            lost=result.lost,
            activity=challenge.activity,
            scoring=challenge.scoring,
        )


def result_of(record: ClassRecord, key: RoundKey, label: str) -> TaskResult | None:
    """What was seen of a group in a round, or None."""
    return next((result for result in record.results if (result.key, result.label) == (key, label)), None)


def _task(record: ClassRecord, key: RoundKey, label: str) -> GroupTask:
    if challenge_for(record, key) is None:
        raise InputError("'{activity}' has no tasks yet", Remedy.GIVE_TASKS, activity=record.unit.activity(key).name)
    tasks = round_tasks(record, key).tasks
    if label not in tasks:
        known = f"its groups are {', '.join(tasks)}" if tasks else "it has no groups"
        raise InputError("this round has no group '{label}'", "{known}", label=label, known=known)
    return tasks[label]


def _results_follow(record: ClassRecord, key: RoundKey, label: str) -> ClassRecord:
    """What was seen of the group is of the task that stands on its card."""
    result = result_of(record, key, label)
    return with_result(record, replace(result, at=())) if result else record


def _order(chosen: ChosenTask) -> tuple[RoundKey, str]:
    return chosen.key, chosen.label
