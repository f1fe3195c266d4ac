"""Errors and changes are facts; each face tells them in its own words, and none reads another's."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import grouper
from grouper import errors
from grouper.errors import GrouperError, ImpossibleError, InputError, OurBugError, Trouble
from grouper.faces.cli.entry import SECTIONS
from grouper.faces.cli.remedies import COMMANDS, error_lines
from grouper.faces.page.remedies import BUTTONS
from grouper.faces.wording.telling import telling, told
from grouper.words import Remedy, Said

ROOT = Path(grouper.__file__).parent
SOURCES = {str(path.relative_to(ROOT)): path for path in sorted(ROOT.rglob("*.py"))}
BELOW = [name for name in SOURCES if not name.startswith("faces/cli/") and not name.endswith("__main__.py")]
FACES = [name for name in SOURCES if name.startswith("faces/")]

VERBS = {verb for section in SECTIONS.values() for verb in section}
COMMAND = re.compile(rf"\bgrouper (?:{'|'.join(VERBS)}|\{{)(?!\w)|`grouper|(?<![\w-])--[a-z][a-z-]+(?![\w:-])")

TAKES_APART = {
    "split", "rsplit", "partition", "rpartition", "removeprefix", "removesuffix", "replace", "startswith", "endswith",
    "find", "index", "strip", "lstrip", "rstrip", "splitlines",
}  # fmt: skip
SAYS = {"sentence", "message", "text", "what", "when", "summary", "heading"}
"""Attributes that hold what somebody wrote for people to read."""

ERRORS = {name for name, kind in vars(errors).items() if isinstance(kind, type) and issubclass(kind, Exception)}
RAISED = {**dict.fromkeys(ERRORS, slice(2)), "AskFirst": slice(1), "require": slice(1, 3)}
"""What raises an error, and where its text and its remedy are among the arguments."""

WORDING = ("grouper.faces.wording", "grouper.faces.views", "grouper.words")


@cache
def nodes_of(name: str) -> tuple[ast.AST, ...]:
    """All that a module is made of, read once for all that is asked of it."""
    return tuple(ast.walk(ast.parse(SOURCES[name].read_text(encoding="utf-8"))))


def strings(nodes: tuple[ast.AST, ...]) -> Iterator[tuple[int, str]]:
    """All texts of a module with their lines, but for those that stand alone: docstrings and comments on names."""
    alone = {id(node.value) for node in nodes if isinstance(node, ast.Expr)}
    for node in nodes:
        if isinstance(node, ast.JoinedStr):
            pieces = [str(each.value) if isinstance(each, ast.Constant) else "{}" for each in node.values]
            yield node.lineno, "".join(pieces)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in alone:
            yield node.lineno, node.value


@pytest.mark.parametrize("name", BELOW)
def test_only_the_terminal_knows_commands(name: str) -> None:
    """No text of a module below the commands, or of another face, names a command or an option."""
    named = [
        (line, text)
        for line, text in strings(nodes_of(name))
        if COMMAND.search(text) and not _is_style(text)
    ]
    assert not named


def _is_style(text: str) -> bool:
    """Custom properties of CSS are written like options."""
    return ":root" in text or "{ --" in text or "var(--" in text or re.search(r"(mm|em); --", text) is not None


@pytest.mark.parametrize("name", FACES)
def test_no_face_takes_the_words_of_another_apart(name: str) -> None:
    """What was written for people is shown or left out; nothing is decided by a word in it, and no part is cut off."""
    worded = {
        alias.asname or alias.name
        for node in nodes_of(name)
        if isinstance(node, ast.ImportFrom) and str(node.module).startswith(WORDING)
        for alias in node.names
    }
    assert not [ast.unparse(node) for node in nodes_of(name) if _takes_apart(node, worded) or _decides(node)]


def _takes_apart(node: ast.AST, worded: set[str]) -> bool:
    """A method of texts, or a cut, on what a wording function answers, on an error, or on what somebody said."""
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in TAKES_APART:
        return _is_said(node.func.value, worded)
    return isinstance(node, ast.Subscript) and isinstance(node.slice, ast.Slice) and _is_said(node.value, worded)


def _is_said(node: ast.expr, worded: set[str]) -> bool:
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        of_error = node.func.id == "str" and ast.unparse(node.args[0]) in ("error", "trouble")
        return of_error or node.func.id in worded
    return isinstance(node, ast.Attribute) and node.attr in SAYS - {"what"}


def _decides(node: ast.AST) -> bool:
    """A comparison with words in what somebody said."""
    if not isinstance(node, ast.Compare):
        return False
    sides = [node.left, *node.comparators]
    said = any(isinstance(side, ast.Attribute) and side.attr in SAYS for side in sides)
    return said and any(isinstance(side, ast.Constant) and side.value for side in sides)


@pytest.mark.parametrize("name", SOURCES)
def test_errors_are_raised_with_facts(name: str) -> None:
    """The text of an error is the same whatever it is about, and so is what to try; the facts are given by name."""
    assert not list(_put_together(nodes_of(name)))


def _put_together(nodes: tuple[ast.AST, ...]) -> Iterator[str]:
    """The errors of a module whose text or remedy is made of pieces, there or in a name that is given them anywhere."""
    pieced = {
        target.id
        for node in nodes
        if isinstance(node, ast.Assign) and _is_pieced(node.value)
        for target in node.targets
        if isinstance(target, ast.Name)
    }
    for node in nodes:
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in RAISED:
            said = node.args[RAISED[node.func.id]]
            if any(_is_pieced(each) or (isinstance(each, ast.Name) and each.id in pieced) for each in said):
                yield ast.unparse(node)


def _is_pieced(node: ast.expr) -> bool:
    """Whether a text is put together of others: in braces, by a sign, by ``format`` or ``join``."""
    return any(
        isinstance(part, ast.JoinedStr | ast.BinOp)
        or (
            isinstance(part, ast.Call) and isinstance(part.func, ast.Attribute) and part.func.attr in ("format", "join")
        )
        for part in ast.walk(node)
    )


@pytest.mark.parametrize("template", sorted(ROOT.rglob("*.html")), ids=lambda path: path.name)
def test_no_template_names_a_command(template: Path) -> None:
    """What is read in a browser or on paper speaks of buttons and of what to do, never of a terminal."""
    text = re.sub(r"<style.*?</style>|\bstyle=\"[^\"]*\"", "", template.read_text(encoding="utf-8"), flags=re.DOTALL)
    assert not COMMAND.findall(text)


@pytest.mark.parametrize("face", [COMMANDS, BUTTONS])
def test_a_face_has_words_for_every_remedy(face: dict[Remedy, str]) -> None:
    """Whatever can be done about something, each face says how, in words of its own."""
    assert set(face) == set(Remedy)
    assert all(text and not text.endswith(".") for text in face.values())


def test_the_page_names_no_command() -> None:
    """Whoever reads the page may have no terminal."""
    assert not [text for text in BUTTONS.values() if COMMAND.search(text)]


def test_one_error_told_by_two_faces() -> None:
    """The facts are the same; what to do is said by each face."""
    error = InputError("lesson {lesson} has {last} rounds", Remedy.CHOOSE_ROUND, lesson=3, last=2)
    assert error.facts == {"lesson": 3, "last": 2} and error.said.remedy is Remedy.CHOOSE_ROUND
    assert list(error_lines(error)) == ["grouper: lesson 3 has 2 rounds; say which one: --round 1 to --round 2"]
    assert telling(error, BUTTONS).first == "lesson 3 has 2 rounds; choose one"


def test_what_belongs_to_an_error_comes_apart_from_it() -> None:
    """A face need not cut a line to get at a clash, or at how things stand."""
    clash = ImpossibleError("this cannot all be met", clash=("Ana and Ben are to be together", "Ana - Ben: apart"))
    tells = telling(clash, BUTTONS)
    assert tells.first == "this cannot all be met" and tells.items == clash.clash
    assert tells.standing[-1] == "Nothing was changed."
    assert telling(OurBugError("a fault", faults=("x: y",)), BUTTONS).items == ("x: y",)


def test_facts_with_braces_and_colons_stay_as_they_are() -> None:
    """What people typed is a fact, and never a place for one."""
    error = InputError("there is no activity '{activity}'", "use {known:or}", activity="1: {lesson}", known=("a", "b"))
    assert str(error) == "there is no activity '1: {lesson}'; use a or b"
    assert told(Said("{n:round} of '{a}'", facts={"n": 1, "a": "{b}"}), COMMANDS) == "1 round of '{b}'"


def test_a_trouble_has_a_remedy_of_the_face() -> None:
    """Where in a file, what is wrong, and what to do where the reader is."""
    trouble = Trouble("no column 'kind'", Remedy.SEE_TEMPLATE, "requests.csv")
    error = InputError("requests.csv cannot be read", troubles=(trouble,))
    assert list(error_lines(error)) == ["grouper: requests.csv: no column 'kind'; add it; see grouper template"]
    assert telling(error, BUTTONS).first == "requests.csv: no column 'kind'; add it"


def test_errors_survive_another_process() -> None:
    """An error raised beside comes back with its facts."""
    import pickle

    error = InputError("row {row}", "try {other}", row=3, other=4, troubles=(Trouble("x"),))
    again = pickle.loads(pickle.dumps(error))
    assert isinstance(again, GrouperError) and str(again) == "row 3; try 4"
    assert again.facts == error.facts and again.troubles == error.troubles
