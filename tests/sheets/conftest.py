"""Settings for these tests."""

from __future__ import annotations

from tests.privacy.conftest import record

__all__ = ["record"]
