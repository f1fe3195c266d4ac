"""What a class keeps of ladders: taken in, copied to an activity, taken off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from difflib import get_close_matches

from grouper.errors import InputError
from grouper.model.ladder import Ladder
from grouper.model.record import ClassRecord
from grouper.words import folded


def merged(record: ClassRecord, ladders: Sequence[Ladder]) -> ClassRecord:
    """The record with these ladders; those of other activities stay.

    Where a ladder gets other steps, the choice of a step of the old one is forgotten.
    """
    kept = tuple(old for old in record.ladders if not any(new.fits(old.activity) for new in ladders))
    after = replace(record, ladders=(*kept, *ladders))
    return _without_choices(after, [new for new in ladders if new not in record.ladders])


def copied(record: ClassRecord, activity: str, like: str, library: Sequence[Ladder]) -> ClassRecord:
    """The record with the steps of a ladder for an activity: one of the class's own, or one of the library.

    Raises
    ------
    InputError
        There is no such ladder, or no such activity in the unit.
    """
    return merged(record, [Ladder(_name(record, activity), _like((*record.ladders, *library), like).steps)])


def without(record: ClassRecord, activity: str) -> ClassRecord:
    """The record without the ladder of an activity (InputError where it has none)."""
    kept = tuple(ladder for ladder in record.ladders if not ladder.fits(activity))
    if len(kept) == len(record.ladders):
        raise InputError(f"'{activity}' has no tasks{_known([ladder.activity for ladder in record.ladders], activity)}")
    gone = [ladder for ladder in record.ladders if ladder not in kept]
    return _without_choices(replace(record, ladders=kept), gone)


def _without_choices(record: ClassRecord, ladders: Sequence[Ladder]) -> ClassRecord:
    """The record without steps that were chosen in rounds of the activities of these ladders."""
    names = {key: record.unit.activity(key).name for key in record.unit.keys}
    kept = [one for one in record.chosen_steps if not any(each.fits(names.get(one.key, "")) for each in ladders)]
    return replace(record, chosen_steps=tuple(kept))


def with_success(record: ClassRecord, share: float) -> ClassRecord:
    """The record with another share of attempts that should succeed."""
    return replace(record, settings=replace(record.settings, success=share))


def _like(ladders: Sequence[Ladder], name: str) -> Ladder:
    found = next((ladder for ladder in ladders if ladder.fits(name)), None)
    if found is None:
        raise InputError(f"there are no tasks called '{name}'{_known([ladder.activity for ladder in ladders], name)}")
    return found


def _name(record: ClassRecord, activity: str) -> str:
    names = [one.name for lesson in record.unit.lessons for one in lesson.activities]
    meant = [name for name in names if folded(name) == folded(activity)]
    if not meant:
        raise InputError(f"the unit has no activity '{activity}'{_known(names, activity)}")
    return meant[0]


def _known(names: Sequence[str], wanted: str) -> str:
    near = get_close_matches(wanted, names, n=1)
    listed = ", ".join(f"'{name}'" for name in dict.fromkeys(names))
    return f"; did you mean '{near[0]}'?" if near else f"; there are {listed}" if names else ""
