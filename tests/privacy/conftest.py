"""Settings for these tests."""

from __future__ import annotations

import pytest

from grouper.model.record import ClassRecord

from .classes import invented_class


@pytest.fixture
def record() -> ClassRecord:
    """A class in the middle of its unit."""
    return invented_class()
