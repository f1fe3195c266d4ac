"""Room for the owner: whoever else of this machine connects, waits or watches, the teacher's pages answer."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from contextlib import ExitStack
from http.client import HTTPConnection
from pathlib import Path
from threading import Thread
from time import monotonic, sleep

import pytest

from grouper.faces.page.desk import MOST_SCREENS, Desk
from grouper.faces.page.kept import Kept
from grouper.faces.page.listening import MOST_CONNECTIONS, MOST_OF_A_STRANGER, WHOLE_WITHIN
from grouper.faces.page.reading import KEPT, Draft, Drafts
from grouper.files.store import ClassFile
from tests.sheets.examples import every_aim

from .clients import NAME
from .serving import Served, served

SOON = 3.0
"""Seconds in which the owner is answered, on a machine with much else to do."""


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A page on a class."""
    folder = tmp_path_factory.mktemp("room")
    ClassFile(folder / NAME).create(every_aim(), "made")
    with served(folder) as page:
        yield page


def asked_anew(page: Served, cookie: str, path: str = f"/c/{NAME}/lesson/2") -> float:
    """How long a page takes over a new connection; it has to be there."""
    start = monotonic()
    connection = HTTPConnection("127.0.0.1", page.port, timeout=30)
    connection.request("GET", page.root + path, headers={"Cookie": cookie})
    answer = connection.getresponse()
    answer.read()
    connection.close()
    assert answer.status == 200
    return monotonic() - start


def connected(page: Served, sent: bytes = b"") -> socket.socket:
    """A connection that sends something and then nothing."""
    line = socket.create_connection(("127.0.0.1", page.port), timeout=30)
    line.sendall(sent)
    return line


def is_cut(line: socket.socket, within: float) -> bool:
    """Whether the server lets go of a connection in time."""
    line.settimeout(within)
    try:
        return line.recv(1) == b""
    except ConnectionError:
        return True
    except TimeoutError:
        return False


HALF = (b"", b"GET / HTTP/1.1\r\nHost: 127", b"POST /enter HTTP/1.1\r\nContent-Length: 99\r\n\r\nk")


@pytest.mark.parametrize("sent", HALF, ids=["nothing", "half a head", "half a form"])
def test_connections_that_say_nothing_shut_nobody_out(page: Served, sent: bytes) -> None:
    """Three times as many as are kept, still or with half a request: a new connection of the owner is answered."""
    _, cookie = page.let_in(page.address)
    with ExitStack() as stack:
        lines = [stack.enter_context(connected(page, sent)) for _ in range(3 * MOST_CONNECTIONS)]
        assert max(asked_anew(page, cookie) for _ in range(5)) < SOON
        assert is_cut(lines[0], SOON) and is_cut(lines[-1], WHOLE_WITHIN + SOON)


def test_a_request_that_comes_letter_by_letter_is_cut(page: Served) -> None:
    """It has to be there in some seconds, however busy it looks; so has a first one."""
    with connected(page, b"GET / HTTP/1.1\r\n") as line:
        start = monotonic()
        with pytest.raises(ConnectionError):
            while monotonic() - start < WHOLE_WITHIN + SOON:
                line.sendall(b"X")
                sleep(0.2)
        assert monotonic() - start > WHOLE_WITHIN - 1


def test_the_owners_connections_outlive_those_of_strangers(page: Served) -> None:
    """One that was used with the cookie is still good after a crowd has come, and after being still for a while."""
    _, cookie = page.let_in(page.address)
    mine = HTTPConnection("127.0.0.1", page.port, timeout=30)
    mine.request("GET", f"{page.root}/classes", headers={"Cookie": cookie})
    mine.getresponse().read()
    line = mine.sock
    with ExitStack() as stack:
        for _ in range(2 * MOST_CONNECTIONS):
            stack.enter_context(connected(page))
        sleep(WHOLE_WITHIN + 2)
        mine.request("GET", f"{page.root}/classes", headers={"Cookie": cookie})
        assert mine.getresponse().status == 200 and mine.sock is line


def test_a_stranger_cannot_send_much(page: Served) -> None:
    """More than a key needs is cut while it comes, and not kept anywhere until it is whole."""
    head = b"POST /enter HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 20000000\r\n\r\n"
    with connected(page, head + b"k" * (MOST_OF_A_STRANGER + 1)) as line:
        assert is_cut(line, SOON)


def test_many_watchers_of_a_plan_leave_the_page_free(page: Served) -> None:
    """Forty windows follow a plan in the making; the door answers, and so does the button that stops the plan."""
    _, cookie = page.let_in(page.address)
    head = {"Cookie": cookie}
    form = f"form_key={_form_key(page, head)}&effort=thorough"
    assert _post(page, head, f"/c/{NAME}/unit/plan", form) == 303
    done, told = [False], []

    def follow() -> None:
        connection = HTTPConnection("127.0.0.1", page.port, timeout=30)
        while not done[0]:
            connection.request("GET", f"{page.root}/c/{NAME}/unit/plan/progress", headers=head)
            told.append(connection.getresponse().read())
            sleep(0.5)

    watchers = [Thread(target=follow) for _ in range(40)]
    for watcher in watchers:
        watcher.start()
    sleep(1)
    times = [asked_anew(page, cookie) for _ in range(3)]
    assert _post(page, head, f"/c/{NAME}/unit/plan/stop", form) == 303
    done[0] = True
    for watcher in watchers:
        watcher.join()
    assert len(told) >= 40 and max(times) < 2 * SOON, times


def _form_key(page: Served, head: dict[str, str]) -> str:
    connection = HTTPConnection("127.0.0.1", page.port, timeout=30)
    connection.request("GET", f"{page.root}/c/{NAME}/unit", headers=head)
    return connection.getresponse().read().decode().partition('name="form_key" value="')[2].partition('"')[0]


def _post(page: Served, head: dict[str, str], path: str, form: str) -> int:
    connection = HTTPConnection("127.0.0.1", page.port, timeout=30)
    kind = {"Content-Type": "application/x-www-form-urlencoded"}
    connection.request("POST", page.root + path, form, {**head, **kind})
    return connection.getresponse().status


def test_what_threads_share_is_bounded_and_whole() -> None:
    """Many threads put, change and take at once: nothing is counted wrongly, and only so much is kept."""
    kept: Kept[int, int] = Kept(10)

    def work() -> None:
        for number in range(500):
            kept.change(0, lambda before: (before or 0) + 1)
            kept.put(1 + number % 5, number)
            kept.all()

    threads = [Thread(target=work) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert kept.get(0) == 8 * 500 and len(kept.all()) == 6
    for number in range(100):
        kept.put(number, number)
    assert sorted(kept.all()) == list(range(90, 100)) and kept.take(95) == 95 and kept.take(95) is None


def test_what_the_page_remembers_is_bounded(tmp_path: Path) -> None:
    """Screens that are opened again and again, and rosters that are never taken in."""
    desk, drafts = Desk(tmp_path), Drafts()
    for number in range(5 * MOST_SCREENS):
        desk.screen_is_at(NAME, 1, number % 7, f"window {number}")
    assert len(desk._rounds.all()) == MOST_SCREENS and desk.running_round(NAME, 1) == 6
    numbers = [drafts.add(Draft("list.csv", b"name")) for _ in range(3 * KEPT)]
    assert [drafts.get(number).file for number in numbers[-KEPT:]] == ["list.csv"] * KEPT
