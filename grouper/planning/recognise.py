"""Who is who when a roster is read anew: the same people under other ids or names are the same people.

An id counts for as long as the name agrees, as lists that number their rows give an id to the next child when one has
left; else the name counts, where one student alone has it on either side. What is left open is asked about.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from grouper.errors import InputError, Trouble
from grouper.model.roster import Roster, Student, are_one_name, is_part_of, is_renamed, name_words
from grouper.words import Remedy, listed


@dataclass(frozen=True)
class Told:
    """What a teacher has said of who is who.

    Parameters
    ----------
    same
        The id on the new list of somebody in the class, to the id that they have had.
    new
        Ids on the new list of people who were not in the class before.
    by_id
        Whether an id that is known is always the same student, whatever the name.
    """

    same: Mapping[str, str] = field(default_factory=dict)
    new: frozenset[str] = frozenset()
    by_id: bool = False


@dataclass(frozen=True)
class Doubt:
    """Somebody on the new list who could be one of these, or be new."""

    student: Student
    candidates: tuple[Student, ...]


@dataclass(frozen=True)
class Recognition:
    """Who is who: ``known`` has the id in the class by the id on the new list; who is in neither is new."""

    known: Mapping[str, str]
    doubts: tuple[Doubt, ...] = ()


NOBODY_SAID = Told()


def recognised(before: Roster, fresh: Roster, told: Told = NOBODY_SAID) -> Recognition:
    """Who of a new list is who in the class, those who have left it included.

    Raises
    ------
    InputError
        What was told names somebody who is on neither list, or twice.
    """
    matching = _Matching(before, fresh, told)
    matching.as_told(before, fresh)
    matching.by_id()
    # The strictest reading first: whoever it pairs is out of the way of the looser ones.
    matching.by_name(lambda was, now: name_words(was.name) == name_words(now.name))
    matching.by_name(lambda was, now: are_one_name(was.name, now.name))
    # A part of a name is a weak sign, too weak for somebody who has left the class.
    matching.by_name(lambda was, now: not was.archived and is_part_of(was.name, now.name))
    for id_ in [id_ for id_ in matching.now if id_ in matching.was and not matching.was[id_].archived]:
        matching.doubt(id_, (matching.was[id_],))
    return Recognition(matching.known, tuple(matching.doubts))


class _Matching:
    """Pairs as they are found: ``was`` and ``now`` hold, by id, who is left on the two lists."""

    def __init__(self, before: Roster, fresh: Roster, told: Told) -> None:
        self.told = told
        self.was = {student.id: student for student in before.students}
        self.now = {student.id: student for student in fresh.students}
        self.known: dict[str, str] = {}
        self.doubts: list[Doubt] = []

    def pair(self, was: str, now: str) -> None:
        self.known[now] = was
        # Out of the way of every looser reading that follows.
        del self.was[was], self.now[now]

    def doubt(self, now: str, candidates: Iterable[Student]) -> None:
        self.doubts.append(Doubt(self.now.pop(now), tuple(candidates)))

    def as_told(self, before: Roster, fresh: Roster) -> None:
        for now in (*self.told.same, *self.told.new):
            if now not in fresh.by_id:
                what = "there is no student with the id '{now}' on the new list"
                raise InputError(what, "give an id that is on it", now=now)
        for now, was in self.told.same.items():
            if was not in before.by_id:
                what = "there is no student with the id '{was}' in the class"
                raise InputError(what, "give an id that is in it", was=was)
            if was not in self.was or now in self.told.new:
                what = "'{was}' or '{now}' is said to be two people"
                raise InputError(what, "say once who each is", was=was, now=now)
            self.pair(was, now)
        for now in self.told.new:
            del self.now[now]

    def by_id(self) -> None:
        """Those whose id and name are known; then those of a known id, where no name speaks against it."""
        for id_ in [id_ for id_ in self.now if id_ in self.was]:
            if self.told.by_id or are_one_name(self.was[id_].name, self.now[id_].name):
                self.pair(id_, id_)
        for id_ in [id_ for id_ in self.now if id_ in self.was]:
            was, now = self.was[id_], self.now[id_]
            # Unless the one who had the id stands elsewhere on the new list, or the one who has it now was known.
            moved = any(are_one_name(was.name, other.name) for other in self.now.values() if other != now)
            known = any(are_one_name(other.name, now.name) for other in self.was.values() if other != was)
            if not moved and not known and is_renamed(was.name, now.name):
                self.pair(id_, id_)

    def by_name(self, fits: Callable[[Student, Student], bool]) -> None:
        """Pairs of which nobody else could be a half; who could be several, or the same as another, is open."""
        could_be = {now: [was for was in self.was.values() if fits(was, self.now[now])] for now in self.now}
        wanted: dict[str, list[str]] = defaultdict(list)
        for now, candidates in could_be.items():
            for was in candidates:
                wanted[was.id].append(now)
        for now, candidates in could_be.items():
            if len(candidates) == 1 and len(wanted[candidates[0].id]) == 1:
                self.pair(candidates[0].id, now)
            elif candidates:
                self.doubt(now, candidates)


def refuse_doubts(doubts: Iterable[Doubt]) -> None:
    """Stop where it is not sure who is who.

    Raises
    ------
    InputError
        With a line for each who is in doubt, and the words that settle it.
    """
    troubles = []
    for doubt in doubts:
        new = doubt.student.id
        who = tuple(f"{was.name} ({was.id}{', who has left' if was.archived else ''})" for was in doubt.candidates)
        message = f"{doubt.student.name} ({new}) may be {listed(who, 'or')}, or be new"
        pairs = tuple(f"{was.id}={new}" for was in doubt.candidates)
        troubles.append(Trouble(message, Remedy.WHO_IS_WHO, facts=(("new", new), ("pairs", pairs))))
    if troubles:
        raise InputError("it is not sure who is who on the new list; nothing was changed", troubles=tuple(troubles))
