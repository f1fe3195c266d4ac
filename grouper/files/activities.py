"""One row of the table of lessons to an activity."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError
from grouper.files.notes import Findings
from grouper.files.numbers import is_not_rated, number, number_text, whole_number
from grouper.files.sheet import Row
from grouper.files.table import Column, Table
from grouper.files.tidy import fold
from grouper.files.vocabulary import Vocabulary
from grouper.files.words.values import AIM, CAUTION
from grouper.model.roster import Roster
from grouper.model.unit import AIMS, CAUTIONS, Activity

_NEEDS_STRAND = ("balanced", "coaching", "similar")
_MOST = {"size": 100, "groups": 100, "rounds": 100}


@dataclass(frozen=True)
class ActivityReader:
    """Reads rows of one table; the strands are those of ``roster``, what is wrong goes to ``findings``."""

    table: Table
    roster: Roster
    findings: Findings

    def activity(self, row: Row) -> Activity | None:
        """The activity of a row; None where something is wrong with it, which stands in the findings then."""
        aim = self._aim(row)
        size, groups = self._size_and_groups(row, aim)
        rounds, minutes = self._count(row, "rounds"), self._measure(row, "minutes")
        strand = self._strand(row, aim)
        min_gap, max_gap = self._gaps(row, aim)
        caution = self._word(row, "caution", CAUTION, ("none", *CAUTIONS))
        name = self._cell(row, "activity")
        if not name:
            self._trouble(row, "activity", "the activity has no name", "write what the class does")
        try:
            return Activity(name, aim, size, groups, rounds or 1, minutes, strand, min_gap, max_gap, caution)
        except InputError as error:
            self._trouble_unless_known(row, str(error))
            return None

    def _trouble_unless_known(self, row: Row, message: str) -> None:
        """What the model refuses, unless the row has a trouble already, of which this only follows."""
        if not self.findings.troubled_in(row.number):
            self.findings.trouble(message, "change this row", row.number)

    def _column(self, meaning: str) -> Column | None:
        return self.table.column(meaning)

    def _cell(self, row: Row, meaning: str) -> str:
        column = self._column(meaning)
        return row.cell(column.place) if column else ""

    def _trouble(self, row: Row, meaning: str, message: str, remedy: str) -> None:
        column = self._column(meaning)
        self.findings.trouble(message, remedy, row.number, column.shown if column else meaning)

    def _note(self, row: Row, meaning: str, kind: str, text: str) -> None:
        column = self._column(meaning)
        self.findings.note(kind, text, (row.number,), column.shown if column else meaning)

    def _word(self, row: Row, meaning: str, words: Vocabulary, allowed: tuple[str, ...]) -> str:
        cell = self._cell(row, meaning)
        found = words.meaning(cell) or words.close_meaning(cell)
        if cell and not found and cell not in ("-", "–", "—"):
            self._trouble(row, meaning, f"'{cell}' is not known as {meaning}", f"use one of {', '.join(allowed)}")
        return found

    def _aim(self, row: Row) -> str:
        return self._word(row, "aim", AIM, AIMS) or "fresh"

    def _count(self, row: Row, meaning: str) -> int | None:
        cell = self._cell(row, meaning)
        if is_not_rated(cell):
            return None
        value = whole_number(cell)
        if value is None or not 1 <= value <= _MOST[meaning]:
            remedy = f"write a whole number from 1 to {_MOST[meaning]}, or leave it empty"
            self._trouble(row, meaning, f"'{cell}' cannot be the number of {meaning}", remedy)
            return None
        return value

    def _measure(self, row: Row, meaning: str) -> float | None:
        cell = self._cell(row, meaning)
        if is_not_rated(cell):
            return None
        value = number(cell.casefold().removesuffix("min").rstrip() if meaning == "minutes" else cell)
        if value is None or value < 0 or (meaning == "minutes" and value == 0):
            self._trouble(row, meaning, f"'{cell}' cannot be {meaning}", "write a number, or leave it empty")
            return None
        return value

    def _size_and_groups(self, row: Row, aim: str) -> tuple[int | None, int | None]:
        size, groups = self._count(row, "size"), self._count(row, "groups")
        if aim == "stay":
            if size or groups:
                self._note(row, "size" if size else "groups", "left out", "the groups stay, so this is not used")
            return None, None
        if aim == "coaching":
            return self._size_of_coaching(row, size, groups), None
        if size and groups:
            self._trouble(row, "groups", "size and groups are both given", "leave one of them empty")
        elif not size and not groups and not self.findings.troubled_in(row.number):
            self._trouble(row, "size", "there is neither a size nor a number of groups", "give one of them")
        return (size, None) if size else (None, groups)

    def _size_of_coaching(self, row: Row, size: int | None, groups: int | None) -> int:
        if groups:
            self._trouble(row, "groups", "coaching works in pairs, not in teams", "leave groups empty")
        if size not in (None, 2):
            self._trouble(row, "size", f"coaching works in pairs, not in {size}s", "use 2, or another aim")
        if size is None and not groups:
            self._note(row, "size", "understood", "coaching works in pairs: size 2")
        return 2

    def _strand(self, row: Row, aim: str) -> str:
        cell = self._cell(row, "strand")
        if aim not in _NEEDS_STRAND:
            if cell:
                self._note(row, "strand", "left out", f"the aim {aim} goes by no strand")
            return ""
        return self._strand_of_roster(row, cell) if cell else self._only_strand(row, aim)

    def _strand_of_roster(self, row: Row, cell: str) -> str:
        for same in (str, str.casefold, fold):
            found = [strand for strand in self.roster.strands if same(strand) == same(cell)]
            if len(found) == 1:
                return found[0]
        self._trouble(row, "strand", f"the roster has no strand '{cell}'", self._strands())
        return ""

    def _only_strand(self, row: Row, aim: str) -> str:
        if len(self.roster.strands) == 1:
            only = self.roster.strands[0]
            self._note(row, "strand", "understood", f"'{only}', the only strand of the roster")
            return only
        self._trouble(row, "strand", f"the aim {aim} needs a strand", self._strands())
        return ""

    def _strands(self) -> str:
        if not self.roster.strands:
            return "the roster has none: add a column of numbers to it, or use another aim"
        return f"use one of the roster's: {', '.join(self.roster.strands)}"

    def _gaps(self, row: Row, aim: str) -> tuple[float | None, float | None]:
        smallest, largest = self._measure(row, "min_gap"), self._measure(row, "max_gap")
        if aim != "coaching":
            for meaning, gap in (("min_gap", smallest), ("max_gap", largest)):
                if gap is not None:
                    self._note(row, meaning, "left out", f"the aim {aim} has no gaps")
            return None, None
        if smallest is not None and largest is not None and smallest > largest:
            message = f"the smallest gap {number_text(smallest)} is above the largest {number_text(largest)}"
            self._trouble(row, "min_gap", message, "swap them")
        return smallest, largest
