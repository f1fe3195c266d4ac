"""What is handed on: the wheel and the source archive, built from the files alone."""

from __future__ import annotations

import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Both, built without network by the builder that pyproject.toml names."""
    out = tmp_path_factory.mktemp("dist")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-d", str(out)], cwd=ROOT, check=True, capture_output=True
    )
    return out


def test_wheel_has_all_that_runs(built: Path) -> None:
    """Every file of the package and the demo, and nothing of the tests."""
    (wheel,) = built.glob("*.whl")
    inside = set(zipfile.ZipFile(wheel).namelist())
    files = (path for path in (ROOT / "grouper").rglob("*") if path.is_file() and "__pycache__" not in path.parts)
    assert {path.relative_to(ROOT).as_posix() for path in files} <= inside
    assert "grouper/rosters_demo/odd/roster.csv" in inside
    assert not any(name.startswith("tests/") for name in inside)


def test_wheel_runs_from_itself(built: Path, tmp_path: Path) -> None:
    """Unpacked into an empty folder it plans the demo; nothing of the checkout is needed."""
    (wheel,) = built.glob("*.whl")
    zipfile.ZipFile(wheel).extractall(tmp_path / "here")
    code = "import grouper; from grouper.faces.cli.entry import main; print(grouper.__file__); main(['--version'])"
    said = subprocess.run(
        [sys.executable, "-c", code],
        cwd=tmp_path,
        env={"PYTHONPATH": str(tmp_path / "here")},
        capture_output=True,
        text=True,
        check=True,
    )
    assert str(tmp_path / "here") in said.stdout
    assert "grouper" in said.stdout


def test_source_archive_builds_again(built: Path) -> None:
    """It holds what the build reads: the settings, the package, the demo, the documents."""
    (archive,) = built.glob("*.tar.gz")
    with tarfile.open(archive) as opened:
        names = {name.partition("/")[2] for name in opened.getnames()}
    assert {
        "pyproject.toml",
        "README.md",
        "DEVELOPERS.md",
        "grouper/__init__.py",
        "rosters_demo/odd/roster.csv",
    } <= names
