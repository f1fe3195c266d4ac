"""The server before the app: where it listens, and how it keeps room for its owner among whoever else connects.

Every program of the machine can connect. A connection that sends no whole request is cut soon; where there are too
many, the one that has been still for longest goes, those without the cookie first.
"""

from __future__ import annotations

import errno
import logging
import socket
import ssl
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from threading import Lock, Thread
from typing import Any

from waitress.adjustments import Adjustments
from waitress.channel import HTTPChannel
from waitress.server import MultiSocketServer, TcpWSGIServer
from waitress.task import ThreadedTaskDispatcher

from grouper.errors import InputError
from grouper.faces.page.keys import TEACHER_HOST
from grouper.words import Remedy

THREADS = 16
SAFE_THREADS = 6
USUAL_PORT = 8765
USUAL_PHONE_PORT = 8766
SAME_IN_IPV6 = "::1"
"""What ``localhost`` may lead to as well, so that nobody else is to answer there."""

NO_IPV6 = (errno.EADDRNOTAVAIL, errno.EAFNOSUPPORT, errno.EPROTONOSUPPORT)
TRIES = 20
BACKLOG = 1024

MOST_CONNECTIONS = 200
WHOLE_WITHIN = 5.0
"""Seconds in which a request has to be there from its first byte on, and a new connection has to send one."""

STILL = 120.0
"""Seconds for which the connection of somebody who was let in may be still."""

MOST_OF_A_STRANGER = 10_000
"""Bytes of a form of somebody who was not let in yet: a key needs no more."""


class _Channel(HTTPChannel):  # type: ignore[misc]
    """One connection; ``known`` where a request came with the cookie, ``since`` when its request began."""

    known = False
    since: float | None = None

    def received(self, data: bytes) -> Any:
        """Take in what came, and cut what is too much for a stranger."""
        self.since = self.since or time.time()
        done = super().received(data)
        if self.request is None:
            self.since = None
        elif self.request.headers_finished and not self.server.knows(self.request):
            coming = max(self.request.content_length, self.request.body_bytes_received)
            if coming > MOST_OF_A_STRANGER:
                self.will_close = True
        return done

    def is_late(self, now: float) -> bool:
        """Whether it has kept the server waiting for too long."""
        if self.since is not None:
            start, patience = self.since, WHOLE_WITHIN
        else:
            start, patience = self.last_activity, STILL if self.known else WHOLE_WITHIN
        return not self.requests and now - start > patience


class _Server(TcpWSGIServer):  # type: ignore[misc]
    """One socket that is listened on; ``is_let_in`` says of the cookies of a request whether one of them is ours."""

    channel_class = _Channel
    most_connections = MOST_CONNECTIONS
    is_let_in: Callable[[str], bool]

    def knows(self, request: Any) -> bool:
        return self.is_let_in(request.headers.get("COOKIE", ""))

    def add_task(self, task: Any) -> None:
        task.known = task.known or self.knows(task.requests[0])
        super().add_task(task)

    def handle_accept(self) -> None:
        """Let in one more, and let go of another where that is one too many."""
        super().handle_accept()
        still = [channel for channel in self._channels() if not channel.will_close]
        if len(still) > self.most_connections:
            idle = [channel for channel in still if not channel.requests]
            for channel in sorted(idle, key=lambda one: (one.known, one.last_activity))[:1]:
                channel.will_close = True

    def maintenance(self, now: float) -> None:
        for channel in self._channels():
            if channel.is_late(now):
                channel.will_close = True

    def _channels(self) -> list[_Channel]:
        return [channel for channel in list(self._map.values()) if isinstance(channel, _Channel)]


class _SafeChannel(_Channel):
    """A connection that speaks TLS. Waiting for the other side, a handshake too, takes a socket and no thread."""

    def __init__(self, *args: Any, **more: Any) -> None:
        # A thread that answers may send while the loop reads, and one connection of OpenSSL is not for two at once.
        self.one_at_a_time = Lock()
        super().__init__(*args, **more)

    def handle_read(self) -> None:
        """Take in all that came: what OpenSSL has unpacked already wakes nobody up a second time."""
        try:
            while True:
                with self.one_at_a_time:
                    data = self.socket.recv(self.adj.recv_bytes)
                if not data:
                    self.connected = False
                    self.handle_close()
                    return
                self.last_activity = time.time()
                self.received(data)
                if self.will_close or not self.socket.pending():
                    return
        except (ssl.SSLWantReadError, ssl.SSLWantWriteError):
            return
        except OSError:  # no TLS at all, an end in the middle, a line that broke
            self.handle_close()

    def send(self, data: bytes, do_close: bool = True) -> int:
        try:
            with self.one_at_a_time:
                return int(self.socket.send(data))
        except (ssl.SSLWantReadError, ssl.SSLWantWriteError):
            return 0
        except OSError:
            if do_close:
                self.handle_close()
            else:
                self.will_close = True
            return 0


class _SafeServer(_Server):
    """A socket on which nothing but TLS is spoken, for a handful of devices."""

    channel_class = _SafeChannel
    most_connections = 64
    context: ssl.SSLContext
    over = False

    def accept(self) -> tuple[socket.socket, Any] | None:
        """One more connection; who they are is worked out while they talk, so that nobody waits for them."""
        accepted = super().accept()
        if accepted is None:
            return None
        line, address = accepted
        line.setblocking(False)
        return self.context.wrap_socket(line, server_side=True, do_handshake_on_connect=False), address

    def readable(self) -> bool:
        """Whether to go on; asked in every turn of the loop, and the only place where it can be ended from inside."""
        if self.over:
            for channel in self._channels():
                channel.handle_close()
            self.close()
            return False
        return bool(super().readable())

    def stop(self) -> None:
        """End the loop, from another thread."""
        self.over = True
        self.pull_trigger()


def serve(app: Any, doors: list[socket.socket], is_let_in: Callable[[str], bool], most_uploaded: int) -> None:
    """Answer on these sockets until the process is told to stop."""
    settings, workers = _settings(doors, most_uploaded, "http"), ThreadedTaskDispatcher()
    workers.set_thread_count(THREADS)
    shared: dict[int, Any] = {}
    for door in doors:
        server = _Server(app, shared, True, door, workers, settings, _where(door), bind_socket=False)
        server.is_let_in = is_let_in
    MultiSocketServer(shared, settings, [], workers, server.log_info).run()


def serve_safely(
    app: Any, door: socket.socket, context: ssl.SSLContext, is_let_in: Callable[[str], bool], most_sent: int
) -> Callable[[], None]:
    """Answer on a socket with TLS, in a thread and with threads of its own, until what is returned is called."""
    settings, workers = _settings([door], most_sent, "https"), ThreadedTaskDispatcher()
    workers.set_thread_count(SAFE_THREADS)
    server = _SafeServer(app, {}, True, door, workers, settings, _where(door), bind_socket=False)
    server.is_let_in, server.context = is_let_in, context
    Thread(target=server.run, name="phones", daemon=True).start()
    return server.stop


def _settings(doors: list[socket.socket], most_sent: int, url_scheme: str) -> Adjustments:
    # What waitress logs of strangers who break off is noise on the terminal of whoever holds the page open.
    logging.getLogger("waitress").setLevel(logging.ERROR)
    return Adjustments(
        sockets=doors,
        ident="",
        connection_limit=10 * MOST_CONNECTIONS,
        cleanup_interval=1,
        asyncore_use_poll=True,
        max_request_body_size=most_sent,
        url_scheme=url_scheme,
    )


def _where(door: socket.socket) -> tuple[Any, ...]:
    return (door.family, door.type, door.proto, door.getsockname())


@contextmanager
def listening(port: int | None) -> Iterator[list[socket.socket]]:
    """Open sockets that only this machine reaches: on 127.0.0.1, and on ::1 with the same port where there is IPv6.

    Parameters
    ----------
    port
        0 for any that is free; None for the usual one, or any where that is taken.

    Raises
    ------
    InputError
        The port is taken.
    """
    with ExitStack() as stack:
        try:
            doors = _bound(USUAL_PORT if port is None else port)
        except (OSError, OverflowError) as error:
            if port is not None:
                raise InputError(
                    "port {port} cannot be used ({error})", Remedy.ANY_PORT, port=port, error=error
                ) from error
            doors = _bound(0)
        for door in doors:
            stack.enter_context(door).listen(BACKLOG)
        yield doors


def _bound(port: int) -> list[socket.socket]:
    """Sockets on a port, or on one that is free under both addresses."""
    for left in reversed(range(TRIES if port == 0 else 1)):
        first = _socket(socket.AF_INET, TEACHER_HOST, port)
        try:
            return [first, _socket(socket.AF_INET6, SAME_IN_IPV6, first.getsockname()[1])]
        except OSError as error:
            if error.errno in NO_IPV6:
                return [first]
            first.close()
            if not left:
                raise
    raise OSError("no port is free")


def _socket(family: socket.AddressFamily, host: str, port: int) -> socket.socket:
    door = socket.socket(family, socket.SOCK_STREAM)
    try:
        if family == socket.AF_INET6:
            door.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 1)
        # A port of an earlier run may be taken again at once; one that another program listens on may not be shared.
        if sys.platform == "win32":
            door.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        else:
            door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        door.bind((host, port))
    except BaseException:
        door.close()
        raise
    return door


def door_at(address: str, port: int | None) -> socket.socket:
    """A socket that is listened on, at one address of this machine: for phones.

    Parameters
    ----------
    address
        An IPv4 address of this machine.
    port
        0 for any that is free; None for the usual one, or any where that is taken.

    Raises
    ------
    InputError
        It is no address of this machine, or the port is taken.
    """
    ports = (USUAL_PHONE_PORT, 0) if port is None else (port,)
    for tried in ports:
        try:
            door = _socket(socket.AF_INET, address, tried)
            door.listen(BACKLOG)
            return door
        except OSError as error:
            said = error
    raise InputError(
        "phones cannot come in at {address} ({reason})",
        "choose an address of this machine",
        address=address,
        reason=said.strerror,
    )
