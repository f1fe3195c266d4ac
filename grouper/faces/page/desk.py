"""What lies on the teacher's desk: the class files of a folder, and what the page remembers of them while it runs.

All that counts is in the class files. Forgotten at the end are only: which groups the last change touched, plans
in the making, and rosters that are looked at before they are taken in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, field
from os.path import lexists
from pathlib import Path
from threading import Lock
from time import monotonic
from typing import Any, TypeVar, cast

from grouper.errors import GrouperError, InputError, InUseError
from grouper.faces.page.kept import Clocks, Kept, Proposals
from grouper.faces.page.proofs import Proofs
from grouper.faces.page.reading import Drafts
from grouper.faces.page.remedies import said_here
from grouper.faces.views.students import lesson_names
from grouper.files.atomic import is_class_file
from grouper.files.example import is_example
from grouper.files.store import Change, Check, ClassFile, Snapshot
from grouper.model.record import ClassRecord
from grouper.model.tags import as_called_in
from grouper.planning.noting import dropped
from grouper.planning.requests import became_of_requests
from grouper.planning.reshape import changes_in
from grouper.tasks.adapt import rotations_kept
from grouper.words import Said

Spot = tuple[int, int, str]
"""A group: its lesson, the place of its round in the lesson from 1, and its label."""


@dataclass(frozen=True)
class Marks:
    """Groups that are different from before, with the short names of those who were not in them."""

    groups: dict[Spot, frozenset[str]] = field(default_factory=dict)

    def in_round(self, lesson: int, place: int) -> dict[str, frozenset[str]]:
        """The marked groups of a round by label."""
        return {spot[2]: names for spot, names in self.groups.items() if spot[:2] == (lesson, place)}

    def lessons(self) -> tuple[int, ...]:
        return tuple(sorted({spot[0] for spot in self.groups}))


NO_MARKS = Marks()


def marks_between(before: ClassRecord, after: ClassRecord) -> Marks:
    """What is different in a record; nothing for rounds that are not in both."""
    groups: dict[Spot, frozenset[str]] = {}
    for change in changes_in(before, after):
        names = lesson_names(after, change.key.lesson)
        place = after.place_in_lesson(change.key)
        were = {group.label: set(group.members) for group in change.before}
        groups.update(
            {
                (change.key.lesson, place, group.label): frozenset(
                    names[student] for student in group.members if student not in were.get(group.label, set())
                )
                for group in change.after
            }
        )
    return Marks(groups)


@dataclass(frozen=True)
class Touched:
    """What the change that led to a ``version`` of a class did beside what it was for, in marks and sentences.

    ``dropped`` is what it took from groups that have other people now; ``of_requests`` what it ended, narrowed or broke
    of the requests, for the teacher alone.
    """

    version: str
    marks: Marks = NO_MARKS
    dropped: tuple[str, ...] = ()
    of_requests: tuple[str, ...] = ()


T = TypeVar("T")

Made = tuple[tuple[str, tuple[tuple[int, int], ...]], "Future[Any]"]
"""A state of a class, with the rounds that have begun, and what is made of it."""

MOST_MADE = 32

Done = tuple[ClassRecord, str]
Verb = Callable[[ClassRecord], Done]
"""Makes a new record and says in words what was changed."""

SILENT = 150.0
"""Seconds after which a screen that does not ask any more is taken for closed; a hidden tab asks once a minute."""

LONGEST_WINDOW = 40

MOST_SCREENS = 200
MOST_CLASSES = 50
MOST_WORDS = 500
MOST_TAPS = 2000
"""How many screens, classes and words of changes are remembered; what is beyond shows less, and loses nothing."""

ENDING = ".class"


@dataclass
class Desk:
    """The class files in ``folder``; ``first`` is the one that the page opens with, empty for a choice."""

    folder: Path
    first: str = ""
    drafts: Drafts = field(default_factory=Drafts)
    proposals: Proposals = field(default_factory=Proposals)
    proofs: Proofs = field(default_factory=Proofs)
    clocks: Clocks = field(default_factory=Clocks)
    taps_done: Kept[str, str] = field(default_factory=lambda: Kept(MOST_TAPS))
    _touched: Kept[str, Touched] = field(default_factory=lambda: Kept(MOST_CLASSES))
    _news: Kept[str, tuple[str, ...]] = field(default_factory=lambda: Kept(MOST_CLASSES))
    _in_sight: Kept[tuple[str, Change | None], bool] = field(default_factory=lambda: Kept(MOST_WORDS))
    _at_door: Kept[tuple[str, Change | None], bool] = field(default_factory=lambda: Kept(MOST_WORDS))
    _rounds: Kept[tuple[str, int, str], tuple[int, float]] = field(default_factory=lambda: Kept(MOST_SCREENS))
    _made: Kept[tuple[str, str], Made] = field(default_factory=lambda: Kept(MOST_MADE))
    _maker: ThreadPoolExecutor = field(default_factory=lambda: ThreadPoolExecutor(1, "maker"))
    _changing: Lock = field(default_factory=Lock)

    @property
    def names(self) -> tuple[str, ...]:
        """File names of the classes, by the alphabet."""
        return tuple(name for name in self._entries() if self.has(name))

    @property
    def unreadable(self) -> tuple[str, ...]:
        """Names that end as those of class files do, of what is none or cannot be looked at."""
        return tuple(name for name in self._entries() if name.endswith(ENDING) and not self.has(name))

    def _entries(self) -> list[str]:
        try:
            found = [path.name for path in self.folder.iterdir()]
        except OSError as error:
            raise InputError(
                "the folder {folder} cannot be read ({reason})",
                "look whether it is still there",
                folder=self.folder.name,
                reason=error.strerror,
            ) from error
        # Hidden are files in the making; a name that is no text could not be shown or asked for.
        return sorted((n for n in found if n[0] != "." and n == n.encode(errors="ignore").decode()), key=str.casefold)

    def has(self, name: str) -> bool:
        """Whether a class file with this name stands in the folder, and not outside of it."""
        return Path(name).name == name and is_class_file(self.folder / name)

    def file(self, name: str) -> ClassFile:
        """The class file with this name in the folder, and nothing outside of it (InputError where there is none)."""
        if self.has(name):
            return ClassFile(self.folder / name, tell=self._hear)
        if Path(name).name == name and lexists(self.folder / name):
            raise InputError(
                "'{name}' is damaged, no class file, or not yours to open", "use your last copy", name=name
            )
        raise InputError(
            "there is no class file '{name}' in {folder}",
            "choose one from the list",
            name=name,
            folder=self.folder.name,
        )

    def _hear(self, path: Path, what: str) -> None:
        """Keep what a class file has to tell until a page of the teacher's shows it, and tell the terminal too."""
        self._news.change(path.name, lambda before: (*(before or ()), what))
        ClassFile.tell(path, what)

    def news(self, name: str) -> tuple[str, ...]:
        return self._news.take(name) or ()

    def new_file(self, title: str) -> ClassFile:
        """The file that a class with this title will get (InputError where it is no name for a file, or is taken)."""
        name = "".join(char if char.isalnum() or char in "-_. " else "-" for char in title).strip(" .")
        if not name:
            raise InputError("the class needs a name, such as 7b")
        path = self.folder / (name if name.endswith(ENDING) or name == self.first else name + ENDING)
        if lexists(path):
            raise InputError("there is a class '{title}' already", "give this one another name", title=title)
        return ClassFile(path)

    def throw_away(self, name: str) -> None:
        """Remove the class file of the invented class to try, with its copies, and no class of the teacher's own
        (InputError).
        """
        file = self.file(name)
        with self._changing:
            if not is_example(file.read().record.roster):
                raise InputError("'{name}' is a class of your own, which the page does not remove", name=name)
            # The copies go as well: what was tried out in an invented class is nobody's past.
            for path in (file.path, *file.backups):
                path.unlink(missing_ok=True)
        self.forget(name)

    def change(self, name: str, verb: Verb, in_sight: bool = False, at_door: bool = False) -> None:
        """Run a quick verb on the locked class file, save what it made, and remember which groups it touched.

        ``in_sight`` says that its words may stand where students look: who is there, and nothing else of anybody;
        ``at_door`` that it was made at the door, where it is taken back without more ado.
        """
        file = self.file(name)
        with self._changing:
            with file.change("") as edit:
                before = edit.record
                record, edit.what = verb(before)
                edit.record = rotations_kept(record, before)
            after = edit.after
            # A tap that changes nothing leaves the words of another change on top, which may be nobody's business.
            if after:
                self._remember(name, before, after, dropped(before, after.record))
                if in_sight:
                    self._in_sight.put((name, after.last), True)
                if at_door:
                    self._at_door.put((name, after.last), True)

    def undo(self, name: str, version: str, check: Check | None = None, again: bool = False) -> str:
        """Take back the last change of the class as the teacher saw it, or do ``again`` what was taken back last. Where
        there is a newer change than the one that led to ``version``, nothing is done (InUseError).
        """
        file = self.file(name)
        with self._changing:
            before = file.read()
            try:
                stepped = (file.redo if again else file.undo)(read_at=version, check=check)
            except InUseError as error:
                if file.read().version == version:  # another program keeps the file busy
                    raise
                # The words of that newer change stay out of it: the refusal may be shown where students look.
                raise InUseError(
                    "nothing was taken back, because there is a newer change; load the page again and look at it"
                ) from error
            self._remember(name, before.record, file.read())
        return stepped.what

    def _remember(self, name: str, before: ClassRecord, after: Snapshot, dropped: Iterable[Said] = ()) -> None:
        was = as_called_in(before, after.record.roster)
        of_requests = tuple(said_here(became_of_requests(was, after.record)))
        marks = marks_between(was, after.record)
        self._touched.put(name, Touched(after.version, marks, tuple(said_here(dropped)), of_requests))

    def touched(self, name: str, version: str) -> Touched:
        """What the change that led to this state of the file touched; nothing where it was made elsewhere."""
        last = self._touched.get(name)
        return last if last is not None and last.version == version else Touched(version)

    def is_in_sight(self, name: str, change: Change | None) -> bool:
        """Whether the words of a change may stand where students look."""
        return change is not None and self._in_sight.get((name, change)) is True

    def is_of_door(self, name: str, change: Change | None) -> bool:
        """Whether a change was made at the door, by this page and as long as it runs."""
        return change is not None and self._at_door.get((name, change)) is True

    def worked_out(self, name: str, version: str, record: ClassRecord, make: Callable[[ClassRecord], T]) -> T:
        """What is made of a class as it stands: worked out once for all windows, as it may take a proof.

        All of it is made by one thread: a solver leaves memory behind in each that it runs in, and the page has many.
        """
        state = (version, tuple(sorted(record.begun.items())))

        def known(before: Made | None) -> Made:
            if before is not None and before[0] == state:
                return before
            return state, self._maker.submit(make, record)

        _, future = self._made.change((name, make.__name__), known)
        return cast("Future[T]", future).result()

    def forget(self, name: str) -> None:
        """Let go of what was made of a class, as what was in it may have been erased."""
        self.proofs.stop(name)
        for of_class, what in self._made.all():
            if of_class == name:
                self._made.take((of_class, what))

    def screen_is_at(self, name: str, lesson: int, place: int, window: str = "") -> None:
        """On a students' screen this round of a lesson is the last that has begun, counted from 1; 0 for none yet.

        ``window`` tells one open screen from another. What has begun is kept in the class file, so that planning leaves
        it, whoever plans; it has not begun after all where the same screen is turned back.
        """
        where = (name, lesson, window[:LONGEST_WINDOW])
        was, _ = self._rounds.get(where) or (place, 0.0)
        self._rounds.put(where, (place, monotonic()))
        if not place and not was:
            return
        with suppress(GrouperError):
            # Only what is new is written, as a screen says every few seconds where it is; and the file is asked each
            # time, as it may have been put back from a copy meanwhile.
            known = self.file(name).read().record.begun_in(lesson)
            running = self.running_round(name, lesson)
            begun = running if place < was else max(running, known)
            if begun != known:
                self.file(name).begin(lesson, begun)

    def begun_round(self, name: str, record: ClassRecord, lesson: int) -> int:
        """The last round of a lesson that has begun, on an open screen or, as it was kept, on one before."""
        kept = record.begun_in(lesson) if any(each.number == lesson for each in record.unit.lessons) else 0
        return max(self.running_round(name, lesson), kept)

    def not_begun(self, name: str, lesson: int) -> None:
        """No round of a lesson has begun, as the screen was only tried."""
        self.file(name).begin(lesson, 0)
        for where in self._rounds.all():
            if where[:2] == (name, lesson):
                self._rounds.take(where)

    def running_round(self, name: str, lesson: int) -> int:
        """The last round that has begun on any students' screen that is still open, 0 where none has."""
        now = monotonic()
        open_still = ((where, place) for where, (place, at) in self._rounds.all().items() if now - at < SILENT)
        return max((place for (*where, _), place in open_still if where == [name, lesson]), default=0)
