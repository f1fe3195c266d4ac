"""The same people are the same people, under whatever id and however their names are written."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import apart, class_of, key, pairs, quick
from hypothesis import given, settings
from hypothesis import strategies as st

from grouper.errors import InputError
from grouper.faces.cli.remedies import error_lines
from grouper.model.ledger import PastRound
from grouper.model.noted import Absence, ChosenTask, Learnt
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.tags import as_called_in, with_ids
from grouper.planning.adjust import taught
from grouper.planning.admit import Admission, NewList, admit_roster
from grouper.planning.attend import leave
from grouper.planning.recognise import Told, recognised
from grouper.words import Remedy

NAMES = ("Ana Núñez", "Ben Adler", "Cem Öz", "Dia Roy", "Eva Lund", "Fin Groß")


def roster(*people: str) -> Roster:
    """Students from texts such as ``01 Ana Berg``."""
    return Roster(tuple(Student(*text.split(" ", 1)) for text in people))


def known(before: Roster, fresh: Roster, told: Told | None = None) -> dict[str, str]:
    """Who is who: old id by new id; nobody may be in doubt."""
    found = recognised(before, fresh, told or Told())
    assert found.doubts == ()
    return dict(found.known)


def a_class() -> ClassRecord:
    """Six with a planned unit, a request, an absence, a rating that was learnt, a chosen step and an earlier unit."""
    people = tuple(Student(f"s{n}", name, {"skill": float(n)}, "M", "") for n, name in enumerate(NAMES, start=1))
    record = replace(class_of(2, pairs(2), lessons=3), roster=Roster(people, ("skill",)), requests=(apart("s1", "s2"),))
    planned = quick(record)
    first = planned.plan.rounds[0]
    return replace(
        planned,
        absences=(Absence(2, "s3"),),
        learnt=(Learnt("s4", "skill", None, 3.5, 1),),
        chosen_tasks=(ChosenTask(first.key, first.groups[0].label, (2,), first.groups[0].members),),
        past=(PastRound(1, key(1), "2026-01-09", "Passing", True, first.groups),),
    )


def admitted(record: ClassRecord, *people: str, told: Told | None = None) -> Admission:
    return admit_roster(record, NewList(roster(*people), columns=frozenset()), told or Told())


@pytest.mark.parametrize(
    "written",
    [
        ("ana nunez", "BEN ADLER", "Cem Oz", "Roy Dia", "Eva Lund", "Fin Gross"),
        NAMES,
        ("Núñez Ana", "Adler Ben", "Öz, Cem", "Roy, Dia", "Lund, Eva", "Groß, Fin"),
    ],
)
def test_the_whole_class_under_other_ids_is_the_same_class(written: tuple[str, ...]) -> None:
    """Ids from 9001 on and names in other order or without accents: everything but the ids is what it was."""
    record = a_class()
    admission = admitted(record, *(f"900{n} {name}" for n, name in enumerate(written, start=1)))
    assert admission.joined == () and admission.archived == () and len(admission.said) == 6
    ids = {f"s{n}": f"900{n}" for n in range(1, 7)}
    assert admission.record == with_ids(record, ids)
    assert {s.name for s in admission.record.roster.students} == set(NAMES)
    back = with_ids(admission.record, {now: was for was, now in ids.items()})
    assert back == record


def test_numbers_that_moved_up_do_not_make_children_of_others() -> None:
    """A list that numbers its rows: Ben is gone, Bea is new before him, and all below have another number."""
    before = roster("1 Ana Berg", "2 Ben Adler", "3 Cem Kaya", "4 Dia Roy")
    assert known(before, roster("1 Ana Berg", "2 Cem Kaya", "3 Dia Roy")) == {"1": "1", "2": "3", "3": "4"}
    assert known(before, roster("1 Abe Zorn", "2 Ana Berg", "3 Ben Adler", "4 Cem Kaya", "5 Dia Roy")) == {
        "2": "1",
        "3": "2",
        "4": "3",
        "5": "4",
    }


def test_an_id_with_another_name_is_asked_about() -> None:
    """Ben's number belongs to Cleo now: a child who came for him, or another name? Nothing is guessed."""
    before, fresh = roster("1 Ana Berg", "2 Ben Adler"), roster("1 Ana Berg", "2 Cleo Falk")
    (doubt,) = recognised(before, fresh).doubts
    assert (doubt.student.id, [was.id for was in doubt.candidates]) == ("2", ["2"])
    assert known(before, fresh, Told({"2": "2"})) == {"1": "1", "2": "2"}
    assert known(before, fresh, Told(new=frozenset({"2"}))) == {"1": "1"}
    assert known(before, fresh, Told(by_id=True)) == {"1": "1", "2": "2"}


@pytest.mark.parametrize(("was", "now"), [("Kim Jung", "Kim Jung-Alt"), ("Sam Roy", "Samira Roy"), ("Jo", "Joe")])
def test_an_id_outlives_a_change_of_name(was: str, now: str) -> None:
    """A part of the name stayed, and nobody else is called so."""
    assert known(roster(f"7 {was}"), roster(f"7 {now}")) == {"7": "7"}


def test_joined_by_a_given_name_and_then_on_the_list() -> None:
    """Who was put in at the door as 'Kim' is Kim Stone of the office's list; with two it is asked."""
    before = roster("1 Ana Berg", "new-2 Kim")
    assert known(before, roster("1 Ana Berg", "77 Kim Stone")) == {"1": "1", "77": "new-2"}
    assert len(recognised(before, roster("1 Ana Berg", "77 Kim Stone", "78 Kim Falk")).doubts) == 2


def test_two_of_one_name_are_asked_about_and_one_answer_is_enough() -> None:
    """Both have other ids now: which is which, nobody can tell but the teacher."""
    before = roster("1 Kim Stone", "2 Kim Stone")
    fresh = roster("8 Kim Stone", "9 Kim Stone")
    assert [doubt.student.id for doubt in recognised(before, fresh).doubts] == ["8", "9"]
    assert known(before, fresh, Told({"8": "2"})) == {"8": "2", "9": "1"}
    with pytest.raises(InputError, match="who is who") as caught:
        admit_roster(ClassRecord(before), NewList(fresh))
    assert "--same 1=8 or 2=8, or --new 8" in list(error_lines(caught.value))[1]


def test_who_comes_back_under_another_id_is_who_they_were() -> None:
    """Left in lesson 2, back on the next list: the same student, with what they had."""
    record = leave(a_class(), "s6", 2).record
    admission = admitted(record, *(f"s{n} {name}" for n, name in enumerate(NAMES[:5], start=1)), "77 Fin Gross")
    assert admission.joined == ("Fin Groß",)
    assert admission.record.roster.by_id["77"].ratings == {"skill": 6.0}
    assert len(admission.record.roster.students) == 6


def test_an_id_of_who_has_left_can_be_given_to_another() -> None:
    """Nobody becomes the one before; and the past still says who that was."""
    record = leave(a_class(), "s6", 2).record
    admission = admitted(record, *(f"s{n} {name}" for n, name in enumerate(NAMES[:5], start=1)), "s6 Zoe Quill")
    students = admission.record.roster.by_id
    assert students["s6"].name == "Zoe Quill" and students["was s6"].name == "Fin Groß"
    assert any("was s6" in round_.students for round_ in admission.record.plan.of_lesson(1))


def test_nearly_the_same_name_is_said() -> None:
    """One went and one came whose names differ by a letter: both are shown, with the way to make them one."""
    admission = admitted(a_class(), *(f"s{n} {name}" for n, name in enumerate(NAMES[:5], start=1)), "77 Finn Gros")
    (said,) = admission.said
    assert said.remedy is Remedy.SAME_STUDENT and (said.facts["old"], said.facts["new"]) == ("s6", "77")
    assert said.sentence == "Fin Groß is archived and Finn Gros is new"


def test_a_namesake_who_is_new_is_said() -> None:
    """A second Ana Núñez is a second one, and it is said so."""
    admission = admitted(a_class(), *(f"s{n} {name}" for n, name in enumerate(NAMES, start=1)), "77 Ana Nunez")
    assert admission.joined == ("Ana Nunez",)
    assert [str(one) for one in admission.said] == ["Ana Nunez (77) is new and has the name of another student (s1)"]


def test_size_band_and_availability_stay_where_the_list_has_no_such_column() -> None:
    """What a list does not speak of it does not change."""
    record = a_class()
    aside = replace(record.roster.by_id["s1"], availability="aside")
    record = replace(record, roster=record.roster.with_student(aside))
    people = [f"s{n} {name}" for n, name in enumerate(NAMES, start=1)]
    assert admitted(record, *people).record == record
    spoken = admit_roster(record, NewList(roster(*people))).record.roster.by_id["s1"]
    assert (spoken.availability, spoken.size_band) == ("", "")


@settings(max_examples=60)
@given(order=st.permutations(range(6)), gone=st.sets(st.integers(0, 5), max_size=3), shuffled=st.permutations(range(6)))
def test_any_list_of_people_with_names_of_their_own_is_understood(
    order: list[int], gone: set[int], shuffled: list[int]
) -> None:
    """Whatever ids, those of others among them, and in whatever order: each is who they were, by name alone."""
    before = roster(*(f"{n} {name}" for n, name in enumerate(NAMES)))
    fresh = roster(*(f"{shuffled[n]} {NAMES[n]}" for n in order if n not in gone)) if len(gone) < 6 else before
    found = known(before, fresh)
    assert {fresh.by_id[now].name: before.by_id[was].name for now, was in found.items()} == {
        student.name: student.name for student in fresh.students
    }


def test_a_record_is_called_as_in_another_roster_even_where_ids_were_swapped() -> None:
    """Ids one up, a newcomer with the first one's: nobody is taken for another, forth and back."""
    record = a_class()
    moved = with_ids(record, {f"s{n}": f"s{n + 1}" for n in range(1, 7)})
    longer = replace(moved, roster=moved.roster.with_student(Student("s1", "New")))
    assert as_called_in(record, longer.roster) == moved
    assert as_called_in(longer, record.roster).plan == record.plan


def test_who_was_left_off_a_list_by_mistake_loses_nothing() -> None:
    """Gone from the list and on the next one again, nothing taught in between: as if they had never left."""
    record = taught(a_class(), 1)
    people = [f"s{n} {name}" for n, name in enumerate(NAMES, start=1)]
    without = admitted(record, *people[1:]).record
    assert without.roster.by_id["s1"].archived
    assert admitted(without, *people).record.roster == record.roster
