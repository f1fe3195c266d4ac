"""Many classes on a real engine: a dask.distributed cluster of worker processes on the loopback, one killed at work."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from time import sleep

import pytest
from builders import class_of, pairs
from cli.shell import grouper

from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from grouper.planning.plan import plan_unit
from grouper.planning.several import plan_school

pytestmark = pytest.mark.whole_search  # as in the other processes, whose searches nobody shortens


@pytest.fixture(scope="module")
def cluster() -> Iterator[object]:
    """Two workers, each a process of its own, watched by a nanny that starts a dead one anew."""
    import distributed

    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1"
    ) as running:
        yield running


@pytest.fixture(scope="module")
def classes() -> tuple[ClassRecord, ...]:
    """Eight classes of several sizes."""
    return tuple(class_of(people, pairs(3), pairs(3, "Dribbling")) for people in range(9, 17))


def test_same_plans_though_a_worker_dies(cluster: object, classes: tuple[ClassRecord, ...]) -> None:
    """A worker is killed in the middle; every class is planned, and as it is planned alone."""
    import distributed

    with distributed.Client(cluster) as client:
        victim, *_ = client.run(os.getpid).values()
        executor = client.get_executor(pure=False, retries=3)

        def kill_once_at_work() -> None:
            while not any(client.processing().values()):
                sleep(0.01)
            os.kill(victim, signal.SIGKILL)

        with ThreadPoolExecutor(1) as beside:
            killed = beside.submit(kill_once_at_work)
            answers = plan_school(classes, executor, seed=5, effort="quick")
            killed.result(timeout=60)
        assert victim not in client.run(os.getpid).values()
    alone = [plan_unit(record, 5, "quick").plan for record in classes]
    assert [answer.outcome.plan for answer in answers if answer.outcome] == alone


def test_command_plans_on_a_cluster(cluster: object, classes: tuple[ClassRecord, ...], tmp_path: Path) -> None:
    """``grouper school FOLDER --cluster ADDRESS`` saves the plans that it saves without."""
    for folder in ("alone", "cluster"):
        (tmp_path / folder).mkdir()
        for number, record in enumerate(classes[:3]):
            ClassFile(tmp_path / folder / f"{number}.class").create(record, "made")
    address = cluster.scheduler_address  # type: ignore[attr-defined]
    grouper("school", tmp_path / "cluster", "--cluster", address, "--seed", 2, "--effort", "quick")
    grouper("school", tmp_path / "alone", "--seed", 2, "--effort", "quick")
    for number in range(3):
        one, other = (ClassFile(tmp_path / folder / f"{number}.class").read() for folder in ("alone", "cluster"))
        assert one.record.plan == other.record.plan


def test_no_cluster_at_the_address_is_said(
    classes: tuple[ClassRecord, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Exit status 2 with the address, and no class is changed."""
    from grouper.faces.cli.commands import school

    monkeypatch.setattr(school, "CLUSTER_PATIENCE", "1s")
    file = ClassFile(tmp_path / "a.class")
    file.create(classes[0], "made")
    said = grouper("school", tmp_path, "--cluster", "tcp://127.0.0.1:9", status=2)
    assert "tcp://127.0.0.1:9" in said.err
    assert not file.read().record.plan.rounds
