"""The pictures of the README, made anew from the demo: ``python tests/bench/pictures.py`` (needs Debian's chromium)."""

from __future__ import annotations

import html
import subprocess
import sys
import tempfile
from pathlib import Path

PICTURES = Path(__file__).resolve().parents[2] / "docs" / "pictures"
GROUPER = str(Path(sys.executable).with_name("grouper"))
FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
]
TERMINAL = """<meta charset="utf-8"><style>
body {{ margin: 0; padding: 24px 28px; background: #17212b; color: #e8edef }}
body {{ font: 17px/1.5 "DejaVu Sans Mono", monospace }}
pre {{ margin: 0; white-space: pre-wrap }}
</style><pre>$ grouper demo
{text}</pre>"""


def photograph(page: Path, picture: Path, width: int, height: int) -> None:
    """A picture of the top of a page."""
    size = f"--window-size={width},{height}"
    command = ["chromium", *FLAGS, size, f"--screenshot={picture}", page.as_uri()]
    subprocess.run(command, check=True, capture_output=True)


def main() -> None:
    """Run the demo, and photograph its summary and its first sheets."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        run = subprocess.run([GROUPER, "demo", "--to", "demo"], cwd=folder, check=True, capture_output=True, text=True)
        terminal = Path(folder, "terminal.html")
        terminal.write_text(TERMINAL.format(text=html.escape(run.stdout)), encoding="utf-8")
        photograph(terminal, PICTURES / "summary.png", 1180, 60 + 26 * (2 + run.stdout.count("\n")))
        demo = Path(folder, "demo")
        photograph(demo / "lesson-01-wall.html", PICTURES / "wall.png", 1280, 1290)
        photograph(demo / "lesson-01-teacher.html", PICTURES / "teacher.png", 1100, 1200)


if __name__ == "__main__":
    main()
