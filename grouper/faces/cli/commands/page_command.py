"""``grouper page``: the page in the browser."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("class_path", metavar="[CLASS]", type=click.Path(path_type=Path), required=False)
@click.option("--port", type=click.IntRange(0, 65535), metavar="N", help="Where to listen; any free one if left out.")
@click.option("--no-browser", is_flag=True, help="Print the address and open nothing.")
def command(class_path: Path | None, port: int | None, no_browser: bool) -> None:
    """Open the page in the browser: served by this machine to this machine alone, until it is stopped with Ctrl+C.

    Without CLASS it shows the class files of this folder, and makes new ones. The first line printed is the address;
    whoever has it can use the page while it runs.
    """
    from grouper.faces.page.serve import serve_page

    def announce(address: str) -> None:
        click.echo(address)
        click.echo("Keep this window open while you use the page; Ctrl+C stops it.")
        if not no_browser:
            _open(address)

    serve_page(class_path, port, announce)


def _open(address: str) -> None:
    import webbrowser

    if not webbrowser.open(address):
        click.echo("No browser was found; open the address above yourself.", err=True)
