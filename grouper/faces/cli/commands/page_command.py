"""``grouper page``: the page in the browser."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from grouper.faces.page.serve import WayIn


@click.command()
@click.argument("class_path", metavar="[CLASS]", type=click.Path(path_type=Path), required=False)
@click.option("--port", type=click.IntRange(0, 65535), metavar="N", help="Where to listen; any free one if left out.")
@click.option("--no-browser", is_flag=True, help="Print the address and open nothing.")
@click.option("--phone", is_flag=True, help="Let your own phone or tablet come in over the local network.")
@click.option("--phone-at", metavar="ADDRESS", default="", help="The address of this machine for it, of several.")
@click.option("--make-shortcut", is_flag=True, help="Put a starter for this on the desktop, and open nothing.")
def command(
    class_path: Path | None, port: int | None, no_browser: bool, phone: bool, phone_at: str, make_shortcut: bool
) -> None:
    """Open the page in the browser: served by this machine to this machine alone, until it is stopped with Ctrl+C.

    Without CLASS it shows the class files of this folder, and makes new ones. The first line printed is the address;
    whoever has it can use the page while it runs. It lets one browser in, once; then another is printed.

    With --phone your own phone can come in too, once you have picked the word that stands on it: docs/phone.md.
    """
    if make_shortcut:
        _on_the_desktop(class_path)
        return
    from grouper.faces.page.serve import PhonesWished, serve_page

    words = iter(["Keep this window open while you use the page; Ctrl+C stops it."])

    def announce(address: str) -> None:
        said = next(words, "")
        if not said:
            click.echo("For another browser:")
        click.echo(address)
        if said:
            click.echo(said)

    phones = PhonesWished(phone_at, _for_phones) if phone or phone_at else None
    serve_page(class_path, port, announce, None if no_browser else _show, phones)


def _for_phones(way: WayIn | None) -> None:
    """How a phone comes in, with a code to scan on a terminal; another is printed when it was used."""
    if way is None:
        click.echo("This machine is in several networks, or in none; choose one on the page, under Phones.")
        return
    click.echo(f"Phones come in at {way.host}; fingerprint of the certificate (SHA-256):\n{way.fingerprint}")
    click.echo(f"For your phone: {way.link}")
    if sys.stdout.isatty():
        click.echo(way.drawn)
    click.echo("Good for one phone and ten minutes; a newer one stands on the page, under Phones.")


def _show(file: Path) -> None:
    """Open a file in the browser, which may take its time, or never come back before it is closed."""
    from threading import Thread

    Thread(target=_open, args=(file.as_uri(),), daemon=True).start()


def _on_the_desktop(class_path: Path | None) -> None:
    from grouper.faces.cli.shortcut import make_shortcut

    folder = Path.cwd() if class_path is None else class_path if class_path.is_dir() else class_path.absolute().parent
    click.echo(f"{make_shortcut(folder)} opens the classes in {folder.absolute()}; delete it to take it away.")


def _open(address: str) -> None:
    import webbrowser

    if not webbrowser.open(address):
        click.echo("No browser was found; open the address above yourself.", err=True)
