"""Requests of another program of the same machine: ``python -m tests.bench.hostile_requests [HOW_MANY] [SEED]``.

A page is open on a planned class, and its owner was let in; everything else comes over sockets of loopback. A request
survives if it is answered by a refusal (or by nothing, where it is none) within 8 s, no part of the answer is a name of
the class, a cookie or the secret part of the addresses, and the class file stays as it is. After every fiftieth the
owner is answered too, within 3 s; at the end the page has no more than 500 MB.
"""

from __future__ import annotations

import random
import re
import socket
import sys
import tempfile
import time
from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from grouper.files.store import ClassFile
from tests.bench.hostile_classes import a_class
from tests.bench.report import table
from tests.page.serving import Served, served

NAME = "7b.class"
SECONDS, OWNER_WITHIN, MEGABYTES = 8.0, 3.0, 500
TAP = f"/c/{NAME}/lesson/2/tap"


@dataclass(frozen=True)
class Known:
    """What there is to know, some of it only by the owner."""

    port: int
    root: str
    cookie: str
    spent: str
    form_key: str
    student: str


@dataclass(frozen=True)
class Attack:
    """What is sent, in pieces with so many seconds between them, and from which address to which."""

    pieces: tuple[bytes, ...]
    between: float = 0.0
    to: str = "127.0.0.1"


def request(
    known: Known, path: str, *, method: str = "GET", host: str | None = None, form: str = "", more: str = ""
) -> bytes:
    """A whole request; the Host is the page's own unless another is given."""
    body = form.encode()
    kind = f"Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {len(body)}\r\n" if form else ""
    where = f"127.0.0.1:{known.port}" if host is None else host
    head = f"{method} {path} HTTP/1.1\r\nHost: {where}\r\nConnection: close\r\n{kind}{more}\r\n"
    return head.encode("latin-1", "replace") + body


def no_key(known: Known, draw: random.Random) -> Attack:
    """Addresses of the page, even with its secret part, without a cookie."""
    path = draw.choice(("/", "/classes", f"/c/{NAME}/unit", TAP, f"/screen/{NAME}/1", "/enter", "/static/../app.py"))
    form = f"form_key={known.form_key}&tap=away&since=1&student={known.student}" if draw.random() < 0.4 else ""
    begins = draw.choice(("", known.root))
    return Attack((request(known, begins + path, method="POST" if form else "GET", form=form),))


def used_key(known: Known, draw: random.Random) -> Attack:
    """The key that the owner has used, in an address or a form, under either name."""
    host = draw.choice(("127.0.0.1", "localhost"))
    where = f"{host}:{known.port}"
    if draw.random() < 0.5:
        return Attack((request(known, f"/?key={known.spent}", host=where),))
    return Attack((request(known, "/enter", method="POST", host=where, form=f"key={known.spent}"),))


def guessed(known: Known, draw: random.Random) -> Attack:
    """Keys, cookies and secret parts that are guessed, or nearly right."""
    name, _, value = known.cookie.partition("=")
    guess = draw.choice(
        (draw.randbytes(24).hex(), value[:-1], f"{value}x", value.swapcase(), "", "%00", "é", "0" * 9000)
    )
    root = draw.choice((known.root, known.root[:-1], known.root.swapcase(), "/" + draw.randbytes(12).hex()))
    tries = (
        request(known, f"{root}/classes", more=f"Cookie: {name}={guess}\r\n"),
        request(known, f"/?key={quote(guess)}"),
        request(known, "/enter", method="POST", form=f"key={quote(guess)}"),
        request(known, known.root + TAP, method="POST", form="tap=away", more=f"Cookie: {name}={guess}\r\n"),
    )
    return Attack((draw.choice(tries),))


def other_host(known: Known, draw: random.Random) -> Attack:
    """Another name that leads here, with the owner's cookie: nothing is answered under it."""
    hosts = (
        "evil.example", f"evil.example:{known.port}", "127.0.0.1", "127.0.0.1:1", f"[::1]:{known.port}", "", "0",
        f"127.0.0.1:{known.port}.evil.example", f"127.0.0.1:{known.port}@evil.example", f"127.1:{known.port}",
        f"localhost.:{known.port}", f"127.0.0.1:{known.port}\r\nHost: evil.example", f"2130706433:{known.port}",
    )  # fmt: skip
    path = known.root + draw.choice(("/classes", f"/c/{NAME}/unit", f"/c/{NAME}/class"))
    return Attack((request(known, path, host=draw.choice(hosts), more=f"Cookie: {known.cookie}\r\n"),))


def other_port(known: Known, draw: random.Random) -> Attack:
    """What a program at another port was sent, played back: the cookie under the screen's name, or from its origin."""
    cookie = f"Cookie: {known.cookie}\r\n"
    form = f"form_key={known.form_key}&tap=away&since=1&student={known.student}"
    origin = draw.choice((f"http://127.0.0.1:{known.port + 1}", f"http://localhost:{known.port}", "null", "file://"))
    screen = f"localhost:{known.port}"
    tries = (
        request(known, known.root + TAP, method="POST", form=form, more=f"{cookie}Origin: {origin}\r\n"),
        request(known, f"{known.root}/classes", more=f"{cookie}Sec-Fetch-Site: cross-site\r\nSec-Fetch-Mode: cors\r\n"),
        request(known, f"{known.root}/classes", host=screen, more=cookie),
        request(known, f"{known.root}/screen/{NAME}/1", host=screen, more=cookie),
        request(known, known.root + TAP, method="POST", form="tap=away&since=1", more=cookie),
    )
    return Attack((draw.choice(tries),))


def other_address(known: Known, draw: random.Random) -> Attack:
    """The same port of ::1."""
    host = draw.choice((f"[::1]:{known.port}", "[::1]", f"localhost:{known.port}", f"127.0.0.1:{known.port}"))
    return Attack((request(known, f"{known.root}/classes", host=host),), to="::1")


def huge_head(known: Known, draw: random.Random) -> Attack:
    """Headers, addresses and cookies without measure."""
    size = draw.choice((10_000, 300_000, 3_000_000))
    more = draw.choice(
        (f"X: {'x' * size}\r\n", "X: x\r\n" * (size // 6), f"Cookie: {'grouper=x; ' * (size // 11)}\r\n")
    )
    path = draw.choice(("/", "/" + "x" * size, "/?" + "a=1&" * (size // 4)))
    return Attack((request(known, path, more=more),))


def huge_body(known: Known, draw: random.Random) -> Attack:
    """Forms without measure, said to be so or not, in one part or in many."""
    size = draw.choice((20_000, 2_000_000, 30_000_000))
    said = draw.choice((f"Content-Length: {size}", "Transfer-Encoding: chunked", f"Content-Length: {10**18}"))
    path = draw.choice(("/enter", known.root + TAP, f"{known.root}/new"))
    body = b"".join(b"7d0\r\n%s\r\n" % (b"x" * 2000) for _ in range(size // 2000)) if "chunked" in said else b"x" * size
    return Attack((request(known, path, method="POST", more=f"{said}\r\n"), body))


def slow(known: Known, draw: random.Random) -> Attack:
    """A head or a form that comes piece by piece."""
    whole = request(known, "/enter", method="POST", form=f"key={'x' * 400}")
    start = draw.choice((1, 40, whole.index(b"\r\n\r\n") + 4))
    letters = tuple(whole[n : n + 1] for n in range(start, start + 60))
    return Attack((whole[:start], *letters), 0.15)


def bad_form(known: Known, draw: random.Random) -> Attack:
    """What is no request, or two in one."""
    both = f"POST /enter HTTP/1.1\r\nHost: 127.0.0.1:{known.port}\r\nContent-Length: 6\r\nTransfer-Encoding: chunked"
    inner = request(known, f"{known.root}/classes").decode()
    tries = (
        draw.randbytes(draw.choice((1, 100, 5000))),
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + draw.randbytes(508),
        b"GET /\r\n\r\n",
        b"\r\n" * 5000,
        f"{both}\r\n\r\n0\r\n\r\n{inner}".encode(),
        request(known, "/enter", method="POST", more="Content-Length: -1\r\n"),
        request(known, "/enter", method="POST", more="Content-Length: 5\r\nContent-Length: 6\r\n") + b"key=aa",
        request(known, draw.choice(("/%", "/%zz", "/\x00", "/..%2f..%2fetc/passwd", "//evil.example/", "*", "/é"))),
        request(known, "/classes", method=draw.choice(("TRACE", "CONNECT", "OPTIONS", "PUT", "X" * 5000, "get"))),
        request(known, "/", more="Upgrade: websocket\r\nConnection: Upgrade\r\n"),
        request(known, "/enter", method="POST", more="Content-Type: multipart/form-data; boundary=\r\n", form="x"),
        request(known, "/", more="X-Forwarded-Host: evil.example\r\nX-Original-URL: /classes\r\nForwarded: for=1\r\n"),
    )
    return Attack((draw.choice(tries),))


KINDS: dict[str, Callable[[Known, random.Random], Attack]] = {
    "no key": no_key,
    "the key that was used": used_key,
    "guesses": guessed,
    "another Host, with the cookie": other_host,
    "from another port, with the cookie": other_port,
    "by way of ::1": other_address,
    "huge heads": huge_head,
    "huge forms": huge_body,
    "letter by letter": slow,
    "no requests": bad_form,
}


def sent(attack: Attack, port: int) -> tuple[bytes, float]:
    """All that is answered to an attack, and how long it took until the page had answered or let go."""
    begun = time.monotonic()
    answer = bytearray()
    with socket.create_connection((attack.to, port), timeout=SECONDS + 2) as line:
        try:
            for piece in attack.pieces:
                line.sendall(piece)
                time.sleep(attack.between)
            line.shutdown(socket.SHUT_WR)
            while part := line.recv(65536):
                answer += part
        except TimeoutError:
            return bytes(answer), time.monotonic() - begun
        except OSError:
            pass
    return bytes(answer), time.monotonic() - begun


def fault(answer: bytes, seconds: float, secrets: tuple[bytes, ...]) -> str:
    """What is wrong with an answer, empty where nothing is."""
    statuses = [int(found) for found in re.findall(rb"(?m)^HTTP/1\.[01] (\d+)", answer)]
    if any(status < 400 or status >= 500 for status in statuses):
        return f"answered {statuses}"
    if any(secret in answer for secret in secrets):
        return "it told something"
    return f"{seconds:.1f} s" if seconds > SECONDS else ""


def answered(known: Known) -> float:
    """How long the owner waits for the door, which has to come; their own word is not in doubt."""
    whole = request(known, f"{known.root}/c/{NAME}/lesson/2", more=f"Cookie: {known.cookie}\r\n")
    answer, seconds = sent(Attack((whole,)), known.port)
    return seconds if b" 200 OK" in answer[:20] else float("inf")


def known_of(page: Served, file: ClassFile) -> Known:
    """What the owner knows after going in."""
    address = page.address
    root, cookie = page.let_in(address)
    some = Known(page.port, root.rstrip("/").removesuffix("/classes"), cookie, address.partition("key=")[2], "", "")
    whole = request(some, f"{page.root}/c/{NAME}/lesson/2", more=f"Cookie: {cookie}\r\n")
    text = sent(Attack((whole,)), page.port)[0].decode()
    form_key = re.findall(r'name="form_key" value="(\w+)"', text)[0]
    return Known(page.port, page.root, cookie, some.spent, form_key, file.read().record.roster.students[3].id)


@dataclass
class Tally:
    """What came of all requests."""

    tried: Counter[str]
    faults: defaultdict[str, list[str]]
    slowest: Counter[str]
    owner: float = 0.0

    def __str__(self) -> str:
        rows = [(kind, self.tried[kind], self.tried[kind] - len(self.faults[kind]), f"{self.slowest[kind]:.1f}")
                for kind in self.tried]  # fmt: skip
        return f"{table(('kind', 'tried', 'survived', 'slowest s'), rows)}\nthe owner waited {self.owner:.2f} s at most"


def besiege(page: Served, file: ClassFile, how_many: int, seed: int) -> Tally:
    """Send them all, one after the other, the kinds in turn."""
    known, before = known_of(page, file), file.read()
    names = [student.name.encode() for student in before.record.roster.students]
    secrets = (*names, known.root.encode(), known.cookie.partition("=")[2].encode(), known.form_key.encode())
    tally = Tally(Counter(), defaultdict(list), Counter())
    for number in range(how_many):
        kind = list(KINDS)[number % len(KINDS)]
        attack = KINDS[kind](known, random.Random(f"{seed} {number}"))
        answer, seconds = sent(attack, page.port)
        wrong = fault(answer, seconds, secrets)
        if not wrong and file.read() != before:
            wrong = "the class file was changed"
        tally.tried[kind] += 1
        tally.slowest[kind] = max(tally.slowest[kind], seconds)
        if number % 50 == 49:
            tally.owner = max(tally.owner, answered(known))
            wrong = wrong or (f"the owner waited {tally.owner} s" if tally.owner > OWNER_WITHIN else "")
        if wrong:
            tally.faults[kind].append(f"{kind} {number}: {wrong}: {attack.pieces[0][:150]!r}: {answer[:100]!r}")
    status = Path(f"/proc/{page.process.pid}/status")
    memory = int(re.findall(r"VmHWM:\s+(\d+)", status.read_text())[0]) // 1024 if status.exists() else 0
    if memory > MEGABYTES or page.process.poll() is not None:
        tally.faults["all"].append(f"the page has {memory} MB, ended {page.process.poll()}")
    return tally


def main() -> None:
    """Print the figures; ends with a message where something did not survive."""
    how_many = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    with tempfile.TemporaryDirectory() as name:
        file = ClassFile(Path(name) / NAME)
        a_class(file.path)
        with served(Path(name)) as page:
            tally = besiege(page, file, how_many, seed)
    print(tally)
    wrong = [line for lines in tally.faults.values() for line in lines]
    if wrong:
        raise SystemExit("\n".join(wrong[:40]))


if __name__ == "__main__":
    main()
