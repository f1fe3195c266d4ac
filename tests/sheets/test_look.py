"""The shared look can be read: contrast as WCAG 2.2 wants it, colours from the palette alone."""

from __future__ import annotations

import re

import pytest
import wcag_contrast_ratio

from grouper.faces.sheets.pages import TEMPLATES
from grouper.faces.views.look import look_css

TOKENS = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", look_css()))
INKS = ("ink", "ink-soft", "ink-accent", "ink-alert")


def contrast(one: str, other: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it, by the package wcag-contrast-ratio."""
    return float(wcag_contrast_ratio.rgb(*(_parts(colour) for colour in (one, other))))


def _parts(colour: str) -> tuple[float, ...]:
    return tuple(int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5))


@pytest.mark.parametrize("ink", INKS)
def test_inks_can_be_read(ink: str) -> None:
    """7:1 on paper, 4.5:1 on the wash and on the desk around a sheet."""
    assert contrast(TOKENS[ink], TOKENS["paper"]) >= 7
    assert min(contrast(TOKENS[ink], TOKENS[ground]) for ground in ("wash", "desk")) >= 4.5


@pytest.mark.parametrize("name", ["wall.css", "teacher.css"])
def test_sheets_take_their_colours_from_the_palette(name: str) -> None:
    """No colour stands outside of the shared file, and every token that is used exists."""
    from grouper.faces.sheets.geometry import geometry_css

    css = (TEMPLATES / name).read_text(encoding="utf-8")
    known = set(re.findall(r"--([a-z0-9-]+):", look_css() + geometry_css() + css))
    assert not re.search(r"#[0-9a-fA-F]{3,8}\b|rgb|hsl", css)
    assert set(re.findall(r"var\(--([a-z0-9-]+)\)", css)) <= known


def test_no_measure_hides_a_token_of_the_look() -> None:
    """A custom property has one meaning: the two files share no name."""
    from grouper.faces.sheets.geometry import geometry_css

    def names(css: str) -> set[str]:
        return set(re.findall(r"--([a-z0-9-]+):", css))

    assert not names(look_css()) & names(geometry_css())
