"""``grouper page``: the page in the browser."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("class_path", metavar="[CLASS]", type=click.Path(path_type=Path), required=False)
@click.option("--port", type=click.IntRange(0, 65535), metavar="N", help="Where to listen; any free one if left out.")
@click.option("--no-browser", is_flag=True, help="Print the address and open nothing.")
@click.option("--make-shortcut", is_flag=True, help="Put a starter for this on the desktop, and open nothing.")
def command(class_path: Path | None, port: int | None, no_browser: bool, make_shortcut: bool) -> None:
    """Open the page in the browser: served by this machine to this machine alone, until it is stopped with Ctrl+C.

    Without CLASS it shows the class files of this folder, and makes new ones. The first line printed is the address;
    whoever has it can use the page while it runs. It lets one browser in, once; then another is printed.
    """
    if make_shortcut:
        _on_the_desktop(class_path)
        return
    from grouper.faces.page.serve import serve_page

    words = iter(["Keep this window open while you use the page; Ctrl+C stops it."])

    def announce(address: str) -> None:
        said = next(words, "")
        if not said:
            click.echo("For another browser:")
        click.echo(address)
        if said:
            click.echo(said)

    serve_page(class_path, port, announce, None if no_browser else _show)


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
