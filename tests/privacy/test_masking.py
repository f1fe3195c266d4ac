"""Names in typed text, in any script and in part; every example was judged by hand."""

from __future__ import annotations

from unicodedata import normalize

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grouper.model.roster import Roster, Student
from grouper.privacy.names import MASK, find, folded, others_of, replaced, words_of

CLASS = (
    "Mia Berger", "Mia Bergmann", "José Ana", "Anabel Roth", "王小明", "김민수", "Łukasz Wójcik", "يوسف الحداد",
    "Ольга Петрова", "आरव शर्मा", "กมลชนก ศรีสุข", "Straße, Ida", "Æsa Dam", "李 明",
)  # fmt: skip
ROSTER = Roster(tuple(Student(f"id{place}", name) for place, name in enumerate(CLASS)))


def others(place: int):  # type: ignore[no-untyped-def]
    return others_of(ROSTER, ROSTER.students[place])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Jose and Ida", f"{MASK} and {MASK}"),
        ("Jose\u0301 ANA fell", f"{MASK} fell"),
        ("STRASSE was late", f"{MASK} was late"),
        ("今天小明很好", f"今天{MASK}很好"),
        ("李明 and 王小明", f"{MASK} and {MASK}"),
        ("민수가 왔다", f"{MASK}가 왔다"),
        (normalize("NFD", "민수가 왔다"), normalize("NFD", f"{MASK}가 왔다")),
        ("Mia Bergmann's idea", f"{MASK}'s idea"),
        ("Lukasza i Wo\u0301jcik", f"{MASK} i {MASK}"),
        ("мяч Ольги", "мяч Ольги"),
        ("мяч Ольга", f"мяч {MASK}"),
        ("مع يوسف", f"مع {MASK}"),
        ("आरव और", f"{MASK} और"),
        ("กับกมลชนกวันนี้", f"กับ{MASK}วันนี้"),
        ("id3 and id33", f"{MASK} and id33"),
        ("Mia Berger is me", "Mia Berger is me"),
        ("nobody here", "nobody here"),
    ],
)
def test_classmates_are_masked(text: str, expected: str) -> None:
    """For Mia Berger: in other letters, with endings, amid a text without spaces; 'Ольги' shows the limit."""
    assert others(0).masked(text) == expected


@pytest.mark.parametrize(
    ("text", "certain", "perhaps"),
    [
        ("Berger did well", True, True),
        ("Mia did well", False, True),
        ("Mia Bergmann did well", False, False),
        ("Mia Bergmann and Mia Berger", True, True),
        ("bergers ball", True, True),
        ("nobody", False, False),
    ],
)
def test_whom_a_text_is_about(text: str, certain: bool, perhaps: bool) -> None:
    """Two have the given name Mia: by itself it is about neither for certain."""
    assert (others(0).speaks_of(text), others(0).may_speak_of(text)) == (certain, perhaps)


def test_a_name_that_begins_like_another_is_not_taken_for_it() -> None:
    """Anabel is not Ana, and Ana not Anabel."""
    assert others(3).masked("Anabel and Ana") == f"Anabel and {MASK}"
    assert others(2).masked("Anabel and Ana") == f"{MASK} and Ana"
    assert not others(2).may_speak_of("Anabel ran") and others(3).speaks_of("Anabel ran")


@given(st.text(), st.sampled_from(CLASS))
def test_places_in_the_folded_text_lead_back(text: str, name: str) -> None:
    """Wherever a name is put into any text it is found there, and replacing what was found takes it out."""
    marked = f"{text} {name} {text}"
    spans = list(find(marked, words_of(name)))
    assert spans and all(0 <= one.start < one.end <= len(marked) for one in spans)
    assert list(find(replaced(marked, spans, "—"), words_of(name)[:1])) == []


@given(st.text())
def test_folding_keeps_places_in_order(text: str) -> None:
    """One place for each letter and the end, never going back."""
    one = folded(text)
    assert len(one.places) == len(one.text) + 1 and list(one.places) == sorted(one.places)


@pytest.mark.parametrize(
    ("student", "classmate", "text", "masked"),
    [
        ("王 小岚", "王 小", "王 小岚 was good", "王 小岚 was good"),
        ("王 小岚", "王 小", "王小岚很好", "王小岚很好"),
        ("Ali Khan Afridi", "Ali Khan", "Ali Khan Afridi was good", "Ali Khan Afridi was good"),
        ("Ali Khan", "Ali Khan Afridi", "Ali Khan was good", "Ali Khan was good"),
    ],
)
def test_where_one_name_begins_another_the_whole_one_is_meant(
    student: str, classmate: str, text: str, masked: str
) -> None:
    """The note is the student's, or is told to be left out; it is never silently taken for the classmate's."""
    person, other = Student("s1", student), Student("s2", classmate)
    others = others_of(Roster((person, other)), person)
    assert others.speaks_of(text) or others.may_speak_of(text)
    if " " in text or not text.startswith("王"):
        assert others.speaks_of(text) and others.masked(text) == masked


def test_the_longer_name_of_a_classmate_is_not_the_students() -> None:
    """A note on Ali Khan Afridi does not speak for certain of Ali Khan."""
    person, other = Student("s1", "Ali Khan"), Student("s2", "Ali Khan Afridi")
    others = others_of(Roster((person, other)), person)
    assert not others.speaks_of("Ali Khan Afridi was good")
    assert "Afridi" not in others.masked("Ali Khan Afridi was good")
