"""The page on games speaks of commands and options that there are."""

from __future__ import annotations

import re
from pathlib import Path

from grouper.faces.cli.entry import cli

PAGE = Path(__file__).parents[2] / "docs" / "games.md"


def test_commands_on_the_page_exist_with_their_options() -> None:
    """Every option in a line that begins with a command is one of that command."""
    lines = re.findall(r"^    grouper (\w+)(.*)$", PAGE.read_text(encoding="utf-8"), re.MULTILINE)
    assert len(lines) > 10
    for name, rest in lines:
        command = cli.get_command(None, name)  # type: ignore[arg-type]
        assert command is not None, name
        known = {option for parameter in command.params for option in parameter.opts}
        assert set(re.findall(r"--[a-z-]+", rest)) <= known, (name, rest)
