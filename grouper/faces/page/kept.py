"""What the page keeps while it runs and writes to no file: clocks of lessons, and plans in the making.

All windows share a clock: wall, laptop, phones. A window that turns it tells how it is then, and which state it knew
before. Whoever knew an older one is not heard, and is told the newer: of two thumbs on 'Next' at once one counts, and
no round is passed over. Plans are made in threads of their own, watched and stopped by the page, taken or left.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field, replace
from itertools import count
from threading import Lock, Thread
from time import monotonic, time
from typing import Any, Generic, TypeVar

from grouper.errors import GrouperError, InputError, InUseError, OurBugError
from grouper.faces.views.students import Scene, screen_view
from grouper.files.store import ClassFile, Snapshot
from grouper.model.record import ClassRecord
from grouper.model.request import Settings
from grouper.planning.fairness import Fairness, fairness_of
from grouper.planning.plan import plan_unit

K = TypeVar("K")
V = TypeVar("V")


class Kept(Generic[K, V]):
    """Things by their key, of which the one that was put longest ago is forgotten when there are more than ``most``."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._things: OrderedDict[K, V] = OrderedDict()
        self._lock = Lock()

    def put(self, key: K, thing: V) -> None:
        with self._lock:
            self._put(key, thing)

    def change(self, key: K, change: Callable[[V | None], V]) -> V:
        """Put in the place of a thing, or of none, what is made of it, with nobody in between; it is returned."""
        with self._lock:
            made = change(self._things.get(key))
            self._put(key, made)
            return made

    def _put(self, key: K, thing: V) -> None:
        self._things[key] = thing
        self._things.move_to_end(key)
        while len(self._things) > self._most:
            self._things.popitem(last=False)

    def get(self, key: K) -> V | None:
        with self._lock:
            return self._things.get(key)

    def take(self, key: K) -> V | None:
        """The thing with this key, or None; it is kept no longer, so that of several who ask one gets it."""
        with self._lock:
            return self._things.pop(key, None)

    def all(self) -> dict[K, V]:
        with self._lock:
            return dict(self._things)


MOST_CLOCKS = 100
A_LESSON = 3 * 3600.0
"""Seconds after the last turn in which a lesson is over: opened anew the next day it starts anew."""

LONGEST_KEY = 60
FAR = 10**14
"""Milliseconds that no time of day has for some thousand years."""


@dataclass(frozen=True)
class Clock:
    """How the clock of a lesson stands; ``serial`` grows with every turn, and is 0 where nobody has turned it.

    ``key`` and ``round`` say which scene is shown. ``end`` is the time of day in ms at which it is over while the clock
    runs, ``left`` the ms left while it stands, None where the scene has no length; ``ended`` says that the lesson is.
    """

    serial: int = 0
    key: str = ""
    round: str = ""
    end: int | None = None
    left: int | None = None
    ended: bool = False

    @staticmethod
    def told(fields: Mapping[str, str]) -> Clock:
        """What a window tells; ``serial`` is the one that it knew."""
        key, round_ = fields.get("key", "")[:LONGEST_KEY], fields.get("round", "")[:LONGEST_KEY]
        end, left = _whole(fields.get("end", "")), _whole(fields.get("left", ""))
        return Clock(_whole(fields.get("serial", "")) or 0, key, round_, end, left, fields.get("ended") == "true")


def _whole(text: str) -> int | None:
    return min(int(text), FAR) if text.isdecimal() and text.isascii() and len(text) < 16 else None


class Clocks:
    """The clocks of lessons, by class and lesson."""

    def __init__(self) -> None:
        self._clocks: Kept[tuple[str, int], tuple[Clock, float]] = Kept(MOST_CLOCKS)

    def of(self, name: str, lesson: int) -> dict[str, Any]:
        """How a clock stands, with the time of day here, as other machines have another."""
        return _clock_said(_still(self._clocks.get((name, lesson))))

    def turn(self, name: str, lesson: int, told: Clock) -> dict[str, Any]:
        """How a clock stands after what a window told; ``taken`` says whether that was heard."""

        def turned(kept: tuple[Clock, float] | None) -> tuple[Clock, float]:
            before = _still(kept)
            if told.serial != before.serial:
                return kept or (before, monotonic())
            return replace(told, serial=before.serial + 1), monotonic()

        now = _still(self._clocks.change((name, lesson), turned))
        return {**_clock_said(now), "taken": now == replace(told, serial=told.serial + 1)}


def _still(kept: tuple[Clock, float] | None) -> Clock:
    return kept[0] if kept and monotonic() - kept[1] < A_LESSON else Clock()


def _clock_said(clock: Clock) -> dict[str, Any]:
    return {**asdict(clock), "now": int(1000 * time())}


def scenes_of(record: ClassRecord, lesson: int) -> tuple[Scene, ...]:
    """What the clock goes through in a lesson; nothing where there are no groups, or where it is over."""
    try:
        return () if lesson in record.taught else screen_view(record, lesson).scenes
    except GrouperError:
        return ()


MOST_CLASSES = 50
KEPT = 4
"""How many proposals of a class are kept beside its plan; the oldest goes first."""


@dataclass(frozen=True)
class Asked:
    """What a plan was asked for with: ``seed`` None for the class's own."""

    effort: str = "usual"
    settings: Settings = field(default_factory=Settings)
    seed: int | None = None


@dataclass(frozen=True)
class Proposal:
    """A plan that may be taken; ``version`` is the state of the class file that it was made from."""

    number: int
    asked: Asked
    record: ClassRecord
    version: str
    fairness: Fairness
    stopped: bool = False


@dataclass
class Run:
    """One plan in the making. ``state`` goes from ``running`` to ``done``, ``taken`` or ``failed``.

    ``cost`` is None until there are groups that keep all that must hold.
    """

    number: int
    asked: Asked
    start: Snapshot
    state: str = "running"
    share: float = 0.0
    cost: float | None = None
    trouble: GrouperError | None = None
    proposal: Proposal | None = None
    stop: bool = False

    def watch(self, share: float, cost: float) -> bool:
        """Note how far the search has come; answers whether to go on."""
        self.share, self.cost = max(self.share, share), cost
        return not self.stop


class Proposals:
    """The runs and proposals of all classes, by the name of the class file."""

    def __init__(self) -> None:
        self._runs: Kept[str, Run] = Kept(MOST_CLASSES)
        self._kept: Kept[str, tuple[Proposal, ...]] = Kept(MOST_CLASSES)
        self._numbers = count(1)

    def run_of(self, name: str) -> Run | None:
        """The last run of a class, over or not."""
        return self._runs.get(name)

    def of(self, name: str, version: str) -> tuple[Proposal, ...]:
        """The proposals that still fit a class as it stands; others are forgotten."""
        return self._kept.change(name, lambda kept: tuple(p for p in kept or () if p.version == version))

    def chosen(self, name: str, number: int) -> Proposal:
        """A proposal by its number (InputError where it is gone)."""
        found = next((p for p in self._kept.get(name) or () if p.number == number), None)
        if found is None:
            raise InputError("this proposal is no longer there, because the class was changed since; plan again")
        return found

    def begin(self, name: str, file: ClassFile, asked: Asked) -> Run:
        """Start planning (InUseError where a plan for the class is in the making)."""
        run = Run(next(self._numbers), asked, file.read())

        def begun(before: Run | None) -> Run:
            if before is not None and before.state == "running":
                raise InUseError("this class is being planned already; wait for it or stop it")
            return run

        self._runs.change(name, begun)
        Thread(target=self._work, args=(name, file, run), daemon=True).start()
        return run

    def _work(self, name: str, file: ClassFile, run: Run) -> None:
        asked, start = run.asked, run.start
        try:
            outcome = plan_unit(start.record, asked.seed, asked.effort, asked.settings, run.watch)
            fairness = fairness_of(outcome.record)
            made = Proposal(run.number, asked, outcome.record, start.version, fairness, outcome.stopped)
            run.proposal = made
            if start.record.plan.rounds:
                self._kept.change(name, lambda kept: (*(kept or ()), made)[-KEPT:])
                run.state = "done"
            else:  # a first plan has nothing to be compared with
                file.save(outcome.record, "first plan", read_at=start.version)
                run.state = "taken"
        except GrouperError as error:
            run.trouble, run.state = error, "failed"
        except Exception as error:
            run.trouble = OurBugError("planning broke off: {error}; nothing was changed", error=error)
            run.state = "failed"
            # The page says that planning broke off, the terminal where.
            raise

    def stop(self, name: str) -> None:
        run = self._runs.get(name)
        if run is not None:
            run.stop = True

    def take(self, name: str, number: int, file: ClassFile) -> None:
        """Put a proposal in the place of the class's plan (InputError where it is there no more, InUseError where the
        class was changed since).
        """
        chosen = self.chosen(name, number)
        file.save(chosen.record, "plan", read_at=chosen.version)
        self._kept.put(name, ())
