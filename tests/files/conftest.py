"""Commands run as a teacher types them, for what is written to files; the class is that of the tests of play."""

from __future__ import annotations

from tests.games.conftest import file, run

__all__ = ["file", "run"]
