"""The app without a server: requests as a browser would send them, under either name of the machine."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from jinja2.bccache import Bucket, BytecodeCache
from werkzeug.test import TestResponse

from grouper.faces.page.app import make_app
from grouper.faces.page.desk import Desk
from grouper.faces.page.keys import Audience, Keys
from grouper.faces.page.phone_site import PhoneSite
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord

PORT = 8765
NAME = "7b.class"


class Visitor:
    """Somebody who comes under a name of the machine; paths are below ``root`` unless they name it themselves."""

    def __init__(self, app: Flask, host: str, root: str = "") -> None:
        self.client: FlaskClient = app.test_client()
        self.base = f"http://{host}"
        self.root = root

    def get(self, path: str, **more: Any) -> TestResponse:
        """GET a page."""
        return self.client.get(self._at(path), base_url=self.base, **more)

    def post(self, path: str, data: dict[str, Any], **more: Any) -> TestResponse:
        """POST a form."""
        return self.client.post(self._at(path), data=data, base_url=self.base, **more)

    def _at(self, path: str) -> str:
        return path if path.startswith((self.root, "/static/")) else self.root + path


class _Compiled(BytecodeCache):
    """Templates, compiled once for all apps: each test has an app of its own, which would compile them anew."""

    def __init__(self) -> None:
        self.kept: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        if bucket.key in self.kept:
            bucket.bytecode_from_string(self.kept[bucket.key])

    def dump_bytecode(self, bucket: Bucket) -> None:
        self.kept[bucket.key] = bucket.bytecode_to_string()


_COMPILED = _Compiled()


def compiled(app: Flask) -> Flask:
    """The app, with templates that were compiled for another."""
    app.jinja_env.bytecode_cache = _COMPILED
    return app


class House:
    """An app on a folder with one class; phones are let in where there is a site for them."""

    def __init__(self, folder: Path, record: ClassRecord, site: PhoneSite | None = None) -> None:
        self.keys, self.site = Keys(), site
        self.file = ClassFile(folder / NAME)
        self.file.create(record, "made")
        self.start_page()

    def start_page(self) -> None:
        """The page started, for the first time or anew: what it had in memory is gone."""
        self.desk = Desk(self.file.path.parent)
        self.app = compiled(make_app(self.desk, self.keys, PORT, self.site))

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
        return Visitor(self.app, host)

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
