"""Fairness against an independent count of the exported groups, made with pandas as a reference library."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from grouper.files.groups import write_groups
from grouper.files.lessons import read_lessons
from grouper.files.requests import read_requests
from grouper.files.roster import read_roster
from grouper.model.record import ClassRecord
from grouper.planning.attend import absent
from grouper.planning.fairness import fairness_of
from grouper.planning.plan import plan_unit

DEMO = Path(__file__).resolve().parents[2] / "rosters_demo"


def planned_with_an_absence(name: str) -> ClassRecord:
    """A demo class, planned with little work, two students away from lesson 2."""
    roster = read_roster(DEMO / name / "roster.csv").roster
    unit = read_lessons(DEMO / name / "lessons.csv", roster).unit
    requests = read_requests(DEMO / name / "requests.csv", roster).requests
    record = plan_unit(ClassRecord(roster, unit, requests), effort="quick").record
    return absent(record, 2, tuple(student.id for student in roster.students[:2])).record


@pytest.mark.parametrize("name", ["small", "odd", "hard"])
def test_numbers_are_those_of_a_join_of_the_exported_table_with_itself(name: str, tmp_path: Path) -> None:
    """Meetings by joining the rows of a group; repeats, meeting cost, partners and most meetings from their counts."""
    record = planned_with_an_absence(name)
    write_groups(tmp_path / "groups.csv", record)
    table = pd.read_csv(tmp_path / "groups.csv", dtype=str, keep_default_na=False)
    seated = table[table["group"] != ""]
    where = ["lesson", "activity", "round", "group"]
    together = seated.merge(seated, on=where, suffixes=("", "_other"))
    together = together[together["student_id"] != together["student_id_other"]]
    partners = together.groupby("student_id")["student_id_other"].nunique()
    once = together[together["student_id"] < together["student_id_other"]]
    times = once.groupby(["student_id", "student_id_other"]).size()
    fairness = fairness_of(record)
    assert fairness.repeats == int((times - 1).sum())
    assert fairness.meeting_cost == int((times * (times - 1) // 2).sum())
    assert fairness.most_meetings == int(times.max())
    assert fairness.fewest_partners == int(partners.min())
    assert fairness.bounds.repeats <= fairness.repeats
    assert fairness.bounds.meeting_cost <= fairness.meeting_cost


@pytest.mark.parametrize("name", ["odd", "hard"])
def test_spreads_are_those_of_a_join_with_the_roster(name: str, tmp_path: Path) -> None:
    """Team averages by a group-by over the exported table joined with the ratings."""
    record = planned_with_an_absence(name)
    write_groups(tmp_path / "groups.csv", record)
    table = pd.read_csv(tmp_path / "groups.csv", dtype=str, keep_default_na=False)
    for spread in fairness_of(record).spreads:
        ratings = {s.id: record.roster.rating(s.id, spread.strand) for s in record.roster.students}
        here = table[
            (table["lesson"] == str(spread.key.lesson))
            & (table["activity"] == spread.activity)
            & (table["round"] == str(spread.key.round))
            & (table["group"] != "")
        ]
        averages = here.assign(rating=here["student_id"].map(ratings)).groupby("group")["rating"].mean()
        assert averages.max() - averages.min() == pytest.approx(spread.spread)
