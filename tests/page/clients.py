"""The app without a server: requests as a browser would send them, under either name of the machine."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any
from weakref import finalize

from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from grouper.faces.page.app import make_app
from grouper.faces.page.desk import Desk
from grouper.faces.page.guard import Guard, PhoneGuard
from grouper.faces.page.keys import Audience, Keys
from grouper.faces.page.phone_site import PhoneSite
from grouper.faces.page.state import State
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord

PORT = 8765
NAME = "7b.class"


class Visitor:
    """Somebody who comes under a name of the machine; paths are below ``root`` unless they name it themselves."""

    def __init__(self, app: Flask, host: str, owner: object) -> None:
        self.client: FlaskClient = app.test_client()
        self.owner = owner  # whose app it is: nobody else's as long as somebody visits
        self.base = f"http://{host}"
        self.root = ""

    def get(self, path: str, **more: Any) -> TestResponse:
        """GET a page."""
        return self.client.get(self._at(path), base_url=self.base, **more)

    def post(self, path: str, data: dict[str, Any], **more: Any) -> TestResponse:
        """POST a form."""
        return self.client.post(self._at(path), data=data, base_url=self.base, **more)

    def _at(self, path: str) -> str:
        return path if path.startswith((self.root, "/static/")) else self.root + path


_FREE: dict[str, list[Flask]] = {}
"""Apps that no test has now, by kind: an app with its addresses and templates takes longer to make than most tests."""


def app_of(owner: object, kind: str, make: Callable[[], Flask], state: State) -> Flask:
    """An app that is the owner's alone for as long as it lives, with a desk, secrets and a guard of its own.

    All that is left of whoever had it before are its addresses, their beginnings drawn at random among them, and its
    templates.
    """
    free = _FREE.setdefault(kind, [])
    app = free.pop() if free else make()
    finalize(owner, free.append, app)
    was: State = app.extensions["grouper"]
    keys = Keys(*(Audience(each.host, each.root) for each in (was.keys.teacher, was.keys.students)))
    start(app, replace(state, keys=keys))
    return app


def start(app: Flask, state: State) -> None:
    """The app as it is when the page starts: nothing is known but what this state holds."""
    (check,) = app.before_request_funcs[None]
    guard = check.__self__  # type: ignore[attr-defined]
    phones = isinstance(guard, PhoneGuard)
    anew = PhoneGuard(state.phones.phones, state.keys, guard.host) if phones else Guard(state.keys, state.port)
    app.extensions["grouper"], app.before_request_funcs[None] = state, [anew.check]
    app.jinja_env.globals["form_key"] = state.keys.form


class House:
    """An app on a folder with one class; phones are let in where there is a site for them."""

    def __init__(self, folder: Path, record: ClassRecord, site: PhoneSite | None = None) -> None:
        self.file = ClassFile(folder / NAME)
        self.file.create(record, "made")
        state = State(Desk(folder), Keys(), PORT, site)
        kind = "laptop with phones" if site else "laptop"
        self.app = app_of(self, kind, lambda: make_app(state.desk, state.keys, PORT, site), state)

    @property
    def _state(self) -> State:
        state: State = self.app.extensions["grouper"]
        return state

    @property
    def desk(self) -> Desk:
        """What the page has in memory."""
        return self._state.desk

    @property
    def keys(self) -> Keys:
        """The secrets of this run."""
        return self._state.keys

    def start_page(self) -> None:
        """The page started anew: what it had in memory is gone."""
        start(self.app, replace(self._state, desk=Desk(self.file.path.parent)))

    def teacher(self) -> Visitor:
        """Somebody with the teacher's key."""
        return self._let_in(self.keys.teacher)

    def student(self) -> Visitor:
        """The students' screen."""
        return self._let_in(self.keys.students)

    def _let_in(self, audience: Audience) -> Visitor:
        visitor = self.stranger(f"{audience.host}:{PORT}")
        answer = visitor.post("/enter", {"key": audience.new_key()})
        assert answer.status_code == 303
        visitor.root = audience.root
        return visitor

    def stranger(self, host: str = f"127.0.0.1:{PORT}") -> Visitor:
        """Somebody without any key."""
        return Visitor(self.app, host, self)

    def form(self, **fields: Any) -> dict[str, Any]:
        """A form as the teacher's pages send it."""
        return {"form_key": self.keys.form, **fields}

    def addresses(self) -> list[tuple[str, str]]:
        """Every address of the app with a method, its places filled in."""
        filled = []
        for rule in self.app.url_map.iter_rules():
            path = rule.rule
            for place, value in (
                ("<name>", NAME),
                ("<int:number>", "1"),
                ("<path:student>", "idsentinel0"),
                ("<number>", "nothing"),
                ("<path:filename>", "page.css"),
            ):
                path = path.replace(place, value)
            filled += [(method, path) for method in sorted(rule.methods or ()) if method in ("GET", "POST")]
        return filled
