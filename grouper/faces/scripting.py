"""The door for scripts: a class file as an object, its facts as pandas frames, the verbs of the teacher as methods.

``import grouper`` loads none of this, nor pandas; a name is loaded when it is used.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from grouper.errors import InputError, InUseError
from grouper.faces.views.tables import TABLES
from grouper.files.lessons import read_lessons
from grouper.files.opening import Given
from grouper.files.requests import read_requests
from grouper.files.roster import read_roster
from grouper.files.store import ClassFile, Edit
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.planning.admit import NewList, admit_requests, admit_roster, admit_unit, brought_in
from grouper.planning.attend import absent as absent_from
from grouper.planning.attend import present as present_in
from grouper.planning.plan import plan_unit
from grouper.planning.repair import Repair

if TYPE_CHECKING:
    from collections.abc import Callable

    import pandas as pd

    Source = Path | str | pd.DataFrame
    """A table: the path of a file as ``grouper plan`` takes it, or a frame with the columns of its CSV."""


def open_class(path: Path | str) -> SchoolClass:
    """The class in a class file.

    Parameters
    ----------
    path
        A file that ``grouper plan``, the page or ``make_class`` made.

    Raises
    ------
    InputError
        There is no such file, or it is no class file.
    """
    opened = SchoolClass(path)
    opened.frame("roster")
    return opened


def make_class(path: Path | str, roster: Source, lessons: Source, requests: Source | None = None) -> SchoolClass:
    """A new class file, without a plan yet.

    Parameters
    ----------
    path
        Where the file will be; nothing may stand there.
    roster, lessons, requests
        Files or frames with the columns of docs/tables.md; requests may be left out.

    Raises
    ------
    InputError
        A table cannot be understood; every trouble is named with its row and column.
    InUseError
        Something stands at the path already.
    """
    made = ClassFile(path)
    if made.exists:
        raise InUseError("{path} is there already", "open_class opens it", path=path)
    record = _admitted(ClassRecord(Roster(())), roster, lessons, requests)
    made.create(record, "made by a script")
    return SchoolClass(path)


class SchoolClass:
    """A class file. Nothing is kept between calls: each reads or changes the file, as the commands do.

    Students are meant by id or by a name that is unique. Every change can be taken back with ``undo``.

    Parameters
    ----------
    path
        The class file.

    Examples
    --------
    See docs/scripting.md, whose example runs as a test.
    """

    def __init__(self, path: Path | str) -> None:
        self.path = Path(path)
        self._file = ClassFile(self.path)

    def __repr__(self) -> str:
        return f"SchoolClass({str(self.path)!r})"

    # Changes

    def plan(self, seed: int | None = None, effort: str = "usual") -> pd.DataFrame:
        """Plan every lesson that has not been taught; the groups of the whole unit are returned.

        Parameters
        ----------
        seed
            The same seed gives the same plan; the class's own where it is None.
        effort
            ``quick``, ``usual`` or ``thorough``.

        Raises
        ------
        ImpossibleError
            The requests cannot all be met; ``clash`` names a smallest set.
        InUseError
            Another command changed the file meanwhile; nothing is saved.
        """
        before = self._file.read()
        outcome = plan_unit(before.record, seed, effort)
        self._file.save(outcome.record, "plan", read_at=before.version)
        return self.groups()

    def admit(
        self, roster: Source | None = None, lessons: Source | None = None, requests: Source | None = None
    ) -> None:
        """Read tables: new students join, who has left is archived; lessons and requests replace those there.

        The same people under other ids are the same people. In groups that are there as few students move as possible;
        new rounds get theirs by the next ``plan``.

        Raises
        ------
        InputError
            It is not sure who is who; ``grouper import`` has the ways to tell.
        ImpossibleError
            The requests cannot all be met.
        """
        self._change(
            "tables read", lambda record: brought_in(record, _admitted(record, roster, lessons, requests)).record
        )

    def absent(self, lesson: int, *students: str | int, from_round: int = 1) -> pd.DataFrame:
        """Students are away from a lesson, whose groups are changed so that few others move; they are returned.

        Parameters
        ----------
        lesson
            Its number.
        students
            Ids or unique names.
        from_round
            The first round that they miss, counted over the whole lesson from 1.

        Raises
        ------
        ImpossibleError
            The requests cannot be met with those who are there.
        """
        return self._attend(absent_from, "absent in", lesson, students, from_round)

    def present(self, lesson: int, *students: str | int, from_round: int = 1) -> pd.DataFrame:
        """They are there after all; the groups of the lesson are returned."""
        return self._attend(present_in, "present in", lesson, students, from_round)

    def taught(self, lesson: int, up_to_round: int | None = None) -> None:
        """Close a lesson: plans and repairs leave it alone, and later plans build on it.

        Parameters
        ----------
        lesson
            Its number.
        up_to_round
            The last round that was held, counted over the whole lesson from 1, where it ended early.
        """
        from grouper.planning.adjust import taught

        self._change(f"lesson {lesson} taught", lambda record: taught(record, lesson, None, up_to_round))

    def undo(self) -> str:
        """Take back the last change; what it was is returned in words."""
        return self._file.undo().what

    # Facts

    def roster(self) -> pd.DataFrame:
        """The students of the class, a row a student, a column a strand."""
        return self.frame("roster")

    def lessons(self) -> pd.DataFrame:
        """The unit, a row an activity."""
        return self.frame("lessons")

    def requests(self) -> pd.DataFrame:
        """Who is kept apart or together."""
        return self.frame("requests")

    def groups(self, lesson: int | None = None) -> pd.DataFrame:
        """Who is in which group, a row a student a round; of one lesson (InputError without such a one), or of all."""
        record = self._file.read().record
        groups = frame_of(record, "groups")
        if lesson is None:
            return groups
        return groups[groups["lesson"] == record.lesson(lesson).number].reset_index(drop=True)

    def meetings(self) -> pd.DataFrame:
        """How often each two were in one group, a row a pair; who never met is there with 0."""
        return self.frame("meetings")

    def fairness(self) -> pd.DataFrame:
        """The plan measured, beside what no plan can beat, a row a measure."""
        return self.frame("fairness")

    def turns(self) -> pd.DataFrame:
        """Different partners and turns in the trio and as coach, a row a student."""
        return self.frame("turns")

    def results(self) -> pd.DataFrame:
        """How tasks went, a row a group a round."""
        return self.frame("results")

    def scores(self) -> pd.DataFrame:
        """Games, a row a game."""
        return self.frame("scores")

    def attendance(self) -> pd.DataFrame:
        """Who was there, a row a student a lesson."""
        return self.frame("attendance")

    def frame(self, table: str) -> pd.DataFrame:
        """Any table of ``TABLE_NAMES`` as a frame; its columns are those of docs/scripting.md.

        Raises
        ------
        InputError
            There is no such table, or no such file.
        """
        record = self._file.read().record
        return frame_of(record, table)

    # How

    def _change(self, what: str, verb: Callable[[ClassRecord], ClassRecord]) -> None:
        with self._file.change(what) as edit:
            edit.record = verb(edit.record)

    def _attend(
        self,
        verb: Callable[[ClassRecord, int, tuple[str, ...], int], Repair],
        words: str,
        lesson: int,
        students: tuple[str | int, ...],
        from_round: int,
    ) -> pd.DataFrame:
        def changed(edit: Edit) -> ClassRecord:
            roster = edit.record.roster
            meant = tuple(dict.fromkeys(roster.find(str(student)).id for student in students))
            edit.what = f"{words} lesson {lesson}: {', '.join(roster.name(one) for one in meant)}"
            return verb(edit.record, lesson, meant, from_round).record

        with self._file.change("") as edit:
            edit.record = changed(edit)
        return self.groups(lesson)


def frame_of(record: ClassRecord, table: str) -> pd.DataFrame:
    """One of the tidy tables of a record; whole numbers may be missing (``Int64``)."""
    import pandas as pd

    if table not in TABLES:
        raise InputError("there is no table '{table}'", "there are {tables}", table=table, tables=tuple(TABLES))
    columns = TABLES[table].columns_for(record)
    rows = list(TABLES[table].rows(record))
    kinds = {"text": "str", "whole": "Int64", "number": "float64"}
    return pd.DataFrame(
        {
            column.header: pd.Series([row[place] for row in rows], dtype=kinds[column.kind])
            for place, column in enumerate(columns)
        }
    )


def _admitted(
    record: ClassRecord, roster: Source | None, lessons: Source | None, requests: Source | None
) -> ClassRecord:
    if roster is not None:
        reading = read_roster(_opened(roster, "roster"), "", record.roster, record.settings.scale)
        record = admit_roster(record, NewList(reading.roster, reading.ids_made, reading.columns)).record
    if lessons is not None:
        record = admit_unit(record, read_lessons(_opened(lessons, "lessons"), record.roster).unit)
    if requests is not None:
        record = admit_requests(record, read_requests(_opened(requests, "requests"), record.roster).requests)
    return record


def _opened(source: Source, name: str) -> Path | Given:
    """A file as it is; a frame as the text of its CSV, so that one reader understands both."""
    if isinstance(source, (str, Path)):
        return Path(source)
    # Ids often are the index of a frame: without its name it is a count of rows, with one it is a column.
    has_names = any(name is not None for name in source.index.names)
    return Given(f"frame of {name}", source.to_csv(index=has_names).encode("utf-8"))
