"""What is quoted from memory is listed on one page, so that somebody with the sources at hand can check it."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs" / "quality" / "from_memory.md"


def test_what_is_from_memory_has_a_row() -> None:
    """Each file that says so is named there, and no other."""
    says_so = {
        path.relative_to(ROOT).as_posix()
        for folder in ("grouper", "tests")
        for path in (ROOT / folder).rglob("*.py")
        if path != Path(__file__) and "from memory" in path.read_text(encoding="utf-8")
    }
    rows = [line for line in PAGE.read_text(encoding="utf-8").splitlines() if line.startswith("| `")]
    named = {file for row in rows for file in re.findall(r"`([^`]+)`", row.split("|")[1])}
    assert named == says_so
