"""Make the catalogue anew: ``PYTHONPATH=tests python -m design_search [--only KEY ...] [--to FILE]``."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterable, Sequence
from pathlib import Path

from design_search.recipes import RECIPES, Search
from design_search.writing import as_json, short_form
from grouper.engines.designs import catalogue
from grouper.engines.designs.catalogue import Entry
from grouper.engines.designs.design import Design


def main(arguments: Sequence[str] | None = None) -> int:
    """Look for every design, or for some; what is found and holds is written. Exit status 1 where one was not found."""
    options = _options(arguments)
    known = dict(catalogue.catalogue()) if options.only else {}
    wanted = [recipe for recipe in RECIPES if not options.only or recipe.key in options.only]
    missing = 0
    for recipe in wanted:
        entry = _looked_for(recipe)
        if entry:
            known[entry.sizes] = entry
            options.to.write_text(as_json(_in_order(known.values())), encoding="utf-8")
        missing += not entry
    return 1 if missing else 0


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="PYTHONPATH=tests python -m design_search", description=__doc__)
    parser.add_argument("--only", nargs="+", metavar="KEY", help="look for these alone, such as 8x4, and keep the rest")
    parser.add_argument(
        "--to",
        type=Path,
        default=catalogue.catalogue_file(),
        metavar="FILE",
        help="where to write (default: the package)",
    )
    return parser.parse_args(arguments)


def _looked_for(recipe: Search) -> Entry | None:
    start = time.perf_counter()
    entry = recipe.entry()
    seconds = time.perf_counter() - start
    print(f"{recipe.key:>12} {entry.length if entry else 'none':>5} rounds {seconds:8.1f} s", flush=True)  # noqa: T201
    if entry and not Design(entry.sizes, tuple(entry.developed()), recipe.key).is_repeat_free():
        raise ArithmeticError(f"the search for {recipe.key} gave a design with repeats")
    return entry


def _in_order(entries: Iterable[Entry]) -> list[Entry]:
    return sorted(entries, key=lambda entry: (entry.sizes[0], len(entry.sizes), short_form(entry.sizes)))


if __name__ == "__main__":
    sys.exit(main())
