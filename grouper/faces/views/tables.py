"""What a class file holds as tidy tables, a row a fact: for frames, for CSV and XLSX, and for several classes at once.

A table is a name, its columns and the rows of a record. Whoever adds a table adds a line to TABLES: the frames of
``import grouper``, ``grouper export`` and the page of docs/scripting.md go by that list.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

from grouper.faces.wording.tasks import settings_in_words
from grouper.files.groups import group_rows
from grouper.model.ledger import ledger_of
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.fairness import fairness_of
from grouper.planning.turns import Turns

Cell = str | int | float | None
"""One fact; None where there is none."""


@dataclass(frozen=True)
class Column:
    """A column: its header, what it means, and what its cells are (``text``, ``whole`` or ``number``)."""

    header: str
    meaning: str
    kind: str = "text"


Rows = Callable[[ClassRecord], Iterable[tuple[Cell, ...]]]
"""The facts of a record, in the order of the columns."""


@dataclass(frozen=True)
class Table:
    """A table: its name, its columns, and its rows for a record; ``more`` names columns that depend on the class."""

    name: str
    columns: tuple[Column, ...]
    rows: Rows
    more: Callable[[ClassRecord], tuple[Column, ...]] = lambda record: ()

    def columns_for(self, record: ClassRecord) -> tuple[Column, ...]:
        """All columns, those of the class included, such as its strands."""
        return (*self.columns, *self.more(record))


_LESSON = Column("lesson", "number of the lesson, from 1", "whole")
_ACTIVITY = Column("activity", "as the teacher calls it")
_ROUND = Column("round", "round of the activity, from 1", "whole")
_STUDENT = Column("student_id", "the student, as in the roster")
_NAME = Column("name", "the student's name")


def _roster(record: ClassRecord) -> Iterator[tuple[Cell, ...]]:
    for student in record.roster.active:
        ratings = tuple(student.ratings.get(strand) for strand in record.roster.strands)
        yield (student.id, student.name, student.size_band, student.availability, *ratings)


def _strands(record: ClassRecord) -> tuple[Column, ...]:
    return tuple(Column(strand, "the rating; empty where not rated", "number") for strand in record.roster.strands)


def _lessons(record: ClassRecord) -> Iterator[tuple[Cell, ...]]:
    for lesson in record.unit.lessons:
        for a in lesson.activities:
            how = (a.size, a.groups, a.rounds, a.minutes, a.aim, a.strand, a.min_gap, a.max_gap)
            yield (lesson.number, lesson.date, a.name, *how, a.caution, a.sides, a.edge or None)


def _requests(record: ClassRecord) -> Iterator[tuple[Cell, ...]]:
    for asked in record.requests:
        yield (asked.kind, asked.student, asked.other, asked.first_lesson, asked.last_lesson)


def _groups(record: ClassRecord) -> Iterator[tuple[Cell, ...]]:
    for lesson, activity, number, *rest in group_rows(record):
        yield (int(lesson), activity, int(number), *rest)


def _meetings(record: ClassRecord) -> Iterator[tuple[Cell, ...]]:
    """Every two who were in a round at the same time, those who never met included."""
    students = record.roster.by_id
    there: Counter[tuple[str, str]] = Counter()
    for round_ in record.plan.rounds:
        there.update(combinations(sorted(round_.students), 2))
    met = ledger_of(record.plan.rounds).meetings
    for one, other in sorted(there):
        yield (one, students[one].name, other, students[other].name, met[one, other], there[one, other])


def _attendance(record: ClassRecord) -> Iterator[tuple[Cell, ...]]:
    for lesson in record.unit.lessons:
        for student in record.roster.students:
            if not student.belongs_in(lesson.number):
                continue
            states: Counter[str] = Counter()
            for key in lesson.keys:
                # By the groups, where there are any: what is said of a student today is not true of what is over.
                round_ = record.plan.by_key.get(key)
                there = round_ and round_.group_of(student.id)
                states["here" if there else record.state(student, key) or ("away" if round_ else "here")] += 1
            role = next((a.role for a in record.absences_of(student.id, lesson.number) if a.role), "")
            taught = "yes" if lesson.number in record.taught else "no"
            counts = (states["here"], states["aside"], states["away"])
            yield (lesson.number, lesson.date, taught, student.id, student.name, *counts, role)


def _turns(record: ClassRecord) -> Iterator[tuple[Cell, ...]]:
    fairness = fairness_of(record)
    rounds = Counter(student for round_ in record.plan.rounds for student in round_.students)
    for student in record.roster.students:
        if not rounds[student.id]:
            continue
        turns = (_turns_of(fairness.trio, student.id), _turns_of(fairness.coach, student.id))
        yield (student.id, student.name, rounds[student.id], fairness.partners[student.id], *turns)


def _turns_of(turns: Turns | None, student: str) -> int | None:
    return None if turns is None else turns.by_student.get(student)


def _fairness(record: ClassRecord) -> Iterator[tuple[Cell, ...]]:
    fairness = fairness_of(record)
    yield ("repeats", fairness.repeats, fairness.bounds.repeats)
    yield ("meeting_cost", fairness.meeting_cost, fairness.bounds.meeting_cost)
    yield ("breaches", len(fairness.breaches), 0)
    yield ("fewest_partners", fairness.fewest_partners, None)
    yield ("most_partners", fairness.most_partners, None)
    yield ("most_meetings", fairness.most_meetings, None)
    yield ("twice_in_a_lesson", fairness.twice_in_a_lesson, None)
    if fairness.met_in_earlier_units is not None:
        yield ("met_in_earlier_units", fairness.met_in_earlier_units, fairness.fewest_met_in_earlier_units)
    if fairness.worst_spread is not None:
        yield ("worst_spread", round(fairness.worst_spread.spread, 6), None)


def _results(record: ClassRecord) -> Iterator[tuple[Cell, ...]]:
    for result in record.results:
        challenge = record.challenge(record.unit.activity(result.key).name)
        yield (
            *_where(record, result.key),
            result.label,
            result.felt,
            result.hits,
            result.tries,
            settings_in_words(challenge, result.at) if challenge and result.at else "",
            result.points,
            None if result.points is None else result.lost,
        )


def _where(record: ClassRecord, key: RoundKey) -> tuple[Cell, ...]:
    return key.lesson, record.unit.activity(key).name, key.round


def _scores(record: ClassRecord) -> Iterator[tuple[Cell, ...]]:
    for event in record.games:
        for game in event.assignments:
            teams = (event.label(game.home), event.label(game.away))
            points: tuple[Cell, ...] = (None,) * 8
            if score := game.score:
                extras = (score.home_bonus, score.away_bonus, score.home_penalty, score.away_penalty)
                points = (score.home, score.away, score.home_lost, score.away_lost, *extras)
            yield (event.lesson, event.activity, game.slot, game.place, *teams, *points)


def _absences(record: ClassRecord) -> Iterator[tuple[Cell, ...]]:
    for a in record.absences:
        yield (a.lesson, a.student, record.roster.by_id[a.student].name, a.state, a.since, a.until, a.role)


def _table(
    name: str, rows: Rows, *columns: Column, more: Callable[[ClassRecord], tuple[Column, ...]] = lambda record: ()
) -> Table:
    return Table(name, columns, rows, more)


TABLES: dict[str, Table] = {
    table.name: table
    for table in (
        _table(
            "roster", _roster, _STUDENT, _NAME,
            Column("size_band", "S, M, L or empty"),
            Column("availability", "aside, away, or empty for who takes part"),
            more=_strands,
        ),
        _table(
            "lessons", _lessons, _LESSON,
            Column("date", "YYYY-MM-DD, or empty"),
            _ACTIVITY,
            Column("size", "people in a group; empty where groups or sides are given", "whole"),
            Column("groups", "how many teams; empty where size or sides are given", "whole"),
            Column("rounds", "how often the class is grouped afresh", "whole"),
            Column("minutes", "length of a round", "number"),
            Column("aim", "fresh, balanced, coaching, similar or stay"),
            Column("strand", "the rated skill that the aim goes by"),
            Column("min_gap", "smallest gap of a coaching pair, in steps of the strand", "number"),
            Column("max_gap", "largest gap of a coaching pair, in steps of the strand", "number"),
            Column("caution", "contact, gymnastics, striking, swimming, none, or empty to go by the name"),
            Column("sides", "the sides of one game where they differ on purpose, such as 5+3; or empty"),
            Column("edge", "percent by which the largest of balanced sides is to be stronger in all", "whole"),
        ),
        _table(
            "requests", _requests,
            Column("kind", "apart or together"),
            Column("student", "id of the one"),
            Column("other", "id of the other"),
            Column("first_lesson", "from this lesson on; empty for all", "whole"),
            Column("last_lesson", "up to this lesson; empty for all", "whole"),
        ),
        _table(
            "groups", _groups, _LESSON, _ACTIVITY, _ROUND,
            Column("group", "label of the group, unique in its round; empty for who is aside with a role"),
            _STUDENT,
            _NAME,
            Column("role", "coach, learner, duty, scorer ..."),
        ),
        _table(
            "meetings", _meetings, _STUDENT, _NAME,
            Column("other_id", "the other student"),
            Column("other_name", "the other student's name"),
            Column("meetings", "rounds in which the two were in one group", "whole"),
            Column("rounds_both", "rounds in which both took part", "whole"),
        ),
        _table(
            "attendance", _attendance, _LESSON,
            Column("date", "YYYY-MM-DD, or empty"),
            Column("taught", "yes or no"),
            _STUDENT,
            _NAME,
            Column("rounds_here", "rounds taken part in", "whole"),
            Column("rounds_aside", "rounds there without taking part", "whole"),
            Column("rounds_away", "rounds not there", "whole"),
            Column("role", "what somebody aside did"),
        ),
        _table(
            "absences", _absences, _LESSON, _STUDENT, _NAME,
            Column("state", "away or aside"),
            Column("since", "first round missed, counted over the lesson from 1", "whole"),
            Column("until", "last round missed; empty for the last of the lesson", "whole"),
            Column("role", "what somebody aside did"),
        ),
        _table(
            "turns", _turns, _STUDENT, _NAME,
            Column("rounds", "rounds taken part in", "whole"),
            Column("partners", "different others worked with", "whole"),
            Column("trio", "turns in the trio of an odd class; empty where there was none", "whole"),
            Column("coach", "turns as coach; empty where there was none", "whole"),
        ),
        _table(
            "fairness", _fairness,
            Column("measure", "as docs/numbers.md explains them"),
            Column("value", "of this plan", "number"),
            Column("bound", "what no plan can beat; empty where none is known", "number"),
        ),
        _table(
            "results", _results, _LESSON, _ACTIVITY, _ROUND,
            Column("group", "label of the group"),
            Column("felt", "easy, right, hard or empty"),
            Column("hits", "successes", "whole"),
            Column("tries", "attempts", "whole"),
            Column("settings", "of the levers of the task, from the easiest"),
            Column("points", "won by the activity's way of scoring; empty where none were counted", "whole"),
            Column("lost", "points lost; what was won less this is the net score", "whole"),
        ),
        _table(
            "scores", _scores, _LESSON, _ACTIVITY,
            Column("slot", "from 1", "whole"),
            Column("court", "from 1", "whole"),
            Column("home", "label of the team"),
            Column("away", "label of the team"),
            Column("home_points", "won in play; empty where not known yet", "whole"),
            Column("away_points", "won in play; empty where not known yet", "whole"),
            Column("home_lost", "lost in play; what was won less this decides the game", "whole"),
            Column("away_lost", "lost in play; what was won less this decides the game", "whole"),
            Column("home_bonus", "added in the table of standings", "number"),
            Column("away_bonus", "added in the table of standings", "number"),
            Column("home_penalty", "taken off in the table of standings", "number"),
            Column("away_penalty", "taken off in the table of standings", "number"),
        ),
    )
}
"""Every table by name."""


def table_rows(table: Table, records: dict[str, ClassRecord]) -> list[tuple[Cell, ...]]:
    """The headers and rows of a table over one class or several, by their names.

    With several, the first column is the class, and a column that only some of them have (a strand) is empty in others.
    """
    several = len(records) > 1
    headers = list(dict.fromkeys(c.header for record in records.values() for c in table.columns_for(record)))
    rows: list[tuple[Cell, ...]] = [("class", *headers) if several else tuple(headers)]
    for name, record in records.items():
        own = [column.header for column in table.columns_for(record)]
        for row in table.rows(record):
            cells = dict(zip(own, row, strict=True))
            facts = tuple(cells.get(header) for header in headers)
            rows.append((name, *facts) if several else facts)
    return rows
