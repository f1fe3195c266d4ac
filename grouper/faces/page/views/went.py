"""How the rounds of a lesson went, group by group, as the teacher tapped and counted; for the teacher alone."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.page.how_it_went import result_of
from grouper.faces.views.names import label_order, name_order
from grouper.faces.views.student_lesson import lesson_names, rounds_of
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord

WORDS = (("easy", "too easy"), ("right", "right"), ("hard", "too hard"))


@dataclass(frozen=True)
class WentGroup:
    """A group: its names, the word that was tapped, successes and attempts as texts; empty where nothing was said."""

    label: str
    names: tuple[str, ...]
    felt: str
    hits: str
    tries: str


@dataclass(frozen=True)
class WentRound:
    """A round with its groups by label; ``said`` counts those of which something was said."""

    place: int
    activity: str
    groups: tuple[WentGroup, ...]

    @property
    def said(self) -> int:
        """Of how many groups something was said."""
        return sum(bool(group.felt or group.tries) for group in self.groups)


def went_view(record: ClassRecord, lesson: int) -> tuple[WentRound, ...]:
    """The rounds of a lesson in the order of play (InputError where it has no groups)."""
    names = lesson_names(record, lesson)
    return tuple(_round(record, names, round_) for round_ in rounds_of(record, lesson))


def _round(record: ClassRecord, names: dict[str, str], round_: Round) -> WentRound:
    groups = sorted(round_.groups, key=lambda group: label_order(group.label))
    return WentRound(
        record.place_in_lesson(round_.key),
        record.unit.activity(round_.key).name,
        tuple(_group(record, names, round_, group) for group in groups),
    )


def _group(record: ClassRecord, names: dict[str, str], round_: Round, group: Group) -> WentGroup:
    result = result_of(record, round_.key, group.label)
    members = tuple(sorted((names[student] for student in group.members), key=name_order))
    if result is None:
        return WentGroup(group.label, members, "", "", "")
    hits, tries = ("" if number is None else str(number) for number in (result.hits, result.tries))
    return WentGroup(group.label, members, result.felt, hits, tries)
