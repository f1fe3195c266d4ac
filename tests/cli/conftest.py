"""Settings for these tests."""

from __future__ import annotations

import pytest

from grouper.engines import proof


@pytest.fixture(autouse=True)
def short_proofs(monkeypatch: pytest.MonkeyPatch) -> None:
    """Exact proofs take seconds each; here they are short, and of small classes. Bounds must hold all the same."""
    monkeypatch.setattr(proof, "MOST_TEAMS", 500)
    monkeypatch.setattr(proof, "EFFORT", 0.02)
