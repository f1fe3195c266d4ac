"""The starter on the desktop: read back by the rules of its system, and started for real on Linux."""

from __future__ import annotations

import configparser
import subprocess
import sys
from pathlib import Path

import pytest

from cli.shell import grouper
from grouper.errors import InputError
from grouper.faces.cli.commands.pages import desktop_of, make_shortcut, starter_for

ODD = "Année 7 %d $HOME `x` \"q\" \\ 'b'"


def arguments(entry: str) -> list[str]:
    """The arguments of an Exec key, read as the specification says.

    The escapes of values first, then double quotes, in which a backslash goes before the same four signs as in a POSIX
    shell, so that a shell reads them here; then per cents.
    """
    parser = configparser.RawConfigParser()
    parser.read_string(entry)
    value = parser["Desktop Entry"]["exec"]
    plain = value.replace("\\\\", "\0").replace("\\n", "\n").replace("\\t", "\t").replace("\0", "\\")
    script = f"for word in {plain}; do printf '%s\\n' \"$word\"; done"
    words = subprocess.run(["sh", "-c", script], capture_output=True, text=True, check=True).stdout.splitlines()
    return [word.replace("%%", "%") for word in words]


@pytest.mark.parametrize("python", ["/usr/bin/python3", f"/opt/{ODD}/python"])
def test_linux_entry_runs_what_it_should(python: str) -> None:
    """Whatever signs stand in the path, the arguments that come out are those that went in."""
    starter = starter_for("linux", python, "/home/somebody/classes")
    found = arguments(starter.text)
    assert found[0] == python and found[1] == "-c" and found[3:] == ["page"]
    assert "Terminal=true" in starter.text and starter.runs


def test_mac_script_is_read_by_a_shell(tmp_path: Path) -> None:
    """A POSIX shell changes to the folder and runs the words as they are, odd signs and all."""
    folder = tmp_path / ODD.replace("/", "")
    folder.mkdir()
    starter = starter_for("darwin", "echo", folder)
    (tmp_path / "s").write_text(starter.text, encoding="utf-8")
    said = subprocess.run(["sh", str(tmp_path / "s")], capture_output=True, text=True, check=True)
    assert said.stdout.startswith("-c from grouper")
    assert starter.name == "grouper.command" and starter.runs


def test_windows_file_by_its_text() -> None:
    """Carriage returns, the folder in quotation marks, per cent signs doubled (cmd's rules, from memory; not tried)."""
    text = starter_for("win32", r"C:\Python 3\python.exe", r"C:\Users\a 100%\classes").text
    assert all(line.endswith("\r") for line in text.split("\n")[:-1])
    assert 'cd /d "C:\\Users\\a 100%%\\classes"' in text
    assert '"C:\\Python 3\\python.exe" "-c"' in text


def test_started_from_the_desktop_it_serves(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The entry's own command, in the entry's folder, prints the page's address."""
    (tmp_path / "Desktop").mkdir()
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    monkeypatch.chdir(tmp_path)
    said = grouper("page", "--make-shortcut")
    place = tmp_path / "Desktop" / "grouper.desktop"
    assert str(place) in said.out and place.stat().st_mode & 0o100
    words = [*arguments(place.read_text(encoding="utf-8")), "--no-browser", "--port", "0"]
    process = subprocess.Popen(words, stdout=subprocess.PIPE, text=True, cwd=tmp_path)
    assert process.stdout is not None
    assert process.stdout.readline().startswith("http://127.0.0.1:")
    process.kill()
    process.wait(10)
    assert words[0] == sys.executable


def test_desktop_is_where_the_user_has_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On Linux the desktop may have another name; xdg-user-dirs tells it."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    assert desktop_of("linux") == tmp_path / "Desktop"
    (tmp_path / "user-dirs.dirs").write_text('# a\nXDG_DESKTOP_DIR="$HOME/Schreibtisch"\n', encoding="utf-8")
    assert desktop_of("linux") == tmp_path / "Schreibtisch"


def test_no_desktop_is_said(tmp_path: Path) -> None:
    """Without a desktop nothing is written, and the sentence says what to do."""
    with pytest.raises(InputError, match="no desktop"):
        make_shortcut(tmp_path, tmp_path / "Desktop")
