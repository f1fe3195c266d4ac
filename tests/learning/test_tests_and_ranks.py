"""Ratings from tests: the shuttle run's published values, and ranks as pandas has them."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import pytest
from builders import class_of_eight, pairs
from hypothesis import given
from hypothesis import strategies as st

from grouper.errors import InputError
from grouper.learning.guesses import Scale, scale_of
from grouper.learning.measured import Measured, mean_ranks, ratings_by_rank, suggestions_from, vo2max
from grouper.learning.suggest import accepted
from grouper.model.roster import Roster, Student

VALUES = st.lists(st.integers(-50, 50).map(float), min_size=1, max_size=40)


@pytest.mark.parametrize(("stage", "age", "uptake"), [(8, 12, 53.0), (6, 14, 44.8)])
def test_shuttle_run_as_published(stage: float, age: float, uptake: float) -> None:
    """Léger et al. (1988): stage 8 at 12 years is 53.0 ml/kg/min, stage 6 at 14 years 44.8."""
    assert vo2max(stage, age) == pytest.approx(uptake, abs=0.05)


def test_grown_ups_count_as_eighteen() -> None:
    """Léger et al. (1988): for adults the age in the formula is 18."""
    assert vo2max(9, 40) == vo2max(9, 18)


@pytest.mark.parametrize(("stage", "age"), [(-1, 12), (24, 12), (8, 7), (8, 120), (float("nan"), 12)])
def test_what_no_run_can_be_is_refused(stage: float, age: float) -> None:
    """A stage that there is none of, an age that the formula was not made for."""
    with pytest.raises(InputError):
        vo2max(stage, age)


@given(VALUES, st.booleans())
def test_ranks_are_those_of_pandas(values: list[float], higher: bool) -> None:
    """pandas.Series.rank with its method 'average', upwards or downwards."""
    expected = pd.Series(values).rank(method="average", ascending=higher)
    assert mean_ranks(values, higher) == expected.tolist()


@given(VALUES)
def test_lower_is_better_mirrors_the_ratings(values: list[float]) -> None:
    """The scale seen from its other end."""
    upwards = ratings_by_rank(values, Scale(1, 5))
    assert ratings_by_rank(values, Scale(1, 5), higher_is_better=False) == [6 - rating for rating in upwards]


@given(VALUES, st.booleans())
def test_better_is_never_rated_lower(values: list[float], higher: bool) -> None:
    """Ratings rise with the measure; equal measures have equal ratings; all are half steps of the scale."""
    ratings = ratings_by_rank(values, Scale(1, 5), higher)
    ordered = [rating for _, rating in sorted(zip(values, ratings, strict=True), reverse=not higher)]
    assert ordered == sorted(ratings)
    assert len(set(zip(values, ratings, strict=True))) == len(set(values))
    assert {2 * rating for rating in ratings} <= set(range(2, 11))


def test_every_rating_is_for_an_equal_share() -> None:
    """Of eighteen different measures two get each of the nine half steps."""
    ratings = ratings_by_rank([float(value) for value in range(18)], Scale(1, 5))
    assert ratings == sorted([1 + step / 2 for step in range(9)] * 2)


def test_a_test_makes_a_strand_of_its_own_and_keeps_nothing_else() -> None:
    """Ratings from 1 to 5 by rank; the skill's ratings stay, nothing counts as learnt, no measure is in the record."""
    record = class_of_eight(pairs())
    values = {student.id: 40.625 + place for place, student in enumerate(record.roster.students)}
    after = accepted(record, suggestions_from(record, "fitness", Measured(values, unit="ml/kg/min")))
    assert after.roster.strands == ("passing", "fitness")
    assert [s.ratings["fitness"] for s in after.roster.students] == [1, 1.5, 2, 2.5, 3.5, 4, 4.5, 5]
    passing = [[s.ratings["passing"] for s in each.roster.students] for each in (record, after)]
    assert passing[0] == passing[1]
    assert after.learnt == () and "40.6" not in repr(after)


def test_who_was_not_measured_keeps_the_rating() -> None:
    """Ranks are of those who took part."""
    record = class_of_eight(pairs())
    made = suggestions_from(record, "passing", Measured({"ana": 9.0, "ben": 8.0, "cem": 7.0}, higher_is_better=False))
    assert {each.student: each.suggested for each in made} == {"ana": 1.5, "ben": 3.0, "cem": 4.5}


def test_a_rank_needs_a_few() -> None:
    """Of two, or of somebody who is not in the class, no rank is made."""
    record = class_of_eight(pairs())
    with pytest.raises(InputError, match="3 students or more"):
        suggestions_from(record, "passing", Measured({"ana": 1.0, "ben": 2.0}))
    with pytest.raises(InputError, match="not in the class: zoe"):
        suggestions_from(record, "passing", Measured({"ana": 1.0, "ben": 2.0, "zoe": 3.0}))


@pytest.mark.parametrize(
    ("ratings", "scale"), [((2, 3, 4), Scale(1, 5)), ((), Scale(1, 5)), ((20, 60, 100), Scale(20, 100))]
)
def test_scale_of_a_strand(ratings: tuple[float, ...], scale: Scale) -> None:
    """1 to 5 where all ratings fit in it, else from the lowest to the highest."""
    students = tuple(Student(str(n), str(n), {"throw": float(rating)}) for n, rating in enumerate(ratings))
    assert scale_of(Roster(students, ("throw",)), "throw") == scale


def test_ratings_that_are_all_alike_have_no_scale() -> None:
    """Outside of 1 to 5 there is no telling what a step is."""
    student = Student("1", "Ana", {"throw": 70.0})
    with pytest.raises(InputError, match="no telling what a step is"):
        scale_of(Roster((student, replace(student, id="2")), ("throw",)), "throw")


@given(st.floats(-1e3, 1e3), st.floats(0.001, 1e3), st.floats(-1e4, 1e4))
def test_ratings_stay_within_the_scale(low: float, width: float, value: float) -> None:
    """Whatever the scale, and within half a grain of the number where that is within it."""
    scale = Scale(low, low + width)
    assert scale.low <= scale.rounded(value) <= scale.high
    if scale.low <= value <= scale.high:
        assert abs(scale.rounded(value) - value) <= scale.grain * 0.51
