"""The library of ladders: what is understood, mended and refused; there and back; and the one that comes along."""

from __future__ import annotations

from itertools import product
from pathlib import Path
from unicodedata import normalize

import pytest
from builders import ladder, roster_of
from hypothesis import assume, given
from hypothesis import strategies as st
from table_files import notes, text_file, workbook_file

from grouper.errors import InputError, Trouble
from grouper.files.lessons import read_lessons
from grouper.files.levers import (
    HEADER,
    MOST_LETTERS,
    LeversReading,
    check_words,
    default_levers,
    levers_csv,
    read_adaptations,
    read_cupboard,
    read_levers,
    scoring_in,
    write_levers,
)
from grouper.files.words.headers import ROSTER
from grouper.files.words.levers import kind_of_activity, telling, telling_name
from grouper.model.levers import KINDS, Challenge, Lever, Needed, Setting, Store, needed_from, needs_in_words
from grouper.model.scoring import SCORINGS, Scoring
from grouper.model.texts import tidy
from grouper.words import folded

TOP = "activity,step,along,task"


def ladders(folder: Path, *lines: str, header: str = TOP) -> LeversReading:
    return read_levers(text_file(folder, "\n".join((header, *lines)) + "\n", name="tasks.csv"))


def troubles(folder: Path, *lines: str, header: str = TOP) -> tuple[Trouble, ...]:
    with pytest.raises(InputError) as caught:
        ladders(folder, *lines, header=header)
    assert all(t.file == "tasks.csv" and t.remedy for t in caught.value.troubles)
    return caught.value.troubles


def test_rows_become_ladders_in_the_order_of_the_steps(tmp_path: Path) -> None:
    """Whatever the order of the rows; activities keep the order of the file."""
    reading = ladders(tmp_path, "Pass,2,space,far", "Skip,1,,rope down", "Pass,1,,near", "skip,2,action,rope up")
    assert reading.challenges == (ladder("Pass", "near", "far"), ladder("Skip", "rope down", "rope up"))
    assert reading.summary == "2 activities with 2 levers and 4 settings"


def test_headers_and_words_are_known_by_meaning(tmp_path: Path) -> None:
    """In another order, another language, and spelled slightly wrong; columns that are not known are reported."""
    reading = ladders(tmp_path, "nah,Raum,1,Pass,x", "weit,targt,2,Pass,y", header="Aufgabe,Womit,Stufe,Übung,Farbe")
    assert reading.challenges == (ladder("Pass", "nah", "weit"),)
    assert "not known" in notes(reading, "left out")


def test_an_empty_activity_is_that_of_the_row_above_and_numbers_are_mended(tmp_path: Path) -> None:
    """As people write it; both are said."""
    reading = ladders(tmp_path, "Pass,10,,near", ",20,,far", ",30,,further")
    assert reading.challenges == (ladder("Pass", "near", "far", "further"),)
    assert notes(reading, "understood") and notes(reading, "mended")


@pytest.mark.parametrize(
    ("line", "row", "word"),
    [
        ("Pass,one,,near", 3, "number of a step"),
        ("Pass,,,near", 3, "missing"),
        ("Pass,2,colour,near", 3, "nothing that a step can change"),
        ("Pass,2,,", 3, "the task is missing"),
        ("Pass,1,,near", 3, "row 2 too"),
        (f"Pass,2,,{'x' * (MOST_LETTERS + 1)}", 3, "letters"),
        ("Pass,2,,the easier ball", 3, "easier"),
        ("Pass,2,,work at level 2", 3, "level 2"),
        ("Pass,2,,for Beginners", 3, "Beginners"),
    ],
)
def test_what_is_wrong_is_said_with_its_row(tmp_path: Path, line: str, row: int, word: str) -> None:
    """And with what to try."""
    found = troubles(tmp_path, "Pass,1,,nearest", line)
    assert [trouble.row for trouble in found] == [row]
    assert word in str(found[0])


def test_words_that_speak_of_balls_and_hands_are_not_refused(tmp_path: Path) -> None:
    """A hand may be weaker, a ball lighter, and a step a step of a foot."""
    tasks = ("two steps back", "with your weaker hand", "a lighter ball at chest level", "schwerer Ball")
    lines = [f"Pass,{place},,{task}" for place, task in enumerate(tasks, start=1)]
    assert len(ladders(tmp_path, *lines).challenges[0].levers[0].settings) == 4


def test_one_step_is_no_ladder_and_no_rows_are_no_table(tmp_path: Path) -> None:
    """Nothing to choose from."""
    assert "one step" in str(troubles(tmp_path, "Pass,1,,near")[0])
    assert "no tasks" in str(troubles(tmp_path)[0])
    assert "no column 'activity'" in str(troubles(tmp_path, "1,near", header="step,task")[0])


def test_a_sheet_of_a_workbook(tmp_path: Path) -> None:
    """Found by its headers among others."""
    rows = [TOP.split(","), ["Pass", 1, "space", "near"], ["Pass", 2, "space", "far"]]
    roster = [["student_id", "name"], ["1", "Ana"]]
    path = workbook_file(tmp_path, {"class": roster, "Tasks": rows})
    assert read_levers(path).challenges == (ladder("Pass", "near", "far"),)
    with pytest.raises(InputError, match="cannot be read"):
        read_levers(workbook_file(tmp_path, {"class": roster}, "other.xlsx"))


WORDS = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S")), min_size=1, max_size=12)
TEXTS = st.lists(WORDS, min_size=1, max_size=6).map(" ".join).filter(lambda text: not telling(text))
RISKY = st.sampled_from(("=1+1", "+49 steps", "-throw", "@home", "'=x", "= cmd"))


@given(st.lists(TEXTS | RISKY, min_size=2, max_size=6, unique_by=folded), st.sampled_from(("ball", "=reach (space)")))
def test_there_and_back(tmp_path_factory: pytest.TempPathFactory, tasks: list[str], lever: str) -> None:
    """What is written is read as it was, needs included, and no cell can start a formula."""
    assume(all(task and tidy(task) == task for task in tasks))
    name, kind = ("=reach", "space") if "(" in lever else ("ball", "equipment")
    needs = (Needed("hoop", 2), Needed("rope", 1, each=True))
    settings = tuple(Setting(f"way {n}", task, needs[: n % 3]) for n, task in enumerate(tasks))
    challenges = (Challenge("=Pass", (Lever(name, settings, kind),)),)
    path = tmp_path_factory.mktemp("levers") / "tasks.csv"
    write_levers(path, challenges)
    assert read_levers(path).challenges == challenges


def test_cells_are_guarded() -> None:
    """A task that a spreadsheet would run has an apostrophe in front (OWASP ASVS 5.0, 1.2.10)."""
    text = levers_csv([ladder("Pass", "=1+1", "@x")])
    assert "'=1+1" in text and "'@x" in text


def test_levers_come_from_a_table_of_settings(tmp_path: Path) -> None:
    """Two of an activity, each from easy to hard; what an activity and a lever are called may stand once."""
    rows = (
        "Pass,ball,large,1,with the large ball,ball",
        ",,small,2,,2 cones; rope each",
        ",reach (space),near,1,,",
        ",,far,2,,",
    )
    (found,) = ladders(tmp_path, *rows, header=",".join(HEADER)).challenges
    assert [(lever.name, lever.kind) for lever in found.levers] == [("ball", "equipment"), ("reach", "space")]
    small = found.levers[0].settings[1]
    assert small == Setting("small", "", (Needed("cones", 2), Needed("rope", 1, True))) and small.shown == "small"
    assert found.words((2, 1)) == "Small; near."


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("Pass,ball (colour),small,2,,", "nothing that a lever moves"),
        ("Pass,ball,large,2,,", "twice"),
        ("Pass,ball,small,2,,0 balls", "from 1 to"),
        ("Pass,ball,for experts,2,,", "experts"),
    ],
)
def test_what_is_wrong_with_a_lever_is_said(tmp_path: Path, line: str, word: str) -> None:
    found = troubles(tmp_path, "Pass,ball,large,1,,", line, header=",".join(HEADER))
    assert any(word in str(trouble) for trouble in found)


def test_the_cupboard_is_a_table_of_things_and_numbers(tmp_path: Path) -> None:
    """In other words and order too."""
    stores = (Store("large ball", 12), Store("goal", 4))
    read = read_cupboard(text_file(tmp_path, "Anzahl,Gerät\n12,large ball\n4,goal\n", name="cupboard.csv"))
    assert read.stores == stores
    with pytest.raises(InputError) as caught:
        read_cupboard(text_file(tmp_path, "item,count\ngoal,many\n", name="bad.csv"))
    assert "row 2 of bad.csv, column 'count': 'many' is no number of goal" in str(caught.value.troubles[0])


def test_what_is_kept_is_a_table_of_who_kind_and_what(tmp_path: Path) -> None:
    """Kinds are known in other languages; one that is not is said with its row."""
    path = text_file(tmp_path, "Schüler,Art,Was\nAna,immer,große Bälle\nBen,not at,4\n", name="kept.csv")
    assert read_adaptations(path) == (("Ana", "always", "große Bälle"), ("Ben", "not at", "4"))
    with pytest.raises(InputError) as caught:
        read_adaptations(text_file(tmp_path, "student,kind,what\nAna,often,x\n", name="bad.csv"))
    assert "row 2 of bad.csv, column 'kind': 'often' is nothing to keep" in str(caught.value.troubles[0])


@given(
    st.lists(st.builds(Needed, st.sampled_from(("hoop", "large ball", "2nd bat")), st.integers(1, 40), st.booleans()))
)
def test_what_is_needed_is_written_as_it_is_read(needs: list[Needed]) -> None:
    """'2 cones; rope each', there and back."""
    assert needed_from(needs_in_words(needs)) == tuple(needs)


def test_the_library_that_comes_along_is_whole_and_plain() -> None:
    """Eleven kinds of activity, every kind of lever used, nothing that tells ability, and no distance in metres:
    spacing is the teacher's to set (common practice, no source)."""
    library = default_levers()
    levers = [lever for each in library for lever in each.levers]
    words = [setting.shown for lever in levers for setting in lever.settings]
    assert len(library) == 11 and all(4 <= len(each.levers) <= 6 for each in library)
    assert {lever.kind for lever in levers} == set(KINDS)
    assert not any(map(telling, words))
    assert not any(unit in f" {said} " for said in words for unit in (" m ", " metres", " feet apart", " yards"))
    for each in library:
        texts = [each.words(at) for at in product(*(range(1, count + 1) for count in each.counts))]
        assert len(set(texts)) == len(texts) and max(map(len, texts)) <= 240


def test_the_easier_end_of_a_lever_is_that_of_common_practice() -> None:
    """Larger ball, bat and target, nearer, more targets, both hands, one more player, a slower pace are easier; the
    whole area in a game of invasion is easier than a part of it (common practice, no source)."""
    easy = {(each.activity, lever.name): lever.settings[0].name for each in default_levers() for lever in each.levers}
    wanted = {
        ("Throwing and catching", "ball"): "large soft", ("Throwing and catching", "catch"): "both hands",
        ("Throwing and catching", "distance"): "near", ("Striking", "bat"): "large flat",
        ("Target game", "target"): "large", ("Target game", "targets"): "three", ("Dribbling", "movement"): "walking",
        ("Invasion game", "people"): "two more", ("Invasion game", "space"): "whole area", ("Net game", "net"): "low",
    }  # fmt: skip
    assert {key: easy[key] for key in wanted} == wanted


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("Passing in pairs", "Throwing and catching"), ("Chest passes", "Throwing and catching"),
        ("Jump rope", "Rope skipping"), ("Long jump", "Jumping"), ("Seilspringen", "Rope skipping"),
        ("Tag rugby", "Invasion game"), ("Badminton doubles", "Net game"), ("Rounders", "Striking"),
        ("Staffellauf Staffel", "Running"), ("Course de relais", "Running"), ("Balonmano fútbol", "Invasion game"),
        ("Boccia", "Target game"), ("Fitness circuit", "Circuit"), ("Bodenturnen Turnen", "Balance"), ("Chess", ""),
    ],
)  # fmt: skip
def test_the_kind_of_an_activity_is_told_by_its_name(name: str, kind: str) -> None:
    """In several languages; of two words the longer one counts."""
    assert kind_of_activity(name) == kind


@pytest.mark.parametrize(
    "text",
    [
        "for beginners", "the easier ball", "level 2", "für Anfänger", "plus facile", "más difíciles", "più facile",
        "mais difícil", "gevorderden", "łatwiejsze", "nybörjare", "begyndere", "daha kolay", "для начинающих",
        "легше", "ευκολότερο", "更容易", "初心者", "쉬운 것보다 더 쉬운", "أسهل", "למתחילים",
    ],
)  # fmt: skip
def test_words_that_tell_ability_are_found_in_the_languages_of_rosters(text: str) -> None:
    assert telling(text)


def test_a_task_cut_at_its_comma_is_refused(tmp_path: Path) -> None:
    """A card would show the first half; in quotes it is whole."""
    (trouble,) = troubles(tmp_path, "Pass,1,,catch, turn and throw", "Pass,2,,far")
    assert trouble.row == 2 and "quotes" in trouble.remedy and "turn and throw" in trouble.message
    whole = ladders(tmp_path, 'Pass,1,,"catch, turn and throw"', "Pass,2,,far").challenges
    assert whole == (ladder("Pass", "catch, turn and throw", "far"),)


def test_a_way_of_scoring_is_the_one_setting_of_a_lever_and_goes_there_and_back(tmp_path: Path) -> None:
    """In several languages, with a number of points and the teacher's own words; two settings are a lever as ever."""
    rows = (
        "Cup,scoring,danger zone 5,,Keep out of the red zone: it takes 5.,",
        "Wurf,Wertung,knapp vorbei,,,",
        "Pass,scoring,own best,1,,",
        "Pass,ball,large,1,,",
        "Pass,ball,small,2,,",
        "Tag,scoring,each counts,1,,",
        "Tag,scoring,double,2,,",
        "Goal,scoring,goals,1,a point for a goal,",
        "Goal,scoring,danger zone,,,",
        "Goal,scoring,all touch,2,a goal counts once everybody has had the ball,",
    )
    found = ladders(tmp_path, *rows, header=",".join(HEADER)).challenges
    assert [(one.activity, one.scoring, one.own_rule, len(one.levers)) for one in found] == [
        ("Cup", "danger zone 5", "Keep out of the red zone: it takes 5.", 0),
        ("Wurf", "near misses", "", 0),
        ("Pass", "own best", "", 1),
        ("Tag", "", "", 1),
        ("Goal", "danger zone", "", 1),
    ]
    path = tmp_path / "again.csv"
    write_levers(path, found)
    assert read_levers(path).challenges == found
    twice = troubles(tmp_path, "Cup,scoring,per hit,,,", "Cup,scoring,own best,,,", header=",".join(HEADER))
    assert [one.row for one in twice] == [3]
    (trouble,) = troubles(tmp_path, "Cup,scoring,whatever,1,,", header=",".join(HEADER))
    assert "name a way of scoring: per hit, near misses" in trouble.remedy
    (trouble,) = troubles(tmp_path, "Cup,scoring,danger zone,,for beginners,", header=",".join(HEADER))
    assert "'beginners' tells them" in trouble.message


@pytest.mark.parametrize("scoring", SCORINGS, ids=lambda one: one.key)
def test_each_way_of_scoring_is_read_by_its_name(scoring: Scoring, tmp_path: Path) -> None:
    """And with a number of points, where it takes one."""
    (found,) = ladders(tmp_path, f"Cup,scoring,{scoring.key},,,", header=",".join(HEADER)).challenges
    assert found == Challenge("Cup", (), scoring.key) and found.rule == scoring.rule
    assert scoring_in(scoring.key.upper()) == scoring.key
    assert scoring_in(f"{scoring.key} 7") == f"{scoring.key} 7"


LANGUAGES = {
    "English": ("name", "for beginners", "level 2", "two steps back"),
    "German": ("Schülername", "für Anfänger", "Stufe 2", "zwei Schritte zurück"),
    "French": ("prénom", "pour débutants", "plus facile", "deux pas en arrière"),
    "Spanish": ("alumno", "para principiantes", "más difícil", "dos pasos atrás"),
    "Italian": ("cognome", "più facile", "livello 2", "due passi indietro"),
    "Portuguese": ("nome do aluno", "mais fácil", "nível 3", "dois passos para trás"),
    "Dutch": ("leerling", "makkelijker", "niveau 2", "twee stappen terug"),
    "Polish": ("imię i nazwisko", "dla początkujących", "poziom 2", "dwa kroki w tył"),
    "Swedish": ("namn", "för nybörjare", "nivå 2", "två steg bakåt"),
    "Danish": ("fulde navn", "for begyndere", "sværere", "to skridt tilbage"),
    "Norwegian": ("fullt navn", "for nybegynnere", "vanskeligere", "to steg tilbake"),
    "Finnish": ("koko nimi", "aloittelijoille", "taso 2", "kaksi askelta taakse"),
    "Turkish": ("öğrenci adı", "daha kolay", "seviye 2", "iki adım geri"),
    "Czech": ("jméno a příjmení", "pro začátečníky", "úroveň 2", "dva kroky vzad"),
    "Slovak": ("meno a priezvisko", "pre začiatočníkov", "jednoduchšie", "dva kroky dozadu"),
    "Hungarian": ("teljes név", "kezdőknek", "2. szint", "két lépés hátra"),
    "Romanian": ("nume și prenume", "pentru începători", "nivelul 2", "doi pași înapoi"),
    "Croatian": ("ime i prezime", "za početnike", "razina 2", "dva koraka natrag"),
    "Slovene": ("ime in priimek", "za začetnike", "stopnja 2", "dva koraka nazaj"),
    "Russian": ("фамилия и имя", "для начинающих", "уровень 2", "два шага назад"),
    "Ukrainian": ("прізвище та ім'я", "для початківців", "рівень 2", "два кроки назад"),
    "Bulgarian": ("име и фамилия", "за начинаещи", "по-лесно", "две крачки назад"),
    "Greek": ("ονοματεπώνυμο", "για αρχάριους", "επίπεδο 2", "δύο βήματα πίσω"),
    "Chinese": ("姓名", "初学者", "更容易", "后退两步"),
    "Japanese": ("氏名", "初心者むけ", "レベル2", "二歩下がる"),
    "Korean": ("이름", "초보자용", "레벨 2", "두 걸음 뒤로"),
    "Arabic": ("اسم الطالب", "أسهل", "المستوى 2", "خطوتان إلى الخلف"),
    "Hebrew": ("שם התלמיד", "קל יותר", "רמה 2", "שני צעדים אחורה"),
    "Vietnamese": ("họ và tên", "dễ hơn", "cấp độ 2", "lùi hai bước"),
    "Hindi": ("नाम", "आसान", "स्तर 2", "दो कदम पीछे"),
    "Thai": ("ชื่อ", "ง่ายกว่า", "ระดับ 2", "ถอยหลังสองก้าว"),
}
"""A header for names, two words that tell how able somebody is held to be, and one that tells nothing.

Common usage, no source.
"""


@pytest.mark.parametrize("language", LANGUAGES)
def test_words_are_checked_in_each_language_that_rosters_are_read_in(language: str) -> None:
    """Composed or not (Unicode normalisation forms C and D); a word that tells nothing passes."""
    header, *told, harmless = LANGUAGES[language]
    assert ROSTER.meaning(header), "rosters are read in it"
    for words in told:
        assert telling(f"- {words} -") and telling(normalize("NFD", words)), words
    assert not telling(harmless)
    with pytest.raises(InputError, match="how able they are held to be"):
        check_words(told[0])
    check_words(harmless)


WEAK = {
    "English": "Group of the weak", "German": "Gruppe der Schwachen", "French": "Équipe des faibles",
    "Spanish": "Grupo de los débiles", "Italian": "squadra debole", "Portuguese": "equipe dos fracos",
    "Dutch": "de zwakke groep", "Polish": "słaba grupa", "Swedish": "svaga gruppen", "Danish": "den svage gruppe",
    "Norwegian": "den svake gruppa", "Finnish": "heikko ryhmä", "Turkish": "zayıf takım", "Czech": "slabá skupina",
    "Slovak": "slabé družstvo", "Hungarian": "gyenge csoport", "Romanian": "grupa slabă", "Croatian": "slaba ekipa",
    "Slovene": "slaba skupina", "Russian": "слабая группа", "Ukrainian": "слабка група", "Bulgarian": "слаба група",
    "Greek": "αδύναμη ομάδα", "Chinese": "弱组", "Japanese": "弱いチーム", "Korean": "약한 팀",
    "Arabic": "الفريق الضعيف", "Hebrew": "קבוצה חלשה", "Vietnamese": "nhóm yếu", "Hindi": "कमज़ोर टीम", "Thai": "ทีมอ่อน",
}  # fmt: skip
"""A weak group, as it is said in the languages that rosters are read in; common usage, no source."""


@pytest.mark.parametrize("language", LANGUAGES)
def test_names_that_order_by_ability_are_found_in_each_language(language: str) -> None:
    """As the name of an activity and of a team, composed or not; words of the settings' list count in a name too."""
    name = WEAK[language]
    assert telling_name(name) and telling_name(name, of_people=True) and telling_name(normalize("NFD", name))
    assert telling_name(LANGUAGES[language][1]) and not telling_name(LANGUAGES[language][3], of_people=True)


@pytest.mark.parametrize("name", ["weak", "A-team", "B team", "1st team", "Reserves", "Die Starken", "Slow coaches"])
def test_a_team_has_no_name_that_says_how_able_it_is(name: str) -> None:
    assert telling_name(name, of_people=True)


@pytest.mark.parametrize(
    "name",
    ["Strong throws", "Weak side", "Slow ball", "Tir fort", "der starke Wurf", "Best of three", "Top of the ladder",
     "Group 1", "Team A", "Gruppe B", "Reds", "Jakobs Lauf", "Sport", "Bottom line run", "Lighthouse game"],
)  # fmt: skip
def test_what_an_activity_may_well_be_called_passes(name: str) -> None:
    """A throw may be strong, a ball slow, and a letter is no order."""
    assert not telling_name(name)


def test_names_of_activities_and_levers_are_noted_and_read_all_the_same(tmp_path: Path) -> None:
    """With their row: a table of years ago is not refused for a name."""
    table = tmp_path / "levers.csv"
    table.write_text(
        "activity,lever,setting,order,words\nPassing for beginners,weak group ball,large,1,\n,,small,2,\n",
        encoding="utf-8",
    )
    notes = [str(note) for note in read_levers(table).notes if "tells them how able" in note.text]
    assert len(notes) == 2 and "'beginners'" in notes[0] and "'weak group'" in notes[1] and "row 2" in notes[0]
    lessons = tmp_path / "lessons.csv"
    lessons.write_text("lesson,activity,size\n1,Gruppe der Schwachen,2\n", encoding="utf-8")
    (note,) = (note for note in read_lessons(lessons, roster_of(4)).notes if "tells them" in note.text)
    assert note.rows == (2,) and "'Gruppe der Schwachen'" in note.text
