"""Serve the page from this machine to this machine."""

from __future__ import annotations

import os
import socket
from collections.abc import Callable
from pathlib import Path

from grouper.errors import InputError
from grouper.faces.page.app import make_app
from grouper.faces.page.desk import Desk
from grouper.faces.page.guard import MOST_UPLOADED
from grouper.faces.page.keys import TEACHER_HOST, Keys

THREADS = 16
USUAL_PORT = 8765


def serve_page(class_path: Path | None, port: int | None, announce: Callable[[str], None]) -> None:
    """Serve until the process is told to stop; ``announce`` gets the address once somebody can come.

    Parameters
    ----------
    class_path
        The class to open with, there already or not; None for those of the current folder.
    port
        Where to listen; 0 for any that is free; None for the usual one, or any where that is taken.

    Raises
    ------
    InputError
        The port is taken, or the folder does not exist.
    """
    from waitress.server import create_server

    keys = Keys()
    with listening(port) as door:
        app = make_app(desk_for(class_path), keys, door.getsockname()[1])
        server = create_server(
            app, sockets=[door], threads=THREADS, ident="", max_request_body_size=MOST_UPLOADED + 1_000_000
        )
        announce(f"http://{TEACHER_HOST}:{door.getsockname()[1]}/?key={keys.teacher}")
        server.run()


def desk_for(class_path: Path | None) -> Desk:
    """The desk with the folder of a class, or with the current folder."""
    if class_path is None:
        return Desk(Path.cwd())
    folder = class_path.absolute().parent
    if class_path.is_dir():
        return Desk(class_path.absolute())
    if not folder.is_dir():
        raise InputError(f"there is no folder {folder}; make it first, or give another place for the class file")
    return Desk(folder, class_path.name)


def listening(port: int | None) -> socket.socket:
    """A socket that only this machine reaches."""
    try:
        return _bound(USUAL_PORT if port is None else port)
    except (OSError, OverflowError) as error:
        if port is None:
            return _bound(0)
        raise InputError(f"port {port} cannot be used ({error}); leave --port out to take any that is free") from error


def _bound(port: int) -> socket.socket:
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if os.name == "posix":  # elsewhere it would let two programs listen on one port
            door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        door.bind((TEACHER_HOST, port))
    except BaseException:
        door.close()
        raise
    return door
