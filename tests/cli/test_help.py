"""Help: every command of the table is there, says what it is for, and the list of commands loads none of them."""

from __future__ import annotations

import subprocess
import sys
from importlib import import_module
from pathlib import Path

import click
import pytest

from grouper.faces.cli.entry import COMMANDS, Lazy, cli

from .shell import ROOT, grouper

COMMAND_FILES = Path(__file__).parents[2] / "grouper" / "faces" / "cli" / "commands"


def command(name: str) -> click.Command:
    """The command with this name."""
    assert isinstance(cli, Lazy)
    found = cli.get_command(click.Context(cli), name)
    assert found is not None
    return found


def test_the_table_and_the_files_are_the_same() -> None:
    """No command without its line, no line without its command."""
    modules = [import_module(f"grouper.faces.cli.commands.{path.stem}") for path in COMMAND_FILES.glob("[a-z]*.py")]
    made = [each for module in modules for each in vars(module).values() if isinstance(each, click.Command)]
    assert len(made) == len(COMMANDS)
    assert {id(each) for each in made} == {id(command(name)) for name in COMMANDS}


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_each_command_says_what_it_is_for(name: str) -> None:
    """A docstring, a word on each option, and a page of help that fits a screen."""
    found = command(name)
    assert found.help
    assert found.help.splitlines()[0].endswith((".", ",", ":")) or len(found.help.splitlines()[0]) > 60
    for parameter in found.params:
        if isinstance(parameter, click.Option):
            assert parameter.help, f"{name} {parameter.opts}"
            assert parameter.help.endswith("."), f"{name} {parameter.opts}"
    said = grouper(name, "--help").out
    assert said.startswith(f"Usage: grouper {name} ")
    assert len(said.splitlines()) <= 40


@pytest.mark.parametrize(("name", "line"), sorted(COMMANDS.items()))
def test_the_line_of_a_command_fits(name: str, line: str) -> None:
    """One sentence that stands on one line of a terminal of 80 columns beside the longest name."""
    widest = max(map(len, COMMANDS))
    assert line.endswith(".")
    assert len(line) <= 80 - 2 - widest - 2
    listed = next(row for row in grouper("--help").out.splitlines() if row.split()[:1] == [name])
    assert listed.split(maxsplit=1)[1] == line


def test_the_list_of_commands_loads_none() -> None:
    """``grouper --help`` is quick, as neither a command nor numpy or a solver is imported for it."""
    code = (
        "import sys\nfrom grouper.faces.cli.entry import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit:\n    pass\n"
        "heavy = [m for m in sys.modules if m in ('numpy', 'pandas', 'ortools') or '.commands.' in m]\n"
        "sys.exit(str(heavy) if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], env={"PYTHONPATH": str(ROOT)}, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


def test_repair_needs_neither_pandas_nor_a_solver(tmp_path: Path) -> None:
    """``grouper absent`` imports numpy at most, so that it answers in a blink."""
    from .tables import a_class, activity

    disk = a_class(tmp_path, 8, [activity(1, "pairs", 2), activity(2, "fours", 4)])
    disk.plan()
    code = (
        "import sys\nfrom grouper.faces.cli.entry import main\n"
        f"try:\n    main(['absent', {str(disk.file)!r}, '--lesson', '1', 'k03'])\nexcept SystemExit as end:\n"
        "    assert end.code == 0\n"
        "heavy = [m for m in ('pandas', 'ortools', 'networkx', 'openpyxl', 'jinja2') if m in sys.modules]\n"
        "sys.exit(str(heavy) if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], env={"PYTHONPATH": str(ROOT)}, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


def test_the_command_can_be_called_as_a_module(tmp_path: Path) -> None:
    """Where the folder of commands is not on the path, ``python -m grouper`` is the same command."""
    done = subprocess.run(
        [sys.executable, "-m", "grouper", "--help"],
        cwd=tmp_path,
        env={"PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0
    assert done.stdout.startswith("Usage: grouper ")
