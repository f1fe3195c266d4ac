"""The server before the app: where it listens, and how it keeps room for its owner among whoever else connects.

Every program of the machine can connect. A connection that sends no whole request is cut soon; where there are too
many, the one that has been still for longest goes, those without the cookie first.
"""

from __future__ import annotations

import errno
import logging
import socket
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from typing import Any

from waitress.adjustments import Adjustments
from waitress.channel import HTTPChannel
from waitress.server import MultiSocketServer, TcpWSGIServer
from waitress.task import ThreadedTaskDispatcher

from grouper.errors import InputError
from grouper.faces.page.keys import TEACHER_HOST

THREADS = 16
USUAL_PORT = 8765
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
    is_let_in: Callable[[str], bool]

    def knows(self, request: Any) -> bool:
        """Whether a request comes from somebody who was let in."""
        return self.is_let_in(request.headers.get("COOKIE", ""))

    def add_task(self, task: Any) -> None:
        """A whole request is there, and will be answered."""
        task.known = task.known or self.knows(task.requests[0])
        super().add_task(task)

    def handle_accept(self) -> None:
        """Let in one more, and let go of another where that is one too many."""
        super().handle_accept()
        still = [channel for channel in self._channels() if not channel.will_close]
        if len(still) > MOST_CONNECTIONS:
            idle = [channel for channel in still if not channel.requests]
            for channel in sorted(idle, key=lambda one: (one.known, one.last_activity))[:1]:
                channel.will_close = True

    def maintenance(self, now: float) -> None:
        """Cut connections that are late."""
        for channel in self._channels():
            if channel.is_late(now):
                channel.will_close = True

    def _channels(self) -> list[_Channel]:
        return [channel for channel in list(self._map.values()) if isinstance(channel, _Channel)]


def serve(app: Any, doors: list[socket.socket], is_let_in: Callable[[str], bool], most_uploaded: int) -> None:
    """Answer on these sockets until the process is told to stop."""
    logging.getLogger("waitress").setLevel(logging.ERROR)
    settings = Adjustments(
        sockets=doors,
        ident="",
        connection_limit=10 * MOST_CONNECTIONS,
        cleanup_interval=1,
        asyncore_use_poll=True,
        max_request_body_size=most_uploaded,
    )
    workers = ThreadedTaskDispatcher()
    workers.set_thread_count(THREADS)
    shared: dict[int, Any] = {}
    for door in doors:
        where = (door.family, door.type, door.proto, door.getsockname())
        server = _Server(app, shared, True, door, dispatcher=workers, adj=settings, sockinfo=where, bind_socket=False)
        server.is_let_in = is_let_in
    MultiSocketServer(shared, settings, [], workers, server.log_info).run()


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
                    f"port {port} cannot be used ({error}); leave --port out to take any that is free"
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
        _keep_to_ourselves(door)
        door.bind((host, port))
    except BaseException:
        door.close()
        raise
    return door


def _keep_to_ourselves(door: socket.socket) -> None:
    """A port of an earlier run may be taken again at once; one that another program listens on may not be shared."""
    if sys.platform == "win32":
        door.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
    else:
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
