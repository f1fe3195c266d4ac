"""Rosters as schools export them: each kind of mess of the trade's list, one by one (common practice, no source)."""

from __future__ import annotations

from pathlib import Path

import pytest
from email_validator import EmailNotValidError, validate_email
from table_files import names, notes, roster_of, text_file, troubles_of

from grouper.errors import InputError
from grouper.files.names import bare
from grouper.files.roster import read_roster
from grouper.model.roster import Roster, Student

STRAND_HEADERS = (
    "skill;Ausdauer;Kraft;Technik;Wurf (1-5);Vitesse;Endurance;Fuerza;Resistencia;Velocidad;beep test;20 m;30 m sprint;"
    "体力;敏捷;Zręczność;Szybkość;first touch;passing;level;game sense;games;weight transfer;block;serve;set;catch;aim;"
    "Nivel;Niveau;Note;Points;score 1;strength;speed;agility;Kondition;Spielverständnis;Tempo;coordinazione;forza;"
    "resistenza;velocità;força;resistência;kracht;snelheid;styrka;kondisjon;сила;выносливость;δύναμη;الجري;כוח;dance;"
    "turns;pace;shuttle;jump height;long jump;handstand;swim 25;sit-ups;chins;Ballgefühl;Fitness;skill_2;A"
)
UTF_16_TABS = "Schüler-ID\tNachname\tVorname\tKraft\r\n007\tÖztürk\tEmre\t3,5\r\n"


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-8-sig", "windows-1252", "utf-8"])
def test_german_export_with_tabs_in_any_encoding(tmp_path: Path, encoding: str) -> None:
    """A tab-parted export with German headers, an id with zeros and a decimal comma, in each encoding."""
    reading = read_roster(text_file(tmp_path, UTF_16_TABS, encoding))
    assert reading.roster == Roster((Student("007", "Emre Öztürk", {"Kraft": 3.5}),), ("Kraft",))


def test_title_rows_blank_lines_and_totals_are_left_out_with_their_rows(tmp_path: Path) -> None:
    """Rows above the header and below the table go into notes that name them; rows count as a spreadsheet shows."""
    reading = roster_of(
        tmp_path,
        "Class list 7b;;",
        "",
        "ID;Name;Skill",
        "1;Ana Silva;3",
        "",
        "2;Ben Okoro;4",
        ";Average;3,5",
        "Printed by the office on Monday;;",
    )
    assert names(reading) == ["Ana Silva", "Ben Okoro"]
    left_out = notes(reading, "left out")
    assert "row 1: above the header, not read" in left_out
    assert "row 7: a total" in left_out
    assert "row 8: a line below the table" in left_out


def test_a_sep_line_is_not_counted_as_a_row(tmp_path: Path) -> None:
    """A spreadsheet does not show the line sep=; so row numbers in troubles do not count it."""
    (trouble,) = troubles_of(tmp_path, "sep=;", "id;name;skill", "1;Ana;3", "2;Ben;x", "3;Cleo;4")
    assert (trouble.row, trouble.column) == (3, "skill")


def test_unquoted_surname_comma_first_with_semicolons(tmp_path: Path) -> None:
    """The comma of 'Surname, First' is not taken for the delimiter, and the name is turned round."""
    reading = roster_of(tmp_path, "Name;Score", "Silva, Ana;3", "De Luca, Anna Maria;4", "Pelagio;2")
    assert names(reading) == ["Ana Silva", "Anna Maria De Luca", "Pelagio"]


def test_a_single_column_of_surname_comma_first(tmp_path: Path) -> None:
    """A list of nothing but names with commas in them is one column."""
    assert names(roster_of(tmp_path, "Name", "Silva, Ana", "Okoro, Ben")) == ["Ana Silva", "Ben Okoro"]


def test_unquoted_surname_comma_first_in_a_comma_file_is_put_together(tmp_path: Path) -> None:
    """A name cut at its comma makes the row one cell too long: it is put together again, with a note."""
    reading = roster_of(tmp_path, "id,name,skill", "1,Ana Silva,3", "2,Okoro, Ben,4")
    assert names(reading) == ["Ana Silva", "Ben Okoro"]
    assert reading.roster.students[1].ratings == {"skill": 4.0}
    assert "row 3: the name was cut" in notes(reading, "mended")


def test_rows_with_more_cells_than_headers_are_troubles(tmp_path: Path) -> None:
    """A row that is too long for another reason is told, not guessed at."""
    (trouble,) = troubles_of(tmp_path, "id,name,skill", "1,Ana Silva,3,5", "2,Ben Okoro,4")
    assert trouble.row == 2
    assert "quotation marks" in trouble.remedy


def test_quoted_surname_comma_first_in_a_comma_file(tmp_path: Path) -> None:
    """Quoted names with commas are one cell."""
    assert names(roster_of(tmp_path, "id,name,skill", '1,"Silva, Ana",3', '2,"Stone, Sam, Jr.",4')) == [
        "Ana Silva",
        "Sam Stone Jr.",
    ]


def test_a_student_on_several_rows_is_one_student(tmp_path: Path) -> None:
    """Rows with one id are put together: once a subject, once a contact."""
    reading = roster_of(
        tmp_path,
        "student_id,name,skill,contact name,contact phone",
        "0012,Ana Silva,3,Rosa Silva,0171 2345678",
        "0012,Ana Silva,,Rui Silva,0171 2345679",
        "0013,Ben Okoro,4,Ife Okoro,0171 2345670",
    )
    assert reading.roster.by_id["0012"].ratings == {"skill": 3.0}
    assert reading.summary == (
        "2 students; ratings: skill; 1 row was the same student as another row; "
        "columns left out: contact name (personal, not needed), contact phone (personal, not needed)"
    )


def test_rows_of_one_student_that_differ_in_a_rating_are_a_trouble(tmp_path: Path) -> None:
    """Two ratings of one student: the trouble names both rows and the column."""
    (trouble,) = troubles_of(tmp_path, "id,name,skill", "1,Ana Silva,3", "1,Ana Silva,4")
    assert (trouble.row, trouble.column) == (3, "skill")
    assert "3 in row 2 and 4 here" in trouble.message


def test_one_id_for_two_names_is_a_trouble(tmp_path: Path) -> None:
    """An id that stands for two people is never merged."""
    (trouble,) = troubles_of(tmp_path, "id,name", "1,Ana Silva", "1,Ben Okoro")
    assert "stands for 'Ana Silva' in row 2 and for 'Ben Okoro'" in trouble.message


def test_two_of_one_name_without_ids_are_a_trouble(tmp_path: Path) -> None:
    """Without ids, two of one name cannot be told apart; the remedy is to give each an id."""
    (trouble,) = troubles_of(tmp_path, "name,skill", "Mia Berg,3", "Ana Silva,2", "mia berg,4")
    assert (trouble.row, "give each an id" in trouble.remedy) == (4, True)


def test_two_of_one_name_with_ids_are_two_students(tmp_path: Path) -> None:
    """With ids they are two, and a note tells of it."""
    reading = roster_of(tmp_path, "id,name", "1,Mia Berg", "2,Mia Berg")
    assert len(reading.roster.students) == 2
    assert "2 students are called Mia Berg: 1, 2" in notes(reading, "understood")


def test_hidden_characters_and_odd_spaces_go(tmp_path: Path) -> None:
    """No-break, zero-width and doubled spaces are taken off, with a note of the rows."""
    reading = roster_of(tmp_path, "id,name", "\u200b1,Ana\u00a0 Silva\ufeff", "2,Ben Okoro")
    assert reading.roster.students[0] == Student("1", "Ana Silva")
    assert "row 2: hidden characters" in notes(reading, "mended")


def test_ids_written_as_text_formulas(tmp_path: Path) -> None:
    """An id written ="00012" to keep its zeros is the id 00012."""
    assert roster_of(tmp_path, "id,name", '"=""00012""",Ana').roster.students[0].id == "00012"


def test_all_troubles_come_at_once_in_the_order_of_rows(tmp_path: Path) -> None:
    """Every problem is found in one go, each with its row, column and remedy."""
    found = troubles_of(
        tmp_path,
        "id,name,skill,size band,availability",
        "1,Ana,three,M,",
        "2,,3,M,",
        ",Cleo,3,M,",
        "4,Dan,3,72,",
        "5,Eva,3,M,perhaps",
        "6,Fay,3,M,",
    )
    assert [(t.row, t.column) for t in found] == [
        (2, "skill"),
        (3, ""),
        (4, "id"),
        (5, "size band"),
        (6, "availability"),
    ]
    assert all(t.file == "7b.csv" and t.remedy for t in found)


def test_words_of_availability_and_size_are_not_repeated(tmp_path: Path) -> None:
    """An unknown word may be a diagnosis or a weight: the trouble says where it stands and not what it is."""
    found = troubles_of(tmp_path, "id,name,size band,availability", "1,Ana,72 kg,broken ankle", "2,Ben,M,")
    assert not any("72" in str(t) or "ankle" in str(t) for t in found)


@pytest.mark.parametrize(
    ("word", "state"),
    [
        ("injured", "aside"),
        ("verletzt", "aside"),
        ("Dispensé", "aside"),
        ("lesionada", "aside"),
        ("absent", "away"),
        ("krank", "away"),
        ("ausente", "away"),
        ("yes", ""),
        ("ja", ""),
        ("-", ""),
        ("ASIDE", "aside"),
    ],
)
def test_availability_in_several_languages(tmp_path: Path, word: str, state: str) -> None:
    """Availability is read by meaning."""
    assert roster_of(tmp_path, "id,name,availability", f"1,Ana,{word}").roster.students[0].availability == state


@pytest.mark.parametrize(
    "header",
    [
        "Given name;Family name",
        "First Name;Last Name",
        "FORENAME;SURNAME",
        "Vorname;Nachname",
        "Vorname;Name",
        "Prénom;Nom",
        "Prénom;Nom de famille",
        "Nombre;Apellidos",
        "Nome;Cognome",
        "Nome;Sobrenome",
        "Voornaam;Achternaam",
        "Imię;Nazwisko",
        "Förnamn;Efternamn",
        "Имя;Фамилия",
        "Adı;Soyadı",
        "名;姓",
        "givenName;familyName",
        "Fisrt name;Last nmae",
    ],
)
def test_given_and_family_names_in_many_languages(tmp_path: Path, header: str) -> None:
    """Given and family name columns are recognised by meaning, in any order and case, also when misspelled."""
    first, last = header.split(";")
    assert names(roster_of(tmp_path, f"ID;{header};Skill", "1;Ana;Silva;3")) == ["Ana Silva"]
    assert names(roster_of(tmp_path, f"{last.upper()};ID;{first.lower()};Skill", "Silva;1;Ana;3")) == ["Ana Silva"]


@pytest.mark.parametrize(
    "header",
    [
        "Student Name",
        "Pupil",
        "Schüler/in",
        "Name (Nachname, Vorname)",
        "Nom et prénom",
        "Apellidos, Nombre",
        "Cognome e nome",
        "Nome completo",
        "Naam",
        "Imię i nazwisko",
        "ФИО",
        "Ονοματεπώνυμο",
        "姓名",
        "氏名",
        "이름",
        "الاسم",
        "שם התלמיד",
        "Họ và tên",
    ],
)
def test_one_name_column_in_many_languages(tmp_path: Path, header: str) -> None:
    """A column of whole names is recognised by meaning."""
    assert names(roster_of(tmp_path, f"ID;{header};Skill", "1;Silva, Ana;3", "2;王 小岚;4")) == ["Ana Silva", "王 小岚"]


def test_full_name_beside_the_given_name_stays_the_full_name(tmp_path: Path) -> None:
    """A column 'Name' that repeats the given name is the whole name."""
    lines = ("id,Name,First name", "1,Ana Silva,Ana", "2,Ben Okoro,Ben")
    assert names(roster_of(tmp_path, *lines)) == ["Ana Silva", "Ben Okoro"]


def test_preferred_name_goes_first(tmp_path: Path) -> None:
    """The preferred name stands for the given one where there is one."""
    lines = ("id,First name,Preferred name,Last name", "1,Anastasia,Ana,Silva", "2,Ben,,Okoro")
    assert names(roster_of(tmp_path, *lines)) == ["Ana Silva", "Ben Okoro"]


def test_spanish_second_family_name(tmp_path: Path) -> None:
    """Both family names are part of the name."""
    lines = ("Nombre;Primer apellido;Segundo apellido;Fuerza", "Ana;Silva;Roca;3")
    assert names(roster_of(tmp_path, *lines)) == ["Ana Silva Roca"]


def test_personal_columns_are_left_out_with_a_word(tmp_path: Path) -> None:
    """Numbers that are no ratings become no strands, and the summary says that they are left out."""
    header = (
        "id,name,phone,birth year,date of birth,room,form,e-mail,home address,postcode,class no,gender,weight (kg),"
        "allergies,skill"
    )
    reading = roster_of(tmp_path, header, "1,Ana,5550100,2012,2012-03-04,14,7,a@b.example,Rua 1,4000,3,1,41,2,3")
    assert reading.roster.strands == ("skill",)
    for column in header.split(",")[2:-1]:
        assert f"{column} (" in reading.summary
        assert f"column '{column}'" in notes(reading, "left out")


def test_phone_numbers_under_an_unknown_header_are_no_strand(tmp_path: Path) -> None:
    """Numbers that nobody rates with are told from their digits."""
    reading = roster_of(tmp_path, "id,name,reachable,skill", "1,Ana,01715550100,3", "2,Ben,01715550101,4")
    assert reading.roster.strands == ("skill",)


@pytest.mark.parametrize(
    "header",
    STRAND_HEADERS.split(";"),
)
def test_unknown_number_columns_are_strands_in_any_language(tmp_path: Path, header: str) -> None:
    """A column of numbers whose header is not known is a strand, called as the header."""
    assert roster_of(tmp_path, f"id;name;{header}", "1;Ana;3", "2;Ben;4,5").roster.strands == (header,)


def test_a_column_of_words_or_times_is_left_out_with_what_to_do(tmp_path: Path) -> None:
    """Words are no strand; times could be one in seconds."""
    reading = roster_of(tmp_path, "id,name,colour,mile", "1,Ana,red,7:35", "2,Ben,blue,8:02")
    assert "column 'colour': not numbers" in notes(reading, "left out")
    assert "column 'mile': not numbers; give times in seconds" in notes(reading, "left out")


def test_empty_ratings_are_unrated_with_their_rows(tmp_path: Path) -> None:
    """A missing rating is told, not guessed."""
    reading = roster_of(tmp_path, "id,name,skill", "1,Ana,3", "2,Ben,", "3,Cleo,-", "4,Dan,n/a")
    assert [dict(s.ratings) for s in reading.roster.students[1:]] == [{}, {}, {}]
    assert "rows 3-5, column 'skill': not rated" in notes(reading, "understood")


def test_two_columns_of_one_name_are_two_strands(tmp_path: Path) -> None:
    """The second of two strands with one header gets a number, with a note."""
    reading = roster_of(tmp_path, "id,name,Skill,skill", "1,Ana,3,4")
    assert reading.roster.students[0].ratings == {"Skill": 3.0, "skill 2": 4.0}
    assert "the second is called 'skill 2'" in notes(reading, "mended")


def test_ids_are_made_in_row_order_where_there_are_none(tmp_path: Path) -> None:
    """Without ids students get s01, s02 and so on, and a running number in front is not taken for an id."""
    reading = roster_of(tmp_path, "Nr.,name,skill", "1,Ana,3", "2,Ben,4")
    assert [s.id for s in reading.roster.students] == ["s01", "s02"]
    assert reading.ids_made


def test_made_ids_stay_with_the_names_at_the_next_import(tmp_path: Path) -> None:
    """With the roster of last time, whoever was there keeps the id although a newcomer stands first now."""
    before = roster_of(tmp_path, "name", "Ben", "Cleo").roster
    path = text_file(tmp_path, "name\nAna\nCleo\nBen\n")
    assert [(s.id, s.name) for s in read_roster(path, before=before).roster.students] == [
        ("s03", "Ana"),
        ("s02", "Cleo"),
        ("s01", "Ben"),
    ]


def test_numbers_that_do_not_count_rows_are_ids(tmp_path: Path) -> None:
    """A column 'Nr' of numbers of its own is the id where there is no better one."""
    reading = roster_of(tmp_path, "Nr,name", "17,Ana", "4,Ben")
    assert [s.id for s in reading.roster.students] == ["17", "4"]


def test_header_again_on_the_next_page_is_left_out(tmp_path: Path) -> None:
    """Exports made for paper repeat the header."""
    reading = roster_of(tmp_path, "id,name", "1,Ana", "id,name", "2,Ben")
    assert names(reading) == ["Ana", "Ben"]
    assert "row 4: the header once more" not in notes(reading, "left out")
    assert "row 3: the header once more" in notes(reading, "left out")


def test_further_lines_of_a_student_without_id_and_name(tmp_path: Path) -> None:
    """A line for a second contact, with neither id nor name, is left out with a note."""
    lines = ("id,name,skill,contact", "1,Ana,3,Rosa", ",,,Rui", "2,Ben,4,Ife")
    reading = roster_of(tmp_path, *lines)
    assert "row 3: neither id nor name" in notes(reading, "left out")
    (trouble,) = troubles_of(tmp_path, "id,name,skill,contact", "1,Ana,3,Rosa", ",,5,Rui", "2,Ben,4,Ife")
    assert trouble.row == 3


def test_headers_in_no_known_language_above_numbers(tmp_path: Path) -> None:
    """Where no header is known, the only column of words is the name, with a note."""
    reading = roster_of(tmp_path, "Izena,Indarra,Abiadura", "Ana,3,4", "Ben,2,5")
    assert names(reading) == ["Ana", "Ben"]
    assert reading.roster.strands == ("Indarra", "Abiadura")
    assert "taken for the name" in notes(reading, "understood")


def test_no_header_at_all_is_a_trouble(tmp_path: Path) -> None:
    """A file without headers is not guessed at."""
    (trouble,) = troubles_of(tmp_path, "Ana Silva,3,4", "Ben Okoro,2,5")
    assert "no row names the columns" in trouble.message


def test_an_open_quotation_mark_is_a_trouble_with_its_row(tmp_path: Path) -> None:
    """A quotation mark that is never closed would swallow all students below it."""
    (trouble,) = troubles_of(tmp_path, "id,name", "1,Ana", '2,"Ben', "3,Cleo", "4,Dan")
    assert trouble.row == 3
    assert "quotation mark" in trouble.message


def test_a_quoted_line_end_does_not_shift_rows(tmp_path: Path) -> None:
    """A cell with a line end in it is one row, as in a spreadsheet."""
    (trouble,) = troubles_of(tmp_path, "id,name,skill,notes", '1,Ana,3,"one\r\ntwo"', "2,Ben,x,", "3,Cleo,4,")
    assert trouble.row == 3


@pytest.mark.parametrize("line_end", ["\r\n", "\n", "\r"])
def test_any_line_end(tmp_path: Path, line_end: str) -> None:
    """Windows, Unix and old Mac line ends are read."""
    path = text_file(tmp_path, line_end.join(["id,name", "1,Ana", "2,Ben", ""]))
    assert names(read_roster(path)) == ["Ana", "Ben"]


def test_the_same_name_as_a_total_with_an_id_is_a_student(tmp_path: Path) -> None:
    """Whoever has an id is a student, whatever the name looks like."""
    assert names(roster_of(tmp_path, "id,name", "1,Ana", "2,Total")) == ["Ana", "Total"]


def test_a_header_alone_has_no_students(tmp_path: Path) -> None:
    """A roster without a student is a trouble."""
    with pytest.raises(InputError) as caught:
        roster_of(tmp_path, "id,name")
    assert "no students" in caught.value.troubles[0].message


def test_the_example_of_the_template_is_left_out_beside_others(tmp_path: Path) -> None:
    """Whoever forgets to delete the examples does not teach them."""
    reading = roster_of(tmp_path, "student_id,name", "example-1,Example One", "example-2,Example Two", "1,Ana")
    assert names(reading) == ["Ana"]
    assert "rows 2, 3: the example of the template" in notes(reading, "left out")


def test_remarks_of_two_cells_below_the_table_are_no_students(tmp_path: Path) -> None:
    """'As of:' beside a date, and 'Teacher:' beside a name, are left out with a note."""
    reading = roster_of(tmp_path, "id;name;skill", "1;Ana;3", "As of:;01.09.2025;", "Teacher:;Tea Cher;")
    assert names(reading) == ["Ana"]
    assert "rows 3, 4: a line below the table" in notes(reading, "left out")


def test_a_name_without_a_letter_between_others_is_a_trouble(tmp_path: Path) -> None:
    """Where names are words, a number in place of one is told."""
    (trouble,) = troubles_of(tmp_path, "id,name", "1,Ana", "2,4711", "3,Ben")
    assert (trouble.row, trouble.message) == (3, "'4711' is no name")


def test_numbers_in_place_of_all_names(tmp_path: Path) -> None:
    """A list without names on purpose has numbers in the column of names."""
    assert names(roster_of(tmp_path, "id,name,skill", "a,1,3", "b,2,4")) == ["1", "2"]


def test_a_column_of_ids_that_is_empty(tmp_path: Path) -> None:
    """An id column without a single id is as good as none."""
    reading = roster_of(tmp_path, "student_id,name", ",Ana", ",Ben")
    assert [s.id for s in reading.roster.students] == ["s01", "s02"]
    assert "column 'student_id': empty" in notes(reading, "left out")


def test_an_address_or_a_number_never_becomes_part_of_a_name(tmp_path: Path) -> None:
    """Pasted along with the name it is left out with a note; a number alone, or a short one, is a name on purpose."""
    text = "student_id,name\n1,Kim Lee <kim.lee@school.example>\n2,Jo Park (123456)\n3,s48213 Ana Silva\n4,Pupil 07\n"
    reading = read_roster(text_file(tmp_path, text, name="roster.csv"))
    assert [student.name for student in reading.roster.students] == ["Kim Lee", "Jo Park", "Ana Silva", "Pupil 07"]
    assert "rows 2-4" in notes(reading, "left out") and "school.example" not in notes(reading, "left out")


def test_a_rating_far_from_all_others_is_pointed_out(tmp_path: Path) -> None:
    """35 where 3,5 was meant, before anything is planned with it; a best and a worst of the class are not."""
    rows = [f"{n},Kid{n:02},{value}" for n, value in enumerate((1, 2, 3, 4, 5, 3, 35), start=1)]
    text = "\n".join(["student_id,name,skill", *rows]) + "\n"
    said = notes(read_roster(text_file(tmp_path, text, name="roster.csv")), "understood")
    assert "row 8, column 'skill': 35 is far from all others, 1 to 5" in said
    usual = text_file(tmp_path, text.replace(",35", ",9"), name="other.csv")
    assert "is far from" not in notes(read_roster(usual), "understood")


def test_the_longest_address_beside_a_name_goes() -> None:
    """As long as the package email-validator lets one be, by RFC 5321, 4.5.3.1; a sign more is no address to it."""
    address = f"{'k' * 64}@{'d' * 63}.{'e' * 63}.{'f' * 57}.com"
    assert validate_email(address, check_deliverability=False).normalized == address
    for longer in (f"k{address}", f"{address}m"):
        with pytest.raises(EmailNotValidError):
            validate_email(longer, check_deliverability=False)
    assert bare(f"Kim Lee <{address}>") == "Kim Lee"
