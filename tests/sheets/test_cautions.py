"""Cautions: guessed from names in four languages, switched off by 'none', and always deferring to the school."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grouper.faces.sheets.pages import teacher_page
from grouper.faces.views.cautions import CAUTIONS_BY_KEY, DEFERS, cautions_for, guess_cautions
from grouper.faces.views.teacher_lesson import teacher_lesson_view
from grouper.files.levers import default_levers
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.model.unit import CAUTIONS, Activity
from grouper.tasks.kept import copied

from .examples import lesson_of
from .page_text import PageText

# Names of activities as PE teachers write them; common practice, no source.
GUESSES = {
    "contact": (
        *("Tag rugby", "Wrestling games", "Judo", "Tackling in pairs", "Ringen und Kämpfen", "Boxen", "Lutte"),
        *("Boxe française", "Lucha", "Artes marciales", "CONTACT GAMES", "Zweikämpfe"),
    ),
    "gymnastics": (
        *("Gymnastics", "Handstand and cartwheel", "Vaulting", "Geräteturnen", "Bodenturnen", "Turnen", "Überschlag"),
        *("Gymnastique", "Acrosport", "Barres parallèles", "Gimnasia artística", "Voltereta adelante", "Trampoline"),
    ),
    "striking": (
        *("Throwing in pairs", "Cricket batting", "Softball", "Badminton", "Javelin", "Speerwurf", "Weitwurf"),
        *("Schlagball", "Kugelstoßen", "Lancer de javelot", "Tir à l'arc", "Lanzamiento de peso", "Béisbol", "Hockey"),
    ),
    "swimming": (
        *("Swimming lengths", "Backstroke", "Schwimmen", "Brustschwimmen", "Kraulen", "Natation", "Nager le crawl"),
        *("Natación", "Piscina", "Life saving"),
    ),
}
NO_CAUTION = (
    *("Passing", "Relay", "Table tennis", "Tischtennis", "Tenis de mesa", "Turnier", "Gymnasium warm-up", "Tournament"),
    *("Bringen und holen", "Combining passes", "Course de relais", "Carrera", "Staffellauf", "Dance", "Manage a game"),
    *("Battle of the beanbags", "Sans contact", "Direction changes", "Yoga", "Ausdauerlauf"),
)


@pytest.mark.parametrize(("key", "name"), [(key, name) for key, names in GUESSES.items() for name in names])
def test_the_name_points_to_the_caution(key: str, name: str) -> None:
    """Names that should be recognised are."""
    assert key in guess_cautions(name)


@pytest.mark.parametrize("name", NO_CAUTION)
def test_other_names_point_to_none(name: str) -> None:
    """Names that look like one and are not, in any of the languages."""
    assert guess_cautions(name) == ()


def test_an_activity_can_have_two() -> None:
    """Lacrosse is played with sticks and with contact."""
    assert guess_cautions("Lacrosse") == ("contact", "striking")


def test_the_field_overrides_the_guess_and_none_switches_it_off() -> None:
    """What the teacher wrote counts, whatever the name."""
    assert cautions_for(Activity("Rugby", size=2, caution="none")) == ()
    assert [caution.key for caution in cautions_for(Activity("Rugby", size=2, caution="swimming"))] == ["swimming"]


def test_every_kind_of_caution_has_its_words() -> None:
    """The model's kinds and the words for them are the same list."""
    assert set(CAUTIONS_BY_KEY) == set(CAUTIONS)
    assert all(caution.advice for caution in CAUTIONS_BY_KEY.values())


def page_of(activity: Activity, count: int = 6) -> str:
    return teacher_page(teacher_lesson_view(lesson_of(count, activity), 1))


@pytest.mark.parametrize("key", CAUTIONS)
def test_a_caution_is_printed_and_defers_to_the_school(key: str) -> None:
    """Whichever it is, policy and qualified staff decide, and no distance, weight or ratio of ours is given."""
    page = page_of(Activity("Game", size=2, caution=key)).replace("&#39;", "'")
    assert CAUTIONS_BY_KEY[key].title in page and DEFERS in page
    assert not any(char.isdigit() for line in CAUTIONS_BY_KEY[key].advice for char in line)


def test_without_a_caution_nothing_is_printed() -> None:
    """A sheet without cautions does not cry wolf."""
    assert DEFERS not in page_of(Activity("Relay", size=2)).replace("&#39;", "'")


def test_size_bands_are_shown_for_contact_alone_and_missing_ones_are_named() -> None:
    """Of seven students the seventh has no band."""
    view = teacher_lesson_view(lesson_of(8, Activity("Rugby", size=2)), 1)
    assert view.with_size_bands
    assert view.cautions[0].warnings == ("No size band is filled in for Maximilian-Alexander.",)
    assert not teacher_lesson_view(lesson_of(8, Activity("Relay", size=2)), 1).with_size_bands


def test_nobody_missing_a_band_no_warning() -> None:
    """The warning goes when the bands are filled in."""
    record = _with_bands(lesson_of(8, Activity("Rugby", size=2)))
    assert teacher_lesson_view(record, 1).cautions[0].warnings == ()


def _with_bands(record: ClassRecord) -> ClassRecord:
    def banded(student: Student) -> Student:
        return replace(student, size_band="M")

    return replace(record, roster=replace(record.roster, students=tuple(map(banded, record.roster.students))))


def test_alone_in_the_water_is_a_warning() -> None:
    """Swimming alone is named; swimming in pairs, trio included, is not."""
    alone = teacher_lesson_view(lesson_of(2, Activity("Swimming", size=1)), 1)
    assert alone.cautions[0].warnings == ("In a group of one in the water: Amina and Ben. Put them with others.",)
    assert teacher_lesson_view(lesson_of(7, Activity("Swimming", size=2)), 1).cautions[0].warnings == ()


def test_size_bands_stand_only_in_rounds_with_contact() -> None:
    """Of two activities of one lesson the first has contact: its 8 members have a band each, the others none."""
    record = lesson_of(8, Activity("Rugby", size=2), Activity("Relay", size=4))
    view = teacher_lesson_view(record, 1)
    assert [round_.with_size_bands for round_ in view.rounds] == [True, False]
    assert PageText(teacher_page(view)).classes("band") == 8


def with_levers(name: str, kind: str, caution: str = "") -> ClassRecord:
    """A lesson whose one activity has the levers of a kind."""
    record = lesson_of(6, Activity(name, size=2, caution=caution))
    library = default_levers()
    return copied(record, name, kind, library)


@pytest.mark.parametrize(
    ("name", "kind", "keys"),
    [
        ("Harbour relay", "Throwing and catching", ["striking"]),
        ("Rally", "Net game", ["striking"]),
        ("Zielwurf", "Target game", ["striking"]),
        ("Balance in pairs", "Balance", ["gymnastics"]),
        ("Gates", "Dribbling", []),
        ("Long ropes", "Rope skipping", []),
    ],
)
def test_what_tasks_ask_for_points_to_a_caution_whatever_the_name(name: str, kind: str, keys: list[str]) -> None:
    """Who throws or swings a bat does so under any name; on the teacher's sheet, with a word that it is a guess."""
    record = with_levers(name, kind)
    view = teacher_lesson_view(record, 1)
    assert [note.caution.key for note in view.cautions] == keys
    page = teacher_page(view)
    assert ("Guessed from the name and from what it asks for" in page) == bool(keys)
    assert teacher_lesson_view(with_levers(name, kind, "none"), 1).cautions == ()
