"""The secrets of one run of the page: who may read what, for as long as it runs."""

from __future__ import annotations

from dataclasses import dataclass, field
from hashlib import sha256
from hmac import compare_digest
from secrets import token_urlsafe

TEACHER_HOST = "127.0.0.1"
STUDENT_HOST = "localhost"
"""Two names of this machine: a browser keeps the students' screen and the teacher's pages apart as two sites."""


@dataclass(frozen=True)
class Keys:
    """Drawn at random at start-up and never written to the disk; each opens one audience's pages."""

    teacher: str = field(default_factory=lambda: token_urlsafe(32))
    students: str = field(default_factory=lambda: token_urlsafe(32))

    def of_host(self, host: str) -> str:
        """The key of the audience that comes under this name of the machine."""
        return self.teacher if host == TEACHER_HOST else self.students

    @property
    def form(self) -> str:
        """What every form of the teacher's pages carries; cannot be turned back into the key."""
        return sha256(b"form " + self.teacher.encode()).hexdigest()


def same(given: str, key: str) -> bool:
    """Whether two secrets are the same, in a time that does not tell where they differ."""
    return compare_digest(given.encode(), key.encode())
