"""Sheets as files: named by lesson, complete or not there."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from builders import apart, class_of, pairs, quick, together

from grouper.errors import InputError
from grouper.faces.sheets.pages import write_sheets
from grouper.files import atomic

from .examples import every_aim

pytestmark = pytest.mark.whole_search  # as in the other processes, whose searches nobody shortens


def put(folder: Path) -> tuple[Path, ...]:
    """The sheets without the table of who moves where: how files are put in place does not depend on it."""
    return write_sheets(every_aim(), 2, folder, if_away=False)


def put_all(folder: Path) -> tuple[Path, ...]:
    """Sheets with everything on them: who moves where, for a class so small that it is soon found, and every aim."""
    nine = quick(class_of(9, pairs(2), requests=[apart("s01", "s02"), together("s04", "s05")]))
    return (*write_sheets(nine, 1, folder), *put(folder))


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, ...]:
    """The sheets with everything on them, in a new folder."""
    return put_all(tmp_path_factory.mktemp("sheets") / "new" / "folder")


def test_two_files_named_by_lesson(tmp_path: Path) -> None:
    """The folder is made, and holds the two sheets and nothing else."""
    wall, teacher = put(tmp_path / "new" / "folder")
    assert (wall.name, teacher.name) == ("lesson-02-wall.html", "lesson-02-teacher.html")
    assert sorted(wall.parent.iterdir()) == sorted((wall, teacher))
    assert "who works with whom" in wall.read_text(encoding="utf-8")
    assert "For you alone" in teacher.read_text(encoding="utf-8")


def test_writing_again_gives_the_same_bytes(whole: tuple[Path, ...]) -> None:
    """Old sheets are put in the place of, not added to."""
    first = [path.read_bytes() for path in whole]
    assert [path.read_bytes() for path in put_all(whole[0].parent)] == first


def test_a_failure_half_way_leaves_the_old_sheets(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the second sheet can't be written the first is not replaced either, and no draft is left lying about."""
    wall, teacher = put(tmp_path)
    wall.write_text("old wall")
    teacher.write_text("old teacher")
    real = atomic._write_through

    def fails_for_the_teacher(part: Path, data: bytes, mode: int) -> None:
        if "teacher" in part.name:
            raise OSError(28, "No space left on device")
        real(part, data, mode)

    monkeypatch.setattr(atomic, "_write_through", fails_for_the_teacher)
    with pytest.raises(InputError, match="No space left on device"):
        put(tmp_path)
    assert (wall.read_text(), teacher.read_text()) == ("old wall", "old teacher")
    assert len(list(tmp_path.iterdir())) == 2


def test_the_teachers_sheet_is_for_its_owner_alone(tmp_path: Path) -> None:
    """Also where one that anybody could read stood there before; the sheet for the wall may be read by everybody."""
    old = os.umask(0o022)
    try:
        wall, teacher = put(tmp_path)
        teacher.chmod(0o644)
        put(tmp_path)
    finally:
        os.umask(old)
    assert (wall.stat().st_mode & 0o777, teacher.stat().st_mode & 0o777) == (0o644, 0o600)


def test_a_folder_that_is_a_file_is_an_error_that_says_so(tmp_path: Path) -> None:
    """What is wrong, and what to try."""
    (tmp_path / "taken").write_text("")
    with pytest.raises(InputError, match="choose another folder"):
        put(tmp_path / "taken")


def test_jinja_is_loaded_only_to_write() -> None:
    """Other commands import views and the writer without paying for templates."""
    code = (
        "import sys, grouper.faces.sheets.pages, grouper.faces.views.teacher_lesson;"
        "sys.exit('jinja2' in sys.modules or 'numpy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize("hash_seed", ["1", "2"])
def test_the_same_bytes_in_any_process(hash_seed: str, whole: tuple[Path, ...], tmp_path: Path) -> None:
    """The order of sets and hashes leaves no trace."""
    tests = Path(__file__).parents[1]
    code = "import sys, pathlib; from sheets.test_write_sheets import put_all; put_all(pathlib.Path(sys.argv[1]))"
    environment = {"PYTHONHASHSEED": hash_seed, "PYTHONPATH": os.pathsep.join((str(tests), str(tests.parent)))}
    subprocess.run([sys.executable, "-c", code, str(tmp_path / "other")], check=True, env=environment)
    assert [path.read_bytes() for path in whole] == [(tmp_path / "other" / path.name).read_bytes() for path in whole]
