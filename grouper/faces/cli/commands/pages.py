"""The page in the browser, and a starter on the desktop, so that nobody needs a terminal after the first minute.

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
from typing import TYPE_CHECKING

import click

from grouper.errors import InputError

if TYPE_CHECKING:
    from grouper.faces.page.serve import WayIn

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


@click.command()
@click.argument("class_path", metavar="[CLASS]", type=click.Path(path_type=Path), required=False)
@click.option("--port", type=click.IntRange(0, 65535), metavar="N", help="Where to listen; any free one if left out.")
@click.option("--no-browser", is_flag=True, help="Print the address and open nothing.")
@click.option("--phone", is_flag=True, help="Let your own phone or tablet come in over the local network.")
@click.option("--phone-at", metavar="ADDRESS", default="", help="The address of this machine for it, of several.")
@click.option("--make-shortcut", is_flag=True, help="Put a starter for this on the desktop, and open nothing.")
def page_command(
    class_path: Path | None, port: int | None, no_browser: bool, phone: bool, phone_at: str, make_shortcut: bool
) -> None:
    """Open the page in the browser: served by this machine to this machine alone, until it is stopped with Ctrl+C.

    Without CLASS it shows the class files of this folder, and makes new ones. The first line printed is the address;
    whoever has it can use the page while it runs. It lets one browser in, once; then another is printed.

    With --phone your own phone can come in too, once you have picked the word that stands on it: docs/phone.md.
    """
    if make_shortcut:
        _on_the_desktop(class_path)
        return
    from grouper.faces.page.serve import PhonesWished, serve_page

    words = iter(["Keep this window open while you use the page; Ctrl+C stops it."])

    def announce(address: str) -> None:
        said = next(words, "")
        if not said:
            click.echo("For another browser:")
        click.echo(address)
        if said:
            click.echo(said)

    phones = PhonesWished(phone_at, _for_phones) if phone or phone_at else None
    serve_page(class_path, port, announce, None if no_browser else _show, phones)


def _for_phones(way: WayIn | None) -> None:
    """How a phone comes in, with a code to scan on a terminal; another is printed when it was used."""
    if way is None:
        click.echo("This machine is in several networks, or in none; choose one on the page, under Phones.")
        return
    click.echo(f"Phones come in at {way.host}; fingerprint of the certificate (SHA-256):\n{way.fingerprint}")
    click.echo(f"For your phone: {way.link}")
    if sys.stdout.isatty():
        click.echo(way.drawn)
    click.echo("Good for one phone and ten minutes; the page shows a newer one, under Phones.")


def _show(file: Path) -> None:
    """Open a file in the browser, which may take its time, or never come back before it is closed."""
    import webbrowser
    from threading import Thread

    def opened() -> None:
        if not webbrowser.open(file.as_uri()):
            click.echo("No browser was found; open the address above yourself.", err=True)

    Thread(target=opened, daemon=True).start()


def _on_the_desktop(class_path: Path | None) -> None:
    folder = Path.cwd() if class_path is None else class_path if class_path.is_dir() else class_path.absolute().parent
    click.echo(f"{make_shortcut(folder)} opens the classes in {folder.absolute()}; delete it to take it away.")
