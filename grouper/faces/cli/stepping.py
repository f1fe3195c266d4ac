"""A step back or forth in the changes of a class file: what it does to the groups, and whether it may."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import click

from grouper.errors import InputError
from grouper.faces.wording.changes import begun_in_words, lessons_changed_line
from grouper.model.record import ClassRecord
from grouper.planning.reshape import begun_that_change, changes_in

yes_option = click.option("--yes", is_flag=True, help="Also where rounds change that have begun.")


@dataclass
class Step:
    """Stops a step that would change what has begun, unless the teacher said yes, and tells what it changed."""

    yes: bool
    _seen: list[tuple[ClassRecord, ClassRecord]] = field(default_factory=list)

    def check(self, before: ClassRecord, after: ClassRecord) -> None:
        """Raise InputError where rounds that have begun would not stay."""
        self._seen.append((before, after))
        begun = begun_that_change(before, after)
        if begun and not self.yes:
            raise InputError(
                "{rounds} would change", "nothing was done; add --yes to do it", rounds=begun_in_words(before, begun)
            )

    def lines(self) -> Iterator[str]:
        """In which lessons groups are others now."""
        for before, after in self._seen:
            yield from lessons_changed_line(changes_in(before, after))
