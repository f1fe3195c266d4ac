"""Whoever is aside has a role of use and a task of its own, shared out over lessons; that they stay in is common
practice, no source."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from builders import pairs, record_of, roster_of

from grouper.faces.views.cards import task_cards
from grouper.faces.views.students import aside_lines, job_in_words, lesson_names, student_lesson_view
from grouper.faces.views.teacher_lesson import teacher_lesson_view
from grouper.files.levers import default_levers
from grouper.files.words.levers import telling
from grouper.model.levers import Challenge, Lever, Setting
from grouper.model.noted import Absence
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, RoundKey
from grouper.planning.plan import plan_unit
from grouper.planning.repair import repair
from grouper.tasks.jobs import CUES, JOBS, job_in, jobs_in
from grouper.tasks.kept import scored_as

FIRST = RoundKey(1, 1, 1)
"""The first round."""


def klass(*absences: Absence, lessons: int = 4) -> ClassRecord:
    record = plan_unit(record_of(roster_of(9, range(1, 10)), pairs(), lessons=lessons), effort="quick").record
    return repair(replace(record, absences=absences)).record


def aside(student: str, lesson: int = 1, role: str = "") -> Absence:
    return Absence(lesson, student, "aside", role=role)


def test_several_who_are_aside_do_not_have_the_same_job() -> None:
    """Four have the four jobs, each with a task of its own, and nobody in a group has one."""
    record = klass(*(aside(f"s0{number}") for number in range(1, 5)))
    jobs = jobs_in(record, FIRST)
    assert set(jobs) == {"s01", "s02", "s03", "s04"} and len({job.task for job in jobs.values()}) == 4
    assert all(job_in(record, FIRST, f"s0{number}") is None for number in range(5, 10))


def test_who_is_aside_lesson_after_lesson_has_each_job_in_turn() -> None:
    """Four lessons, four jobs."""
    record = klass(*(aside("s05", lesson) for lesson in range(1, 5)))
    roles = [jobs_in(record, RoundKey(lesson, 1, 1))["s05"].role for lesson in range(1, 5)]
    assert sorted(roles) == sorted(job.role for job in JOBS)


def test_what_the_teacher_said_goes_first_in_any_of_its_names() -> None:
    """And counts as a turn; a word that is for the teacher alone gives a job, and the wall says helper."""
    record = klass(aside("s05", 1, "Timekeeper"), aside("s06", 1, "sprained ankle"), aside("s05", 2))
    assert jobs_in(record, FIRST)["s05"].role == "timekeeper"
    assert jobs_in(record, RoundKey(2, 1, 1))["s05"].role != "timekeeper"
    lines = list(aside_lines(record, FIRST, lesson_names(record, 1)))
    assert len(lines) == 2 and "helper:" in lines[1] and "ankle" not in " ".join(lines)


def test_only_the_rounds_that_they_are_aside_in() -> None:
    """Somebody who is hurt in the second round is in a group in the first."""
    record = plan_unit(record_of(roster_of(9), pairs(2)), effort="quick").record
    record = repair(replace(record, absences=(Absence(1, "s03", "aside", 2),))).record
    assert jobs_in(record, FIRST) == {} and set(jobs_in(record, RoundKey(1, 1, 2))) == {"s03"}


def test_it_stands_on_the_wall_the_teachers_sheet_and_a_card() -> None:
    """The wall has the role, teacher and card the task; the card is that child's alone and says no reason."""
    far = Lever("distance", tuple(Setting(f"{steps} steps") for steps in range(3, 9)))
    alone = record_of(roster_of(9, range(1, 10)), Activity("Passing", size=1))
    away = (aside("s05"), aside("s06", 1, "broken arm"))
    record = repair(replace(plan_unit(alone, effort="quick").record, absences=away)).record
    record = replace(record, challenges=(Challenge("Passing", (far,)),))
    (block, *_) = student_lesson_view(record, 1).rounds
    assert {person.role for person in block.aside} == {"scorer", "helper"}
    (round_, *_) = teacher_lesson_view(record, 1).rounds
    assert len(round_.aside) == 2 and JOBS[0].task in round_.aside[0]
    coach = next(line for line in round_.aside if ", helper:" in line)
    assert all(cue in coach for cue in CUES["Throwing and catching"])
    cards = [card for card in task_cards(record, 1).cards if card.title in ("Scorer", "Helper")]
    assert [card.people for card in cards] == [(name,) for name in sorted(sum((card.people for card in cards), ()))]
    assert len(cards) == 2 and "arm" not in repr([card.title for card in cards])


@pytest.mark.parametrize("kind", CUES)
def test_coach_and_camera_look_for_two_things_of_the_kind_of_activity(kind: str) -> None:
    """Told by what it is called, or by its levers where the name tells nothing; a name that tells no kind has none."""
    library = next(one for one in default_levers() if one.activity == kind)
    for name, levers in ((kind, ()), ("Our own", library.levers), ("Our own", ())):
        record = record_of(roster_of(4), Activity(name, size=2))
        record = replace(record, challenges=(Challenge(name, levers),) if levers else ())
        said = {job.role: job_in_words(record, FIRST, job) for job in JOBS}
        told = [all(cue in said[role] for cue in CUES[kind]) for role in ("coach", "camera")]
        assert told == [bool(levers) or name == kind] * 2
        assert said["timekeeper"] == JOBS[2].task
    assert not any(telling(cue) or re.search(r"\d", cue) for cue in CUES[kind]), "no word on ability, no number"


def test_the_scorer_reads_how_points_count() -> None:
    """The rule of the activity; where each child counts their own points nothing of it."""
    record = scored_as(record_of(roster_of(4), Activity("Cup", groups=2)), "Cup", "danger zone 5")
    assert job_in_words(record, FIRST, JOBS[0]).endswith("whoever is in the danger zone loses 5.")
    assert job_in_words(scored_as(record, "Cup", "own best"), FIRST, JOBS[0]) == JOBS[0].task
