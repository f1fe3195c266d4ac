"""The secrets of one run of the page: who may read what, for as long as it runs. None is written to the class files.

A key in an address lets one browser in once, and is worth nothing after. What the browser holds from then on is a
cookie. Cookies do not know ports, and another program of this machine may listen on the next one; so every address of
an audience begins with a part drawn at random, the cookie is for that part alone, and whoever does not know the part
is sent nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from hashlib import sha256
from hmac import compare_digest
from math import inf
from secrets import token_hex, token_urlsafe
from time import monotonic

from grouper.faces.page.kept import Kept

TEACHER_HOST = "127.0.0.1"
STUDENT_HOST = "localhost"
"""Two names of this machine: a browser keeps the students' screen and the teacher's pages apart as two sites."""

COOKIE = "grouper"
MOST_UNUSED = 64


@dataclass(frozen=True)
class _Entry:
    """Where a key leads, until when, and what to do when it was used."""

    path: str
    until: float
    used: Callable[[], None]


@dataclass(frozen=True)
class Audience:
    """Those who come under one name of the machine.

    ``root`` is what all their addresses begin with, ``cookie`` what a browser of theirs holds.
    """

    host: str
    root: str = field(default_factory=lambda: f"/{token_urlsafe(16)}")
    cookie: str = field(default_factory=lambda: token_urlsafe(32))
    _unused: Kept[str, _Entry] = field(default_factory=lambda: Kept(MOST_UNUSED))

    def new_key(self, path: str = "/", seconds: float = inf, used: Callable[[], None] = lambda: None) -> str:
        """A key that lets one browser in once, to a page below the root; ``used`` is called when it was."""
        key = token_urlsafe(32)
        self._unused.put(known_by(key), _Entry(path, monotonic() + seconds, used))
        return key

    def let_in(self, key: str) -> str | None:
        """The address that a key leads to, or None where it is none, was used before, or came too late."""
        entry = self._unused.take(known_by(key))
        if entry is None or monotonic() > entry.until:
            return None
        entry.used()
        return self.root + entry.path

    def is_of(self, cookies: list[str]) -> bool:
        """Whether one of these is the cookie; another program of this machine may have set one of the same name."""
        return any(same(cookie, self.cookie) for cookie in cookies)


@dataclass(frozen=True)
class Keys:
    """Both audiences, and what every form of the teacher's pages carries."""

    teacher: Audience = field(default_factory=lambda: Audience(TEACHER_HOST))
    students: Audience = field(default_factory=lambda: Audience(STUDENT_HOST))
    form: str = field(default_factory=token_hex)

    def let_in_before(self, cookies: str) -> bool:
        """Whether a line of cookies, as a browser sends it, holds one of ours."""
        values = values_of(cookies)
        return self.teacher.is_of(values) or self.students.is_of(values)


def values_of(cookies: str) -> list[str]:
    """The values in a line of cookies, as a browser sends it."""
    return [pair.partition("=")[2] for pair in cookies.replace(" ", "").split(";")]


def known_by(key: str) -> str:
    """How a secret is found again, in a time that does not tell how much of it was right."""
    return sha256(key.encode(errors="replace")).hexdigest()


def same(given: str, secret: str) -> bool:
    """Whether two secrets are the same, in a time that does not tell where they differ."""
    return compare_digest(given.encode(errors="replace"), secret.encode())
