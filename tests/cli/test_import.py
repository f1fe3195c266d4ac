"""Reading a roster again, as the office changes it: who is who, what becomes of requests, and nothing in silence."""

from __future__ import annotations

import csv
import io
import json
import sys
from pathlib import Path

import pytest
from openpyxl import Workbook

from grouper.files.store import ClassFile

from .shell import grouper
from .tables import ClassOnDisk, a_class, activity, rows_of, write_rows

LESSONS = [activity(number, "pairs", 2, rounds=2) for number in (1, 2, 3)]


@pytest.fixture
def disk(tmp_path: Path) -> ClassOnDisk:
    """Eight students, three lessons of two rounds in pairs of which the first has been taught, k01 apart from k02."""
    made = a_class(tmp_path, 8, LESSONS, [("apart", "k01", "k02")])
    made.plan()
    grouper("taught", made.file, "--lesson", 1)
    return made


def people(disk: ClassOnDisk) -> list[list[str]]:
    return [list(row.values()) for row in rows_of(disk.roster)]


def office(disk: ClassOnDisk, rows: list[list[str]], status: int = 0, *more: object) -> str:
    """Import a list with these rows; what was said."""
    path = disk.folder / "office.csv"
    write_rows(path, ("student_id", "name", "skill"), rows)
    return grouper("import", disk.file, "--roster", path, *more, status=status).all


def grouped(disk: ClassOnDisk) -> list[dict[str, str]]:
    return list(csv.DictReader(disk.exported().splitlines()))


def share_a_group(disk: ClassOnDisk, one: str, other: str) -> list[str]:
    """The lessons in which two are in one group, by name."""
    rows = grouped(disk)
    spot = {(r["lesson"], r["round"], r["name"]): r["group"] for r in rows}
    both = [(k, g) for k, g in spot.items() if k[2] == one]
    return [k[0] for k, g in both if spot.get((k[0], k[1], other)) == g]


def test_the_office_gives_other_ids_and_nothing_else_changes(disk: ClassOnDisk) -> None:
    """Every id is another one: groups, request and turns are what they were, and undo brings the ids back."""
    before = disk.exported()
    said = office(disk, [[f"9{id_}", name, skill] for id_, name, skill in people(disk)])
    assert "archived" not in said and "joined" not in said
    assert "Kid01 Fam01 is the same student under another id (id k01, now 9k01)" in said
    assert "request" not in said and "No group had to change." in said
    assert disk.exported().replace(",9k", ",k") == before
    assert len(ClassFile(disk.file).read().record.roster.students) == 8
    grouper("plan", disk.file, "--effort", "quick", "--seed", 4)
    assert share_a_group(disk, "Kid01 Fam01", "Kid02 Fam02") == []
    grouper("undo", disk.file)
    grouper("undo", disk.file)
    assert disk.exported() == before


def test_the_same_list_again_changes_nothing(disk: ClassOnDisk) -> None:
    """No line on anybody, and no new state of the file."""
    version = ClassFile(disk.file).read().version
    said = office(disk, people(disk))
    assert ClassFile(disk.file).read().version == version
    assert "  " not in said.replace("  - ", "")


def test_a_list_that_numbers_its_rows(tmp_path: Path) -> None:
    """The second of eight leaves and all below move up by one: one is archived, nobody becomes another."""
    disk = a_class(tmp_path, 8, LESSONS, [("apart", "k03", "k04")])
    disk.plan()
    rows = people(disk)
    moved = [[f"k{number:02}", name, skill] for number, (_, name, skill) in enumerate([rows[0], *rows[2:]], start=1)]
    said = office(disk, moved)
    assert "no longer on the roster, archived: Kid02 Fam02\n" in said and "joined" not in said
    assert share_a_group(disk, "Kid03 Fam03", "Kid04 Fam04") == []
    (request,) = ClassFile(disk.file).read().record.requests
    assert request.pair == ("k02", "k03")


def test_who_was_joined_by_hand_and_then_comes_in_the_list(disk: ClassOnDisk) -> None:
    """The same student with the office's id, neither archived nor doubled; the rating from the list counts."""
    grouper("join", disk.file, "--lesson", 2, "Noor Abadi")
    said = office(disk, [*people(disk), ["777", "ABADI, Noor", "4"]])
    assert "Noor Abadi is the same student under another id (id new-9, now 777)" in said
    student = ClassFile(disk.file).read().record.roster.by_id["777"]
    assert (student.name, student.ratings, student.first_lesson) == ("Noor Abadi", {"skill": 4.0}, 2)


def test_in_doubt_nothing_is_changed_until_it_is_said_who_is_who(tmp_path: Path) -> None:
    """Two of one name, both with other ids: exit 2 and the words that settle it, of which one does."""
    disk = a_class(tmp_path, 6, LESSONS)
    rows = people(disk)
    rows[0][1] = rows[1][1] = "Kim Stone"
    write_rows(disk.roster, ("student_id", "name", "skill"), rows)
    disk.plan()
    new = [["8", *rows[0][1:]], ["9", *rows[1][1:]], *rows[2:]]
    file = disk.file.read_bytes()
    said = office(disk, new, 2)
    assert "Kim Stone (8) may be Kim Stone (k01) or Kim Stone (k02), or be new" in said
    assert "--same k01=8 or k02=8, or --new 8" in said
    assert disk.file.read_bytes() == file
    assert "now 8)" in office(disk, new, 0, "--same", "k02=8")
    ids = {s.id: s.ratings for s in ClassFile(disk.file).read().record.roster.students}
    assert ids["8"] == {"skill": float(rows[0][2])} and len(ids) == 6
    assert "no student with the id '10'" in office(disk, new, 2, "--new", "10")


def test_on_a_terminal_it_is_asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One number for each who is in doubt, until nobody is: the first is the second Kim, the other follows from it."""
    disk = a_class(tmp_path, 6, LESSONS)
    rows = people(disk)
    rows[0][1] = rows[1][1] = "Kim Stone"
    write_rows(disk.roster, ("student_id", "name", "skill"), rows)
    disk.plan()
    terminal = io.StringIO("7\n2\n")
    monkeypatch.setattr(terminal, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(sys, "stdin", terminal)
    said = office(disk, [["8", *rows[0][1:]], ["9", *rows[1][1:]], *rows[2:]])
    assert "Kim Stone (8) on the new list is\n  1  Kim Stone (k01)\n  2  Kim Stone (k02)\n  0  a new student" in said
    assert "7 is not in the range" in said
    assert [s.id for s in ClassFile(disk.file).read().record.roster.students][:2] == ["9", "8"]


def test_a_list_without_ids_in_other_words(tmp_path: Path) -> None:
    """No ids in either list: order, case and accents differ, the ids that were made stay."""
    disk = a_class(tmp_path, 4, LESSONS)
    write_rows(disk.roster, ("name",), [["Ana Núñez"], ["Ben Groß"], ["Cem Öz"], ["Dia Roy"]])
    disk.lessons.unlink()
    grouper("import", disk.file, "--roster", disk.roster)
    write_rows(disk.roster, ("name",), [["ROY, DIA"], ["Oz Cem"], ["Gross, Ben"], ["Nunez, Ana"]])
    said = grouper("import", disk.file, "--roster", disk.roster).out
    assert "joined" not in said and "archived" not in said
    roster = ClassFile(disk.file).read().record.roster
    assert [(s.id, s.name) for s in roster.students] == [
        ("s01", "Ana Núñez"),
        ("s02", "Ben Groß"),
        ("s03", "Cem Öz"),
        ("s04", "Dia Roy"),
    ]


def test_who_leaves_with_a_request_is_said_and_who_comes_back_has_it_again(disk: ClassOnDisk) -> None:
    """By import and by leave, and back under another id."""
    rows = people(disk)
    said = office(disk, rows[1:])
    assert "The request for Kid01 Fam01 and Kid02 Fam02 apart ends, as Kid01 Fam01 has left the class." in said
    said = office(disk, [["55", *rows[0][1:]], *rows[1:]])
    assert "joined: Kid01 Fam01" in said
    assert "The request for Kid01 Fam01 and Kid02 Fam02 apart holds again." in said
    assert share_a_group(disk, "Kid01 Fam01", "Kid02 Fam02") == []
    assert "apart ends, as Kid02 Fam02 has left" in grouper("leave", disk.file, "--lesson", 3, "Kid02 Fam02").out


def test_a_workbook_with_a_request_that_the_groups_break(disk: ClassOnDisk) -> None:
    """Two who are a pair in a lesson to come are to be apart now: the groups are mended at once, and shown."""
    rows = grouped(disk)
    one, other = (r["student_id"] for r in rows if (r["lesson"], r["round"], r["group"]) == ("2", "1", "1"))
    names = {r["student_id"]: r["name"] for r in rows}
    book = workbook(disk, [("apart", one, other), ("apart", "k01", "k02")])
    said = grouper("import", disk.file, "--roster", book).out
    assert "Lesson 2, pairs, round 1" in said and "No group had to change" not in said
    assert [lesson for lesson in share_a_group(disk, names[one], names[other]) if lesson != "1"] == []


def test_a_workbook_with_a_newcomer_and_a_contradiction(disk: ClassOnDisk) -> None:
    """Exit 3 with the two requests that clash, and the file as it was."""
    file = disk.file.read_bytes()
    book = workbook(disk, [("apart", "k03", "k04"), ("together", "k04", "k03")], [("k99", "New Newman", 3)])
    said = grouper("import", disk.file, "--roster", book, status=3).err
    assert "Kid03 Fam03 and Kid04 Fam04 are to be kept apart" in said and "are to be together" in said
    assert disk.file.read_bytes() == file


def test_a_table_of_requests_without_one_that_was_there(disk: ClassOnDisk) -> None:
    """The one that is not asked for any more is named by plan as by import."""
    write_rows(disk.requests, ("kind", "student", "other"), [("apart", "k05", "k06")])
    said = grouper("plan", disk.file, "--requests", disk.requests, "--effort", "quick").out
    assert "The request for Kid01 Fam01 and Kid02 Fam02 apart ends: it is not asked for any more." in said


def test_pinned_groups_give_way_to_a_request_that_comes_later(disk: ClassOnDisk) -> None:
    """A pin is older than the request: plan mends the pinned round, says so, and the pin stays."""
    rows = grouped(disk)
    one, other = (r["student_id"] for r in rows if (r["lesson"], r["round"], r["group"]) == ("3", "1", "1"))
    grouper("pin", disk.file, "--lesson", 3, "--round", 1)
    write_rows(disk.requests, ("kind", "student", "other"), [("apart", one, other), ("apart", "k01", "k02")])
    said = grouper("plan", disk.file, "--requests", disk.requests, "--effort", "quick").out
    assert "Lesson 3, pairs, round 1\n" in said and "Not kept" not in said
    assert "(pinned)" in grouper("lesson", disk.file, 3).out


def workbook(disk: ClassOnDisk, requests: list[tuple[str, ...]], more: list[tuple[object, ...]] = []) -> Path:  # noqa: B006
    """The roster and a sheet of requests."""
    book = Workbook()
    sheet = book.active
    sheet.title = "roster"
    for row in [("student_id", "name", "skill"), *((i, n, int(s)) for i, n, s in people(disk)), *more]:
        sheet.append(row)
    asked = book.create_sheet("requests")
    for row in [("kind", "student", "other"), *requests]:
        asked.append(row)
    path = disk.folder / "class.xlsx"
    book.save(path)
    return path


# --- decided by hand, newcomers ---


def test_ran_and_taught_say_whom_they_put_together(disk: ClassOnDisk) -> None:
    """A word for each, on the teacher's terminal; and none on a sheet for students."""
    group = next(r["group"] for r in grouped(disk) if (r["lesson"], r["round"], r["student_id"]) == ("2", "1", "k01"))
    said = grouper("ran", disk.file, "--lesson", 2, "--round", 1, f"k02={group}").out
    line = "Not kept: lesson 2: Kid01 Fam01 and Kid02 Fam02 are to be kept apart and share a group.\n"
    assert line in said
    table = disk.folder / "groups.csv"
    disk.exported()
    text = table.read_text(encoding="utf-8").splitlines()
    ours = [r for r in grouped(disk) if (r["lesson"], r["round"]) == ("3", "1")]
    there = next(r["group"] for r in ours if r["student_id"] == "k01")
    edited = [_in_group(row, there) if row.startswith("3,pairs,1,") and ",k02," in row else row for row in text]
    table.write_text("\n".join(edited) + "\n", encoding="utf-8")
    assert line.replace("lesson 2", "lesson 3") in grouper(
        "taught", disk.file, "--lesson", 3, "--groups", table
    ).out
    grouper("sheets", disk.file, "--lesson", 2, "--to", disk.folder / "sheets")
    students = [path for path in (disk.folder / "sheets").glob("*.html") if "teacher" not in path.name]
    assert students and not any("apart" in path.read_text(encoding="utf-8") for path in students)


def _in_group(row: str, group: str) -> str:
    cells = row.split(",")
    cells[3] = group
    return ",".join(cells)


@pytest.mark.parametrize("name", ["", "   ", "\u00a0", "...", "kid01 FAM01", "Fam01, Kid01"])
def test_a_newcomer_without_a_name_or_with_one_that_is_taken(disk: ClassOnDisk, name: str) -> None:
    """Refused, with what to write; nothing is changed."""
    file = disk.file.read_bytes()
    said = grouper("join", disk.file, "--lesson", 2, name, status=2).err
    assert ("--namesake" if "01" in name else "is no name; write the name") in said
    assert disk.file.read_bytes() == file


def test_a_namesake_who_leaves_and_who_comes_back(disk: ClassOnDisk) -> None:
    """A second of one name joins when it is said so; of who has left it is asked whether they are back."""
    grouper("join", disk.file, "--lesson", 2, "Kid01 Fam01", "--namesake")
    wall = grouper("lesson", disk.file, 2).out
    assert wall.count("Kid01 Fam01") == 4
    grouper("leave", disk.file, "--lesson", 3, "k03")
    said = grouper("join", disk.file, "--lesson", 3, "Kid03 Fam03", status=2).err
    assert "--id k03 if Kid03 Fam03 is back" in said
    grouper("join", disk.file, "--lesson", 3, "Kid03 Fam03", "--id", "k03")
    student = ClassFile(disk.file).read().record.roster.by_id["k03"]
    assert student.ratings == {"skill": float(people(disk)[2][2])} and not student.archived


def test_who_left_after_the_first_lesson_is_not_the_one_with_the_fewest_partners(disk: ClassOnDisk) -> None:
    """Counted from the export: fewest and most are of those who have been there throughout."""
    grouper("leave", disk.file, "--lesson", 2, "k08")
    grouper("join", disk.file, "--lesson", 3, "New Newman")
    told = json.loads(grouper("fairness", disk.file, "--json").out)
    met: dict[str, set[str]] = {}
    rows = grouped(disk)
    for row in rows:
        mates = {r["student_id"] for r in rows if all(r[k] == row[k] for k in ("lesson", "round", "group"))}
        met.setdefault(row["student_id"], set()).update(mates - {row["student_id"]})
    assert told["partners"] == {student: len(mates) for student, mates in met.items()}
    throughout = [len(mates) for student, mates in met.items() if student not in ("k08", "new-9")]
    assert (told["fewest_partners"], told["most_partners"]) == (min(throughout), max(throughout))
    assert len(met["k08"]) < min(throughout)


def test_a_scale_for_ratings_in_words_is_said_once_and_remembered(tmp_path: Path) -> None:
    """The next list is understood without it; an unknown word is refused by name and changes nothing."""
    made = a_class(tmp_path, 8, LESSONS)
    people = rows_of(made.roster)

    def in_words(words: list[str]) -> Path:
        rows = [[p["student_id"], p["name"], words[n % len(words)]] for n, p in enumerate(people)]
        write_rows(tmp_path / "words.csv", ("student_id", "name", "throw"), rows)
        return tmp_path / "words.csv"

    path = in_words(["weak", "fair", "Good"])
    grouper("plan", made.file, "--roster", path, "--lessons", made.lessons, "--scale", "weak=1,fair=2,good=4")
    first = ClassFile(made.file).read()
    assert [s.ratings["throw"] for s in first.record.roster.students[:3]] == [1.0, 2.0, 4.0]
    grouper("import", made.file, "--roster", in_words(["fair", "GOOD"]))
    second = ClassFile(made.file).read()
    assert [s.ratings["throw"] for s in second.record.roster.students[:3]] == [2.0, 4.0, 2.0]
    said = grouper("import", made.file, "--roster", in_words(["fair", "great"]), status=2).all
    assert "'great'" in said
    assert "weak=1, fair=2, good=4" in said
    assert ClassFile(made.file).read().version == second.version
