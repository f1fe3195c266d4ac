"""Groups as a CSV file, out and in again: a row a student a round, in the order of play."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from grouper.errors import InputError
from grouper.files.cells import whole_number
from grouper.files.opening import table_in
from grouper.files.table import Row, RowReader, Vocabulary
from grouper.files.writing import write_csv
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.texts import tidy
from grouper.model.unit import RoundKey
from grouper.words import Remedy

HEADERS = ("lesson", "activity", "round", "group", "student_id", "name", "role")
GROUPS = Vocabulary({header: header for header in HEADERS})


def write_groups(path: Path, record: ClassRecord) -> None:
    """Write the groups of all rounds that are planned.

    Students who are set aside with a role follow the groups of a round, with an empty group.

    Raises
    ------
    InputError
        The file cannot be written.
    """
    write_csv(path, [HEADERS, *group_rows(record)])


def group_rows(record: ClassRecord) -> Iterator[tuple[str, ...]]:
    """The cells of all rows, in the order of HEADERS."""
    for round_ in sorted(record.plan.rounds, key=lambda round_: round_.key):
        key = round_.key
        place = (str(key.lesson), record.unit.activity(key).name, str(key.round))
        for group in round_.groups:
            for student in group.members:
                yield (*place, group.label, student, record.roster.by_id[student].name, group.role(student))
        for student, role in _helpers(record, round_):
            yield (*place, "", student, record.roster.by_id[student].name, role)


def _helpers(record: ClassRecord, round_: Round) -> Iterator[tuple[str, str]]:
    """Students who are there without taking part, and have a role."""
    place = record.place_in_lesson(round_.key)
    for student in record.roster.students:
        covering = (a for a in record.absences_of(student.id, round_.key.lesson) if a.covers(place))
        absence = next(covering, None)
        aside = record.state(student, round_.key) == "aside" and student.id not in round_.students
        if aside and absence and absence.role:
            yield student.id, absence.role


def read_groups(path: Path, record: ClassRecord) -> dict[RoundKey, tuple[Group, ...]]:
    """The groups in a file that ``write_groups`` wrote, or one with the same headers, by round in the order of play.

    Rows with an empty group are those of students set aside; they are in no group.

    Raises
    ------
    InputError
        With all troubles: rounds that the unit does not have, unknown students, students twice in a round.
    """
    none = "there are no rows in it", "export the groups again"
    table, findings = table_in(path, GROUPS, ("student_id", "name"), lambda sheets: next(iter(sheets), None), none)
    reader = _GroupRows(table, findings, record)
    reader.need(("lesson", "activity", "round", "group"), f"the headers are {','.join(HEADERS)}")
    groups = reader.groups()
    findings.stop_if_troubled()
    return groups


def check_every_round(path: Path, groups: Iterable[RoundKey], record: ClassRecord, lesson: int) -> None:
    """Raise InputError where a file of groups says nothing of a round of the lesson that has groups.

    Whether it was held as planned or not at all is for the teacher to say.
    """
    said = {key for key in groups if key.lesson == lesson}
    rounds = (round_ for round_ in record.plan.of_lesson(lesson) if round_.groups)
    places = {round_.key: record.place_in_lesson(round_.key) for round_ in rounds}
    missing = [place for key, place in places.items() if key not in said]
    if not missing or not said:
        return
    which = "round " + " and ".join(map(str, missing)) if len(missing) < 3 else f"{len(missing)} rounds"
    held = missing[0] - 1
    at_the_end = held > 0 and missing == [place for place in places.values() if place > held]
    raise InputError(
        "{file} has no row for {which} of lesson {lesson}",
        Remedy.ADD_ROUNDS_OR_END if at_the_end else "add them, as an export has them",
        file=path.name,
        which=which,
        lesson=lesson,
        held=held,
    )


@dataclass(frozen=True)
class _GroupRows(RowReader):
    """Puts the rows of one table together to groups."""

    record: ClassRecord
    members: dict[RoundKey, dict[str, dict[str, str]]] = field(default_factory=dict)
    """Roles by student, by label, by round."""

    def groups(self) -> dict[RoundKey, tuple[Group, ...]]:
        for row in self.table.rows:
            key, student = self._key(row), self._student(row)
            if key is not None:
                # A round whose rows are all of students set aside was held, with nobody in a group.
                self.members.setdefault(key, {})
            if key is not None and student and self.cell(row, "group"):
                self._add(row, key, student)
        found = {}
        for key in sorted(self.members):
            roles = self.members[key].items()
            found[key] = tuple(Group(label, tuple(of), tuple(of.values()) * any(of.values())) for label, of in roles)
        return found

    def _add(self, row: Row, key: RoundKey, student: str) -> None:
        round_ = self.members.setdefault(key, {})
        if any(student in members for members in round_.values()):
            name = self.record.roster.name(student)
            self.findings.trouble(f"{name} appears twice in this round", "take one row out", row.number, "student_id")
            return
        round_.setdefault(self.cell(row, "group"), {})[student] = self.cell(row, "role")

    def _key(self, row: Row) -> RoundKey | None:
        lesson, number = (whole_number(self.cell(row, header)) for header in ("lesson", "round"))
        name = self.cell(row, "activity")
        keys = [key for key in self.record.unit.keys if key.lesson == lesson and key.round == number]
        # Cells are tidied when they are read, so that a name with odd spaces is compared in its tidy form.
        found = [key for key in keys if tidy(self.record.unit.activity(key).name) == name]
        if not found:
            where = f"round {self.cell(row, 'round')} of '{name}' in lesson {self.cell(row, 'lesson')}"
            self.findings.trouble(f"the unit has no {where}", "use what the unit has", row.number)
        return found[0] if found else None

    def _student(self, row: Row) -> str:
        try:
            return self.record.roster.find(self.cell(row, "student_id") or self.cell(row, "name")).id
        except InputError as error:
            self.findings.trouble(str(error), "use the ids of the roster", row.number, "student_id")
            return ""
