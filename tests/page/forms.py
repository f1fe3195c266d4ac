"""The forms of a page, and how somebody might fill them in."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from html.parser import HTMLParser

Pair = tuple[str, str]
WORDS = ("", "abc", "3", "12", "Ida Neu")
"""What is typed where a field is empty."""


@dataclass
class Form:
    """A form: where it is sent, what it always says, what can be chosen, typed in, and pressed."""

    action: str
    fixed: list[Pair] = field(default_factory=list)
    choices: dict[str, list[str]] = field(default_factory=dict)
    typed: list[Pair] = field(default_factory=list)
    buttons: list[Pair] = field(default_factory=list)

    def filled_in(self, draw: random.Random) -> list[Pair]:
        """As it is sent: something chosen everywhere, and now and then something typed."""
        chosen = [(name, draw.choice(values)) for name, values in self.choices.items() if values]
        typed = [(name, value if value and draw.random() < 0.7 else draw.choice(WORDS)) for name, value in self.typed]
        pressed = [draw.choice(self.buttons)] if self.buttons else []
        return [*self.fixed, *chosen, *typed, *(one for one in pressed if one[0])]


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self.form: Form | None = None
        self.select = ""
        self.option: str | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        has = {name: value or "" for name, value in attrs}
        name, value, kind = has.get("name", ""), has.get("value", ""), has.get("type", "text")
        if tag == "form":
            self.form = Form(has.get("action", ""))
            if has.get("method") == "post":
                self.forms.append(self.form)
        elif self.form is None or "disabled" in has:
            return
        elif tag == "input" and name:
            self._input(name, value, kind)
        elif tag == "textarea":
            self.form.typed.append((name, ""))
        elif tag == "select":
            self.select = name
        elif tag == "option" and self.select:
            if "value" in has:
                self.form.choices.setdefault(self.select, []).append(value)
            else:
                self.option = ""
        elif tag == "button" and kind != "button":
            self._button(name, value, has.get("formaction", ""))

    def _input(self, name: str, value: str, kind: str) -> None:
        assert self.form is not None
        if kind == "hidden":
            self.form.fixed.append((name, value))
        elif kind == "radio":
            self.form.choices.setdefault(name, []).append(value)
        elif kind == "checkbox":
            self.form.choices[name] = [value]
        elif kind != "file":
            self.form.typed.append((name, value))

    def _button(self, name: str, value: str, elsewhere: str) -> None:
        assert self.form is not None
        if elsewhere:
            self.forms.append(Form(elsewhere, self.form.fixed, self.form.choices, self.form.typed, [(name, value)]))
        else:
            self.form.buttons.append((name, value))

    def handle_data(self, data: str) -> None:
        if self.option is not None:
            self.option += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "option" and self.form is not None and self.option is not None:
            self.form.choices.setdefault(self.select, []).append(self.option.strip())
            self.option = None
        elif tag == "select":
            self.select = ""
        elif tag == "form":
            self.form = None


def forms_of(page: str) -> list[Form]:
    """Every form of a page that changes something; a button that is sent elsewhere counts as one of its own."""
    reader = _Reader()
    reader.feed(page)
    return reader.forms
