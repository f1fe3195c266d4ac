"""How rounds really ran: corrected at any time, before a lesson is closed or long after.

The ledger, fairness and later plans follow by themselves, as they are computed from the rounds of the record. What was
noted of groups follows the people, to their label and to who they were.
In the next unit what ran is the past, and fades.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from grouper.errors import InputError
from grouper.model.ledger import COACH, LEARNER, SMALLER, PastRound
from grouper.model.noted import Absence, ChosenTask, Spot, TaskResult, merged
from grouper.model.plan import Group, Plan, Round
from grouper.model.play import Event
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.unit import RoundKey, Unit
from grouper.rules.turns import special_sizes
from grouper.words import Remedy

OfGroup = TypeVar("OfGroup", TaskResult, ChosenTask)
People = frozenset[str]


def following(record: ClassRecord, before: Plan) -> ClassRecord:
    """The record whose rounds were corrected since ``before``, with results, choices, games and stations of its people.

    A group that only got another label takes what was noted of it along, and plays on under that label. A choice, and a
    score whose two teams stood as in ``before``, are of those who stand in the groups now.
    """
    labels: dict[Spot, str] = {}
    put_right = [r for r in record.plan.rounds if r.key in before.by_key and before.by_key[r.key].groups != r.groups]
    for round_ in put_right:
        now = {frozenset(group.members): group.label for group in round_.groups}
        for group in before.by_key[round_.key].groups:
            label = now.get(frozenset(group.members), group.label)
            if label != group.label:
                labels[(round_.key, group.label)] = label
    chosen = list(_relabelled(record.chosen_tasks, labels))
    for at, one in enumerate(chosen):
        members = record.plan.members(one.key, one.label)
        if members and one.key in {round_.key for round_ in put_right}:
            chosen[at] = replace(one, members=members)
    return replace(
        record,
        results=_relabelled(record.results, labels),
        chosen_tasks=tuple(chosen),
        events=tuple(_with_people(record, event, before, labels) for event in record.events),
    )


def _relabelled(noted: tuple[OfGroup, ...], labels: Mapping[Spot, str]) -> tuple[OfGroup, ...]:
    """In order, and one a group: what followed its people goes before what stood at that label."""
    moved = {(one.key, labels.get(one.spot, "")): one for one in noted}
    stayed = {one.spot: one for one in noted if one.spot not in labels}
    found = {**stayed, **{spot: replace(one, label=spot[1]) for spot, one in moved.items() if spot[1]}}
    return tuple(found[spot] for spot in sorted(found))


def _with_people(record: ClassRecord, event: Event, before: Plan, labels: Mapping[Spot, str]) -> Event:
    """The event under the labels of now, its scores with those who really played.

    A team that was not there at all has nobody.
    """
    key = record.key_of(event)
    known, now = (plan.by_key.get(key) if key else None for plan in (before, record.plan))
    if key is None or known is None or now is None or known.groups == now.groups:
        return event
    people = {
        frozenset(group.members): now.members(labels.get((key, group.label), group.label)) for group in known.groups
    }
    games = tuple(
        replace(game, lineup=tuple(people.get(frozenset(side), side) for side in game.lineup))
        for game in event.assignments
    )
    moved = {old: new for (of_round, old), new in labels.items() if of_round == key}
    # Each label once: a team that is not there any more leaves its own to one that got it, and takes one that is free.
    taken = {moved[team] for team in event.teams if team in moved}
    left = iter([team for team in event.teams if team in moved and team not in taken])
    teams = (moved[team] if team in moved else next(left) if team in taken else team for team in event.teams)
    return replace(event, teams=tuple(teams), assignments=games)


Groups = Mapping[RoundKey, tuple[Group, ...]]


def corrected(record: ClassRecord, groups: Groups) -> ClassRecord:
    """The record with rounds as they really ran; what was planned stays beside it.

    They are pinned, as they have been played. What was seen of a group follows it to another label, and scores are of
    those who really played.

    Raises
    ------
    InputError
        A round has no groups in the plan, or somebody stands in two groups at once.
    """
    planned = {key: record.planned(key) for key in groups}
    rounds = {key: _as_it_ran(record, planned[key], ran) for key, ran in groups.items()}
    return following(replace(record, plan=record.plan.with_rounds(rounds)), record.plan)


def _as_it_ran(record: ClassRecord, round_: Round, groups: tuple[Group, ...]) -> Round:
    students = [student for group in groups for student in group.members]
    twice = sorted({record.roster.name(student) for student in students if students.count(student) > 1})
    if twice:
        where = f"lesson {round_.key.lesson}, round {record.place_in_lesson(round_.key)}"
        raise InputError("{where}: {twice} in two groups at once", where=where, twice=", ".join(twice))
    return replace(round_, groups=groups, pinned=True, ran=True)


def moved(record: ClassRecord, key: RoundKey, student: str, label: str) -> ClassRecord:
    """A student was in the group with this label in a round, or in none (empty label); their role there is not known.

    Raises
    ------
    InputError
        The round has no groups in the plan, or no such group; the student was where they are said to have been.
    """
    round_ = record.planned(key)
    labels = [group.label for group in round_.groups]
    if label and label not in labels:
        where = f"lesson {key.lesson}, round {record.place_in_lesson(key)}"
        what, names = "{where} has no group '{label}'", ", ".join(labels)
        raise InputError(what, "its groups are {labels}", where=where, label=label, labels=names)
    stood = round_.group_of(student)
    if (stood.label if stood else "") == label:
        name, where = record.roster.name(student), f"in group {label}" if label else "in no group"
        raise InputError("{name} is {where} already", name=name, where=where)
    groups = []
    for group in round_.groups:
        # Roles of the others stay as they were: who coached is known, whoever else was there.
        now = group.only(set(group.members) - {student})
        if group.label == label:
            now = replace(now, members=(*now.members, student), roles=(*now.roles, "") if now.roles else ())
        groups += [now] if now.members else []
    ran = corrected(record, {key: tuple(groups)})
    if not label:
        return ran
    # They were there, and attendance says so of this round; what it says of those before and after stays.
    place, last = record.place_in_lesson(key), len(record.lesson(key.lesson).keys)
    absences: list[Absence] = []
    for absence in record.absences:
        if (absence.lesson, absence.student) == (key.lesson, student) and absence.covers(place):
            absences.extend(_around(absence, place, place, last))
        else:
            absences.append(absence)
    return replace(ran, absences=tuple(sorted(absences)))


def _around(absence: Absence, since: int, until: int, last: int) -> Iterator[Absence]:
    """What an absence says of the rounds before and after some, in a lesson whose last round is ``last``."""
    ends = last if absence.until is None else absence.until
    if absence.since < since:
        yield replace(absence, until=min(ends, since - 1))
    if until < ends:
        yield replace(absence, since=max(absence.since, until + 1))



def had_role(record: ClassRecord, key: RoundKey, student: str, role: str) -> ClassRecord:
    """A student had a role in a round; where they were the coach, the others of their group were learners.

    Who was there without taking part has it for as long as that lasted.

    Raises
    ------
    InputError
        The round has no groups in the plan, or the student was in none of them.
    """
    place = record.place_in_lesson(key)
    for absence in record.absences_of(student, key.lesson):
        if absence.state == "aside" and absence.covers(place):
            others = [each for each in record.absences if each != absence]
            return replace(record, absences=tuple(sorted([*others, replace(absence, role=role)])))
    round_ = record.plan.by_key.get(key)
    group = round_.group_of(student) if round_ else None
    if round_ is None or group is None:
        where, name = f"lesson {key.lesson}, round {place}", record.roster.name(student)
        raise InputError("{where}: {name} is in no group, so that they had no role in one", where=where, name=name)
    now = {member: LEARNER if role == COACH else group.role(member) for member in group.members}
    roles = tuple({**now, student: role}.values())
    groups = tuple(replace(group, roles=roles) if each == group else each for each in round_.groups)
    return corrected(record, {key: groups})


def was_away(
    record: ClassRecord, lesson: int, student: str, since: int = 1, until: int | None = None, aside: str = ""
) -> ClassRecord:
    """A student was in no group in rounds of a lesson, counted from 1: they leave those groups, and attendance says so.

    What it says of the other rounds stays, as they were in no group there either.
    With a word for ``aside`` they were there and had this role, such as scorer; else they were away.

    Raises
    ------
    InputError
        There is no such lesson or round, or the lesson has no groups.
    """
    keys = record.lesson(lesson).keys
    last = len(keys) if until is None else until
    if not 1 <= since <= last <= len(keys):
        what = "lesson {lesson} has rounds 1 to {count}, not {since} to {last}"
        raise InputError(what, lesson=lesson, count=len(keys), since=since, last=last)
    for key in keys[since - 1 : last]:
        if record.planned(key).group_of(student) is not None:
            record = moved(record, key, student, "")
    state = "aside" if aside else "away"
    # Open at its end where it lasts to the last round: a round that is added later is missed as well.
    absence = Absence(lesson, student, state, since, aside, None if last == len(keys) else last)
    # Of one student in one lesson absences are merged, so that theirs are taken out and put back as a whole.
    others = [a for a in record.absences if (a.lesson, a.student) != (lesson, student)]
    own = [part for a in record.absences_of(student, lesson) for part in _around(a, since, last, len(keys))]
    return replace(record, absences=tuple(sorted([*others, *merged([*own, absence])])))


@dataclass(frozen=True)
class NextUnit:
    """A record at the start of a unit, and how many rounds became the past."""

    record: ClassRecord
    rounds: int


def next_unit(record: ClassRecord, unit: Unit) -> NextUnit:
    """The class with a new unit, knowing who worked with whom in all units before.

    Rounds of lessons that were taught become the past, as they ran; those that were never taught are forgotten. The
    roster, ratings, requests for all lessons, levers, adaptations and settings stay; absences, notes, results, games
    and stations, and requests for certain lessons, end with the old unit. Who has left stays on the roster, for the
    past to name.

    Raises
    ------
    InputError
        No lesson has been taught, so that there is no unit to end.
    """
    if not record.taught:
        raise InputError("no lesson of this unit has been taught", Remedy.CHANGE_LESSONS)
    ran = tuple(ran_rounds(record))
    # Who is in the class belongs to all lessons of the new unit, who has left to none.
    stay = record.roster.students
    students = (replace(s, first_lesson=1, last_lesson=0 if s.archived else None) for s in stay)
    begun = replace(
        record,
        roster=replace(record.roster, students=tuple(students)),
        unit=unit,
        requests=tuple(request for request in record.requests if lasts(request)),
        absences=(),
        plan=Plan(),
        taught=frozenset(),
        events=(),
        notes=(),
        results=(),
        chosen_tasks=(),
        learnt=(),
        past=(*record.past, *ran),
        unheld=(),
        begun={},
    )
    return NextUnit(begun, len(ran))


def lasts(request: Request) -> bool:
    """Whether a request is for all lessons, so that it goes on in the next unit."""
    return request.first_lesson is None and request.last_lesson is None


def ran_rounds(record: ClassRecord) -> Iterator[PastRound]:
    """The rounds of the lessons taught, as they ran, in the order of play, numbered as the unit after all past."""
    number = max((round_.unit for round_ in record.past), default=0) + 1
    problem = problem_of(record)
    for round_ in record.plan.rounds:
        if round_.key.lesson in record.taught:
            lesson, activity = record.lesson(round_.key.lesson), record.unit.activity(round_.key)
            in_pairs = problem.shaped_by(round_.key).in_pairs
            smaller, groups = special_sizes(problem, problem.by_key[round_.key]), []
            for group in round_.groups:
                # Of the sides that were asked for nothing is kept, so the smaller one keeps that it was its turn.
                had_turn = len(group.members) in smaller and not group.roles
                groups.append(replace(group, roles=(SMALLER,) * len(group.members)) if had_turn else group)
            yield PastRound(number, round_.key, lesson.date, activity.name, in_pairs, tuple(groups))
