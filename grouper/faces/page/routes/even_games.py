"""Games between uneven teams, levelled: with how many points the weaker side should start."""

from __future__ import annotations

from flask import Blueprint, render_template, request

from grouper.errors import InputError
from grouper.faces.page.state import open_class
from grouper.faces.page.views.even_games import Wish, even_games_view

even_games = Blueprint("even_games", __name__, url_prefix="/c/<name>/lesson/<int:number>/even")

ABOUT = 20


@even_games.get("")
def look(name: str, number: int) -> str:
    """The starting points, game by game, for the way of playing that was chosen."""
    shown = open_class(name, "today")
    wish = Wish(
        request.args.get("activity", ""),
        request.args.get("strand", ""),
        request.args.get("points", ABOUT, type=int),
        request.args.get("until", "time") == "time",
        _share("zone", 0),
        _share("trust", 100),
    )
    return render_template("even_games.html", shown=shown, view=even_games_view(shown.record, number, wish))


def _share(name: str, usual: int) -> float:
    share = request.args.get(name, usual, type=int)
    if not 0 <= share <= 100:
        raise InputError(f"{share} is no share in per cent; use 0 to 100")
    return share / 100
