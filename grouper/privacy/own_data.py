"""All that a class file holds on one student, as a copy for them or their parents, with nothing of anybody else.

For the right of access (GDPR Art. 15; FERPA 34 CFR 99.10), and so that it does not harm the rights of others (GDPR
Art. 15(4)): of groups only the size and the student's own role, of games only the own team's points, of requests
never with whom. What the teacher typed is searched for names of classmates, which are masked; a note is in it where it
names the student for certain. A note that could as well be about a classmate of the same given name is left out, and
counted; the teacher decides on it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from grouper.model.held import whole
from grouper.model.plan import Group
from grouper.model.play import Assignment, Event
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.model.unit import RoundKey
from grouper.privacy.names import Others, others_of

Facts = dict[str, Any]

ABOUT = (
    "All that the class file holds on this student. Nothing in it names a classmate: their names are masked where the "
    "teacher typed them, and groups are told by their size."
)
BEFORE_UNDO = "The file's list of changes can take back up to 100 of them, and so holds what was there before."


@dataclass(frozen=True)
class _Own:
    """One student in a record of all that is kept, not only of what was ``held``; with words for masking others."""

    record: ClassRecord
    student: Student
    others: Others
    held: frozenset[RoundKey]

    @property
    def id(self) -> str:
        return self.student.id


def own_data(record: ClassRecord, student: str, changes: Iterable[str] = ()) -> Facts:
    """Plain data, ready for JSON: a table for each kind of facts.

    Parameters
    ----------
    record, student
        The class, and whose data (id).
    changes
        The file's log of changes in words, the oldest first.
    """
    person = record.roster.by_id[student]
    held = frozenset(key for key in record.unit.keys if key.lesson in record.taught)
    own = _Own(whole(record), person, others_of(record.roster, person), held)
    places = [{"lesson": note["lesson"], "round": note["round"]} for note in _notes(own, for_certain=False)]
    return {
        "about": ABOUT,
        "student": {
            "id": person.id,
            "name": person.name,
            "size_band": person.size_band,
            "availability": person.availability or "takes part",
            "first_lesson": person.first_lesson,
            "last_lesson": person.last_lesson,
        },
        **{table.key: list(table.rows(own)) for table in TABLES},
        "notes_left_out": {
            "count": len(places),
            "places": places,
            "why": "A name in them is one that a classmate has too; the teacher decides whom they are about.",
        },
        "changes": [own.others.masked(what) for what in changes if own.others.may_speak_of(what)],
        "changes_hold": BEFORE_UNDO,
    }


def _ratings(own: _Own) -> Iterator[Facts]:
    for strand, rating in own.student.ratings.items():
        yield {"strand": own.others.masked(strand), "rating": rating}
    for learnt in own.record.learnt:
        if learnt.student == own.id:
            yield {
                "strand": own.others.masked(learnt.strand),
                "first_guess": learnt.guess,
                "rating_suggested_from_results": learnt.value,
                "results_through_lesson": learnt.through,
            }


def _attendance(own: _Own) -> Iterator[Facts]:
    for absence in own.record.absences:
        if absence.student == own.id:
            yield {
                "lesson": absence.lesson,
                "state": absence.state,
                "from_round": absence.since,
                "to_round": absence.until,
                "role": own.others.masked(absence.role),
            }


def _in_group(own: _Own, group: Group) -> Facts:
    return {"people_in_group": len(group.members), "role": own.others.masked(group.role(own.id))}


def _rounds(own: _Own) -> Iterator[Facts]:
    for round_ in own.record.plan.rounds:
        now = round_.group_of(own.id)
        planned = next((group for group in round_.planned if own.id in group.members), None)
        if now or planned:
            yield {
                **_where(own, round_.key),
                "taught": round_.key in own.held,
                **(_in_group(own, now) if now else {"people_in_group": 0, "role": ""}),
                "people_in_planned_group": len(planned.members) if planned else 0,
            }


def _where(own: _Own, key: RoundKey) -> Facts:
    lesson = own.record.lesson(key.lesson)
    activity = own.record.unit.activity(key)
    return {
        "lesson": key.lesson,
        "date": lesson.date,
        "activity": own.others.masked(activity.name),
        "round": key.round,
        "minutes": activity.minutes,
    }


def _earlier(own: _Own) -> Iterator[Facts]:
    for past in own.record.past:
        group = past.as_round.group_of(own.id)
        if group:
            yield {
                "unit": past.unit,
                "lesson": past.key.lesson,
                "date": past.date,
                "activity": own.others.masked(past.activity),
                "round": past.key.round,
                **_in_group(own, group),
            }


def _events(own: _Own, games: bool) -> Iterator[tuple[Event, Facts, int]]:
    """The games, or the stations, each with where it is and the number of the student's team; 0 where there is none."""
    for event in own.record.events:
        if event.is_games == games:
            round_ = own.record.round_of(event)
            group = round_.group_of(own.id) if round_ else None
            number = event.teams.index(group.label) + 1 if group and group.label in event.teams else 0
            yield event, {"lesson": event.lesson, "activity": own.others.masked(event.activity)}, number


def _games(own: _Own) -> Iterator[Facts]:
    for event, where, team in _events(own, games=True):
        for game in event.assignments:
            played = team
            if game.lineup and team != game.duty:
                # The team that the student was in when it was played; else, where that is not known, the one of today.
                there = zip(game.teams, game.lineup, strict=True)
                played = next((number for number, members in there if own.id in members), 0)
            if played in (*game.teams, game.duty):
                yield {**where, "slot": game.slot, "court": game.place, **_own_side(game, played)}


def _own_side(game: Assignment, team: int) -> Facts:
    """What a game was for one of its teams, without the other's."""
    score = game.score
    if team == game.duty:
        return {"own_team": "on duty"}
    if score is None:
        return {"own_team": "plays"}
    if team == game.home:
        own = (score.home, score.home_lost, score.home_bonus, score.home_penalty)
    else:
        own = (score.away, score.away_lost, score.away_bonus, score.away_penalty)
    return {"own_team": "plays", **dict(zip(("points", "lost_in_play", "bonus", "penalty"), own, strict=True))}


def _stations(own: _Own) -> Iterator[Facts]:
    for event, where, group in _events(own, games=False):
        for one in event.assignments:
            if group in one.teams:
                name = own.others.masked(event.places[one.place - 1])
                yield {**where, "slot": one.slot, "station": one.place, "name": name}


def _tasks(own: _Own) -> Iterator[Facts]:
    for result in own.record.results:
        members = own.record.plan.members(result.key, result.label)
        if own.id in members:
            yield {
                **_where(own, result.key),
                "people_in_group": len(members),
                "for_the_group_it_was": result.felt,
                "hits_of_the_group": result.hits,
                "tries_of_the_group": result.tries,
                "points_of_the_group": result.net,
                "settings": list(result.at),
            }


def _chosen_tasks(own: _Own) -> Iterator[Facts]:
    for chosen in own.record.chosen_tasks:
        members = own.record.plan.members(chosen.key, chosen.label)
        if own.id in members:
            yield {**_where(own, chosen.key), "people_in_group": len(members), "settings": list(chosen.at)}


def _adaptations(own: _Own) -> Iterator[Facts]:
    for one in own.record.adaptations:
        if one.student == own.id:
            yield {"kept": one.kind, "what": own.others.masked(one.what)}


def _requests(own: _Own) -> Iterator[Facts]:
    for request in own.record.requests:
        if own.id in request.pair:
            yield {
                "kind": request.kind,
                "with": "one classmate",
                "first_lesson": request.first_lesson,
                "last_lesson": request.last_lesson,
            }


def _notes(own: _Own, for_certain: bool) -> Iterator[Facts]:
    """Notes that name the student for certain, or those that may do so and are not certain."""
    for note in own.record.notes:
        certain = own.others.speaks_of(note.text)
        if certain == for_certain and own.others.may_speak_of(note.text):
            yield {"lesson": note.lesson, "round": note.place or None, "text": own.others.masked(note.text)}


@dataclass(frozen=True)
class OwnTable:
    """A kind of facts: its key as data, its title for people, and its rows for one student."""

    key: str
    title: str
    rows: Callable[[_Own], Iterator[Facts]]


TABLES = (
    OwnTable("ratings", "Ratings", _ratings),
    OwnTable("attendance", "Away, or there without taking part", _attendance),
    OwnTable("rounds", "Groups of this unit", _rounds),
    OwnTable("earlier_units", "Groups of earlier units", _earlier),
    OwnTable("games", "Games of the own team", _games),
    OwnTable("stations", "Stations of the own group", _stations),
    OwnTable("tasks", "How tasks went for the own group", _tasks),
    OwnTable("chosen_tasks", "Tasks that the teacher chose for the own group", _chosen_tasks),
    OwnTable("requests", "Requests", _requests),
    OwnTable("adaptations", "What is always kept", _adaptations),
    OwnTable("notes", "Notes of the teacher", lambda own: _notes(own, for_certain=True)),
)
"""The door for another kind of facts: what is on this list is in the data and on the page alike."""
