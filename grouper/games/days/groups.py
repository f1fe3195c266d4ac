"""Play in a class: which activity, round, event or team is meant, and whether it still goes with groups and minutes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from grouper.errors import InputError, require
from grouper.model.plan import Group, Round
from grouper.model.play import GAMES, Event
from grouper.model.record import ClassRecord
from grouper.model.sides import FLOATER
from grouper.model.unit import Activity, RoundKey, large_and_small
from grouper.words import Remedy, Said, folded


def activity_meant(record: ClassRecord, lesson: int, name: str | None) -> Activity:
    """The activity of a lesson with this name, upper and lower case alike; with no name the lesson's only one.

    Raises
    ------
    InputError
        There is no such lesson or activity, or it is not clear which one is meant.
    """
    activities = record.lesson(lesson).activities
    wanted = [a for a in activities if name is None or folded(a.name) == folded(name)]
    if len(wanted) == 1:
        return wanted[0]
    names = ", ".join(f"'{activity.name}'" for activity in activities)
    if name is None:
        what, count = "lesson {lesson} has {count} activities", len(activities)
        raise InputError(what, "say which one: {names}", lesson=lesson, count=count, names=names)
    what = "lesson {lesson} has no activity '{name}'"
    raise InputError(what, "it has {names}", lesson=lesson, name=name, names=names)


def round_meant(record: ClassRecord, lesson: int, activity: Activity, number: int = 1) -> Round:
    """The planned round of an activity (InputError where there is none)."""
    what, last = "'{name}' in lesson {lesson} has rounds 1 to {rounds}, not {number}", activity.rounds
    require(1 <= number <= last, what, name=activity.name, lesson=lesson, rounds=last, number=number)
    place = record.lesson(lesson).activities.index(activity) + 1
    return record.planned(RoundKey(lesson, place, number))


def labels_of(groups: Iterable[Group]) -> tuple[str, ...]:
    """Labels in the order in which teams are numbered: whole numbers by value, then words.

    >>> labels_of([Group("10", ()), Group("2", ()), Group("Red", ())])
    ('2', '10', 'Red')
    """
    return tuple(sorted((group.label for group in groups), key=_by_label))


def _by_label(label: str) -> tuple[int, int, str, str]:
    number = int(label) if label.isascii() and label.isdigit() and len(label) < 16 else 0
    return (0, number, "", label) if number else (1, 0, label.casefold(), label)


def number_of(label: str, labels: Sequence[str], what: str) -> int:
    """The number, from 1, of the team or group with this label; InputError where there is none.

    >>> number_of("2", ("1", "2", "3"), "team")
    2
    """
    known = [folded(each) for each in labels]
    if folded(label) in known:
        return known.index(folded(label)) + 1
    raise InputError(
        "there is no {what} {label}", "there are {labels}", what=what, label=label, labels=", ".join(labels)
    )


def team_meant(event: Event, text: str) -> int:
    """The number of the team with this label, or that is called so; InputError where there is none."""
    names = [folded(name) for name in event.called]
    return names.index(folded(text)) + 1 if text and folded(text) in names else number_of(text, event.teams, "team")


def called(event: Event, names: Mapping[str, str]) -> Event:
    """The event with some teams (by label or name) called by other names, by their labels where that is empty.

    Raises
    ------
    InputError
        There is no such team, or two would have one name.
    """
    now = list(event.called or [""] * len(event.teams))
    for text, name in names.items():
        now[team_meant(event, text) - 1] = " ".join(name.split())
    return replace(event, called=tuple(now) if any(now) else ())


def of_class(record: ClassRecord, wish: Event, lesson: int, activity: str | None, number: int = 1) -> Event:
    """What is asked for, for the groups of a round of an activity, in the order of team numbers.

    Raises
    ------
    InputError
        There is no such lesson, activity or round, it has no groups yet, or the lesson has been taught.
    """
    meant = activity_meant(record, lesson, activity)
    round_ = round_meant(record, lesson, meant, number)
    record.check_open(lesson)
    teams = labels_of(teams_in(round_))
    # What teams are called goes on from lesson to lesson, as long as there are the same ones.
    before = [event for event in record.events if event.teams == teams and event.lesson <= lesson]
    names = max(before, key=lambda event: event.lesson).called if before else ()
    asked = replace(wish, lesson=lesson, activity=meant.name, round=number, teams=teams, called=wish.called or names)
    return replace(asked, across=larger_sides(record, round_))


def teams_in(round_: Round) -> tuple[Group, ...]:
    """The groups that play: floaters play for others and are no team."""
    return tuple(group for group in round_.groups if FLOATER not in group.roles)


def larger_sides(record: ClassRecord, round_: Round) -> tuple[int, ...]:
    """The numbers of the larger sides, where each is to play a smaller one; empty where all may play one another."""
    activity = record.unit.shaping(round_.key)
    if len(set(activity.playing)) != 2 or len(activity.playing) != 2:
        return ()
    large, small = large_and_small(activity, round_.sizes)
    labels = labels_of(teams_in(round_))
    sizes = {group.label: len(group.members) for group in round_.groups}
    return tuple(n for n, label in enumerate(labels, start=1) if sizes[label] in large) if large and small else ()


def event_meant(record: ClassRecord, kind: str, lesson: int, activity: str | None) -> Event:
    """The event of a kind of an activity; with no name that of the lesson, where one activity alone has one.

    Raises
    ------
    InputError
        There is none, or it is not clear which one is meant.
    """
    record.lesson(lesson)
    events = [event for event in record.events if (event.lesson, event.kind) == (lesson, kind)]
    wanted = [event for event in events if activity is None or folded(event.activity) == folded(activity)]
    if len(wanted) == 1:
        return wanted[0]
    if not wanted:
        where = f"'{activity}' in lesson {lesson}" if activity else f"lesson {lesson}"
        left = next((rest for rest in record.unheld if rest.lesson == lesson and rest.events), None)
        if left and any(event.kind == kind and activity in (None, event.activity) for event in left.events):
            raise InputError(
                "the {kind} of {where} were not held, as the lesson ended after round {after}",
                Remedy.SAY_WHERE_IT_ENDED,
                kind=kind,
                where=where,
                after=left.after,
            )
        raise InputError("{where} has no {kind} yet", plan_again(kind), where=where, kind=kind)
    names = ", ".join(f"'{event.activity}'" for event in events)
    what, count = "lesson {lesson} has {kind} in {count} activities", len(events)
    raise InputError(what, "say which one: {names}", lesson=lesson, kind=kind, count=count, names=names)


def goes_with(round_: Round, event: Event) -> bool:
    """Whether play is for the groups of a round: the same labels, in whatever order they stood when it was planned."""
    return sorted(group.label for group in teams_in(round_)) == sorted(event.teams)


def is_stale(record: ClassRecord, event: Event) -> bool:
    """Whether an event is for other groups than its activity has now, or for none at all."""
    round_ = record.round_of(event)
    return round_ is None or not goes_with(round_, event)


def stale_play(record: ClassRecord, lesson: int | None = None, before: ClassRecord | None = None) -> Iterator[Said]:
    """A word on the games and stations that are for other groups than there are now.

    Of the lessons to come, or of one; with ``before`` only of play that went with its groups in that record.
    """
    for event in record.events:
        asked = event.lesson not in record.taught if lesson is None else event.lesson == lesson
        known = before is not None and event in before.events and is_stale(before, event)
        if asked and not known and is_stale(record, event):
            yield _stale(record, event)


def _stale(record: ClassRecord, event: Event) -> Said:
    facts = {"kind": event.kind, "activity": event.activity, "lesson": event.lesson}
    if record.key_of(event) is None:
        # They are kept for the day when the lesson comes back, under its name, in the next table.
        gone = "The {kind} of '{activity}' lie aside: lesson {lesson} has no such activity any more"
        names = {activity.name for other in record.unit.lessons for activity in other.activities}
        return Said(gone, plan_again(event.kind) if event.activity in names else "", facts)
    who = "teams" if event.is_games else "groups"
    fits_no_more = "The {kind} of '{activity}' in lesson {lesson} are for other {who} than there are now"
    return Said(fits_no_more, plan_again(event.kind), {**facts, "who": who})


def plan_again(kind: str) -> Remedy:
    """How games or stations are planned."""
    return Remedy.PLAN_GAMES if kind == GAMES else Remedy.PLAN_STATIONS


def members_of(record: ClassRecord, event: Event) -> tuple[frozenset[str], ...]:
    """The students of each team by id, by team number; nobody where the groups are not there any more."""
    round_ = record.round_of(event)
    return tuple(frozenset(round_.members(label) if round_ else ()) for label in event.teams)


@dataclass(frozen=True)
class Active:
    """How many of a class play, and how many have a duty, in each slot of an activity; ``students`` are there."""

    students: int
    playing: tuple[int, ...]
    on_duty: tuple[int, ...]

    @property
    def share(self) -> float:
        """The share of the class that plays, over all slots (0 to 1)."""
        return sum(self.playing) / max(1, self.students * len(self.playing))

    @property
    def share_with_duty(self) -> float:
        """The same with those on duty."""
        return self.share + sum(self.on_duty) / max(1, self.students * len(self.playing))


def active_in(record: ClassRecord, event: Event) -> Active | None:
    """Who is active in play as it is planned: slots, sides and duty as they are; None where its groups are gone.

    A floater plays where a game is on, one a game. Whoever is aside is not counted, as they have a role beside the
    game; nor are those who are away.
    """
    round_ = record.round_of(event)
    if round_ is None or not event.assignments:
        return None
    sizes = [len(members) for members in members_of(record, event)]
    floating = len(round_.students) - sum(sizes)
    slots = [event.in_slot(slot) for slot in range(1, event.slots + 1)]
    playing = (sum(sizes[team - 1] for one in slot for team in one.teams) for slot in slots)
    return Active(
        len(round_.students),
        tuple(number + min(floating, len(slot)) for number, slot in zip(playing, slots, strict=True)),
        tuple(sum(sizes[one.duty - 1] for one in slot if one.duty) for slot in slots),
    )


def no_scores_lost(record: ClassRecord, event: Event) -> None:
    """Raise InputError where planning games anew would lose results."""
    if any(other.scored for other in record.games if other.key == event.key):
        what = "'{activity}' in lesson {lesson} has results already"
        raise InputError(what, Remedy.PLAN_REST, activity=event.activity, lesson=event.lesson)


@dataclass(frozen=True)
class TooLong:
    """The minutes that play takes and those there are; how many slots are planned, over, and fit."""

    takes: float
    minutes: float
    slots: int
    played: int
    fit: int

    @property
    def slots_left(self) -> int:
        """How many of the slots that are not over fit."""
        return max(0, self.fit - self.played)


def too_long(record: ClassRecord, event: Event, before: Event | None = None) -> TooLong | None:
    """By how much play is longer than the time there is; None where it fits, or nothing is known of the time.

    Parameters
    ----------
    record
        Its unit says how many minutes the activity has.
    event
        What is planned.
    before
        The same before its rest was planned anew; its minutes count where the unit says nothing.
    """
    key = record.key_of(event)
    minutes = record.unit.activity(key).minutes if key else None
    if minutes is None and before is not None and before.slots:
        minutes = before.timing.minutes_for(before.slots)
    takes = event.timing.minutes_for(event.slots) if event.slots else None
    # Minutes such as 0.1 may add up to a hair too many.
    if minutes is None or takes is None or takes <= minutes + 1e-6:
        return None
    return TooLong(takes, minutes, event.slots, event.played, event.timing.slots_in(minutes))
