"""The way for phones as others on the network meet it: over real sockets, from other addresses of this machine alone.

127.0.0.2 stands for the laptop's address in the network, 127.0.0.3 and on for others in it. Every loop is bounded.
"""

from __future__ import annotations

import hashlib
import re
import socket
import ssl
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from http.client import HTTPConnection, HTTPResponse, HTTPSConnection
from pathlib import Path
from time import monotonic, sleep
from urllib.parse import urlencode

import pytest

from grouper.faces.page.listening import MOST_OF_A_STRANGER, WHOLE_WITHIN, _SafeServer
from grouper.files.store import ClassFile
from tests.cli.shell import grouper
from tests.sheets.examples import every_aim

from .clients import NAME
from .serving import Served, served

LAPTOP = "127.0.0.2"
SOON = 3.0
DOOR = f"/c/{NAME}/lesson/2"


def anybody() -> ssl.SSLContext:
    """A browser whose user has gone past the warning; the authorities of the machine, slow to read, play no part."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    context.check_hostname = False
    context.verify_mode = ssl.CERT_NONE
    return context


class Network:
    """A page that phones may come to, at the port and with the cookies that it gave."""

    def __init__(self, page: Served) -> None:
        self.page = page
        self.link = page.links.get(timeout=60)
        self.port = int(self.link.partition(":")[2].partition("/")[0])
        self.teacher = page.let_in(page.address)[1]
        self.root, self.cookie = "", ""

    def line(self, source: str = "127.0.0.3", timeout: float = 30) -> socket.socket:
        """A connection from an address of the network."""
        return socket.create_connection((LAPTOP, self.port), timeout=timeout, source_address=(source, 0))

    def ask(
        self, method: str, path: str, cookie: str = "", source: str = "127.0.0.3", form: dict[str, str] | None = None
    ) -> tuple[HTTPResponse, bytes]:
        """One request over TLS, by a connection of its own."""
        connection = HTTPSConnection(LAPTOP, self.port, timeout=30, context=anybody(), source_address=(source, 0))
        head = {"Cookie": cookie} if cookie else {}
        if form is not None:
            head["Content-Type"] = "application/x-www-form-urlencoded"
        connection.request(method, path, body=urlencode(form) if form is not None else None, headers=head)
        answer = connection.getresponse()
        text = answer.read()
        connection.close()
        return answer, text

    def laptop(self, method: str, path: str, **form: str) -> str:
        """A page of the laptop, or a form of it."""
        connection = HTTPConnection("127.0.0.1", self.page.port, timeout=30)
        head = {"Cookie": self.teacher, "Content-Type": "application/x-www-form-urlencoded"}
        connection.request(method, self.page.root + path, urlencode(form) if form else None, head)
        answer = connection.getresponse()
        text = answer.read().decode()
        assert answer.status in (200, 303), text
        return text

    def join(self, source: str = "127.0.0.9") -> tuple[str, str]:
        """A phone is let in: how its addresses begin, and its cookie."""
        shown = self.laptop("GET", "/phones")
        link = re.search(r'id="link">https://[^/]+/join\?code=(\w+)', shown)
        assert link
        answer, _ = self.ask("POST", "/join", source=source, form={"code": link[1]})
        assert answer.status == 303
        where, cookie = answer.headers["Location"], answer.headers["Set-Cookie"].partition(";")[0]
        word = re.search(r'id="word">(\w+)<', self.ask("GET", where, cookie, source)[1].decode())
        shown = self.laptop("GET", "/phones")
        number = re.search(rf'id="asks-(\d+)"(?:(?!id="asks-).)*value="{word[1] if word else ""}"', shown, re.DOTALL)
        key = re.search(r'name="form_key" value="(\w+)"', shown)
        assert word and number and key
        self.laptop("POST", "/phones/word", form_key=key[1], number=number[1], word=word[1], klass=NAME)
        return where.removesuffix("/waiting"), cookie

    def remove_all(self) -> None:
        """Everybody who is in is removed at the laptop."""
        shown = self.laptop("GET", "/phones")
        key = re.search(r'name="form_key" value="(\w+)"', shown)
        for number in re.findall(r'id="device-(\d+)"', shown):
            self.laptop("POST", "/phones/remove", form_key=key[1] if key else "", number=number)

    def seconds(self, source: str = "127.0.0.9") -> float:
        """How long a page takes for the phone that is in, by a new connection."""
        start = monotonic()
        answer, _ = self.ask("GET", self.root + DOOR, self.cookie, source)
        assert answer.status == 200
        return monotonic() - start


@pytest.fixture(scope="module")
def network(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Network]:
    """A page for phones on a class, and a phone that is in."""
    folder = tmp_path_factory.mktemp("network")
    ClassFile(folder / NAME).create(every_aim(), "made")
    with served(folder, "--phone-at", LAPTOP) as page:
        there = Network(page)
        there.root, there.cookie = there.join()
        yield there


def is_cut(line: socket.socket, within: float) -> bool:
    """Whether the other side lets go of a connection in time."""
    line.settimeout(within)
    with suppress(ConnectionError):
        try:
            while line.recv(4096):
                pass
        except TimeoutError:
            return False
    return True


def test_a_phone_joins_over_tls_and_a_newer_code_is_printed(network: Network) -> None:
    """From the link that is printed to the door; after each use another link comes."""
    answer, text = network.ask("GET", network.root + DOOR, network.cookie, "127.0.0.9")
    assert answer.status == 200 and b"Who is here" in text
    network.page.links.get(timeout=10)


def test_the_fingerprint_that_is_shown_is_that_of_the_certificate(network: Network) -> None:
    """As the laptop shows it, byte by byte; the certificate names this one address, and its key is on no disk."""
    with anybody().wrap_socket(network.line()) as line:
        found = line.getpeercert(binary_form=True) or b""
        shown = hashlib.sha256(found).hexdigest().upper()
    assert ":".join(re.findall("..", shown)) in network.laptop("GET", "/phones")
    assert not [path for path in network.page.folder.iterdir() if path.suffix == ".pem"]


@pytest.mark.parametrize("version", [ssl.TLSVersion.TLSv1_2, ssl.TLSVersion.TLSv1_3])
def test_what_phones_speak_is_understood(network: Network, version: ssl.TLSVersion) -> None:
    """TLS 1.2 and 1.3."""
    context = anybody()
    context.minimum_version = context.maximum_version = version
    with context.wrap_socket(network.line()) as line:
        line.sendall(f"GET /join HTTP/1.1\r\nHost: {LAPTOP}:{network.port}\r\n\r\n".encode())
        assert line.recv(12) == b"HTTP/1.1 200"


def test_older_tls_is_refused(network: Network) -> None:
    """TLS 1.1 (RFC 8996 deprecates it)."""
    context = anybody()
    context.set_ciphers("ALL:@SECLEVEL=0")
    context.minimum_version, context.maximum_version = ssl.TLSVersion.TLSv1, ssl.TLSVersion.TLSv1_1
    with network.line() as line, pytest.raises((ssl.SSLError, ConnectionError)):
        context.wrap_socket(line)


@pytest.mark.parametrize(
    "sent", [b"GET / HTTP/1.1\r\nHost: x\r\n\r\n", b"\x16\x03\x01\xff\xff" + b"A" * 600, b"\0" * 99]
)
def test_what_is_no_tls_gets_no_answer(network: Network, sent: bytes) -> None:
    """Plain HTTP on the port, a broken handshake, rubbish: cut at once, with no word of HTTP."""
    with network.line() as line:
        line.sendall(sent)
        line.settimeout(SOON)
        try:
            said = line.recv(4096)
        except ConnectionError:
            said = b""
        assert b"HTTP" not in said and is_cut(line, SOON)


def test_the_laptops_own_port_is_on_loopback_alone(network: Network) -> None:
    """At the address of phones nobody listens on it, nor does the phones' port answer at 127.0.0.1."""
    for host, port in ((LAPTOP, network.page.port), ("127.0.0.1", network.port), ("127.0.0.4", network.port)):
        with pytest.raises(ConnectionRefusedError):
            socket.create_connection((host, port), timeout=5)


def test_nothing_else_of_the_process_listens(network: Network) -> None:
    """Two sockets on loopback (and ::1) for the laptop, one for phones: as the system's own table of sockets says."""
    process = network.page.process.pid
    inodes = {
        match[1]
        for entry in Path(f"/proc/{process}/fd").iterdir()
        if (match := re.match(r"socket:\[(\d+)\]", str(entry.readlink())))
    }
    listening = set()
    for table in ("tcp", "tcp6"):
        for row in Path(f"/proc/{process}/net/{table}").read_text().splitlines()[1:]:
            parts = row.split()
            if parts[3] == "0A" and parts[9] in inodes:
                address, _, port = parts[1].partition(":")
                listening.add((address, int(port, 16)))
    loopback = {("0100007F", network.page.port), ("00000000000000000000000001000000", network.page.port)}
    assert ("0200007F", network.port) in listening
    assert listening <= loopback | {("0200007F", network.port)}


@pytest.mark.parametrize("host", ["127.0.0.1:{port}", "localhost:{port}", "evil.example", "127.0.0.2"])
def test_a_wrong_host_is_refused_with_the_cookie(network: Network, host: str) -> None:
    """Over the wire too."""
    connection = HTTPSConnection(LAPTOP, network.port, timeout=30, context=anybody())
    head = {"Host": host.format(port=network.port), "Cookie": network.cookie}
    connection.request("GET", network.root + DOOR, headers=head)
    assert connection.getresponse().status == 421


def test_guessed_codes_and_cookies_get_nothing(network: Network) -> None:
    """Forty codes and forty cookies from one address: refused, the codes soon without being looked at."""
    answers = [
        network.ask("POST", "/join", source="127.0.0.5", form={"code": f"guess{n:07}"})[0].status for n in range(40)
    ]
    assert set(answers) == {403, 429} and answers.count(403) == 5
    for number in range(40):
        assert network.ask("GET", network.root + DOOR, f"grouper={number:043}", "127.0.0.5")[0].status == 403
    assert network.seconds() < SOON


def test_a_cookie_is_worth_nothing_after_the_removal(network: Network) -> None:
    """On the connection that stood open, and on a new one."""
    root, cookie = network.join("127.0.0.8")
    kept = HTTPSConnection(LAPTOP, network.port, timeout=30, context=anybody(), source_address=("127.0.0.8", 0))
    kept.request("GET", root + DOOR, headers={"Cookie": cookie})
    answer = kept.getresponse()
    assert answer.status == 200 and answer.read()
    network.remove_all()
    kept.request("GET", root + DOOR, headers={"Cookie": cookie})
    assert kept.getresponse().status == 403
    assert network.ask("GET", root + DOOR, cookie, "127.0.0.8")[0].status == 403
    network.root, network.cookie = network.join()


HALF = (b"", b"GET / HTTP/1.1\r\nHost: 127", b"POST /join HTTP/1.1\r\nContent-Length: 99\r\n\r\nc")


@pytest.mark.parametrize("sent", [None, *HALF], ids=["no handshake", "nothing", "half a head", "half a form"])
def test_strangers_that_say_nothing_shut_no_phone_out(network: Network, sent: bytes | None) -> None:
    """Three times as many as are kept: the phone is answered, and they are cut."""
    with ExitStack() as stack:
        lines = []
        for place in range(3 * _SafeServer.most_connections):
            line = stack.enter_context(network.line(f"127.0.0.{20 + place % 9}"))
            if sent is not None:
                try:
                    line = stack.enter_context(anybody().wrap_socket(line))
                    line.sendall(sent)
                except OSError:  # let go of while it shook hands, as the oldest are
                    continue
            lines.append(line)
        assert max(network.seconds() for _ in range(5)) < SOON
        assert is_cut(lines[0], SOON) and is_cut(lines[-1], WHOLE_WITHIN + SOON)


def test_a_request_letter_by_letter_is_cut_and_holds_nobody_up(network: Network) -> None:
    """A dozen of them at once, as would fill a server of a dozen threads."""
    with ExitStack() as stack:
        lines = [stack.enter_context(anybody().wrap_socket(network.line("127.0.0.6"))) for _ in range(12)]
        start, left = monotonic(), len(lines)
        while left and monotonic() - start < WHOLE_WITHIN + SOON:
            left = 0
            for line in lines:
                with suppress(OSError):
                    line.sendall(b"GET / HTTP/1.1\r\nX: " if monotonic() - start < 0.1 else b"x")
                    left += 1
            assert network.seconds() < SOON
            sleep(0.2)
        assert left == 0 and monotonic() - start > WHOLE_WITHIN - 1


@pytest.mark.parametrize(
    ("head", "body"),
    [
        ("POST /join HTTP/1.1\r\nHost: {host}\r\nContent-Length: 20000000\r\n\r\n", b"k" * (MOST_OF_A_STRANGER + 1)),
        ("GET /" + 300_000 * "a" + " HTTP/1.1\r\nHost: {host}\r\n\r\n", b""),
        ("GET /join HTTP/1.1\r\nHost: {host}\r\n" + 40_000 * "X-A: aaaa\r\n" + "\r\n", b""),
    ],
    ids=["a large form", "a long address", "many heads"],
)
def test_what_is_too_much_is_cut(network: Network, head: str, body: bytes) -> None:
    """More than a stranger may send is not kept until it is whole."""
    with anybody().wrap_socket(network.line()) as line:
        with suppress(ConnectionError, ssl.SSLError):
            line.sendall(head.format(host=f"{LAPTOP}:{network.port}").encode() + body)
        assert is_cut(line, WHOLE_WITHIN + SOON)
    assert network.seconds() < SOON


@pytest.mark.parametrize(
    "trick",
    [
        "Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
        "Content-Length: 5\r\nContent-Length: 50\r\n\r\nhello",
        "Transfer-Encoding: xchunked\r\n\r\n0\r\n\r\n",
        "Content-Length: -1\r\n\r\n",
        "Content-Length: 0\r\nX: a\rb\r\n\r\n",
    ],
)
def test_a_request_inside_a_request_is_no_request_of_the_phones(network: Network, trick: str) -> None:
    """Two lengths, odd encodings, bare line ends: what is smuggled behind has no cookie, and gets nothing."""
    hidden = f"GET {network.root}{DOOR} HTTP/1.1\r\nHost: {LAPTOP}:{network.port}\r\n\r\n"
    first = f"POST /join HTTP/1.1\r\nHost: {LAPTOP}:{network.port}\r\n{trick}{hidden}"
    with anybody().wrap_socket(network.line()) as line:
        line.sendall(first.encode())
        said = b""
        line.settimeout(WHOLE_WITHIN + SOON)
        with suppress(OSError):
            while more := line.recv(65536):
                said += more
    assert b"Who is here" not in said and b" 500 " not in said


def test_a_long_page_and_a_long_form_come_through_whole(network: Network) -> None:
    """To a phone with a slow line, that reads in small bites, and from one that sends the most that it may."""
    with socket.socket() as plain:
        plain.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 2048)
        plain.settimeout(30)
        plain.connect((LAPTOP, network.port))
        with anybody().wrap_socket(plain) as line:
            head = f"Host: {LAPTOP}:{network.port}\r\nCookie: {network.cookie}\r\nConnection: close\r\n\r\n"
            line.sendall(f"GET {network.root}{DOOR} HTTP/1.1\r\n{head}".encode())
            said = b""
            while more := line.recv(500):
                said += more
    assert said.startswith(b"HTTP/1.1 200") and said.rstrip().endswith(b"</html>")
    key = re.search(rb'name="form_key" value="(\w+)"', said)
    assert key
    form = {"form_key": key[1].decode(), "guest": "", "filler": "x" * 900_000}
    answer, text = network.ask("POST", f"{network.root}{DOOR}/guest", network.cookie, form=form)
    assert answer.status == 400 and b"a guest needs a name" in text


def test_without_phone_nothing_is_open_and_nothing_is_loaded(tmp_path: Path) -> None:
    """Off by default: no other socket, and neither cryptography nor segno in the memory of the process."""
    ClassFile(tmp_path / NAME).create(every_aim(), "made")
    with served(tmp_path) as page:
        loaded = Path(f"/proc/{page.process.pid}/maps").read_text()
        assert "cryptography" not in loaded and page.links.empty()


def test_an_address_of_no_network_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither all addresses, nor one of another machine, nor a word."""
    monkeypatch.chdir(tmp_path)
    for wrong in ("0.0.0.0", "192.0.2.7", "everybody", "::1", "224.0.0.1"):
        said = grouper("page", "--no-browser", "--port", "0", "--phone-at", wrong, status=2)
        assert "address of" in said.err, wrong
