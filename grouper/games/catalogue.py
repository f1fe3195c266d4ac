"""What takes a search and is kept: balanced courts, starters with low carry-over and base rounds of two against two.

``tests/bench/play_catalogue.py`` makes ``catalogue.json``; the tests check what it left there.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

CATALOGUE = Path(__file__).with_name("catalogue.json")


@cache
def catalogued(what: str) -> dict[int, Any]:
    """The entries of one kind (``courts``, ``starters``, ``doubles``) by the number of teams or players."""
    return {int(number): entry for number, entry in json.loads(CATALOGUE.read_text("utf-8"))[what].items()}
