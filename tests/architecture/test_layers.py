"""The layer table: imports only look down, and what a layer must not know it does not import."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import grouper

ROOT = Path(grouper.__file__).parent
SOURCES = sorted(path for path in ROOT.rglob("*.py"))

MAY_IMPORT = {
    "words": {"words"},
    "errors": {"words", "errors"},
    "model": {"words", "errors", "model"},
    "rules": {"words", "errors", "model", "rules"},
    "engines": {"words", "errors", "model", "engines", "rules"},
    "planning": {"words", "errors", "model", "rules", "engines", "planning"},
    "games": {"words", "errors", "model", "rules", "engines", "games", "planning"},
    "learning": {"words", "errors", "model", "games", "planning", "learning"},
    "tasks": {"words", "errors", "model", "engines", "games", "planning", "learning", "tasks"},
    "privacy": {"words", "errors", "model", "rules", "planning", "privacy"},
    "files": {"words", "errors", "model", "privacy", "files"},
    "faces": {
        "words",
        "errors",
        "model",
        "rules",
        "engines",
        "planning",
        "games",
        "learning",
        "tasks",
        "privacy",
        "files",
        "faces",
        "grouper",
    },
    "__main__": {"faces"},
}
"""Which of our own layers a layer may import; the table of the design, with words and errors beside the model."""

SOLVERS = {"ortools", "networkx"}
TABLES = {"pandas", "openpyxl", "sqlite3"}

NEVER_IMPORT = {
    "rules": SOLVERS | TABLES | {"numpy"},
    "engines": TABLES | {"click", "jinja2"},
    "planning": SOLVERS | TABLES | {"click", "jinja2"},
    "games": TABLES | {"click", "jinja2"},
    "learning": SOLVERS | TABLES | {"click", "jinja2"},
    "tasks": SOLVERS | TABLES | {"click", "jinja2"},
    "privacy": SOLVERS | TABLES | {"click", "jinja2"},
    "files": SOLVERS | {"click", "jinja2"},
}

VOCABULARY = {"grouper.rules.terms"}
"""What engines may know of rules: the terms, and the levels that terms name."""

FACES_THAT_STAND_ALONE = {"cli", "sheets", "page"}


@cache
def tree(path: Path) -> ast.Module:
    """A file as Python reads it, read once for all that is asked of it."""
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def imports(path: Path) -> tuple[str, ...]:
    """Every module that a file imports, anywhere in it, by its full name."""
    return tuple(_imports(path))


def _imports(path: Path) -> Iterator[str]:
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: write imports in full"
            names = (f"{node.module}.{alias.name}" for alias in node.names)
            yield from (name if _is_module(name) else str(node.module) for name in names)


def _is_module(name: str) -> bool:
    place = ROOT.parent.joinpath(*name.split("."))
    return name.startswith("grouper.") and (place.is_dir() or place.with_suffix(".py").is_file())


def layer(module: str) -> str:
    parts = module.split(".")
    return parts[1] if len(parts) > 1 else parts[0]


def ours(path: Path) -> str:
    return layer(".".join(path.relative_to(ROOT.parent).with_suffix("").parts))


def in_layer(name: str) -> list[Path]:
    return [path for path in SOURCES if path != ROOT / "__init__.py" and ours(path) == name]


def wrong(files: list[Path], allowed) -> list[str]:  # type: ignore[no-untyped-def]
    found = ((path, module) for path in files for module in imports(path))
    return [f"{path.relative_to(ROOT)} imports {module}" for path, module in found if not allowed(module)]


def test_every_file_belongs_to_a_layer() -> None:
    """There is no drawer beside the layers."""
    assert {ours(path) for path in SOURCES if path != ROOT / "__init__.py"} <= set(MAY_IMPORT)


@pytest.mark.parametrize("name", MAY_IMPORT)
def test_layer_only_looks_down(name: str) -> None:
    """Of our own modules a layer imports those of the layers below it, and its own."""

    def allowed(module: str) -> bool:
        return not module.startswith("grouper") or layer(module) in MAY_IMPORT[name]

    assert wrong(in_layer(name), allowed) == []


@pytest.mark.parametrize("name", ["words", "errors", "model", "rules"])
def test_facts_and_wishes_need_the_standard_library_only(name: str) -> None:
    """Words, errors, model and rules import nothing that has to be installed."""

    def allowed(module: str) -> bool:
        return module.split(".")[0] in {*sys.stdlib_module_names, "grouper"}

    assert wrong(in_layer(name), allowed) == []


@pytest.mark.parametrize("name", NEVER_IMPORT)
def test_layer_does_without(name: str) -> None:
    """Rules know no arrays, files no solvers, planning no solver but through an engine, and none but faces talks."""
    assert wrong(in_layer(name), lambda module: module.split(".")[0] not in NEVER_IMPORT[name]) == []


def test_engines_know_terms_and_no_rule() -> None:
    """Of the rules engines import the vocabulary alone."""

    def allowed(module: str) -> bool:
        return not module.startswith("grouper.rules") or module in VOCABULARY

    assert wrong(in_layer("engines"), allowed) == []


def test_wording_knows_no_view() -> None:
    """Views put their words in it, so that the two do not lean on each other."""
    files = [path for path in in_layer("faces") if path.parent.name == "wording"]
    assert files and wrong(files, lambda module: not module.startswith("grouper.faces.views")) == []


def test_games_and_planning_meet_in_the_model_or_below() -> None:
    """Planning does not import games."""
    assert wrong(in_layer("planning"), lambda module: layer(module) != "games") == []


DOORS = (
    "grouper.faces.sheets.pages",
    "grouper.faces.sheets.play_sheets",
    "grouper.faces.sheets.report",
    "grouper.faces.page.serve",
)
"""What a command calls to have sheets written, or the page served."""


@pytest.mark.parametrize("face", ["cli", "page", "sheets"])
def test_faces_do_not_import_one_another(face: str) -> None:
    """Commands, sheets and page share views and wording; a command goes in by the doors alone."""
    files = [path for path in in_layer("faces") if path.relative_to(ROOT).parts[1] == face]
    others = tuple(f"grouper.faces.{other}" for other in FACES_THAT_STAND_ALONE - {face})
    assert wrong(files, lambda module: module in DOORS or not module.startswith(others)) == []


@pytest.mark.parametrize("shared", ["views", "wording"])
def test_what_faces_share_imports_no_face(shared: str) -> None:
    """Views and wording look down only."""
    files = [path for path in in_layer("faces") if path.relative_to(ROOT).parts[1] == shared]
    faces = tuple(f"grouper.faces.{face}" for face in FACES_THAT_STAND_ALONE)
    assert files
    assert wrong(files, lambda module: not module.startswith(faces)) == []


def test_packages_only_list_names() -> None:
    """An ``__init__`` holds a docstring, imports, and plain assignments of names and texts."""
    for path in SOURCES:
        if path.name == "__init__.py":
            for node in tree(path).body:
                is_docstring = isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
                is_name = isinstance(node, ast.Assign) and isinstance(node.value, ast.List | ast.Tuple | ast.Constant)
                assert is_docstring or is_name or isinstance(node, ast.ImportFrom), f"{path}: line {node.lineno}"


def test_nothing_below_the_faces_prints() -> None:
    """No call of ``print``; a program of its own (``__main__``) may."""
    for path in SOURCES:
        calls = (node for node in ast.walk(tree(path)) if isinstance(node, ast.Call))
        names = [node.func.id for node in calls if isinstance(node.func, ast.Name)]
        assert "print" not in names or path.name == "__main__.py", path


def test_nothing_checks_with_assert() -> None:
    """What a user can break raises one of our errors; there is no assert in the package."""
    for path in SOURCES:
        assert not any(isinstance(node, ast.Assert) for node in ast.walk(tree(path))), path


def test_no_two_modules_import_each_other() -> None:
    """There is no ring of imports, those within functions included."""
    names = {".".join(path.relative_to(ROOT.parent).with_suffix("").parts): path for path in SOURCES}
    edges = {name: {m for m in imports(path) if m in names and m != name} for name, path in names.items()}
    while edges:
        free = [name for name, needed in edges.items() if not needed & edges.keys()]
        assert free, f"in rings or above them: {sorted(edges)}"
        for name in free:
            del edges[name]
