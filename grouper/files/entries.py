"""Students as they stand in rows, before rows of one student are put together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Entry:
    """What one row says about one student; ``id`` is empty where the file has no ids."""

    row: int
    id: str
    name: str
    ratings: Mapping[str, float] = field(default_factory=dict)
    size_band: str = ""
    availability: str = ""
