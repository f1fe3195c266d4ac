"""Any class record at all, for hypothesis."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from grouper.model.ledger import PastRound
from grouper.model.levers import ADAPTATIONS, KINDS, Adaptation, Challenge, Lever, Needed, Setting, Store
from grouper.model.noted import Absence, ChosenTask, Learnt, Note, TaskResult
from grouper.model.plan import Group, Plan, Round
from grouper.model.play import GAMES, STATIONS, Asked, Assignment, Event, Points, Score, Setback, Timing
from grouper.model.record import ClassRecord
from grouper.model.request import CLOSENESS, PREFERENCES, Request, Settings
from grouper.model.roster import AVAILABILITIES, SIZE_BANDS, Roster, Student
from grouper.model.texts import tidy, without_hidden
from grouper.model.unit import AIMS, Activity, Lesson, RoundKey, Unit
from grouper.words import folded

_texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=6)
_names = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=6)
_numbers = st.floats(-1e6, 1e6).map(lambda number: number + 0.0)  # SQLite keeps no negative zero
_ids = _names.filter(lambda text: bool(text.strip()) and without_hidden(text) == text)
_called = _names.filter(tidy)
_small = st.integers(1, 5)
_maybe_small = st.none() | _small


@st.composite
def _students(draw: st.DrawFn) -> tuple[Student, ...]:
    ids = draw(st.lists(_ids, unique=True, max_size=6))
    return tuple(
        Student(
            id_,
            draw(_called),
            draw(st.dictionaries(_texts, _numbers, max_size=3)),
            draw(st.sampled_from(SIZE_BANDS)),
            draw(st.sampled_from(AVAILABILITIES)),
            draw(_small),
            draw(_maybe_small),
        )
        for id_ in ids
    )


@st.composite
def _activities(draw: st.DrawFn) -> tuple[Activity, ...]:
    names = draw(st.lists(_called, unique=True, min_size=1, max_size=3))
    return tuple(draw(_activity(name)) for name in names)


@st.composite
def _activity(draw: st.DrawFn, name: str) -> Activity:
    aim, by_size = draw(st.sampled_from(AIMS)), draw(st.booleans())
    sides = draw(st.sampled_from(("", "", "5+3", "4+4+1"))) if aim not in ("coaching", "stay") else ""
    low, high = sorted((abs(draw(_numbers)), abs(draw(_numbers))))
    return Activity(
        name,
        aim,
        draw(_small) if by_size and not sides else None,
        draw(_small) if not by_size and not sides else None,
        draw(_small),
        draw(st.none() | st.floats(0.5, 60)),
        draw(_names),
        draw(st.none() | st.just(low)),
        draw(st.none() | st.just(high)),
        draw(st.sampled_from(("", "none", "contact"))),
        sides,
        draw(st.integers(-80, 400)) if sides == "5+3" and aim == "balanced" else 0,
    )


@st.composite
def _units(draw: st.DrawFn) -> Unit:
    numbers = sorted(draw(st.sets(st.integers(1, 20), max_size=3)))
    dates = st.sampled_from(("", "2031-02-28"))
    return Unit(tuple(Lesson(number, draw(_activities()), draw(dates)) for number in numbers))


@st.composite
def _groups(draw: st.DrawFn, ids: list[str]) -> tuple[Group, ...]:
    groups = []
    for label in draw(st.lists(_texts, max_size=3 if ids else 0)):
        members = tuple(draw(st.lists(st.sampled_from(ids), min_size=1, max_size=3)))
        roles = tuple(draw(st.sampled_from(("", "coach", "learner"))) for _ in members)
        groups.append(Group(label, members, roles if draw(st.booleans()) else ()))
    return tuple(groups)


@st.composite
def _plans(draw: st.DrawFn, ids: list[str]) -> Plan:
    keys = draw(st.lists(st.builds(RoundKey, _small, _small, _small), unique=True, max_size=4))
    rounds = []
    for key in keys:
        groups = draw(_groups(ids))
        planned = groups if draw(st.booleans()) else draw(_groups(ids))
        pinned = draw(st.booleans())
        rounds.append(Round(key, groups, planned, pinned, pinned and draw(st.booleans())))
    return Plan(tuple(rounds))


@st.composite
def _requests(draw: st.DrawFn, ids: list[str]) -> Request:
    student, other = draw(st.permutations(ids))[:2]
    first, last = sorted((draw(_small), draw(_small)))
    span = draw(st.sampled_from(((first, last), (None, last), (first, None), (None, None))))
    return Request(draw(st.sampled_from(("apart", "together"))), student, other, *span)


_timings = st.builds(Timing, st.none() | st.floats(0.5, 60), st.floats(0, 60))


@st.composite
def _scores(draw: st.DrawFn) -> Score:
    extras = st.floats(0, 10_000_000)
    points = st.integers(0, 99)
    return Score(draw(points), draw(points), *(draw(extras) for _ in range(4)), draw(points), draw(points))


@st.composite
def _with_lineup(draw: st.DrawFn, ids: list[str], game: Assignment) -> Assignment:
    if game.score is None or len(ids) < 2 or draw(st.booleans()):
        return game
    mixed = draw(st.permutations(ids))
    return replace(game, lineup=(tuple(mixed[:1]), tuple(mixed[1:3])))


@st.composite
def _games_days(draw: st.DrawFn, key: tuple[int, str], ids: list[str]) -> Event:
    teams, courts = tuple(draw(st.lists(_texts, min_size=2, max_size=5))), draw(_small)
    numbers, court = st.integers(1, len(teams)), st.integers(1, courts)
    pairs = st.lists(numbers, min_size=2, max_size=2, unique=True).map(tuple)
    games = st.builds(Assignment, _small, court, pairs, st.none() | numbers, st.none() | _scores())
    some = draw(st.lists(games, unique_by=lambda game: game.spot, max_size=5))
    out, short = draw(st.sets(numbers)), draw(st.sets(numbers))
    setback = Setback(
        tuple(sorted(draw(st.sets(_small)))), tuple(sorted(out)), tuple(sorted(short - out)), draw(_maybe_small)
    )
    return Event(
        GAMES,
        teams,
        ("",) * courts,
        *key,
        draw(_small),
        Asked(draw(_maybe_small), draw(_maybe_small), draw(_texts), draw(_texts)),
        tuple(draw(_with_lineup(ids, game)) for game in sorted(some, key=lambda game: game.spot)),
        draw(_timings),
        draw(_texts),
        draw(_small),
        setback,
        tuple(sorted(draw(st.sets(st.tuples(_small, numbers, numbers), max_size=3)))),
        across=tuple(sorted(draw(st.sets(numbers, max_size=2)))),
    )


@st.composite
def _circuit_days(draw: st.DrawFn, key: tuple[int, str]) -> Event:
    groups, stations = (tuple(draw(st.lists(_texts, min_size=1, max_size=4))) for _ in range(2))
    there = st.sets(st.integers(1, len(groups)), min_size=1).map(lambda some: tuple(sorted(some)))
    turns = st.builds(Assignment, _small, st.integers(1, len(stations)), there)
    some = draw(st.lists(turns, unique_by=lambda turn: turn.spot, max_size=4))
    return Event(
        STATIONS,
        groups,
        stations,
        *key,
        draw(_small),
        Asked(slots=draw(_maybe_small), order=draw(_texts)),
        tuple(sorted(some, key=lambda turn: turn.spot)),
        draw(_timings),
        draw(_texts),
        draw(_small),
        Setback(tuple(sorted(draw(st.sets(st.integers(1, len(stations))))))),
    )


@st.composite
def _events(draw: st.DrawFn, ids: list[str]) -> tuple[Event, ...]:
    games = [draw(_games_days(key, ids)) for key in draw(_keys)]
    return tuple(sorted([*games, *(draw(_circuit_days(key)) for key in draw(_keys))], key=lambda event: event.key))


_keys = st.sets(st.tuples(_small, _names), max_size=2).map(sorted)


@st.composite
def _points(draw: st.DrawFn) -> Points:
    loss, draw_, win = sorted(draw(st.lists(st.floats(-10, 10), min_size=3, max_size=3)))
    return Points(win, draw_, loss, tuple(draw(st.lists(st.sampled_from(("points", "head to head")), unique=True))))


_keys_of_rounds = st.builds(RoundKey, _small, _small, _small)
_words = _names.filter(str.strip)
_names_of_things = _words.map(tidy).filter(bool)
_needs = st.builds(Needed, _names_of_things, st.integers(1, 9), st.booleans())
_settings_of_lever = st.lists(
    st.builds(Setting, _words, _words, st.lists(_needs, max_size=2).map(tuple)),
    min_size=2,
    max_size=3,
    unique_by=lambda setting: folded(setting.name),
)
_levers = st.builds(Lever, _words, _settings_of_lever.map(tuple), st.sampled_from(("", *KINDS)))
_challenges = st.builds(
    Challenge,
    _words,
    st.lists(_levers, min_size=1, max_size=2, unique_by=lambda lever: folded(lever.name)).map(tuple),
    st.sampled_from(("", "near misses", "danger zone 5")),
    _texts,
    st.booleans(),
)
_stores = st.builds(Store, _names_of_things, st.integers(0, 40))
_ats = st.lists(st.integers(0, 9), max_size=3).map(tuple)
_chosen_tasks = st.builds(ChosenTask, _keys_of_rounds, _texts, _ats)
_notes = st.builds(Note, _small, st.integers(0, 4), _words)
_settings = st.builds(
    Settings,
    st.sampled_from(PREFERENCES),
    st.sampled_from(CLOSENESS),
    st.floats(0, 1000),
    st.floats(0.5, 0.95),
    st.sampled_from([(), (("weak", 1.0), ("fair", 2.5), ("very good", -4.0))]),
)


def _adaptations(ids: Sequence[str]) -> st.SearchStrategy[Adaptation]:
    return st.builds(Adaptation, st.sampled_from(ids), st.sampled_from(ADAPTATIONS), _names_of_things)


@st.composite
def _task_results(draw: st.DrawFn) -> TaskResult:
    tries = draw(st.none() | _small)
    hits = None if tries is None else draw(st.integers(0, tries))
    felt = draw(st.sampled_from(("easy", "right", "hard") if tries is None else ("", "easy", "right", "hard")))
    points = draw(st.none() | st.integers(0, 99))
    lost = 0 if points is None else draw(st.integers(0, 9))
    return TaskResult(draw(_keys_of_rounds), draw(_texts), felt, hits, tries, draw(_ats), points, lost)


@st.composite
def _past_rounds(draw: st.DrawFn, ids: list[str]) -> PastRound:
    dates = st.sampled_from(("", "2031-02-28"))
    key = draw(_keys_of_rounds)
    return PastRound(draw(_small), key, draw(dates), draw(_texts), draw(st.booleans()), draw(_groups(ids)))


@st.composite
def _learnts(draw: st.DrawFn, ids: list[str]) -> Learnt:
    guess, value = draw(st.none() | _numbers), draw(_numbers)
    return Learnt(draw(st.sampled_from(ids)), draw(_texts), guess, value, draw(_small), draw(st.integers(0, 3)))


def _each_once(items: st.SearchStrategy[Any], key: Callable[[Any], Any]) -> st.SearchStrategy[tuple[Any, ...]]:
    """A few of these, in order, each key once."""
    return st.lists(items, max_size=3, unique_by=key).map(lambda some: tuple(sorted(some, key=key)))


@st.composite
def records(draw: st.DrawFn) -> ClassRecord:
    """Any record: odd texts, floats of any size, archived students, groups without members, roles or none."""
    students = draw(_students())
    ids = [student.id for student in students]
    absences = st.builds(
        Absence,
        _small,
        st.sampled_from(ids or ["-"]),
        st.sampled_from(("away", "aside")),
        _small,
        _texts,
        st.sampled_from((None, 5, 6)),
    )
    return ClassRecord(
        Roster(students, tuple(draw(st.lists(_texts, max_size=3)))),
        draw(_units()),
        tuple(draw(st.lists(_requests(ids), max_size=3))) if len(ids) > 1 else (),
        tuple(draw(st.lists(absences, max_size=3))) if ids else (),
        draw(_plans(ids)),
        draw(st.frozensets(st.integers(1, 20), max_size=4)),
        draw(st.integers(0, 2**63 - 1)),
        events=draw(_events(ids)),
        points=draw(_points()),
        settings=draw(_settings),
        notes=draw(_each_once(_notes, lambda note: (note.lesson, note.place))),
        results=draw(_each_once(_task_results(), lambda result: (result.key, result.label))),
        chosen_tasks=draw(_each_once(_chosen_tasks, lambda chosen: (chosen.key, chosen.label))),
        challenges=tuple(draw(st.lists(_challenges, max_size=2))),
        cupboard=tuple(draw(st.lists(_stores, max_size=2))),
        adaptations=tuple(draw(st.lists(_adaptations(ids), max_size=2))) if ids else (),
        learnt=draw(_each_once(_learnts(ids), lambda learnt: (ids.index(learnt.student), learnt.strand)))
        if ids
        else (),
        past=draw(_each_once(_past_rounds(ids), lambda past: (past.unit, past.key))),
    )
