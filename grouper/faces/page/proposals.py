"""Plans in the making: each in a thread of its own, watched and stopped by the page, taken or left by the teacher."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import count
from threading import Thread

from grouper.errors import GrouperError, InputError, InUseError, OurBugError
from grouper.faces.page.kept import Kept
from grouper.files.store import ClassFile, Snapshot
from grouper.model.record import ClassRecord
from grouper.model.request import Settings
from grouper.planning.fairness import Fairness, fairness_of
from grouper.planning.plan import plan_unit

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
        """Start planning.

        Raises
        ------
        InUseError
            A plan for the class is in the making.
        """
        run = Run(next(self._numbers), asked, file.read())

        def begun(before: Run | None) -> Run:
            if before is not None and before.state == "running":
                raise InUseError("a plan for this class is in the making; wait for it or stop it")
            return run

        self._runs.change(name, begun)
        Thread(target=self._work, args=(name, file, run), daemon=True).start()
        return run

    def _work(self, name: str, file: ClassFile, run: Run) -> None:
        try:
            run.state = self._plan(name, file, run)
        except GrouperError as error:
            run.trouble, run.state = error, "failed"
        except Exception as error:
            run.trouble = OurBugError(f"planning broke off: {error}; nothing was changed")
            run.state = "failed"
            raise

    def _plan(self, name: str, file: ClassFile, run: Run) -> str:
        asked, start = run.asked, run.start
        outcome = plan_unit(start.record, asked.seed, asked.effort, asked.settings, run.watch)
        fairness = fairness_of(outcome.record)
        run.proposal = Proposal(run.number, asked, outcome.record, start.version, fairness, outcome.stopped)
        if not start.record.plan.rounds:
            file.save(outcome.record, "first plan", read_at=start.version)
            return "taken"
        made = run.proposal
        self._kept.change(name, lambda kept: (*(kept or ()), made)[-KEPT:])
        return "done"

    def stop(self, name: str) -> None:
        """Tell a run to end with the best that it has."""
        run = self._runs.get(name)
        if run is not None:
            run.stop = True

    def take(self, name: str, number: int, file: ClassFile) -> None:
        """Put a proposal in the place of the class's plan.

        Raises
        ------
        InputError
            There is no such proposal any more.
        InUseError
            The class was changed since the proposal was made.
        """
        chosen = self.chosen(name, number)
        file.save(chosen.record, "plan", read_at=chosen.version)
        self._kept.put(name, ())
