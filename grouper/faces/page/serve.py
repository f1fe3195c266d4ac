"""Serve the page from this machine to this machine."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext, suppress
from dataclasses import dataclass
from html import escape
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from grouper.errors import InputError
from grouper.faces.page.app import make_app, make_phone_app
from grouper.faces.page.desk import Desk
from grouper.faces.page.guard import ENTER, MOST_UPLOADED
from grouper.faces.page.keys import Keys

if TYPE_CHECKING:
    from grouper.faces.page.phone_site import PhoneSite

OPENING = """<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><meta name="referrer" content="no-referrer"><title>grouper</title></head>
<body><form method="post" autocomplete="off" action="{action}"><input type="hidden" name="key" value="{key}">
<button>Open grouper</button></form><script>document.forms[0].submit()</script></body>
</html>
"""


def serve_page(
    class_path: Path | None,
    port: int | None,
    announce: Callable[[str], None],
    show: Callable[[Path], None] | None = None,
    phones: PhonesWished | None = None,
) -> None:
    """Serve until the process is told to stop.

    Parameters
    ----------
    class_path
        The class to open with, there already or not; None for those of the current folder.
    port
        Where to listen; 0 for any that is free; None for the usual one, or any where that is taken.
    announce
        Gets an address that lets one browser in, once somebody can come, and another whenever one was used.
    show
        Gets a file that only its owner may read and that opens the page in a browser; it is gone when it was used.
    phones
        How the teacher's own phones come in; None for not at all.

    Raises
    ------
    InputError
        The port is taken, or the folder does not exist.
    """
    from grouper.faces.page.listening import listening, serve

    keys = Keys()
    with listening(port) as doors:
        number = doors[0].getsockname()[1]
        site = f"http://{keys.teacher.host}:{number}"
        desk = desk_for(class_path)
        way = None if phones is None else phones.way(desk, port)
        app = make_app(desk, keys, number, way)

        def offer() -> None:
            with suppress(OSError):  # nobody reads what is printed any more
                announce(f"{site}/?key={keys.teacher.new_key(used=offer)}")

        offer()
        if way is not None:
            way.phones.used()
        with _opening(site + ENTER, keys) if show else nullcontext() as file:
            if show and file:
                show(file)
            serve(app, doors, keys.let_in_before, MOST_UPLOADED + 1_000_000)


@dataclass(frozen=True)
class PhonesWished:
    """Phones may come in at ``address``; where it is empty, at the one that this machine has, or that is chosen on the
    page. ``tell`` gets what a phone needs, whenever there is a new code; None where no address is open."""

    address: str
    tell: Callable[[WayIn | None], None]

    def way(self, desk: Desk, port: int | None) -> PhoneSite:
        """The way in, opened where there is one address for it; ``tell`` is told whenever a code was used."""
        from grouper.faces.page.phone_site import PhoneSite, addresses_here

        def offer() -> None:
            with suppress(OSError):  # nobody reads what is printed any more
                self.tell(WayIn(way.host, way.fingerprint, way.link, way.printed()) if way.host else None)

        # The port that was asked for is the laptop's own; where any will do, it will do for phones.
        way = PhoneSite(lambda site, host: make_phone_app(desk, site, host), 0 if port == 0 else None)
        here = [address for _, address in addresses_here()]
        if self.address or len(here) == 1:
            way.open_at(self.address or here[0])
        way.phones.used = offer
        return way


@dataclass(frozen=True)
class WayIn:
    """What a phone needs: where it comes in, the certificate's fingerprint, and the link to open, drawn in letters."""

    host: str
    fingerprint: str
    link: str
    drawn: str


@contextmanager
def _opening(action: str, keys: Keys) -> Iterator[Path]:
    """A file that opens the page in a browser, so that the key stands in no argument, address or history.

    Its folder is its owner's alone, and no name tells what it is about.
    """
    with TemporaryDirectory() as folder:
        path = Path(folder) / "open.html"

        def used() -> None:
            with suppress(OSError):  # what the browser still holds open goes at the end
                path.unlink()

        key = keys.teacher.new_key(used=used)
        path.touch(0o600)
        path.write_text(OPENING.format(action=escape(action), key=escape(key)), encoding="utf-8")
        yield path


def desk_for(class_path: Path | None) -> Desk:
    """The desk with the folder of a class, or with the current folder."""
    if class_path is None:
        return Desk(Path.cwd())
    folder = class_path.absolute().parent
    if class_path.is_dir():
        return Desk(class_path.absolute())
    if not folder.is_dir():
        raise InputError(
            "there is no folder {folder}", "make it first, or give another place for the class file", folder=folder
        )
    return Desk(folder, class_path.name)
