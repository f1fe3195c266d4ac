"""Class records made by hand, with invented names in many scripts; groups are made by plain rotation."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from builders import ladder

from grouper.model.noted import Absence
from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, RoundKey, Unit, sizes_for

NAMES = (
    "Amina Yusuf", "Ben Okafor", "Chloé Dubois", "Mia Berger", "Mia Bergmann", "Dilnoza Karimova",
    "Maximilian-Alexander von Hohenfels", "Li Wei", "王小明", "佐藤 さくら", "김민준", "يوسف الحداد",
    "נועה לוי", "Ольга Петрова", "Łukasz Wójcik", "Nguyễn Thị Ánh", "आरव शर्मा", "กมลชนก ศรีสุข",
    "Ιωάννης Παππάς", "Þórunn Jónsdóttir", "Sofía García", "Sofía Gallardo", "Xóchitl", "Tane Rangi",
    "Oluwaseunfunmi Adebayo", "Jo Pike", "Keahi Kealoha", "Ravi Nair", "Seán Ó Briain", "Zoë Vermeer",
    "Emil Sand", "Freya Holm", "Hugo Lind", "Ines Prado", "Jonas Veit", "Katja Roth", "Leo Brandt", "Marta Kos",
    "Nils Aas", "Orla Finn", "Petra Zak", "Quentin Roy", "Rosa Vidal", "Samir Aziz", "Tilda Berg", "Ugo Neri",
    "Vera Simon", "Wim Bakker", "Yara Haddad", "Zeno Conti", "Ada Frost", "Bruno Reis", "Carla Monti",
    "David Stern", "Elif Kaya", "Farid Nasser", "Greta Lang", "Hana Mori", "Ivo Horak", "Juno Park",
)  # fmt: skip


def roster(count: int, strands: tuple[str, ...] = ("passing", "fitness")) -> Roster:
    """A class of ``count`` with whole ratings from 1 to 5; every ninth is not rated, every seventh has no size band."""
    return Roster(tuple(_student(place, strands) for place in range(count)), strands)


def _student(place: int, strands: tuple[str, ...]) -> Student:
    rated = place % 9 != 8
    ratings = {strand: float(1 + (place * (2 + column) + column) % 5) for column, strand in enumerate(strands)}
    band = "" if place % 7 == 6 else "SML"[place % 3]
    return Student(f"{place + 1:04d}", NAMES[place], ratings if rated else {}, band)


def planned(record: ClassRecord) -> ClassRecord:
    """The record with groups for every round: the class, turned by some places each round, cut into groups."""
    rounds: list[Round] = []
    for turn, key in enumerate(record.unit.keys):
        rounds.append(_round(record, key, turn, rounds))
    return ClassRecord(
        record.roster, record.unit, record.requests, record.absences, Plan(tuple(rounds)), record.taught, record.seed
    )


def _round(record: ClassRecord, key: RoundKey, turn: int, before: Sequence[Round]) -> Round:
    activity = record.unit.activity(key)
    if activity.aim == "stay":
        return Round(key, before[-1].groups)
    students = record.taking_part(key)
    order = [students[(place * _step(len(students), turn) + turn) % len(students)] for place in range(len(students))]
    groups, start = [], 0
    for label, size in enumerate(sizes_for(activity, len(order)), start=1):
        members = tuple(order[start : start + size])
        groups.append(Group(str(label), members, _roles(activity, members)))
        start += size
    return Round(key, tuple(groups))


def _step(count: int, turn: int) -> int:
    """A step that has no factor in common with the class size, another one for each turn where there is one."""
    from math import gcd

    steps = [step for step in range(1, count + 1) if gcd(step, count) == 1]
    return steps[turn % len(steps)]


def _roles(activity: Activity, members: tuple[str, ...]) -> tuple[str, ...]:
    return ("coach", "learner", "observer")[: len(members)] if activity.aim == "coaching" else ()


def lesson_of(count: int, *activities: Activity, date: str = "2026-09-14") -> ClassRecord:
    """A class of ``count`` with one lesson, planned."""
    return planned(ClassRecord(roster(count), Unit((Lesson(1, activities, date),))))


def every_aim() -> ClassRecord:
    """An odd class with three lessons: every aim, a trio, roles, alone work, groups that stay, and students aside."""
    first = Lesson(1, (Activity("Passing in pairs", size=2, rounds=3, minutes=4),), "2026-09-07")
    second = Lesson(
        2,
        (
            Activity("Chest pass", aim="coaching", size=2, rounds=2, minutes=5, strand="passing", min_gap=1),
            Activity("Team relay", aim="balanced", groups=5, minutes=7.5, strand="fitness"),
            Activity("Team relay, once more", aim="stay", minutes=5),
            Activity("Tag rugby, four a side", aim="similar", size=4, minutes=10, strand="passing"),
            Activity("Shuttle run", size=1, minutes=6),
        ),
        "2026-09-14",
    )
    requests = (
        Request("apart", "0001", "0002"),
        Request("apart", "0004", "0005", 1, 3),
        Request("together", "0008", "0012", first_lesson=2),
        Request("apart", "0010", "0011", last_lesson=1),
    )
    absences = (
        Absence(2, "0003", "aside", 1, "scorer"),
        Absence(2, "0013", "aside", 2, "sprained ankle"),
        Absence(2, "0016", "away"),
        Absence(2, "0020", "away", 4),
    )
    return planned(ClassRecord(roster(25), Unit((first, second)), requests, absences))


def gallery() -> dict[str, tuple[ClassRecord, int]]:
    """Records and lessons to look at, from small to crowded."""
    pairs = Activity("Passing in pairs", size=2, rounds=6, minutes=4)
    long_name = "Small-sided invasion game with two target players and a floating neutral player"
    return {
        "every-aim": (every_aim(), 2),
        "eight": (lesson_of(8, Activity("Throwing in pairs", size=2, rounds=3, minutes=3)), 1),
        "thirty": (lesson_of(30, pairs), 1),
        "sixty": (lesson_of(60, Activity("Passing in pairs", size=2, rounds=2)), 1),
        "teams-of-ten": (lesson_of(30, Activity(long_name, size=10, minutes=12)), 1),
        "fours": (lesson_of(28, Activity("Relay", size=4, rounds=2, minutes=8)), 1),
        "two-teams": (lesson_of(60, Activity("Capture the flag", groups=2)), 1),
        "threes": (lesson_of(24, Activity("Rondo", size=3, rounds=1, minutes=6)), 1),
    }


TASKS = (
    "Two big steps apart, large soft ball: throw underarm, catch with both hands.",
    "Four big steps apart, large soft ball: throw underarm, catch with both hands.",
    "Four big steps apart, small soft ball: throw underarm, catch with both hands.",
    "Four big steps apart, small soft ball: throw overarm, catch with both hands.",
    "Six big steps apart, small soft ball: throw overarm, catch with one hand.",
    "Six big steps apart, small soft ball: throw with your other hand, catch on the move.",
)


def with_ladders(record: ClassRecord, tasks: Sequence[str] = TASKS) -> ClassRecord:
    """The record with a ladder for every activity."""
    names = dict.fromkeys(activity.name for lesson in record.unit.lessons for activity in lesson.activities)
    return replace(record, challenges=tuple(ladder(name, *tasks) for name in names))


def gallery_with_tasks() -> dict[str, tuple[ClassRecord, int]]:
    """The same with a ladder for every activity, and strands to go by."""
    rated = Activity("Throwing in pairs", aim="similar", size=2, rounds=2, minutes=4, strand="passing")
    records = {**gallery(), "rated-pairs": (lesson_of(30, rated), 1)}
    return {name: (with_ladders(record), lesson) for name, (record, lesson) in records.items()}
