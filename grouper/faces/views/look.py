"""The look that sheets and pages share: one style sheet with the type scale, the spacing and the palette."""

from __future__ import annotations

from pathlib import Path

LOOK_FILE = Path(__file__).with_name("look.css")


def look_css() -> str:
    """The shared style sheet."""
    return LOOK_FILE.read_text(encoding="utf-8")
