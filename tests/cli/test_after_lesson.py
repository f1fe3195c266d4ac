"""After a lesson, through the commands: what was not as planned, notes, and the next unit with its memory."""

from __future__ import annotations

import json
from itertools import combinations
from pathlib import Path

import pytest

from grouper.files.store import ClassFile

from .shell import grouper
from .tables import ClassOnDisk, a_class, activity, rows_of

Pairs = set[tuple[str, str]]


@pytest.fixture
def disk(tmp_path: Path) -> ClassOnDisk:
    """Twelve students, three lessons of two rounds in pairs, planned."""
    made = a_class(tmp_path, 12, [activity(number, "pairs", 2, rounds=2) for number in (1, 2, 3)])
    made.plan()
    return made


def groups(disk: ClassOnDisk, lesson: int, round_: int) -> dict[str, list[str]]:
    """The groups of a round by label, from an export made now."""
    disk.exported()
    found: dict[str, list[str]] = {}
    for row in rows_of(disk.folder / "groups.csv"):
        if (row["lesson"], row["round"]) == (str(lesson), str(round_)):
            found.setdefault(row["group"], []).append(row["student_id"])
    return found


def met(disk: ClassOnDisk) -> list[tuple[str, str]]:
    """Every meeting of the unit, as often as it is."""
    disk.exported()
    by_group: dict[tuple[str, ...], list[str]] = {}
    for row in rows_of(disk.folder / "groups.csv"):
        place = (row["lesson"], row["activity"], row["round"], row["group"])
        by_group.setdefault(place, []).append(row["student_id"])
    return [pair for members in by_group.values() for pair in combinations(sorted(members), 2)]


@pytest.mark.parametrize("closed", [False, True])
def test_who_was_elsewhere_is_put_right_before_and_after_closing(disk: ClassOnDisk, closed: bool) -> None:
    """One student moves in one round; nobody else does, and the other rounds stay."""
    if closed:
        grouper("taught", disk.file, "--lesson", 1)
    before, other = groups(disk, 1, 1), groups(disk, 1, 2)
    first, second = sorted(before)[:2]
    mover = before[first][0]
    said = grouper("ran", disk.file, "--lesson", 1, "--round", 1, f"{mover}={second}").out
    after = groups(disk, 1, 1)
    assert after[second] == [*before[second], mover]
    assert after[first] == before[first][1:]
    assert groups(disk, 1, 2) == other
    assert "Lesson 1, round 1: corrected." in said.splitlines()
    grouper("undo", disk.file)
    assert groups(disk, 1, 1) == before


def test_who_came_late_is_there_from_that_round_on(disk: ClassOnDisk) -> None:
    """Away from the lesson, then present from its second round: in no group of the first, in one of the second."""
    grouper("absent", disk.file, "--lesson", 1, "k01")
    first = groups(disk, 1, 1)
    grouper("present", disk.file, "--lesson", 1, "k01", "--from-round", 2)
    assert groups(disk, 1, 1) == first
    assert "k01" not in {student for members in first.values() for student in members}
    assert "k01" in {student for members in groups(disk, 1, 2).values() for student in members}


def test_roles_as_they_were(disk: ClassOnDisk) -> None:
    """Somebody really coached, somebody kept the score: the export says so, lesson closed or not."""
    grouper("taught", disk.file, "--lesson", 1)
    before = groups(disk, 1, 1)
    coach, other = before[min(before)]
    grouper("ran", disk.file, "--lesson", 1, "--round", 1, "--role", f"{coach}=coach")
    grouper("ran", disk.file, "--lesson", 1, "--round", 2, f"{other}=aside", "--role", f"{other}=scorer")
    disk.exported()
    rows = {(row["lesson"], row["round"], row["student_id"]): row for row in rows_of(disk.folder / "groups.csv")}
    assert (rows["1", "1", coach]["role"], rows["1", "1", other]["role"]) == ("coach", "learner")
    assert (rows["1", "2", other]["group"], rows["1", "2", other]["role"]) == ("", "scorer")


def test_fairness_counts_what_ran(disk: ClassOnDisk) -> None:
    """The table of fairness after a correction is what an outsider counts in the export."""
    grouper("taught", disk.file, "--lesson", 1)
    before = groups(disk, 1, 1)
    grouper("ran", disk.file, "--lesson", 1, f"{before[sorted(before)[0]][0]}=away")
    meetings = met(disk)
    told = json.loads(grouper("fairness", disk.file, "--json").out)
    assert told["repeats"] == len(meetings) - len(set(meetings))
    assert len(meetings) == 6 * 6 - 2


def test_later_plans_follow_what_ran(disk: ClassOnDisk) -> None:
    """In the first lesson two met who were not to by the plan; planned anew, they do not meet again."""
    grouper("taught", disk.file, "--lesson", 1)
    before = groups(disk, 1, 1)
    first, second = sorted(before)[:2]
    mover = before[first][0]
    grouper("ran", disk.file, "--lesson", 1, "--round", 1, f"{mover}={second}")
    disk.plan()
    pairs = met(disk)
    for host in before[second]:
        assert pairs.count(tuple(sorted((mover, host)))) == 1  # type: ignore[arg-type]


def test_a_note_is_kept_shown_and_taken_away(disk: ClassOnDisk) -> None:
    """Notes stand in the lesson as the teacher sees it; with no words they go."""
    grouper("ran", disk.file, "--lesson", 2, "--note", "wet floor, played inside")
    grouper("ran", disk.file, "--lesson", 2, "--round", 2, "--note", "too loud")
    shown = grouper("lesson", disk.file, 2).out
    assert "wet floor, played inside" in shown
    assert "too loud" in shown
    grouper("ran", disk.file, "--lesson", 2, "--note", "")
    assert "wet floor" not in grouper("lesson", disk.file, 2).out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("k01=99",), "has no group '99'; its groups are"),
        (("k01",), "does not say who was where; write Kim=4, or Kim=away"),
        (("nobody=1",), "no student with the id or name 'nobody'"),
        (("--role", "k01"), "does not say who had which role; write Kim=coach"),
        (("--round", 3, "k01=1"), "has rounds 1 to 2, not 3"),
    ],
)
def test_what_cannot_be_understood_changes_nothing(disk: ClassOnDisk, arguments: tuple[object, ...], said: str) -> None:
    """Exit status 2, a word on what to try, and a file that is the same byte for byte."""
    before = disk.file.read_bytes()
    assert said in grouper("ran", disk.file, "--lesson", 1, *arguments, status=2).err
    assert disk.file.read_bytes() == before


def taught_unit(disk: ClassOnDisk) -> Pairs:
    """All three lessons closed; who has met."""
    for lesson in (1, 2, 3):
        grouper("taught", disk.file, "--lesson", lesson)
    return set(met(disk))


def test_the_next_unit_knows_the_last(tmp_path: Path) -> None:
    """Of 23 classmates each had six; in the next unit of six rounds nobody meets one of those again."""
    disk = a_class(tmp_path, 24, [activity(number, "pairs", 2, rounds=2) for number in (1, 2, 3)])
    disk.plan()
    old = taught_unit(disk)
    said = grouper("next", disk.file, "--lessons", disk.lessons, "--effort", "quick").out
    assert "The old unit is over: 6 rounds remembered." in said
    new = met(disk)
    assert len(new) == len(set(new)) == 6 * 12
    assert not set(new) & old


def test_what_ends_with_a_unit_is_said(disk: ClassOnDisk) -> None:
    """Lessons never taught, notes and words on tasks are not forgotten without a word."""
    grouper("taught", disk.file, "--lesson", 1)
    grouper("ran", disk.file, "--lesson", 1, "--note", "wet")
    grouper("felt", disk.file, "--lesson", 1, "--round", 1, "1=easy", "2=hard")
    said = grouper("next", disk.file, "--lessons", disk.lessons, "--effort", "quick").out
    assert "ended with it: 2 lessons not taught: the groups planned for them are forgotten" in said
    assert "ended with it: 1 note" in said and "ended with it: 2 words on tasks" in said


def test_a_lesson_that_is_not_closed_is_told_apart(disk: ClassOnDisk) -> None:
    """After the next unit has begun, lesson 1 is its own: a correction says that it has not been taught."""
    taught_unit(disk)
    grouper("next", disk.file, "--lessons", disk.lessons, "--effort", "quick")
    for verb in (("ran", "k01=away"), ("felt", "--round", 1, "1=easy")):
        said = grouper(verb[0], disk.file, "--lesson", 1, *verb[1:]).out
        assert "Lesson 1 of this unit has not been closed" in said
    grouper("taught", disk.file, "--lesson", 1)
    assert "has not been closed" not in grouper("ran", disk.file, "--lesson", 1, "k02=away").out


@pytest.mark.parametrize(
    "arguments",
    [
        ("ran", "--lesson", 1, "k01=away", "k01=2"),
        ("ran", "--lesson", 1, "--role", "k01=coach", "--role", "k01=learner"),
        ("felt", "--lesson", 1, "--round", 1, "1=easy", "1=hard"),
        ("felt", "--lesson", 1, "--round", 1, "1=7/10", "1=8/10"),
    ],
)
def test_contradictions_are_refused(disk: ClassOnDisk, arguments: tuple[object, ...]) -> None:
    """The same thing said twice on one line is no answer."""
    before = disk.file.read_bytes()
    verb, *rest = arguments
    assert "twice" in grouper(verb, disk.file, *rest, status=2).err
    assert disk.file.read_bytes() == before


def test_forgetting_is_a_choice_that_lasts(disk: ClassOnDisk) -> None:
    """With a half-life of 0 weeks the same seed gives the first unit's groups again, and so does the unit after it."""
    disk.exported()
    first = (disk.folder / "groups.csv").read_bytes()
    taught_unit(disk)
    grouper("next", disk.file, "--lessons", disk.lessons, "--effort", "quick", "--half-life", 0)
    assert disk.exported().encode() == first
    disk.plan()
    taught_unit(disk)
    grouper("next", disk.file, "--lessons", disk.lessons, "--effort", "quick")
    assert disk.exported().encode() == first


def test_one_undo_brings_the_old_unit_back(disk: ClassOnDisk) -> None:
    """Groups, lessons taught and history are as before."""
    taught_unit(disk)
    before = disk.exported()
    grouper("next", disk.file, "--lessons", disk.lessons, "--effort", "quick")
    assert "next unit" in grouper("undo", disk.file).out
    assert disk.exported() == before


def test_a_unit_that_has_not_begun_cannot_end(disk: ClassOnDisk) -> None:
    """There is nothing to remember, and the file stays as it was."""
    before = disk.file.read_bytes()
    said = grouper("next", disk.file, "--lessons", disk.lessons, status=2).err
    assert "no lesson of this unit has been taught" in said
    assert disk.file.read_bytes() == before


def test_a_handover_never_replaces_a_file(disk: ClassOnDisk) -> None:
    """Nor the class that is handed over itself; the message says what to do."""
    before = disk.file.read_bytes()
    said = grouper("handover", disk.file, "--to", disk.file, status=2).err
    assert "is there already; give the new file another name" in said
    assert disk.file.read_bytes() == before


@pytest.mark.parametrize(
    "arguments",
    [
        ("report", "--to"),
        ("report", "--nameless", "--to"),
        ("tasks", "--write"),
        ("export", "--groups"),
        ("games", "--lesson", 1, "--activity", "pairs", "--courts", 2, "--to"),
        ("choices", "--effort", "quick", "--to"),
    ],
)
def test_nothing_is_written_over_a_class_file(disk: ClassOnDisk, arguments: tuple[object, ...]) -> None:
    """A target that is a class, this one or another, is refused, and the file stays as it was."""
    before = disk.file.read_bytes()
    verb, *options = arguments
    said = grouper(verb, disk.file, *options, disk.file, status=2).err
    assert "is a class file and is not written over; give another name" in said
    assert disk.file.read_bytes() == before


def test_a_name_that_is_empty_is_nobody(disk: ClassOnDisk) -> None:
    """A page for parents never becomes the report on the class because a variable was empty."""
    grouper("report", disk.file, "--student", "", "--to", disk.folder / "page.html", status=2)
    assert not (disk.folder / "page.html").exists()


@pytest.mark.parametrize("play", [("games", "--courts", 2), ("stations", "--stations", 4)])
def test_nothing_is_kept_where_a_file_cannot_be_written(tmp_path: Path, play: tuple[object, ...]) -> None:
    """A folder that is not there: status 2, and the class has neither games nor stations."""
    disk = a_class(tmp_path, 12, [activity(1, "teams", groups=4)])
    disk.plan()
    before = disk.file.read_bytes()
    verb, *options = play
    target = tmp_path / "nowhere" / "out.csv"
    grouper(verb, disk.file, "--lesson", 1, "--activity", "teams", *options, "--to", target, status=2)
    assert disk.file.read_bytes() == before


def test_an_activity_with_another_name_has_no_tasks_and_that_is_said(disk: ClassOnDisk) -> None:
    """Tasks belong to an activity by its name; a table with another name does not lose them without a word."""
    grouper("tasks", disk.file, "--activity", "pairs", "--like", "Throwing and catching")
    assert "no activity of the unit" not in disk.plan().out
    disk.lessons.write_text(disk.lessons.read_text(encoding="utf-8").replace("pairs", "duets"), encoding="utf-8")
    assert "Tasks are kept, but no activity of the unit is called so: pairs." in disk.plan().out


def test_accepting_tells_each_change(disk: ClassOnDisk) -> None:
    """Old and new ratings stand in what is said, as they were perhaps never shown before."""
    for round_ in (1, 2):
        grouper("felt", disk.file, "--lesson", 1, "--round", round_, "1=20/20", "2=20/20", "3=1/20", "4=1/20")
    said = grouper("suggest", disk.file, "--strand", "skill", "--accept", "all").out
    assert " -> " in said and " in skill" in said


def test_a_part_of_the_class_is_ranked_among_itself_and_that_is_said(disk: ClassOnDisk, tmp_path: Path) -> None:
    """Three of twelve were measured."""
    table = tmp_path / "run.csv"
    table.write_text("student_id,value\nk01,1\nk02,2\nk03,3\n", encoding="utf-8")
    said = grouper("measure", disk.file, table, "--strand", "run", "--by", "higher").out
    assert "3 of 12 students were measured; ranks are among these" in said
    grouper("measure", disk.file, table, "--strand", "", "--by", "higher", status=2)


def test_lessons_that_were_passed_over_are_named(tmp_path: Path) -> None:
    """Closing lesson 3 first says that 1 and 2 are open; closing them in turn says it of what is left."""
    klass = a_class(tmp_path, 8, [activity(lesson, "Pairs", 2) for lesson in (1, 2, 3)])
    klass.plan()
    said = grouper("taught", klass.file, "--lesson", 3).out
    assert "Lessons 1 and 2 come before it and are not closed" in said
    assert "not closed" not in grouper("taught", klass.file, "--lesson", 1).out
    grouper("taught", klass.file, "--lesson", 3, "--take-back")
    assert "Lesson 2 comes before it and is not closed" in grouper("taught", klass.file, "--lesson", 3).out


def test_the_rest_is_planned_again_when_a_lesson_is_closed(tmp_path: Path) -> None:
    """Lesson 1 ran as lesson 2 was planned: with it closed so, lesson 2 gets other pairs, and that is said."""
    klass = a_class(tmp_path, 6, [activity(lesson, "Pairs", 2) for lesson in (1, 2, 3)])
    klass.plan()
    grouper("export", klass.file, "--groups", tmp_path / "planned.csv")
    head, *rows = (tmp_path / "planned.csv").read_text("utf-8-sig").splitlines()
    second = [f"1{row[1:]}" for row in rows if row.startswith("2,")]
    (tmp_path / "ran.csv").write_text("\n".join([head, *second]), encoding="utf-8")
    said = grouper("taught", klass.file, "--lesson", 1, "--groups", tmp_path / "ran.csv", "--plan-again").out
    assert "Later lessons: groups are better now in lesson" in said
    assert "nobody meets the same person twice" in grouper("fairness", klass.file).out
    grouper("taught", klass.file, "--lesson", 2, "--take-back", "--plan-again", status=2)


def test_games_of_a_lesson_that_moved_on_are_named(tmp_path: Path) -> None:
    """A lesson is put in before the one with the games: plan says that those have lost their teams."""
    klass = a_class(tmp_path, 8, [activity(1, "Pairs", 2), activity(2, "Cup", groups=4)])
    klass.plan()
    grouper("games", klass.file, "--lesson", 2, "--courts", 2)
    assert "The games of" not in grouper("plan", klass.file).out
    lessons = tmp_path / "more.csv"
    rows = ["lesson,activity,size,groups", "1,Pairs,2,", "2,Pairs,2,", "3,Cup,,4"]
    lessons.write_text("\n".join(rows) + "\n", encoding="utf-8")
    said = grouper("plan", klass.file, "--lessons", lessons).out
    assert "The games of 'Cup' lie aside: lesson 2 has no" in said and "plan them with grouper games" in said


def test_who_comes_and_goes_leaves_no_games_behind_in_silence(tmp_path: Path) -> None:
    """A group more or less by whatever verb: games and stations that do not go with it are named there and then, once;
    and those of other lessons are not."""
    klass = a_class(tmp_path, 5, [activity(1, "Duels", 2), activity(2, "Circuit", 2), activity(3, "Cup", 2)])
    klass.plan()
    grouper("games", klass.file, "--lesson", 1, "--courts", 1)
    grouper("stations", klass.file, "--lesson", 2, "--stations", 2)
    duels, circuit = "of 'Duels' in lesson 1 are for other", "of 'Circuit' in lesson 2 are for other"
    said = grouper("absent", klass.file, "--lesson", 1, "k01", "k02").out
    assert f"The games {duels} teams" in said and circuit not in said
    assert duels not in grouper("absent", klass.file, "--lesson", 1, "k03").out
    assert duels not in grouper("present", klass.file, "--lesson", 1, "k01", "k02", "k03").out
    assert circuit in grouper("regroup", klass.file, "--lesson", 2, "--activity", "Circuit", "--groups", 1).out
    assert len(set(ClassFile(klass.file).read().record.events[1].teams)) == 2, "one group in two places at once"
    grouper("undo", klass.file)
    for verb in (("join", "Sixth Fam", "--lesson", 1), ("leave", "k01", "--lesson", 1)):
        said = grouper(verb[0], klass.file, *verb[1:]).out
        assert (duels in said and circuit in said) == (verb[0] == "join"), said


def test_a_lesson_that_is_opened_again_knows_who_was_away_also_after_a_purge(disk: ClassOnDisk) -> None:
    """Absences were cleared away; that somebody is in no group of its rounds says it, and coming back makes room."""
    grouper("absent", disk.file, "--lesson", 1, "k01")
    grouper("taught", disk.file, "--lesson", 1)
    grouper("purge", disk.file, "--yes")
    grouper("taught", disk.file, "--lesson", 1, "--take-back")
    record = ClassFile(disk.file).read().record
    for key in record.lesson(1).keys:
        assert set(record.plan.by_key[key].students) == set(record.taking_part(key)) != set(record.roster.by_id)
    grouper("present", disk.file, "--lesson", 1, "k01")
    record = ClassFile(disk.file).read().record
    assert all(set(record.plan.by_key[key].students) == set(record.roster.by_id) for key in record.lesson(1).keys)
