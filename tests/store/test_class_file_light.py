"""The class file is quick to load, as every quick command starts with it."""

from __future__ import annotations

import subprocess
import sys

HEAVY = {"numpy", "pandas", "networkx", "ortools", "openpyxl", "click", "jinja2"}


def test_nothing_heavy_is_imported() -> None:
    """In a fresh process, the store brings in the standard library and our own modules alone."""
    code = "import sys, grouper.files.store; print(*sorted({name.split('.')[0] for name in sys.modules}))"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert "sqlite3" in said.split()
    assert HEAVY.isdisjoint(said.split())
