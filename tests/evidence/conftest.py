"""Settings for these tests."""

from __future__ import annotations

import pytest

from grouper.engines import proof
from grouper.model.record import ClassRecord

from .classes import invented_class


@pytest.fixture(autouse=True)
def short_proofs(monkeypatch: pytest.MonkeyPatch) -> None:
    """Exact proofs take seconds each; here they are of small classes alone. Bounds must hold all the same."""
    monkeypatch.setattr(proof, "MOST_TEAMS", 500)
    monkeypatch.setattr(proof, "EFFORT", 0.02)


@pytest.fixture
def record() -> ClassRecord:
    """A class in the middle of its unit."""
    return invented_class()
