"""What the teacher says of a group's task: another one, one that is easier or harder, and how it went."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace

from grouper.errors import InputError, require
from grouper.model.levers import At, Challenge, Lever, Setting
from grouper.model.noted import ChosenTask, TaskResult
from grouper.model.plan import Group
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
    challenge, activity = _task(record, key, label).challenge, record.unit.activity(key).name
    ends = ", ".join(f"{lever.name} 1 to {len(lever.settings)}" for lever in challenge.levers)
    said, what = ", ".join(map(str, at)), "the tasks of '{activity}' have {ends}, not {at}"
    require(challenge.holds(at), what, activity=activity, ends=ends, at=said)
    chosen = ChosenTask(key, label, at, record.plan.members(key, label))
    kept = [other for other in record.chosen_tasks if other.spot != chosen.spot]
    in_order = sorted([*kept, chosen], key=lambda one: one.spot)
    return _results_follow(replace(record, chosen_tasks=tuple(in_order)), key, label)


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
        what, activity = "'{said}' is no setting of '{activity}'", challenge.activity
        there = challenge.lever(name) if sign else None
        levers = (there,) if there else challenge.levers
        if len(levers) == 1:
            names = ", ".join(setting.name for setting in levers[0].settings)
            settings = f"{levers[0].name} has steps 1 to {len(levers[0].settings)}: {names}"
        else:
            settings = "write it as " + ", ".join(f"{lever.name}:{lever.settings[-1].name}" for lever in levers)
        raise InputError(what, "{settings}", said=said, activity=activity, settings=settings)
    ((number, place),) = found
    return _with(at, number, place)


def _meant_by_words(lever: Lever, said: str) -> int:
    """The place of the one setting in which all these words stand, as 'large' for the large soft ball."""
    # A number is that of a setting, and no word in one: '7' is not 'around 7 cones'.
    if said.isdecimal():
        return 0
    found = [place for place, setting in enumerate(lever.settings, start=1) if is_meant(said, setting)]
    return found[0] if len(found) == 1 else 0


def _with(at: At, lever: int, place: int) -> At:
    """A task with another setting of one lever."""
    return (*at[:lever], place, *at[lever + 1 :])


def as_suggested(record: ClassRecord, key: RoundKey, label: str) -> ClassRecord:
    """The record in which a group gets the suggested task again.

    Raises
    ------
    InputError
        The round has no such group or no task, or nothing was chosen for it.
    """
    _task(record, key, label)
    kept = tuple(other for other in record.chosen_tasks if other.spot != (key, label))
    chosen = len(kept) < len(record.chosen_tasks)
    require(chosen, "no task was chosen for group {label} in this round", label=label)
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
    for number, lever in enumerate(task.challenge.levers):
        now, most = task.at[number], len(lever.settings)
        steps = range(now + 1, most + 1) if harder else range(now - 1, 0, -1)
        place = next((step for step in steps if allowed(number, step)), None)
        if place:
            way = _way(record, key, task, group, _with(task.at, number, place), lever.name, lever.settings[place - 1])
            found.append((not way.enough, way.trouble, _EASY_TO_CHANGE.index(lever.kind), number, way))
    return tuple(way for *_, way in sorted(found, key=lambda one: one[:-1]))[:WAYS]


_EASY_TO_CHANGE = ("scoring", "action", "movement", "", "people", "equipment", "target", "space")
"""Kinds of levers, those first that are a word to the group, and those last for which a field is laid out anew."""


def _way(
    record: ClassRecord, key: RoundKey, task: GroupTask, group: Group, at: At, lever: str, setting: Setting
) -> Way:
    before, after = (Counter(task.challenge.needs(each, len(group.members))) for each in (task.at, at))
    # A Counter less another one keeps what is above 0: what is to be fetched on the one side, put back on the other.
    success, more = success_before(record, key), after - before
    expected = success.share(at_work(group), at) if success else task.expected
    used = {folded(item): count for item, count in round_tasks(record, key).lay_out}
    there = {folded(store.item): store.count for store in record.cupboard}
    # Of what stands in no list there is enough.
    enough = all(item not in there or used.get(item, 0) + count <= there[item] for item, count in more.items())
    needs = tuple(more.items()), tuple((before - after).items())
    return Way(lever, setting.name, at, setting.shown, expected, *needs, enough)


def with_result(record: ClassRecord, result: TaskResult) -> ClassRecord:
    """The record with how a group's task went; the task that it worked at is looked up where it is not given.

    Raises
    ------
    InputError
        The round has no groups, or none with this label, or points are lost where nothing loses any.
    """
    challenge = None
    if result.key in record.unit.keys:
        challenge = record.challenge(record.unit.activity(result.key).name)
    # A child's own points and those of all are counted up; a rule of the teacher's own may take some off.
    if challenge and result.lost and not challenge.own_rule and not record.is_ranked(challenge.activity):
        before = result_of(record, result.key, result.label)
        what = "group {label} cannot lose {lost}: '{activity}' is played for the {scoring}, which takes nothing off"
        facts = {"activity": challenge.activity, "scoring": challenge.scoring}
        as_it_was = before is not None and before.lost == result.lost
        require(as_it_was, what, "give what it won", label=result.label, lost=result.lost, **facts)
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
    what = "in '{activity}' {points} points of group {label} do not tell how many hits there were"
    remedy = "give the points, and the hits of attempts beside them, such as 7/10"
    tells = bool(a_hit) and not rest
    require(tells, what, remedy, activity=activity, points=result.points, label=result.label)
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



def result_of(record: ClassRecord, key: RoundKey, label: str) -> TaskResult | None:
    """What was seen of a group in a round, or None."""
    return next((result for result in record.results if result.spot == (key, label)), None)


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
