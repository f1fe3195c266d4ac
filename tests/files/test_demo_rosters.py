"""The demo classes read in without trouble, and their requests can be met together."""

from __future__ import annotations

import random
from pathlib import Path

import networkx
import pytest

from grouper.files import example
from grouper.files.lessons import read_lessons
from grouper.files.levers import read_adaptations, read_cupboard, read_levers
from grouper.files.requests import read_requests
from grouper.files.roster import read_roster
from grouper.model.problem import Problem, RoundSpec, problem_of
from grouper.model.record import ClassRecord
from grouper.model.unit import sizes_for

DEMO = Path(__file__).parents[2] / "rosters_demo"
SIZES = {"small": 8, "odd": 23, "hard": 30, "sides": 25}


def record_of(name: str) -> ClassRecord:
    folder = DEMO / name
    roster = read_roster(folder / "roster.csv").roster
    unit = read_lessons(folder / "lessons.csv", roster).unit
    return ClassRecord(roster, unit, read_requests(folder / "requests.csv", roster).requests)


@pytest.mark.parametrize("name", SIZES)
def test_demo_class_has_its_size_and_six_to_ten_lessons(name: str) -> None:
    """Each demo class has the number of students that its README says, and a unit of usual length."""
    record = record_of(name)
    assert len(record.roster.students) == SIZES[name]
    assert 6 <= len(record.unit.lessons) <= 10


def test_counts_in_the_readme_of_the_hard_class() -> None:
    """22 apart, three together, 41 rounds, as the README of the demo says."""
    record = record_of("hard")
    kinds = [request.kind for request in record.requests]
    assert (kinds.count("apart"), kinds.count("together"), len(record.unit.keys)) == (22, 3, 41)


def test_small_workbook_is_the_small_folder() -> None:
    """The workbook of the small class says the same as its three CSV files."""
    book = DEMO / "small" / "small.xlsx"
    roster = read_roster(book).roster
    record = record_of("small")
    assert roster == record.roster
    assert read_lessons(book, roster).unit == record.unit
    assert read_requests(book, roster).requests == record.requests


@pytest.mark.parametrize("name", SIZES)
def test_requests_of_a_demo_class_can_be_met_in_every_round(name: str) -> None:
    """For every round there are groups that keep all requests and every coaching window."""
    problem = problem_of(record_of(name))
    for spec in problem.rounds:
        assert has_groups(problem, spec), spec.key


def has_groups(problem: Problem, spec: RoundSpec) -> bool:
    """Whether groups exist: a matching for coaching pairs, random seating with glued pairs elsewhere."""
    apart = {request.pair for request in problem.requests_in(spec, "apart")}
    together = [request.pair for request in problem.requests_in(spec, "together")]
    if spec.activity.aim == "coaching":
        return has_coaching_pairs(problem, spec, apart)
    rng = random.Random(1)
    return any(seated(spec, apart, together, rng) for _try in range(2000))


def has_coaching_pairs(problem: Problem, spec: RoundSpec, apart: set[tuple[str, str]]) -> bool:
    """In an odd class one student joins a pair, so that all but one need a partner."""
    assert not problem.requests_in(spec, "together")
    graph = networkx.Graph()
    low, high = spec.activity.min_gap or 0, spec.activity.max_gap or 99
    for one in spec.students:
        for other in spec.students:
            ratings = [problem.roster.rating(student, spec.activity.strand) for student in (one, other)]
            if one < other and (one, other) not in apart and low <= abs(ratings[0] - ratings[1]) <= high:
                graph.add_edge(one, other)
    return len(networkx.max_weight_matching(graph, maxcardinality=True)) == len(spec.students) // 2


def seated(spec: RoundSpec, apart: set[tuple[str, str]], together: list[tuple[str, str]], rng: random.Random) -> bool:
    """One try to seat everybody by the requests: the glued pairs first, then the others in random order."""
    sizes = list(spec.sizes or sizes_for(spec.activity, len(spec.students)))
    glued = {student for pair in together for student in pair}
    single = [(student,) for student in spec.students if student not in glued]
    rng.shuffle(single)
    groups: list[list[str]] = [[] for _size in sizes]
    for block in [*together, *single]:
        places = [place for place, size in enumerate(sizes) if fits(groups[place], size, block, apart)]
        if not places:
            return False
        groups[rng.choice(places)].extend(block)
    return True


def fits(group: list[str], size: int, block: tuple[str, ...], apart: set[tuple[str, str]]) -> bool:
    """Whether a block may join a group."""
    pairs = {(min(one, other), max(one, other)) for one in group for other in block}
    return len(group) + len(block) <= size and not pairs & apart


TASKS = {
    "odd": (["class total", "danger zone 5", "harder way"], 7, {"0001", "0007"}),
    "sides": (["class total", "own best", "near misses", "harder way", "danger zone 5"], 7, {"k19", "k03"}),
}
"""Ways of scoring, things in the cupboard, and for whom something is kept."""


@pytest.mark.parametrize("name", TASKS)
def test_a_class_has_levers_ways_of_scoring_a_cupboard_and_two_children_with_something_kept(name: str) -> None:
    """As its tables say, and for activities and students that it has."""
    folder = DEMO / name
    roster = read_roster(folder / "roster.csv").roster
    names = {one.name for each in read_lessons(folder / "lessons.csv", roster).unit.lessons for one in each.activities}
    levers, (ways, things, kept) = read_levers(folder / "levers.csv").challenges, TASKS[name]
    assert {one.activity for one in levers} <= names and any(one.levers for one in levers)
    assert sorted(one.scoring for one in levers) == sorted(ways)
    assert len(read_cupboard(folder / "cupboard.csv").stores) == things
    assert {who for who, _, _ in read_adaptations(folder / "adaptations.csv")} == kept <= set(roster.by_id)


def test_a_class_has_sides_that_differ_on_purpose() -> None:
    """Five against three with new people and even by totals, and a free player for both."""
    activities = [one for lesson in record_of("sides").unit.lessons for one in lesson.activities if one.sides]
    assert {(one.sides, one.aim, one.edge) for one in activities} == {
        ("5+3", "fresh", 0), ("4+4+1", "fresh", 0), ("5+3", "balanced", 0), ("5+3", "balanced", 20)
    }  # fmt: skip


def test_a_list_of_classes_reads_the_class_to_try_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each line of the list asks whether the class is that one."""
    roster, others = example.example_class().roster, record_of("small").roster
    assert example.is_example(roster)
    monkeypatch.setattr(example, "read_roster", lambda path: pytest.fail(f"{path} was read again"))
    assert example.is_example(roster) and not example.is_example(others)
