"""Many classes planned side by side, on executors of three kinds."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from typing import Any

import pytest
from builders import apart, class_of, pairs

from grouper.errors import ImpossibleError
from grouper.model.record import ClassRecord
from grouper.planning.plan import plan_unit
from grouper.planning.several import plan_school


class LastFirst(Executor):
    """As a cluster might: it knows nothing but submit, and what is submitted last is done first."""

    def __init__(self) -> None:
        self.waiting: list[Callable[[], None]] = []

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        future = _Asked(self)
        self.waiting.append(lambda: future.set_result(fn(*args, **kwargs)))
        return future

    def work(self) -> None:
        while self.waiting:
            self.waiting.pop()()


class _Asked(Future[Any]):
    def __init__(self, executor: LastFirst) -> None:
        super().__init__()
        self.executor = executor

    def result(self, timeout: float | None = None) -> Any:
        self.executor.work()
        return super().result(timeout)


def impossible() -> ClassRecord:
    """Six in pairs, of whom one may work with nobody."""
    return class_of(6, pairs(), requests=[apart("s01", f"s{other:02}") for other in range(2, 7)])


def school() -> list[ClassRecord]:
    return [class_of(8, pairs(2)), impossible(), class_of(9, pairs(3)), class_of(7, pairs())]


EXECUTORS = (lambda: ThreadPoolExecutor(2), lambda: ProcessPoolExecutor(2), LastFirst)


@pytest.mark.parametrize("make", EXECUTORS, ids=("threads", "processes", "home-made"))
def test_plans_are_those_of_each_class_alone(make: Callable[[], Executor]) -> None:
    """In the order of the classes, each gets the plan that it gets by itself; the one that has none stops nobody."""
    with make() as executor:
        answers = plan_school(school(), executor, seed=3, effort="quick")
    assert [answer.outcome is None for answer in answers] == [False, True, False, False]
    for record, answer in zip(school(), answers, strict=True):
        if answer.outcome is not None:
            assert answer.outcome.plan == plan_unit(record, 3, "quick").plan


@pytest.mark.parametrize("make", EXECUTORS, ids=("threads", "processes", "home-made"))
def test_refusal_tells_why(make: Callable[[], Executor]) -> None:
    """The error comes back whole, the clash included, even from another process."""
    with make() as executor:
        (answer,) = plan_school([impossible()], executor, effort="quick")
    assert isinstance(answer.refusal, ImpossibleError)
    assert len(answer.refusal.clash) == 5 and answer.refusal.smallest


def test_faults_that_are_not_ours_are_not_hidden() -> None:
    """An error of Python within a job is raised where the plans are asked for."""

    class Broken(LastFirst):
        def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
            future: Future[Any] = Future()
            future.set_exception(OSError("the cluster is gone"))
            return future

    with pytest.raises(OSError, match="cluster"):
        plan_school([class_of(4, pairs())], Broken())


def test_importing_it_loads_no_solver() -> None:
    """A worker that plans ordinary classes never loads OR-Tools."""
    program = "import sys, grouper.planning.several; print('ortools' in sys.modules)"
    run = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "False"
