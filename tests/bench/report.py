"""Tables in Markdown, written into ``docs/quality/solver.md`` between their marks; notes stay as they are."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

PATH = Path(__file__).resolve().parents[2] / "docs" / "quality" / "solver.md"


def table(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A table; numbers with a fraction get two digits, nothing is a dash."""
    lines = [head, ["---"] * len(head), *([_cell(item) for item in row] for row in rows)]
    return "\n".join("| " + " | ".join(line) + " |" for line in lines)


def _cell(item: object) -> str:
    if item is None:
        return "-"
    return f"{item:.2f}" if isinstance(item, float) else str(item)


def write(part: str, text: str) -> None:
    """Put a part of a run in the place of the last one, or at the end of the page."""
    begin, end = f"<!-- {part} begins -->", f"<!-- {part} ends -->"
    page = PATH.read_text(encoding="utf-8") if PATH.exists() else "# How good the plans are\n"
    body = f"{begin}\n{text}\n{end}"
    if begin in page:
        head, rest = page.split(begin)
        page = head + body + rest.split(end)[1]
    else:
        page += f"\n{body}\n"
    PATH.write_text(page, encoding="utf-8")
