"""A plan looked at from outside: everything is worked out anew from the tables and the exported groups.

Nothing of the tool is used here. What is checked are the words of its fixed formats: sizes, aims, requests, roles,
and the definitions of repeats, meeting cost, partners and spread.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from itertools import combinations
from math import comb

from .tables import ClassOnDisk, rows_of

Place = tuple[int, str, int]
"""Lesson, activity, round."""


@dataclass(frozen=True)
class OneRound:
    """A round as exported: by label who is in the group, by student the role; and those set aside."""

    place: Place
    activity: dict[str, str]
    groups: dict[str, list[str]]
    roles: dict[str, str]
    aside: list[str]

    @property
    def pairs(self) -> Iterator[tuple[str, str]]:
        """Each two students who share a group."""
        for members in self.groups.values():
            yield from combinations(sorted(members), 2)


@dataclass
class Seen:
    """A class on disk as an outsider sees it; ``out`` says who does not take part: lesson, student and first round."""

    disk: ClassOnDisk
    out: dict[tuple[int, str], int] = field(default_factory=dict)

    @cached_property
    def roster(self) -> dict[str, dict[str, str]]:
        """The students by id."""
        return {row["student_id"]: row for row in rows_of(self.disk.roster)}

    @cached_property
    def activities(self) -> list[dict[str, str]]:
        """The activities in the order of play."""
        return rows_of(self.disk.lessons)

    @cached_property
    def rounds(self) -> list[OneRound]:
        """The rounds that were exported, in the order of the file."""
        self.disk.exported()
        rows: dict[Place, list[dict[str, str]]] = {}
        for row in rows_of(self.disk.folder / "groups.csv"):
            rows.setdefault((int(row["lesson"]), row["activity"], int(row["round"])), []).append(row)
        return [self._round(place, of_round) for place, of_round in rows.items()]

    def _round(self, place: Place, rows: list[dict[str, str]]) -> OneRound:
        groups: dict[str, list[str]] = {}
        for row in rows:
            if row["group"]:
                groups.setdefault(row["group"], []).append(row["student_id"])
        aside = [row["student_id"] for row in rows if not row["group"]]
        return OneRound(place, self._activity(place), groups, {row["student_id"]: row["role"] for row in rows}, aside)

    def _activity(self, place: Place) -> dict[str, str]:
        return next(a for a in self.activities if (int(a["lesson"]), a["activity"]) == place[:2])

    def skill(self, student: str) -> Fraction:
        """The rating of a student."""
        return Fraction(self.roster[student]["skill"])

    def places(self) -> list[Place]:
        """The rounds that there have to be, in the order of play."""
        return [
            (int(a["lesson"]), a["activity"], number)
            for a in self.activities
            for number in range(1, int(a["rounds"] or 1) + 1)
        ]

    def here(self, place: Place) -> set[str]:
        """Who takes part in a round."""
        in_lesson = [other for other in self.places() if other[0] == place[0]]
        number = in_lesson.index(place) + 1
        return {s for s in self.roster if number < self.out.get((place[0], s), number + 1)}

    def leader(self, place: Place) -> OneRound:
        """The round whose groups a round has: itself, or for the aim stay the last one of another aim before it."""
        numbered = {round_.place: round_ for round_ in self.rounds}
        before = [numbered[other] for other in self.places()[: self.places().index(place) + 1] if other in numbered]
        return next(round_ for round_ in reversed(before) if round_.activity["aim"] != "stay")

    def in_pairs(self, round_: OneRound) -> bool:
        """Whether a round is one of pairs."""
        return self.leader(round_.place).activity["size"] == "2"

    def coached(self, round_: OneRound) -> bool:
        """Whether people coach one another in a round."""
        return self.leader(round_.place).activity["aim"] == "coaching"

    def requests(self) -> Iterator[tuple[str, tuple[str, str], int, int]]:
        """Kind, the two students, first and last lesson."""
        for row in rows_of(self.disk.requests):
            pair = (min(row["student"], row["other"]), max(row["student"], row["other"]))
            yield row["kind"], pair, int(row["first_lesson"] or 1), int(row["last_lesson"] or 10**6)


def sizes_wanted(size: str, groups: str, people: int) -> list[int]:
    """Sizes of groups, largest first, by the rule of the formats: they differ by one at most; one trio with size 2;
    ceil(people / size) groups with any other size."""
    if not people:
        return []
    if groups:
        count = min(int(groups), people)
    elif size == "2":
        count = max(1, people // 2)
    else:
        count = -(-people // int(size))
    return sorted((people // count + (place < people % count) for place in range(count)), reverse=True)


def faults(seen: Seen) -> list[str]:
    """All that is wrong with a plan."""
    found = [] if [r.place for r in seen.rounds] == seen.places() else ["other rounds than the lessons say"]
    for round_ in seen.rounds:
        for check in (_people, _sizes, _requests, _windows, _roles, _stays):
            found += [f"{round_.place}: {fault}" for fault in check(seen, round_)]
    return found


def _people(seen: Seen, round_: OneRound) -> Iterator[str]:
    times = Counter(student for members in round_.groups.values() for student in members)
    if set(times) != seen.here(round_.place):
        yield f"{sorted(set(times) ^ seen.here(round_.place))} are missing, or there and should not be"
    if any(count > 1 for count in times.values()):
        yield "somebody stands in two groups"


def _sizes(seen: Seen, round_: OneRound) -> Iterator[str]:
    led_by = seen.leader(round_.place).activity
    wanted = sizes_wanted(led_by["size"], led_by["groups"], len(seen.here(round_.place)))
    have = sorted(map(len, round_.groups.values()), reverse=True)
    if have != wanted:
        yield f"sizes {have}, not {wanted}"


def _requests(seen: Seen, round_: OneRound) -> Iterator[str]:
    shared, here = set(round_.pairs), seen.here(round_.place)
    alone = all(len(members) == 1 for members in round_.groups.values())
    for kind, pair, first, last in seen.requests():
        if first <= round_.place[0] <= last and set(pair) <= here:
            if kind == "apart" and pair in shared:
                yield f"{pair} not apart"
            if kind == "together" and pair not in shared and not alone:
                yield f"{pair} not together"


def _windows(seen: Seen, round_: OneRound) -> Iterator[str]:
    if round_.activity["aim"] != "coaching":
        return
    low = Fraction(round_.activity["min_gap"] or 0)
    high = Fraction(round_.activity["max_gap"] or 10**6)
    for members in round_.groups.values():
        if len(members) == 2 and not low <= abs(seen.skill(members[0]) - seen.skill(members[1])) <= high:
            yield f"the gap of {members} is outside of the window"


def _roles(seen: Seen, round_: OneRound) -> Iterator[str]:
    for members in round_.groups.values():
        roles = sorted(round_.roles[student] for student in members)
        coaching = seen.coached(round_) and len(members) > 1
        if roles != (["coach", *["learner"] * (len(members) - 1)] if coaching else [""] * len(members)):
            yield f"roles {roles} of {members}"


def _stays(seen: Seen, round_: OneRound) -> Iterator[str]:
    leader = seen.leader(round_.place)
    if round_.activity["aim"] == "stay" and seen.here(leader.place) == seen.here(round_.place):
        then, now = ({label: set(m) for label, m in r.groups.items()} for r in (leader, round_))
        if then != now:
            yield "the groups did not stay"


@dataclass(frozen=True)
class Counts:
    """What a plan comes to, counted from the exported groups."""

    repeats: int
    meeting_cost: int
    partners: dict[str, int]
    most_meetings: int
    spreads: list[float]
    trio_turns: dict[str, int]
    coach_turns: dict[str, int]


def counts(seen: Seen) -> Counts:
    """Count a plan."""
    meetings = Counter(pair for round_ in seen.rounds for pair in round_.pairs)
    balanced = [round_ for round_ in seen.rounds if round_.activity["aim"] == "balanced" and round_.groups]
    return Counts(
        repeats=sum(times - 1 for times in meetings.values()),
        meeting_cost=sum(comb(times, 2) for times in meetings.values()),
        partners=_partners(seen, meetings),
        most_meetings=max(meetings.values(), default=0),
        spreads=[float(_spread(seen, round_)) for round_ in balanced],
        trio_turns=_turns(seen, trio_turns_before(seen, None)),
        coach_turns=_turns(seen, Counter(s for r in seen.rounds for s, role in r.roles.items() if role == "coach")),
    )


def _partners(seen: Seen, meetings: Counter[tuple[str, str]]) -> dict[str, int]:
    played = {student for round_ in seen.rounds for members in round_.groups.values() for student in members}
    return {student: sum(student in pair for pair in meetings) for student in played}


def _spread(seen: Seen, round_: OneRound) -> Fraction:
    averages = [sum(map(seen.skill, members), Fraction(0)) / len(members) for members in round_.groups.values()]
    return max(averages) - min(averages)


def _turns(seen: Seen, turns: Counter[str]) -> dict[str, int]:
    return {student: times for student, times in turns.items() if times}


def trio_turns_before(seen: Seen, place: Place | None) -> Counter[str]:
    """How often each student was in the trio of a round of pairs, in the rounds before ``place`` or in all."""
    places = seen.places()
    until = len(places) if place is None else places.index(place)
    return Counter(
        student
        for round_ in seen.rounds
        if seen.in_pairs(round_) and places.index(round_.place) < until
        for members in round_.groups.values()
        if len(members) == 3
        for student in members
    )
