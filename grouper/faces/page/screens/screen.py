"""The students' screen: the allow-listed view of one lesson and nothing else, on a site of its own."""

from __future__ import annotations

from hashlib import sha256
from typing import Any

from flask import Blueprint, Response, abort, render_template, request

from grouper.errors import GrouperError
from grouper.faces.page.kept import Clock
from grouper.faces.page.state import desk
from grouper.faces.views.students import ScreenView, screen_view

screen = Blueprint("screen", __name__, url_prefix="/screen/<name>/<int:number>")


@screen.get("")
def of_lesson(name: str, number: int) -> str:
    """The screen, with everything of the lesson in it, so that it goes on when the server is gone."""
    return render_template("screen.html", view=_view(name, number))


@screen.get("/rounds")
def rounds(name: str, number: int) -> Response:
    """The rounds as they stand now; the last round that has begun comes along, so that the door knows it."""
    view = _view(name, number)
    place = request.args.get("round", "")
    if place.isdecimal() and len(place) < 4:
        desk().screen_is_at(name, number, int(place), request.args.get("window", ""))
    answer = Response(render_template("screen_rounds.html", view=view), mimetype="text/html")
    # Every screen asks every few seconds: what has not changed is not sent again.
    answer.set_etag(sha256(answer.get_data()).hexdigest()[:32])
    answer.make_conditional(request)
    return answer


@screen.get("/clock")
def clock(name: str, number: int) -> dict[str, Any]:
    """How the clock of the lesson stands, after what this screen tells of it where it does."""
    told = request.args.to_dict()
    return desk().clocks.turn(name, number, Clock.told(told)) if told else desk().clocks.of(name, number)


def _view(name: str, number: int) -> ScreenView:
    """The view; whatever goes wrong is told in the same few words, which say nothing of the class."""
    try:
        return screen_view(desk().file(name).read().record, number)
    except GrouperError:
        abort(404, "There are no groups to show here; the teacher can open the screen again.")
