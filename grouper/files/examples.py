"""The students of the template's example rows: left out as soon as a roster has others."""

from __future__ import annotations

EXAMPLE_IDS = ("example-1", "example-2")
