"""Plant faults one at a time and see whether a test fails: ``python tests/bench/mutants.py [WORD ...] [--to FILE]``.

Each fault is a place in a file, what stands there, and what is put in its stead, with the tests that should notice. A
copy of the tree gets one fault, its tests run in a process of their own until the first that fails, and those that no
test noticed are printed. Where its file no longer holds the text, the one module that does gets the fault; a text that
is in none, or more than once, is reported as stale. At the end every
test that failed is run in the sound copy, where it has to pass: else the fault was not what it noticed. With words only
the faults whose file or note holds one of them are tried; ``--to`` writes the table as Markdown.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import time
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory

from mutant_list import MUTANTS, Mutant

ROOT = Path(__file__).resolve().parents[2]
PATIENCE = 300
"""Seconds for the tests of one fault; a fault that makes them run longer has been noticed."""

NICE = 10
NOTICED = ("killed", "too long")
NOTES = """# Planted faults

Made by `tests/bench/mutants.py`, which plants one fault after the other in a copy of the tree and runs the tests that
should notice. Survived: no test failed. Stale: the text is in no file any more, or more than once.

| file | fault | outcome | test | seconds |
| --- | --- | --- | --- | --- |
"""


@dataclass(frozen=True)
class Outcome:
    """What became of a fault, and which test noticed it.

    ``word`` is ``killed``, ``too long`` (noticed as well), ``survived``, ``stale``, ``no tests ran``, or ``not sound``
    where the test fails without the fault too.
    """

    mutant: Mutant
    word: str
    seconds: float = 0.0
    test: str = ""


def main() -> None:
    """Try all faults, or those that are named."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("words", nargs="*")
    parser.add_argument("--to", type=Path)
    given = parser.parse_args()
    chosen = [
        one for one in MUTANTS if not given.words or any(word in f"{one.file} {one.note}" for word in given.words)
    ]
    os.nice(NICE)
    with TemporaryDirectory() as folder:
        tree = _copy_of_tree(Path(folder) / "tree")
        outcomes = []
        for mutant in chosen:
            outcomes.append(_tried(tree, mutant))
            print(f"{outcomes[-1].word:12} {outcomes[-1].seconds:6.1f} s  {mutant.file}: {mutant.note}", flush=True)
            if given.to:
                given.to.write_text(_table(outcomes), encoding="utf-8")
        outcomes = _sound(tree, outcomes)
        if given.to:
            given.to.write_text(_table(outcomes), encoding="utf-8")
    for outcome in outcomes:
        if outcome.word not in NOTICED:
            print(f"{outcome.word}: {outcome.mutant.file}: {outcome.mutant.note} {outcome.test}")
    noticed = sum(outcome.word in NOTICED for outcome in outcomes)
    print(f"{noticed} of {len(outcomes)} noticed")
    if given.to:
        given.to.write_text(_table(outcomes), encoding="utf-8")
    sys.exit(noticed < len(outcomes))


def _copy_of_tree(tree: Path) -> Path:
    left_out = shutil.ignore_patterns(".*", "node_modules", "__pycache__")
    shutil.copytree(ROOT, tree, ignore=left_out)
    return tree


def _tried(tree: Path, mutant: Mutant) -> Outcome:
    path = _place_of(tree, mutant)
    if path is None:
        return Outcome(mutant, "stale")
    mutant = replace(mutant, file=path.relative_to(tree).as_posix())
    sound = path.read_text(encoding="utf-8")
    path.write_text(sound.replace(mutant.old, mutant.new), encoding="utf-8")
    try:
        return _run(tree, mutant)
    finally:
        path.write_text(sound, encoding="utf-8")


def _place_of(tree: Path, mutant: Mutant) -> Path | None:
    """The file that holds the text once: the one that is named, or the only one that does since code has moved."""
    named = tree / mutant.file
    places = [named] if named.exists() and mutant.old in named.read_text(encoding="utf-8") else []
    places = places or [
        path for path in sorted((tree / "grouper").rglob("*.py")) if mutant.old in path.read_text(encoding="utf-8")
    ]
    return places[0] if len(places) == 1 and places[0].read_text(encoding="utf-8").count(mutant.old) == 1 else None


def _run(tree: Path, mutant: Mutant) -> Outcome:
    began = time.monotonic()
    try:
        done = _pytest(tree, "-x", *mutant.tests)
    except subprocess.TimeoutExpired:
        return Outcome(mutant, "too long", PATIENCE)
    word = {0: "survived", 1: "killed"}.get(done.returncode, "no tests ran")
    return Outcome(mutant, word, time.monotonic() - began, next(iter(_failed(done.stdout)), ""))


def _pytest(tree: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-B", "-m", "pytest", "-q", "-n", "0", "-p", "no:cacheprovider", *arguments]
    environment = {**os.environ, "PYTHONPATH": str(tree)}
    return subprocess.run(command, cwd=tree, env=environment, capture_output=True, text=True, timeout=PATIENCE)


def _failed(said: str) -> list[str]:
    """The tests that failed or broke, as pytest sums them up."""
    lines = [line.partition(" ") for line in said.splitlines() if line.startswith(("FAILED ", "ERROR "))]
    return [rest.partition(" - ")[0] for _, _, rest in lines]


def _sound(tree: Path, outcomes: list[Outcome]) -> list[Outcome]:
    """The outcomes, once each test function that noticed a fault has been seen to pass without it."""
    noticed_by = sorted({outcome.test.partition("[")[0] for outcome in outcomes if outcome.test})
    fail = {test.partition("[")[0] for test in _failed(_pytest(tree, *noticed_by).stdout)} if noticed_by else set()
    return [replace(o, word="not sound") if o.test.partition("[")[0] in fail else o for o in outcomes]


def _table(outcomes: list[Outcome]) -> str:
    rows = (f"| `{o.mutant.file}` | {o.mutant.note} | {o.word} | {_named(o)} | {o.seconds:.0f} |" for o in outcomes)
    noticed = sum(outcome.word in NOTICED for outcome in outcomes)
    return NOTES + "\n".join(rows) + f"\n\n{noticed} of {len(outcomes)} noticed.\n"


def _named(outcome: Outcome) -> str:
    """The file and the function of the test, without its parameters."""
    return f"`{outcome.test.partition('[')[0].removeprefix('tests/')}`" if outcome.test else ""


if __name__ == "__main__":
    main()
