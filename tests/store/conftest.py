"""Where the class files of these tests stand: in memory where that is possible, as most are not about the disk."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

_MEMORY = Path("/dev/shm")


@pytest.fixture(scope="session")
def memory() -> str | None:
    """A folder that keeps its files in memory, or None for the usual one."""
    return str(_MEMORY) if _MEMORY.is_dir() else None


@pytest.fixture
def tmp_path(memory: str | None) -> Iterator[Path]:
    """A folder of its own for each test, which goes with it."""
    with tempfile.TemporaryDirectory(dir=memory) as folder:
        yield Path(folder)


@pytest.fixture
def on_disk(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of its own on the disk, for what happens while a command waits for the disk."""
    return tmp_path_factory.mktemp("class-file")
