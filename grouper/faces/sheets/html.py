"""Pages as HTML: one self-contained file each, without script and without anything from the network."""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from hashlib import sha256
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from grouper.faces.sheets.fitting import is_long
from grouper.faces.sheets.geometry import reading_distance
from grouper.faces.views.aims import aim_in_words
from grouper.faces.wording import words
from grouper.words import listed

TEMPLATES = Path(__file__).with_name("templates")


def page_html(template: str, style: str, **values: object) -> str:
    """A template of the sheets as a page with this one style sheet in it."""
    page = _environment().get_template(template)
    return page.render(style=Markup(style), policy=_policy(style), **values)


def _policy(style: str) -> str:
    """A content security policy that lets in this one style sheet and nothing else."""
    digest = b64encode(sha256(style.encode()).digest()).decode()
    return f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"


def template_text(name: str) -> str:
    """The text of a file among the templates."""
    return (TEMPLATES / name).read_text(encoding="utf-8")


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=words.clean_if_text,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(
        aim=aim_in_words,
        date=words.date_in_words,
        minutes=words.minutes_in_words,
        number=words.number_in_words,
        times=words.times_in_words,
        listed=listed,
        distance=lambda letter: words.number_in_words(reading_distance(letter)),
    )
    environment.tests.update(long_name=is_long)
    return environment
