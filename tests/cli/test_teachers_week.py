"""A teacher's way through a unit, on a roster as a spreadsheet of an office leaves it."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from .outside import Seen, faults
from .shell import grouper
from .tables import LESSONS as LESSON_HEADERS
from .tables import REQUESTS as REQUEST_HEADERS
from .tables import ClassOnDisk, a_class, activity, rows_of, write_rows

ROSTER = """Sporthalle Nord;;;;;
Klasse 8c – Schuljahr;;;;;

Schüler-ID;Name, Vorname;Geburtsdatum;Ausdauer;Größe;Bemerkung
0101;Ählström, Pär;03.04.2013;3,5;M;
0102;Bellmann, Zoë;01.02.2013;4;S;Asthma
0103;Çelik, Deniz;11.12.2012;2;L;
0104;Dörfler, Anna;;5;;
0105;Fink, Jo;;3;M;
0105;Fink, Jo;;3;M;
0106;Groß, Mia;;2,5;S;
0107;Huber, Mia;;4,5;S;
0108;Iser, Tom;;n/a;;
0109;Jung, Kim;;3;;
Durchschnitt;;;3,1;;
Gesamt;9;;;;
"""
LESSONS = """Stunde;Datum;Aktivität;Größe;Gruppen;Runden;Ziel;Bereich
1;01.09.2026;Passen;2;;3;;
1;;Spiel;;3;1;balanced;Ausdauer
2;08.09.2026;Staffel;4;;2;;
3;;Paare;2;;2;;
"""
REQUESTS = """Art;Schüler;andere;Grund
apart;Mia Groß;Mia Huber;streiten
together;0101;Bellmann, Zoë;
"""


@pytest.fixture(scope="module")
def planned_once(tmp_path_factory: pytest.TempPathFactory) -> ClassOnDisk:
    """The class of the tables above, planned."""
    disk = ClassOnDisk(tmp_path_factory.mktemp("week"))
    for path, text in ((disk.roster, ROSTER), (disk.lessons, LESSONS), (disk.requests, REQUESTS)):
        path.write_bytes(text.replace("\n", "\r\n").encode("cp1252"))
    disk.plan()
    return disk


@pytest.fixture
def week(planned_once: ClassOnDisk, tmp_path: Path) -> ClassOnDisk:
    """A copy of that class for one test."""
    return planned_once.copied(tmp_path / "week")


Groups = dict[tuple[str, str, str], dict[str, list[str]]]
"""By lesson, activity and round: by label, who is in the group."""


def exported(disk: ClassOnDisk) -> Groups:
    """The groups as they stand."""
    groups: Groups = {}
    for row in csv.DictReader(disk.exported().splitlines()):
        place = (row["lesson"], row["activity"], row["round"])
        groups.setdefault(place, {}).setdefault(row["group"], []).append(row["student_id"])
    return groups


def partner(disk: ClassOnDisk, place: tuple[str, str, str], student: str) -> str:
    """Somebody who is in one group with a student."""
    return next(s for members in exported(disk)[place].values() if student in members for s in members if s != student)


def are_in_one_group(disk: ClassOnDisk, place: tuple[str, str, str], *students: str) -> bool:
    """Whether they are."""
    return any(set(students) <= set(members) for members in exported(disk)[place].values())


def test_what_was_read_is_said_calmly(week: ClassOnDisk) -> None:
    """A summary a table, and below it what was left out, put together, guessed or is missing: no more, no less."""
    lines = week.plan().out.splitlines()
    assert lines[:12] == [
        "roster: 9 students; ratings: Ausdauer; 1 row was the same student as another row; "
        "columns left out: Geburtsdatum (personal, not needed), Bemerkung (personal, not needed)",
        "  read as WINDOWS-1252, cells separated by semicolon; look whether these are spelled right: "
        "Klasse 8c – Schuljahr; Schüler-ID; Größe; Ählström, Pär; Bellmann, Zoë",
        "  rows 1, 2: above the header, not read",
        "  rows 15, 16: a total, not a student",
        "  row 13, column 'Ausdauer': not rated",
        "  row 10: the same student (0105) as in row 9",
        "lessons: 3 lessons, 4 activities, 8 rounds",
        "  read as WINDOWS-1252, cells separated by semicolon; look whether these are spelled right: Aktivität; Größe",
        "requests: 1 apart, 1 together",
        "  read as WINDOWS-1252, cells separated by semicolon; look whether these are spelled right: Schüler; "
        "Mia Groß; Bellmann, Zoë",
        "  column 'Grund': no reason is kept, as a request concerns two students",
        "9 students, 3 lessons, 8 rounds",
    ]


def test_details_add_what_was_plain(week: ClassOnDisk) -> None:
    """``--details`` keeps every line and adds how each column was read; nothing of it is lost."""
    calm, full = (week.plan(*more).out.splitlines() for more in ((), ("--details",)))
    assert [line for line in full if line in calm] == calm
    assert [line for line in full if line not in calm] == [
        "  column 'Geburtsdatum': personal, not needed",
        "  column 'Bemerkung': personal, not needed",
        "  column 'Name, Vorname': read as the name",
        "  column 'Schüler-ID': read as the student's id",
        "  column 'Größe': read as the size band",
        "  column 'Ausdauer': read as the rating 'Ausdauer'",
    ]


def test_a_plain_file_is_read_without_a_word(tmp_path: Path) -> None:
    """Where there is nothing to look at there is one line a table."""
    disk = a_class(tmp_path, 8, [activity(1, "pairs", 2)], [("apart", "k01", "k02")])
    assert disk.plan().out.splitlines()[:4] == [
        "roster: 8 students; ratings: skill",
        "lessons: 1 lesson, 1 activity, 1 round",
        "requests: 1 apart",
        "8 students, 1 lesson, 1 round",
    ]


def test_the_summary_says_it_in_words(tmp_path: Path) -> None:
    """Three pair rounds of eight never repeat; each part has its own line, the labels in one column."""
    disk = a_class(tmp_path, 8, [activity(1, "pairs", 2, rounds=3)])
    assert disk.plan().out.splitlines()[3:] == [
        "8 students, 1 lesson, 3 rounds",
        "  New partners    nobody meets the same person twice; no plan can do better",
        "  Everybody       works with 3 different others; no two meet more than once",
        "  Requests        none were made",
        f"Saved in {disk.file}.",
    ]


def test_who_is_to_be_together_does_not_hide_how_often_others_meet(tmp_path: Path) -> None:
    """Two meet in all four rounds because they are to; nobody else has to meet twice."""
    disk = a_class(tmp_path, 8, [activity(1, "Pairs", 2, rounds=4)], [("together", "k01", "k02")])
    said = disk.plan().out
    assert "no two meet more than once, but for those who are to be together" in said


def test_a_class_of_one_works_alone(tmp_path: Path) -> None:
    """No sentence speaks of partners that nobody has."""
    said = a_class(tmp_path, 1, [activity(1, "pairs", 2)]).plan().out
    assert "  Everybody       works alone" in said


def test_names_as_people_type_them(week: ClassOnDisk) -> None:
    """An id, a name, a first name that is unique, a name as on the sheets; where two are meant it asks which."""
    said = grouper("absent", week.file, "--lesson", 1, "Mia", status=2).err
    assert said == "grouper: 'Mia' could be Mia Groß (0106) or Mia Huber (0107); give the whole name, or the id\n"
    for typed, name in (("kim", "Kim Jung"), ("mia h.", "Mia Huber"), ("Mia G", "Mia Groß"), ("0108", "Tom Iser")):
        out = grouper("absent", week.file, "--lesson", 1, typed).out
        assert out.splitlines()[0] == f"Absent in lesson 1: {name}."
    assert "did you mean Deniz Çelik?" in grouper("absent", week.file, "--lesson", 1, "Denis Celik", status=2).err


def test_only_what_changed_is_said(week: ClassOnDisk) -> None:
    """Each group that is named is different from before, and each that is different is named."""
    before = _labelled(week)
    out = grouper("absent", week.file, "--lesson", 1, "Kim").out.splitlines()
    after = _labelled(week)
    named = [line for line in out if line.startswith("  group ")]
    labels = {(place, label) for place, label, _ in before ^ after}
    assert len(named) == len(labels)
    assert {line.split()[1].rstrip(":") for line in named} == {label for _, label in labels}
    assert {line for line in out[1:] if not line.startswith(" ")} <= {
        *(f"Lesson 1, Passen, round {number}" for number in (1, 2, 3)),
        "Lesson 1, Spiel, round 4",
    }


def _labelled(disk: ClassOnDisk) -> set[tuple[tuple[str, str, str], str, tuple[str, ...]]]:
    return {
        (place, label, tuple(members)) for place, groups in exported(disk).items() for label, members in groups.items()
    }


def test_as_it_really_ran(week: ClassOnDisk) -> None:
    """Edited groups close a lesson; what differs from the plan is said, the rest is as planned."""
    rows = list(csv.reader(week.exported().splitlines()))
    edited = [row for row in rows if not (row[:3] == ["1", "Passen", "2"] and row[4] == "0103")]
    path = week.folder / "ran.csv"
    write_rows(path, edited[0], edited[1:])
    out = grouper("taught", week.file, "--lesson", 1, "--groups", path).out.splitlines()
    assert out[:2] == ["Lesson 1 is closed.", "Lesson 1, Passen, round 2"]
    assert len(out) == 3
    assert list(csv.reader(week.exported().splitlines())) == edited
    assert grouper("taught", week.file, "--lesson", 2).out == "Lesson 2 is closed.\n"
    assert "marked as taught already" in grouper("taught", week.file, "--lesson", 2, status=2).err
    grouper("taught", week.file, "--lesson", 2, "--take-back")
    grouper("absent", week.file, "--lesson", 2, "Tom")


def test_a_changed_roster_is_matched_by_id(week: ClassOnDisk) -> None:
    """A new name is the same student, who is gone is archived and stays in the past, who is new is in what comes."""
    grouper("taught", week.file, "--lesson", 1)
    past = [row for row in week.exported().splitlines() if row.startswith("1,")]
    text = ROSTER.replace("0108;Iser, Tom;;n/a;;\n", "0199;Zeh, Uli;;3;;\n").replace("Jung, Kim", "Jung-Alt, Kim")
    week.roster.write_bytes(text.encode("cp1252"))
    out = grouper("import", week.file, "--roster", week.roster).out
    assert "  joined: Uli Zeh\n" in out
    assert "  no longer on the roster, archived: Tom Iser\n" in out
    rows = list(csv.DictReader(week.exported().splitlines()))
    assert {row["name"] for row in rows if row["student_id"] == "0109"} == {"Kim Jung-Alt"}
    assert {row["lesson"] for row in rows if row["student_id"] == "0108"} == {"1"}
    assert {row["lesson"] for row in rows if row["student_id"] == "0199"} == {"2", "3"}
    assert [row.replace("Jung-Alt", "Jung") for row in week.exported().splitlines() if row.startswith("1,")] == past
    grouper("undo", week.file)
    assert [row for row in week.exported().splitlines() if row.startswith("1,")] == past


def test_one_clash_is_one_line_however_many_rounds(tmp_path: Path) -> None:
    """Two apart who met in six rounds of three lessons are one line, and so are eleven requests of one student."""
    made = a_class(tmp_path, 12, [activity(lesson, "Same", 12, rounds=2) for lesson in (1, 2, 4)])
    made.plan()
    write_rows(made.requests, REQUEST_HEADERS, [("apart", "k01", "k02")])
    for lesson in (1, 2, 4):
        grouper("taught", made.file, "--lesson", lesson)
    made.plan()
    said = grouper("fairness", made.file).out
    assert said.count("are to be kept apart") == 1
    assert "    - lessons 1, 2 and 4: Kid01 Fam01 and Kid02 Fam02 are to be kept apart and share a group" in said
    write_rows(made.requests, REQUEST_HEADERS, [("apart", "k01", f"k{other:02}") for other in range(2, 13)])
    made.plan()
    lines = [line for line in grouper("fairness", made.file).out.splitlines() if line.startswith("    - ")]
    assert len(lines) == 1 and "Kid01 Fam01 is to be kept apart from 11 others: Kid02 Fam02, " in lines[0]
    assert json.loads(grouper("fairness", made.file, "--json").out)["breaches"] == 66


def test_the_summary_says_nothing_of_a_bound_of_nothing(tmp_path: Path) -> None:
    """Where repeats are not proved, no line says that none can have fewer than 0."""
    made = a_class(tmp_path, 12, [activity(lesson, "Game", groups=2) for lesson in range(1, 3)])
    (line,) = [line for line in made.plan().out.splitlines() if "New partners" in line]
    assert "repeats in " in line and "than 0" not in line
    assert "spreads them more evenly" in line or "is not known" in line or "nobody" in line


def test_a_proof_says_what_everything_weighs_together(tmp_path: Path) -> None:
    """Six in pairs, six lessons: the sixth repeats three pairs, as no plan can help, and only a proof is asked so."""
    made = a_class(tmp_path, 6, [activity(lesson, "Pairs", 2) for lesson in range(1, 7)])
    made.plan()
    said = grouper("fairness", made.file, "--prove").out
    assert "weigh as much as 3 repeats; proven best" in said
    assert "All together" not in grouper("fairness", made.file).out
    data = json.loads(grouper("fairness", made.file, "--prove", "--json").out)
    assert data["weighed"] == data["weighed_bound"] == 3
    assert json.loads(grouper("fairness", made.file, "--json").out)["weighed"] is None


def test_the_worst_spread_is_that_of_the_list(tmp_path: Path) -> None:
    """Two strands of which one goes to 100: the number in front is the largest of those below."""
    made = a_class(
        tmp_path, 12, [activity(1, "Cup", groups=3, aim="balanced"), activity(2, "Run", groups=5, aim="balanced")]
    )
    rows = [(row["student_id"], row["name"], row["skill"], 7 * n) for n, row in enumerate(rows_of(made.roster))]
    write_rows(made.roster, ("student_id", "name", "skill", "speed"), rows)
    lessons = [[*row.values()] for row in rows_of(made.lessons)]
    lessons[1][7] = "speed"
    write_rows(made.lessons, LESSON_HEADERS, lessons)
    made.plan()
    told = json.loads(grouper("fairness", made.file, "--json").out)
    assert len({spread["strand"] for spread in told["spreads"]}) == 2
    assert told["worst_spread"] == max(spread["spread"] for spread in told["spreads"])


def test_a_swap_says_what_it_breaks_and_is_kept(week: ClassOnDisk) -> None:
    """Two who are to be apart are brought together by hand: it is done, said, seen in fairness, kept by a new plan."""
    place = ("3", "Paare", "1")
    with_mia = partner(week, place, "0106")
    out = grouper("swap", week.file, "--lesson", 3, with_mia, "0107", "--round", 1).out
    assert out.splitlines()[0] == "Lesson 3, Paare, round 1: swapped and pinned"
    assert "  worse now: lesson 3: Mia Groß and Mia Huber are to be kept apart and share a group" in out
    said = grouper("fairness", week.file).out
    assert "  Requests        not kept:\n    - lesson 3: Mia Groß and Mia Huber are to be kept apart" in said
    grouper("plan", week.file, "--effort", "quick", "--seed", 8)
    assert are_in_one_group(week, place, "0106", "0107")
    grouper("pin", week.file, "--lesson", 3, "--round", 1, "--off")
    assert "all kept (2)" in grouper("plan", week.file, "--effort", "quick").out


def test_every_change_can_be_taken_back_in_a_row(week: ClassOnDisk) -> None:
    """Changes of every kind, then as many undos: after each the groups are what they were before that change."""
    changed = week.folder / "changed.csv"
    changed.write_bytes(ROSTER.replace("0108;Iser, Tom;;n/a;;\n", "").encode("cp1252"))
    calls = [
        ("absent", week.file, "--lesson", 1, "0104"),
        ("present", week.file, "--lesson", 1, "0104"),
        ("aside", week.file, "--lesson", 1, "0105", "--role", "referee", "--from-round", 2),
        ("swap", week.file, "--lesson", 1, "0106", "0107", "--round", 1),
        ("pin", week.file, "--lesson", 3),
        ("taught", week.file, "--lesson", 1),
        ("join", week.file, "--lesson", 2, "New Newman", "--rating", "ausdauer=4"),
        ("leave", week.file, "--lesson", 3, "Pär"),
        ("import", week.file, "--roster", changed),
        ("plan", week.file, "--effort", "quick", "--seed", 9),
    ]
    texts = []
    for call in calls:
        texts.append(week.exported())
        grouper(*call)
    assert len(grouper("history", week.file).out.splitlines()) == len(calls) + 1
    for text in reversed(texts):
        assert grouper("undo", week.file).out.startswith("Taken back: ")
        assert week.exported() == text
    assert "there is nothing to undo" in grouper("undo", week.file, status=2).err


def test_aside_from_the_middle_of_a_lesson(tmp_path: Path) -> None:
    """From its second round on the student has a role and no group; the rounds before are as they were."""
    disk = a_class(tmp_path, 9, [activity(1, "pairs", 2, rounds=2), activity(1, "teams", groups=2)])
    disk.plan()
    grouper("aside", disk.file, "--lesson", 1, "k04", "--role", "timekeeper", "--from-round", 2)
    seen = Seen(disk, {(1, "k04"): 2})
    assert faults(seen) == []
    assert [round_.aside for round_ in seen.rounds] == [[], ["k04"], ["k04"]]
    assert all(round_.roles["k04"] == "timekeeper" for round_ in seen.rounds[1:])


def test_template_to_plan(tmp_path: Path) -> None:
    """The workbook that ``template`` writes can be planned once its example request is gone, with no other file."""
    from openpyxl import load_workbook

    path = tmp_path / "class.xlsx"
    assert str(path) in grouper("template", path).out
    book = load_workbook(path)
    assert book.sheetnames == ["roster", "lessons", "requests"]
    for number in range(8):
        book["roster"].append([f"s{number}", f"Student {number}", 1 + number % 5])
    book.save(path)
    assert "8 students" in grouper("plan", tmp_path / "a.class", "--roster", path, "--effort", "quick").out
    assert "is there already" in grouper("template", path, status=2).err


def test_the_demo_plans_and_writes_its_sheets(tmp_path: Path) -> None:
    """One command plans an invented class, says how fair it is, and where the sheets are."""
    out = grouper("demo", "--class", "small", "--to", tmp_path / "demo").out
    told = [line.split(": ", 1) for line in out.splitlines() if line.startswith(("Sheet: ", "Class file: "))]
    written = [Path(path) for _, path in told]
    assert len(written) == 3
    assert all(path.stat().st_size for path in written)
    assert "  New partners    " in out


def test_a_re_export_reads_back_in(tmp_path: Path) -> None:
    """What ``export`` writes is taken by ``taught --groups`` unchanged, names that look like formulas included."""
    disk = a_class(tmp_path, 7, [activity(1, "=pairs", 2, rounds=2)])
    rows = [list(row.values()) for row in rows_of(disk.roster)]
    rows[0][1] = "=SUM(A1)"
    write_rows(disk.roster, ("student_id", "name", "skill"), rows)
    disk.plan()
    text = disk.exported()
    assert "'=SUM(A1)" in text
    out = grouper("taught", disk.file, "--lesson", 1, "--groups", disk.folder / "groups.csv").out
    assert out == "Lesson 1 is closed.\n"
    assert disk.exported() == text


@pytest.mark.parametrize("seed", range(2))
def test_a_new_plan_after_all_kinds_of_changes_is_valid(tmp_path: Path, seed: int) -> None:
    """Lessons with different people each, some of them taught and pinned, are planned anew without a fault."""
    rows = [activity(lesson, "pairs", 2, rounds=2) for lesson in (1, 2, 3, 4)]
    disk = a_class(tmp_path, 13, [*rows, activity(5, "teams", groups=3, aim="balanced", rounds=2)])
    disk.plan()
    grouper("taught", disk.file, "--lesson", 1)
    grouper("absent", disk.file, "--lesson", 2, "k03")
    grouper("absent", disk.file, "--lesson", 3, "k05", "k06")
    grouper("join", disk.file, "--lesson", 2, "New Newman", "--id", "k14", "--rating", "skill=2")
    grouper("leave", disk.file, "--lesson", 4, "k01")
    grouper("pin", disk.file, "--lesson", 4, "--round", 1)
    grouper("plan", disk.file, "--effort", "quick", "--seed", seed)
    with disk.roster.open("a", encoding="utf-8") as file:
        file.write("k14,New Newman,2\n")
    out = {(2, "k03"): 1, (3, "k05"): 1, (3, "k06"): 1, (1, "k14"): 1, (4, "k01"): 1, (5, "k01"): 1}
    assert faults(Seen(disk, out)) == []
