"""The door for scripts: names that stay, frames that agree with the files, and an example that runs.

The counts are checked against pandas (joins and sums of the exported groups), which knows nothing of the planner.
"""

from __future__ import annotations

import re
import subprocess
import sys
from itertools import combinations
from pathlib import Path

import pandas as pd
import pytest

import grouper
from grouper.faces.public import HOMES
from grouper.faces.views.tables import TABLES
from grouper.files.groups import write_groups
from grouper.files.store import ClassFile

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "rosters_demo" / "odd"


@pytest.fixture(scope="module")
def odd(tmp_path_factory: pytest.TempPathFactory) -> grouper.SchoolClass:
    """A demo class, planned quickly, with somebody away in the first lesson, which was taught."""
    path = tmp_path_factory.mktemp("scripting") / "odd.class"
    made = grouper.make_class(path, DEMO / "roster.csv", DEMO / "lessons.csv", DEMO / "requests.csv")
    made.plan(seed=1, effort="quick")
    made.absent(1, made.roster()["name"][0])
    made.taught(1)
    return made


def test_names_are_pinned() -> None:
    """What scripts may rely on; a name that goes is a promise broken."""
    assert grouper.__all__ == [
        "GrouperError",
        "ImpossibleError",
        "InUseError",
        "InputError",
        "OurBugError",
        "OutOfTimeError",
        "SchoolClass",
        "make_class",
        "open_class",
    ]
    verbs = {name for name in vars(grouper.SchoolClass) if not name.startswith("_")}
    assert verbs == {
        "plan", "admit", "absent", "present", "taught", "undo", "roster", "lessons", "requests", "groups", "meetings",
        "fairness", "turns", "results", "scores", "attendance", "frame",
    }  # fmt: skip
    assert all(getattr(grouper, name).__doc__ for name in grouper.__all__)
    assert sorted(HOMES) == sorted(grouper.__all__)
    assert set(grouper.__all__) <= set(dir(grouper))
    with pytest.raises(AttributeError):
        grouper.planner  # noqa: B018


def test_importing_costs_nothing() -> None:
    """``import grouper`` and an everyday command load neither pandas nor the planner."""
    code = "import sys, grouper; assert not {'pandas', 'numpy', 'click'} & set(sys.modules), 'too much'"
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT)


def test_worked_example_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The example of docs/scripting.md, as it stands there."""
    (code,) = re.findall(r"```python\n(.*?)```", (ROOT / "docs" / "scripting.md").read_text(encoding="utf-8"), re.S)
    monkeypatch.chdir(tmp_path)
    exec(compile(code, "docs/scripting.md", "exec"), {})


def test_docs_name_every_column() -> None:
    """Every table and column is in docs/scripting.md with the meaning that the code gives it."""
    text = (ROOT / "docs" / "scripting.md").read_text(encoding="utf-8")
    for table in TABLES.values():
        (section,) = re.findall(rf"### {table.name}\n(.*?)(?=\n### |\Z)", text, re.S)
        for column in table.columns:
            assert f"| `{column.header}` | {column.meaning} |" in section


def test_groups_are_the_export(odd: grouper.SchoolClass, tmp_path: Path) -> None:
    """The frame of groups, written by pandas, is the CSV of the export cell by cell."""
    write_groups(tmp_path / "ours.csv", ClassFile(odd.path).read().record)
    ours = pd.read_csv(tmp_path / "ours.csv", dtype=str, keep_default_na=False)
    odd.groups().to_csv(tmp_path / "theirs.csv", index=False)
    theirs = pd.read_csv(tmp_path / "theirs.csv", dtype=str, keep_default_na=False)
    pd.testing.assert_frame_equal(ours, theirs)


def test_meetings_by_join(odd: grouper.SchoolClass) -> None:
    """Meetings and rounds together are what a join of the groups with themselves counts."""
    groups = odd.groups().query("group != ''")
    where = ["lesson", "activity", "round"]
    both = groups.merge(groups, on=where, suffixes=("", "_other"))
    both = both[both["student_id"] < both["student_id_other"]]
    pair = ["student_id", "student_id_other"]
    counted = both.assign(met=both["group"] == both["group_other"]).groupby(pair)["met"].agg(["sum", "size"])
    found = odd.meetings().set_index(["student_id", "other_id"])
    assert found["meetings"].astype(int).to_dict() == counted["sum"].to_dict()
    assert found["rounds_both"].astype(int).to_dict() == counted["size"].to_dict()


def test_fairness_speaks_of_the_same_meetings(odd: grouper.SchoolClass) -> None:
    """Repeats and cost in the frame of fairness are sums over the frame of meetings, and no bound is above them."""
    met = odd.meetings()["meetings"].astype(int)
    fairness = odd.fairness().set_index("measure")
    assert fairness.loc["repeats", "value"] == (met - 1).clip(lower=0).sum()
    assert fairness.loc["meeting_cost", "value"] == (met * (met - 1) // 2).sum()
    known = fairness.dropna()
    assert (known["bound"] <= known["value"]).all()


def test_attendance_adds_up(odd: grouper.SchoolClass) -> None:
    """Who was away has no round in that lesson; the others have as many as it has rounds."""
    first = odd.attendance().query("lesson == 1")
    rounds = odd.groups(1).groupby(["activity", "round"]).ngroups
    away = first[first["rounds_away"] > 0]
    assert list(away["name"]) == [odd.roster()["name"][0]]
    assert (first["rounds_here"] + first["rounds_aside"] + first["rounds_away"] == rounds).all()
    assert set(first["taught"]) == {"yes"}


@pytest.mark.parametrize("demo", ["small", "odd"])
def test_frames_make_the_same_class(demo: str, tmp_path: Path) -> None:
    """A class made of the frames of another is the same class, with the same plan for the same seed."""
    folder = DEMO.parent / demo
    one = grouper.make_class(tmp_path / "a.class", *(folder / f"{n}.csv" for n in ("roster", "lessons", "requests")))
    other = grouper.make_class(tmp_path / "b.class", one.roster(), one.lessons(), one.requests())
    for name in ("roster", "lessons", "requests"):
        pd.testing.assert_frame_equal(one.frame(name), other.frame(name))
    pd.testing.assert_frame_equal(one.plan(seed=3, effort="quick"), other.plan(seed=3, effort="quick"))


def test_ids_in_a_frame_keep_their_zeros(tmp_path: Path) -> None:
    """Text ids of a frame stay text: a leading zero is part of an id."""
    roster = pd.DataFrame({"student_id": ["007", "008", "010"], "name": ["Ada", "Ben", "Cem"]})
    lessons = pd.DataFrame({"lesson": [1], "activity": ["Catch"], "size": [2]})
    made = grouper.make_class(tmp_path / "z.class", roster, lessons)
    assert list(made.roster()["student_id"]) == ["007", "008", "010"]


def test_errors_of_a_script_are_ours(tmp_path: Path) -> None:
    """A file that is not there, a table that is not there, a clash: each its own error, and nothing is written."""
    with pytest.raises(grouper.InputError):
        grouper.open_class(tmp_path / "none.class")
    roster = pd.DataFrame({"student_id": ["a", "b"], "name": ["Ada", "Ben"]})
    lessons = pd.DataFrame({"lesson": [1], "activity": ["Catch"], "size": [2]})
    apart = pd.DataFrame({"kind": ["apart"], "student": ["a"], "other": ["b"]})
    made = grouper.make_class(tmp_path / "two.class", roster, lessons, apart)
    before = made.path.read_bytes()
    with pytest.raises(grouper.ImpossibleError):
        made.plan()
    with pytest.raises(grouper.InputError, match="roster, lessons"):
        made.frame("marks")
    assert made.path.read_bytes() == before


def test_undo_takes_back_a_script(odd: grouper.SchoolClass) -> None:
    """What a script changed is one change, with its words, that can be taken back."""
    before = odd.groups()
    name = odd.roster()["name"][3]
    odd.absent(2, name)
    assert odd.undo() == f"absent in lesson 2: {name}"
    pd.testing.assert_frame_equal(odd.groups(), before)


def test_pairs_of_everybody(odd: grouper.SchoolClass) -> None:
    """The frame of meetings has each two who shared a round once, whoever never met included."""
    ids = sorted(set(odd.groups()["student_id"]))
    listed = set(zip(odd.meetings()["student_id"], odd.meetings()["other_id"], strict=True))
    assert listed == set(combinations(ids, 2))


def test_a_frame_with_its_ids_as_index_keeps_them(tmp_path: Path) -> None:
    """Frames often come so; a student may be meant by the number that the id is."""
    roster = pd.DataFrame({"student_id": range(41, 47), "name": [f"Kid {letter}" for letter in "ABCDEF"]})
    lessons = pd.DataFrame({"lesson": [1], "activity": ["Pairs"], "size": [2]})
    made = grouper.make_class(tmp_path / "i.class", roster.set_index("student_id"), lessons)
    assert list(made.roster()["student_id"]) == ["41", "42", "43", "44", "45", "46"]
    made.plan(effort="quick")
    assert "42" not in set(made.absent(1, 42)["student_id"])


def test_a_traceback_says_what_is_wrong(tmp_path: Path) -> None:
    """Whoever writes a script sees no list of troubles: the first of them stand below the error, as its notes."""
    roster = pd.DataFrame({"student_id": ["1", "2"], "name": ["Ana", "Ben"]})
    lessons = pd.DataFrame({"lesson": [1], "activity": ["Pairs"], "size": [2]})
    with pytest.raises(grouper.InputError) as bad:
        grouper.make_class(tmp_path / "e.class", roster, lessons.assign(size=-2))
    assert "row 2 of frame of lessons, column 'size': '-2' cannot be the size" in bad.value.__notes__[0]
    made = grouper.make_class(tmp_path / "e.class", roster, lessons)
    with pytest.raises(grouper.InUseError, match=r"e\.class is there already; open_class opens it"):
        grouper.make_class(tmp_path / "e.class", roster, lessons)
    both = pd.DataFrame({"kind": ["apart", "together"], "student": ["1", "1"], "other": ["2", "2"]})
    with pytest.raises(grouper.ImpossibleError) as clash:
        made.admit(requests=both)
    assert "Ana and Ben are to be kept apart" in clash.value.__notes__
    with pytest.raises(grouper.InputError, match="there is no lesson 9"):
        made.groups(9)
