"""A starter on the desktop, so that nobody needs a terminal after the first minute.

Linux gets a desktop entry (freedesktop.org, Desktop Entry Specification 1.5, sections 'The Exec key' and 'Values'),
Windows a command file, macOS a shell script that Finder opens. Only Linux was tried; the others follow the quoting
rules of cmd and of POSIX shells (from memory) and are tested by their text alone.
"""

from __future__ import annotations

import os
import shlex
import sys
from dataclasses import dataclass
from pathlib import Path

from grouper.errors import InputError

COMMAND = "from grouper.faces.cli.entry import main; main()"


@dataclass(frozen=True)
class Starter:
    """A file to put on the desktop: its name, its text, and whether the system has to be told that it can be run."""

    name: str
    text: str
    runs: bool


def make_shortcut(classes: Path, desktop: Path | None = None, system: str = sys.platform) -> Path:
    """Put a starter for the page on the desktop; where it is comes back. One that is there already is replaced.

    Parameters
    ----------
    classes
        The folder with the class files, in which the page opens.
    desktop
        The folder of the desktop; found out where it is None.
    system
        As ``sys.platform`` has it.

    Raises
    ------
    InputError
        There is no desktop, or it may not be written to.
    """
    starter = starter_for(system, sys.executable, classes.absolute())
    place = (desktop or desktop_of(system)) / starter.name
    if not place.parent.is_dir():
        raise InputError(
            "there is no desktop at {parent}", "make the folder, or start grouper page by hand", parent=place.parent
        )
    try:
        place.write_text(starter.text, encoding="utf-8", newline="")
        place.chmod(0o755 if starter.runs else 0o644)
    except OSError as error:
        raise InputError(
            "{place} cannot be written ({strerror})", "check who may write there", place=place, strerror=error.strerror
        ) from error
    return place


def starter_for(system: str, python: str, folder: Path | str) -> Starter:
    """The starter for a system that opens the page on a folder with this Python."""
    if system.startswith("win"):
        words = " ".join(f'"{_for_cmd(word)}"' for word in (python, "-c", COMMAND, "page"))
        return Starter(
            "grouper.cmd",
            f'@echo off\r\nchcp 65001 >nul\r\ncd /d "{_for_cmd(str(folder))}"\r\n{words}\r\npause\r\n',
            False,
        )
    if system == "darwin":
        words = shlex.join((python, "-c", COMMAND, "page"))
        return Starter("grouper.command", f"#!/bin/sh\ncd {shlex.quote(str(folder))} || exit 1\n{words}\n", True)
    words = " ".join(map(_for_exec, (python, "-c", COMMAND, "page")))
    keys = {
        "Version": "1.5",
        "Type": "Application",
        "Name": "grouper",
        "Comment": "Pairs, teams and rotations",
        "Exec": words,
        "Path": _escaped(str(folder)),
        "Terminal": "true",
    }
    lines = "".join(f"{key}={value}\n" for key, value in keys.items())
    return Starter("grouper.desktop", f"[Desktop Entry]\n{lines}", True)


def _for_cmd(word: str) -> str:
    """In a command file a per cent sign starts a variable; quotation marks cannot stand in a path there."""
    return word.replace("%", "%%")


def _for_exec(word: str) -> str:
    """One argument of an Exec key: in quotation marks, signs that mean something in them escaped, then as a value."""
    quoted = "".join(f"\\{sign}" if sign in '"`$\\' else sign for sign in word).replace("%", "%%")
    return _escaped(f'"{quoted}"')


def _escaped(value: str) -> str:
    return value.replace("\\", "\\\\").replace("\n", "\\n").replace("\t", "\\t").replace("\r", "\\r")


def desktop_of(system: str) -> Path:
    """The folder of the desktop: on Linux as the user's directories name it (xdg-user-dirs), else Desktop at home."""
    home = Path.home()
    if not system.startswith("win") and system != "darwin":
        settings = Path(os.environ.get("XDG_CONFIG_HOME") or home / ".config") / "user-dirs.dirs"
        try:
            lines = settings.read_text(encoding="utf-8").splitlines()
        except OSError:
            lines = []
        for line in lines:
            if line.startswith("XDG_DESKTOP_DIR="):
                return Path(shlex.split(line.partition("=")[2])[0].replace("$HOME", str(home)))
    return home / "Desktop"
