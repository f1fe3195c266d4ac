"""Students' sheets show what is on the list, and nothing that tells ability, reaches them by any way."""

from __future__ import annotations

import re
from dataclasses import fields, replace
from functools import cache

from builders import ladder
from hypothesis import given, settings
from hypothesis import strategies as st

from grouper.faces.sheets.pages import task_cards_page, teacher_page, wall_page
from grouper.faces.views.cards import task_cards
from grouper.faces.views.students import (
    GroupCard,
    Person,
    RoundBlock,
    StudentLessonView,
    student_lesson_view,
)
from grouper.faces.views.teacher_lesson import teacher_lesson_view
from grouper.model.noted import Absence, TaskResult
from grouper.model.plan import Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, RoundKey, Unit
from grouper.planning.noting import seen
from grouper.tasks.choose import with_task
from grouper.tasks.rounds import tasks_of_round

from .examples import TASKS, every_aim, gallery, gallery_with_tasks, lesson_of, planned, with_ladders
from .page_text import PageText


def wall(record: ClassRecord, lesson: int) -> str:
    return wall_page(student_lesson_view(record, lesson))


@cache
def wall_of_every_aim() -> str:
    """What the wall of other orders and ratings is compared with, written once."""
    return wall(every_aim(), 2)


def sentinel_record() -> ClassRecord:
    """Three lessons in which everything that students must not see is a word or number found nowhere else."""
    students = tuple(
        Student(f"idsentinel{place}", f"Name{chr(97 + place)}", {"strandsentinel": 7654321.5 + place}, "SML"[place % 3])
        for place in range(9)
    )
    activities = (
        Activity("Pass", aim="coaching", size=2, rounds=2, strand="strandsentinel", min_gap=1234.5, max_gap=8765.25),
        Activity("Game", aim="balanced", groups=3, strand="strandsentinel", caution="contact"),
        Activity("Drill", aim="similar", size=3, strand="strandsentinel"),
    )
    requests = (Request("apart", "idsentinel0", "idsentinel5"), Request("together", "idsentinel1", "idsentinel2"))
    absences = (Absence(1, "idsentinel3", "aside", 1, "reasonsentinel"), Absence(1, "idsentinel4", "away"))
    unit = Unit((Lesson(1, activities, "2026-09-14"),))
    record = planned(ClassRecord(Roster(students, ("strandsentinel",)), unit, requests, absences))
    return replace(record, seed=424242)


def test_nothing_that_is_marked_as_hidden_is_anywhere_in_the_bytes() -> None:
    """Ids, strands, ratings, gaps, aims, requests, reasons, cautions and the seed are not in the file at all."""
    page = wall(sentinel_record(), 1).casefold()
    hidden = ("sentinel", "76543", "1234.5", "8765.25", "424242", "coaching", "balanced", "similar")
    hidden += ("apart", "request", "rating", "average", "caution", "contact", "band", "strand", "spread", "gap:")
    style = page[page.index("<style>") : page.index("</style>")]
    body = page.replace(style, "")
    assert [word for word in hidden if word.casefold() in body] == []
    assert "sentinel" not in style and "76543" not in style


def test_of_a_task_nothing_is_shown_but_its_words() -> None:
    """No step, no number of steps, no share of success, no result, and no word that compares."""
    record = with_ladders(sentinel_record(), ("Two paces apart", "Four paces apart", "Six paces apart"))
    for label, result in (("1", {"felt": "easy"}), ("2", {"felt": "hard"}), ("3", {"hits": 31, "tries": 37})):
        record = seen(record, TaskResult(RoundKey(1, 1, 1), label, at=(2,), **result))
    page = wall(record, 1) + task_cards_page(task_cards(record, 1)) + task_cards_page(task_cards(record, 1, True))
    body = re.sub("<style>.*?</style>", "", page, flags=re.DOTALL).casefold()
    assert "four paces apart" in body
    words = ("step", "level", "easier", "easiest", "harder", "hardest", "too easy", "too hard", "success", "along")
    words += ("reason", "sentinel", "31", "37")
    assert [word for word in words if word in body] == []


def test_groups_with_tasks_stand_in_the_same_order_as_without() -> None:
    """Tasks are above the groups or on cards, and take nothing else to another place."""
    for record, lesson in gallery().values():
        plain, worked = (student_lesson_view(one, lesson) for one in (record, with_ladders(record)))
        for before, after in zip(plain.rounds, worked.rounds, strict=True):
            assert (after.task in TASKS) != after.on_cards and after.what_to_do
            assert after.groups == before.groups


def test_a_task_of_all_groups_stands_once_on_top() -> None:
    """Where two groups differ none stands on the wall, and all are on cards; a group that is alone shares it."""
    record = with_ladders(lesson_of(12, Activity("Pass", size=2, rounds=1)))
    (shared,) = student_lesson_view(record, 1).rounds
    assert shared.task in TASKS and not shared.on_cards and task_cards(record, 1).cards == ()
    assert PageText(wall(record, 1)).texts.count(shared.task) == 1
    changed = with_task(record, RoundKey(1, 1, 1), "1", (1,))
    (apart,) = student_lesson_view(changed, 1).rounds
    assert apart.task == "" and apart.on_cards
    assert not set(PageText(wall(changed, 1)).texts) & set(TASKS)
    given = [line.task for card in task_cards(changed, 1).cards for line in card.tasks]
    assert given == [TASKS[0], *[shared.task] * (len(apart.groups) - 1)]
    (alone,) = student_lesson_view(with_ladders(lesson_of(4, Activity("Pass", size=4, rounds=1))), 1).rounds
    assert alone.task in TASKS


def test_individual_work_shows_nobodys_step() -> None:
    """Each child works alone at a task of its own: the wall names no task, and each card is for one child."""
    record = with_ladders(lesson_of(8, Activity("Juggle", "similar", size=1, rounds=1, strand="passing")))
    assert len({task.at for task in tasks_of_round(record, RoundKey(1, 1, 1)).values()}) > 1
    assert not set(PageText(wall(record, 1)).texts) & set(TASKS)
    assert [len(card.people) for card in task_cards(record, 1).cards] == [1] * 8


def test_cards_and_places_stand_in_an_order_that_tells_nothing() -> None:
    """Cards by label whatever the steps are; places by the alphabet of their tasks, each task once."""
    record = with_ladders(lesson_of(12, Activity("Pass", size=2, rounds=1)), ("zig", "middle", "alpha"))
    for label, step in (("1", 3), ("2", 1), ("3", 3)):
        record = with_task(record, RoundKey(1, 1, 1), label, (step,))
    assert [card.title for card in task_cards(record, 1).cards] == [f"Group {n}" for n in range(1, 7)]
    places = task_cards(record, 1, at_places=True).cards
    assert [(card.title, card.tasks[0].task) for card in places] == [
        ("Place A", "alpha"), ("Place B", "middle"), ("Place C", "zig"),
    ]  # fmt: skip
    assert places[0].people == ("group 1", "group 3")


def test_a_coaching_pairs_task_is_the_learners_and_swaps_with_the_roles() -> None:
    """A strong coach does not make the learner's task harder; after the swap the other has a task of their own."""
    help_ = Activity("Help", "coaching", size=2, rounds=1, strand="passing")
    record, own = with_ladders(lesson_of(8, help_)), _alone()
    tasks = tasks_of_round(record, RoundKey(1, 1, 1))
    for group in record.plan.by_key[RoundKey(1, 1, 1)].groups:
        learner = next(member for member in group.members if group.role(member) == "learner")
        coach = next(member for member in group.members if group.role(member) == "coach")
        assert tasks[group.label].task == own[learner]
        assert tasks[group.label].learners == (learner,)
        assert [(each.student, each.task) for each in tasks[group.label].swapped] == [(coach, own[coach])]
    shown = [line for card in task_cards(record, 1).cards for line in card.tasks if line.who]
    assert shown and {line.after for line in shown} == {True, False}


def _alone() -> dict[str, str]:
    """The task that each of the eight would have who works alone."""
    record = with_ladders(lesson_of(8, Activity("Help", "similar", size=1, rounds=1, strand="passing")))
    tasks = tasks_of_round(record, RoundKey(1, 1, 1))
    return {group.members[0]: tasks[group.label].task for group in record.plan.by_key[RoundKey(1, 1, 1)].groups}


def test_groups_that_go_on_with_another_task_are_shown_again() -> None:
    """Else nobody would know of it."""
    record = lesson_of(8, Activity("Pass", size=2, rounds=1), Activity("Cup", aim="stay"))
    assert student_lesson_view(record, 1).rounds[1].same_as == 1
    view = student_lesson_view(replace(record, challenges=(ladder("Cup", "one hand", "the other hand"),)), 1)
    assert view.rounds[1].same_as is None and view.rounds[1].task in ("one hand", "the other hand")


def test_a_ladder_for_another_activity_changes_no_byte() -> None:
    """Neither of the students' sheet nor of the teacher's."""
    record = every_aim()
    other = replace(record, challenges=(ladder("Something else", "one", "two"),))
    assert wall(other, 2) == wall(record, 2)
    assert teacher_page(teacher_lesson_view(other, 2)) == teacher_page(teacher_lesson_view(record, 2))
    assert "task" not in wall(record, 2) + teacher_page(teacher_lesson_view(record, 2))


def test_who_is_away_is_not_on_the_wall() -> None:
    """Somebody who is not there has no place on the sheet; somebody who is aside has."""
    shown = PageText(wall(sentinel_record(), 1)).texts
    assert "Namee" not in shown
    assert "Named" in shown and "helper" in shown


def test_every_text_on_the_wall_is_on_the_list() -> None:
    """Names, labels, roles, activities, minutes, dates and round numbers with their fixed words: nothing else."""
    for record, lesson in (*gallery().values(), *gallery_with_tasks().values()):
        view = student_lesson_view(record, lesson)
        fixed = {"Round", "Also here", f"of {len(view.rounds)}", f"Lesson {lesson}", "Mon 14 Sep 2026"}
        fixed |= {f"Lesson {lesson}: who works with whom", ": same groups, stay together"}
        fixed |= {str(block.place) for block in view.rounds} | {block.activity for block in view.rounds}
        fixed |= {f"{block.minutes:g} min" for block in view.rounds if block.minutes}
        cards = [card for block in view.rounds for card in block.groups]
        people = [person for card in cards for person in card.members]
        people += [person for block in view.rounds for person in block.aside]
        fixed |= {block.what_to_do for block in view.rounds}
        fixed |= {card.label for card in cards} | {person.name for person in people} | {p.role for p in people}
        texts = PageText(wall_page(view)).texts
        assert [text for text in texts if text not in fixed and not text.startswith("To print:")] == []


def test_the_view_has_no_field_that_is_not_on_the_list() -> None:
    """A field that is added to the students' view has to be added here too, by somebody who thought about it."""
    listed = {
        StudentLessonView: {"lesson", "date", "rounds"},
        RoundBlock: {"place", "activity", "minutes", "groups", "aside", "same_as", "task", "on_cards", "rule"},
        GroupCard: {"label", "members"},
        Person: {"name", "role"},
    }
    assert {kind: {field.name for field in fields(kind)} for kind in listed} == listed


def test_a_role_that_is_not_on_the_list_is_not_shown() -> None:
    """A reason that somebody typed as a role stays with the teacher."""
    page = wall(every_aim(), 2)
    assert "scorer" in page and "sprained" not in page and "ankle" not in page


@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_the_wall_depends_on_no_rating_request_band_or_aim(data: st.DataObject) -> None:
    """With ratings changed and exchanged, bands and requests drawn anew, and aims changed, the bytes are the same."""
    record = every_aim()
    order = data.draw(st.permutations(record.roster.students))
    ratings = [student.ratings for student in order]
    shuffled = tuple(
        replace(student, ratings=own, size_band=data.draw(st.sampled_from(("", "S", "M", "L"))))
        for student, own in zip(record.roster.students, ratings, strict=True)
    )
    other = replace(record, roster=replace(record.roster, students=shuffled), requests=(), seed=99)
    lessons = tuple(
        replace(one, activities=tuple(_plain(activity) for activity in one.activities)) for one in other.unit.lessons
    )
    other = replace(other, unit=Unit(lessons))
    assert wall(other, 2) == wall_of_every_aim()


def _plain(activity: Activity) -> Activity:
    """The activity with nothing left that students may not see."""
    return Activity(activity.name, size=2, rounds=activity.rounds, minutes=activity.minutes, caution="none")


@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_the_wall_depends_on_no_order(data: st.DataObject) -> None:
    """The order of the roster, of groups in a round and of members in a group leave no trace."""
    record = every_aim()
    students = tuple(data.draw(st.permutations(record.roster.students)))
    rounds = tuple(_reordered(round_, data) for round_ in record.plan.rounds)
    other = replace(record, roster=replace(record.roster, students=students), plan=Plan(rounds))
    assert wall(other, 2) == wall_of_every_aim()


def _reordered(round_: Round, data: st.DataObject) -> Round:
    groups = []
    for group in data.draw(st.permutations(round_.groups)):
        places = data.draw(st.permutations(range(len(group.members))))
        roles = tuple(group.roles[place] for place in places) if group.roles else ()
        groups.append(replace(group, members=tuple(group.members[place] for place in places), roles=roles))
    return replace(round_, groups=tuple(groups))


def test_two_of_one_name_are_told_apart_without_an_id() -> None:
    """Two students of one full name get a number each, which is no part of a school's id; no id is on the wall."""
    record = lesson_of(4, Activity("Pass", size=2))
    twins = tuple(replace(student, name="Mia Berg") for student in record.roster.students[:2])
    roster = replace(record.roster, students=(*twins, *record.roster.students[2:]))
    page = wall(replace(record, roster=roster), 1)
    assert "(1)" in page and "(2)" in page
    assert not any(student.id in page for student in roster.students)


def test_groups_that_go_on_while_somebody_aside_changes_are_shown_again() -> None:
    """The scorer of round 1 is away in round 2: the groups are the same, and what stands below them is not."""
    record = lesson_of(9, Activity("Pass", size=2, rounds=1), Activity("Cup", aim="stay"))
    student = record.roster.students[0].id
    absences = (Absence(1, student, "aside", 1, "scorer", 1), Absence(1, student, "away", 2))
    without = tuple(
        replace(round_, groups=tuple(
            replace(group, members=tuple(one for one in group.members if one != student), roles=())
            for group in record.plan.rounds[0].groups
        ))
        for round_ in record.plan.rounds
    )  # fmt: skip
    view = student_lesson_view(replace(record, absences=absences, plan=Plan(without)), 1)
    assert view.rounds[0].groups == view.rounds[1].groups
    assert view.rounds[0].aside and not view.rounds[1].aside and view.rounds[1].same_as is None
    still = student_lesson_view(replace(record, absences=(Absence(1, student, "away"),), plan=Plan(without)), 1)
    assert still.rounds[1].same_as == 1
