"""The table of lessons: what is understood, noted, and refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from table_files import notes, text_file, workbook_file

from grouper.errors import InputError, Trouble
from grouper.files.cells import read_dates
from grouper.files.lessons import LessonsReading, read_lessons
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity

HEADER = "lesson,date,activity,size,groups,rounds,minutes,aim,strand,min_gap,max_gap"
TWO = Roster((Student("1", "Ana"),), ("Skill", "stamina"))
ONE = Roster((Student("1", "Ana"),), ("Skill",))


def lessons(folder: Path, *lines: str, roster: Roster = TWO, header: str = HEADER) -> LessonsReading:
    return read_lessons(text_file(folder, "\n".join((header, *lines)) + "\n", name="lessons.csv"), roster)


def troubles(folder: Path, *lines: str, roster: Roster = TWO, header: str = HEADER) -> tuple[Trouble, ...]:
    with pytest.raises(InputError) as caught:
        lessons(folder, *lines, roster=roster, header=header)
    assert all(t.file == "lessons.csv" and t.remedy for t in caught.value.troubles)
    return caught.value.troubles


def only(folder: Path, line: str, roster: Roster = TWO, header: str = HEADER) -> Activity:
    (lesson,) = lessons(folder, line, roster=roster, header=header).unit.lessons
    (activity,) = lesson.activities
    return activity


def test_a_unit_of_every_aim(tmp_path: Path) -> None:
    """Every aim is read with its columns, lessons in order, activities in the order of rows."""
    unit = lessons(
        tmp_path,
        "1,2026-04-13,Passing,2,,5,4,,,,",
        "1,,Relay,,6,1,12,balanced,stamina,,",
        '2,2026-04-20,Coach,2,,3,,coaching,skill,1,"2,5"',
        "2,,Lanes,4,,1,,similar,SKILL,,",
        "2,,Lanes again,,,2,,stay,,,",
    ).unit
    assert [lesson.date for lesson in unit.lessons] == ["2026-04-13", "2026-04-20"]
    assert unit.lessons[0].activities == (
        Activity("Passing", "fresh", 2, rounds=5, minutes=4.0),
        Activity("Relay", "balanced", groups=6, minutes=12.0, strand="stamina"),
    )
    assert unit.lessons[1].activities == (
        Activity("Coach", "coaching", 2, rounds=3, strand="Skill", min_gap=1.0, max_gap=2.5),
        Activity("Lanes", "similar", 4, strand="Skill"),
        Activity("Lanes again", "stay", rounds=2),
    )


@pytest.mark.parametrize(
    ("word", "aim"),
    [
        ("Fresh", "fresh"),
        ("", "fresh"),
        ("neue Partner", "fresh"),
        ("BALANCED", "balanced"),
        ("ausgeglichen", "balanced"),
        ("équilibré", "balanced"),
        ("equilibrado", "balanced"),
        ("coach", "coaching"),
        ("tutorat", "coaching"),
        ("ähnlich", "similar"),
        ("même niveau", "similar"),
        ("balancd", "balanced"),
    ],
)
def test_aims_in_several_languages_and_cases(tmp_path: Path, word: str, aim: str) -> None:
    """Aims are read by meaning."""
    assert only(tmp_path, f"1,,Passing,2,,,,{word},Skill,,").aim == aim


def test_headers_in_german_with_semicolons(tmp_path: Path) -> None:
    """The table may have headers of another language, in any order."""
    activity = only(tmp_path, "Pässe;1;2;3;4,5;neu", header="Übung;Stunde;Größe;Runden;Minuten;Ziel")
    assert activity == Activity("Pässe", size=2, rounds=3, minutes=4.5)


def test_lessons_out_of_order_and_numbers_left_blank(tmp_path: Path) -> None:
    """A blank lesson number is that of the row above; lessons are put in order, both with notes."""
    reading = lessons(tmp_path, "Lesson 2,,A,2,,,,,,,", ",,B,2,,,,,,,", "1,,C,2,,,,,,,")
    assert [[a.name for a in lesson.activities] for lesson in reading.unit.lessons] == [["C"], ["A", "B"]]
    assert "row 3: no lesson number" in notes(reading, "understood")
    assert "order of their numbers" in notes(reading, "mended")


def test_two_activities_of_one_name_get_numbers(tmp_path: Path) -> None:
    """'Game' twice in a lesson is 'Game' and 'Game 2', also where 'Game 2' stands there already."""
    reading = lessons(tmp_path, "1,,Game,2,,,,,,,", "1,,Game,2,,,,,,,", "1,,Game 2,2,,,,,,,", "2,,Game,2,,,,,,,")
    assert [a.name for a in reading.unit.lessons[0].activities] == ["Game", "Game 3", "Game 2"]
    assert reading.unit.lessons[1].activities[0].name == "Game"
    assert "row 3: the second 'Game' of lesson 1 is called 'Game 3'" in notes(reading, "mended")


def test_coaching_works_in_pairs(tmp_path: Path) -> None:
    """Without a size coaching has size 2; any other size or a number of groups is a trouble."""
    assert only(tmp_path, "1,,Coach,,,,,coaching,Skill,,").size == 2
    for line in ("1,,Coach,3,,,,coaching,Skill,,", "1,,Coach,,4,,,coaching,Skill,,"):
        (trouble,) = troubles(tmp_path, line)
        assert "works in pairs" in trouble.message


def test_the_only_strand_is_meant_where_none_is_named(tmp_path: Path) -> None:
    """With one strand in the roster a blank one is that; with several it is a trouble that lists them."""
    assert only(tmp_path, "1,,Relay,,4,,,balanced,,,", roster=ONE).strand == "Skill"
    (trouble,) = troubles(tmp_path, "1,,Relay,,4,,,balanced,,,")
    assert (trouble.row, trouble.column) == (2, "strand")
    assert "Skill, stamina" in trouble.remedy


def test_a_strand_goes_by_its_name_without_the_scale(tmp_path: Path) -> None:
    """A header that tells the scale is called by what stands before it; not where two strands would be meant."""
    scaled = Roster((Student("1", "Ana"),), ("Skill (1-5)", "stamina [shuttles]"))
    assert only(tmp_path, "1,,Relay,,4,,,balanced,skill,,", roster=scaled).strand == "Skill (1-5)"
    assert only(tmp_path, "1,,Relay,,4,,,balanced,Stamina,,", roster=scaled).strand == "stamina [shuttles]"
    two = Roster((Student("1", "Ana"),), ("Skill (left)", "Skill (right)"))
    (trouble,) = troubles(tmp_path, "1,,Relay,,4,,,balanced,skill,,", roster=two)
    assert "no rating 'skill'" in trouble.message


def test_sides_are_read_in_the_place_of_a_size(tmp_path: Path) -> None:
    """As they are written or the other way round; an edge in whole percent; a header in another language."""
    header = f"{HEADER},sides,edge"
    assert only(tmp_path, "1,,Attack,,,2,6,,,,,3+5,", header=header) == Activity(
        "Attack", rounds=2, minutes=6.0, sides="5+3"
    )
    assert only(tmp_path, "1,,Game,,,,,balanced,stamina,,,5 v 3,-20%", header=header) == Activity(
        "Game", "balanced", strand="stamina", sides="5+3", edge=-20
    )
    assert only(tmp_path, "1,,Game,,,,,,,,,4+4+1,", header=f"{HEADER},Spielverhältnis,edge").sides == "4+4+1"


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("1,,Attack,,,,,,,,,5,", "sides"),
        ("1,,Attack,,,,,,,,,five,", "sides"),
        ("1,,Attack,4,,,,,,,,5+3,", "sides"),
        ("1,,Attack,,6,,,,,,,5+3,", "sides"),
        ("1,,Attack,2,,,,coaching,Skill,,,5+3,", "sides"),
        ("1,,Attack,,,,,balanced,Skill,,,5+3,much", "edge"),
        ("1,,Attack,,,,,balanced,Skill,,,4+4+1,20", ""),
        ("1,,Attack,,,,,fresh,,,,5+3,20", ""),
        ("1,,Attack,,,,,balanced,Skill,,,5+3,900", ""),
    ],
)
def test_sides_that_make_no_sense_are_a_trouble(tmp_path: Path, line: str, column: str) -> None:
    """One each, with its column where there is one, and none is guessed at."""
    (trouble,) = troubles(tmp_path, line, header=f"{HEADER},sides,edge")
    assert trouble.column == column and trouble.row == 2


def test_an_unknown_strand_lists_those_of_the_roster(tmp_path: Path) -> None:
    """A strand that the roster does not have is a trouble that says which it has."""
    (trouble,) = troubles(tmp_path, "1,,Relay,,4,,,balanced,speed,,")
    assert "no rating 'speed'" in trouble.message
    assert "Skill, stamina" in trouble.remedy


@pytest.mark.parametrize(
    ("line", "row", "column"),
    [
        ("1,,Passing,,,,,,,,", 2, "size"),
        ("1,,Passing,2,4,,,,,,", 2, "groups"),
        ("1,,Passing,0,,,,,,,", 2, "size"),
        ("1,,Passing,2.5,,,,,,,", 2, "size"),
        ("1,,Passing,two,,,,,,,", 2, "size"),
        ("1,,Passing,2,,0,,,,,", 2, "rounds"),
        ("1,,Passing,2,,5000,,,,,", 2, "rounds"),
        ("1,,Passing,2,,,-4,,,,", 2, "minutes"),
        ("1,,Passing,2,,,,sideways,,,", 2, "aim"),
        ("1,,,2,,,,,,,", 2, "activity"),
        ("one,,Passing,2,,,,,,,", 2, "lesson"),
        (",,Passing,2,,,,,,,", 2, "lesson"),
        ("1,31.02.2026,Passing,2,,,,,,,", 2, "date"),
        ("1,,Coach,2,,,,coaching,Skill,3,1", 2, "min_gap"),
        ("1,,Again,,,,,stay,,,", 2, "aim"),
    ],
)
def test_each_fault_is_one_trouble_with_its_column(tmp_path: Path, line: str, row: int, column: str) -> None:
    """One fault gives one trouble, at its row and column."""
    (trouble,) = troubles(tmp_path, line)
    assert (trouble.row, trouble.column) == (row, column)


def test_faults_of_all_rows_come_together(tmp_path: Path) -> None:
    """All troubles are raised at once."""
    found = troubles(tmp_path, "1,,Passing,,,,,,,,", "1,,Relay,,4,,,balanced,speed,,", "2,,Game,x,,,,,,,")
    assert [t.row for t in found] == [2, 3, 4]


def test_what_an_aim_does_not_use_is_left_out_with_a_note(tmp_path: Path) -> None:
    """A strand of fresh pairs, the gaps of teams and the size of stay go nowhere, with a note each."""
    reading = lessons(tmp_path, "1,,A,2,,,,fresh,Skill,1,", "1,,B,3,,,,stay,,,", header=HEADER)
    left_out = notes(reading, "left out")
    assert "row 2 of" not in left_out
    assert "column 'strand': the aim fresh goes by no rating" in left_out
    assert "column 'min_gap': the aim fresh has no gaps" in left_out
    assert "row 3, column 'size': the groups stay" in left_out


def test_unknown_columns_with_values_are_refused_by_name(tmp_path: Path) -> None:
    """What stands in it was meant: the column is named, and those that are known; an empty one is told of."""
    (trouble,) = troubles(tmp_path, "1,Passing,2,cones", header="lesson,activity,size,kit list")
    assert trouble.column == "kit list" and "rounds, minutes, aim" in trouble.remedy
    reading = lessons(tmp_path, "1,Passing,2,", header="lesson,activity,size,kit list")
    assert "column 'kit list'" in notes(reading, "left out")


@pytest.mark.parametrize(
    "word", ["mixed", "Mixed ability", "gemischt", "even", "leistungsgemischt", "mixte", "hétérogène", "mezclado",
             "misto", "gemengd", "mieszany", "blandad", "смешанные", "混合"],
)  # fmt: skip
def test_mixed_means_even_teams(tmp_path: Path, word: str) -> None:
    """Every team has some of all abilities; with several strands the table is asked which."""
    activity = only(tmp_path, f"1,Cup,4,{word},skill", header="lesson,activity,groups,aim,strand")
    assert (activity.aim, activity.strand) == ("balanced", "Skill")
    (trouble,) = troubles(tmp_path, f"1,Cup,4,{word}", header="lesson,activity,groups,aim")
    assert "needs a rating" in trouble.message


def test_lessons_out_of_date_order_are_told_of(tmp_path: Path) -> None:
    """Numbers and dates go two ways: said with both."""
    reading = lessons(tmp_path, "1,2031-03-10,A,2", "2,2031-03-03,B,2", header="lesson,date,activity,size")
    assert "lesson 2 is on 2031-03-03, before lesson 1 on 2031-03-10" in notes(reading, "understood")


@pytest.mark.parametrize(
    ("word", "caution"), [("Contact", "contact"), ("none", "none"), ("Schwimmen", "swimming"), ("", "")]
)
def test_cautions(tmp_path: Path, word: str, caution: str) -> None:
    """The optional column caution is read by meaning; 'none' switches it off."""
    assert only(tmp_path, f"1,Tag,2,{word}", header="lesson,activity,size,caution").caution == caution


@pytest.mark.parametrize(
    ("texts", "dates", "either_way"),
    [
        (["2026-04-13", "2026/4/20"], ["2026-04-13", "2026-04-20"], False),
        (["13.4.2026", "20.04.26"], ["2026-04-13", "2026-04-20"], False),
        (["13/4/2026"], ["2026-04-13"], False),
        (["4/13/2026", "4/5/2026"], ["2026-04-13", "2026-04-05"], False),
        (["1/4/2026", "2/3/2026"], ["2026-01-04", "2026-02-03"], False),
        (["3/4/2026"], ["2026-04-03"], True),
        (["2026年4月13日"], ["2026-04-13"], False),
        (["2026-04-13 00:00:00"], ["2026-04-13"], False),
        (["soon"], [None], False),
    ],
)
def test_dates(texts: list[str], dates: list[str | None], either_way: bool) -> None:
    """ISO dates, points, slashes with day or month first as all of them allow and as they ascend."""
    assert read_dates(texts) == (dates, either_way)


def test_lessons_from_a_sheet_by_name_or_by_headers(tmp_path: Path) -> None:
    """In a workbook the sheet is found by its name in several languages, or by its headers."""
    rows = [["lesson", "date", "activity", "size"], [1, None, "Passing", 2]]
    students = [["id", "name"], [1, "Ana"]]
    for title in ("lessons", "Stunden", "Séances", "Tabelle2"):
        path = workbook_file(tmp_path, {"Klasse": students, title: rows})
        assert read_lessons(path, ONE).unit.lessons[0].activities[0].name == "Passing"
    with pytest.raises(InputError) as caught:
        read_lessons(workbook_file(tmp_path, {"Klasse": students}), ONE)
    assert "no sheet holds lessons" in str(caught.value.troubles[0])
