"""A folder of class files planned by one command."""

from __future__ import annotations

from pathlib import Path

from builders import apart, class_of, pairs

from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord

from .shell import grouper


def folder_of(path: Path, **classes: ClassRecord) -> Path:
    for name, record in classes.items():
        ClassFile(path / f"{name}.class").create(record, "made")
    return path


def test_every_class_of_a_folder_is_planned(tmp_path: Path) -> None:
    """Two class files get plans, as one change each that can be undone."""
    folder = folder_of(tmp_path, a=class_of(8, pairs(2)), b=class_of(9, pairs()))
    said = grouper("school", folder, "--jobs", 2, "--effort", "quick")
    assert said.out.splitlines() == ["a.class: planned", "b.class: planned", "2 of 2 classes planned."]
    assert [len(ClassFile(folder / f"{name}.class").read().record.plan.rounds) for name in "ab"] == [2, 1]
    grouper("undo", folder / "a.class")
    assert not ClassFile(folder / "a.class").read().record.plan.rounds


def test_one_class_without_a_plan_stops_no_other(tmp_path: Path) -> None:
    """The class whose requests clash stays as it is and is named with the reason; the exit status says so."""
    lonely = class_of(6, pairs(), requests=[apart("s01", f"s{other:02}") for other in range(2, 7)])
    folder = folder_of(tmp_path, a=lonely, b=class_of(8, pairs()))
    said = grouper("school", folder, "--effort", "quick", status=3)
    assert "b.class: planned\n1 of 2 classes planned." in said.out
    assert said.err.startswith("a.class:\n") and "kept apart" in said.err
    assert not ClassFile(folder / "a.class").read().record.plan.rounds


def test_folder_without_class_files_is_told(tmp_path: Path) -> None:
    """It says what names it looked for."""
    assert ".class" in grouper("school", tmp_path, status=2).err
