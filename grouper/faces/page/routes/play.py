"""Games of a lesson: planned, carried on, scored; for the teacher alone."""

from __future__ import annotations

from typing import cast

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page import play as verbs
from grouper.faces.page.state import desk, field, minutes_of, numbers_of, open_class, whole
from grouper.faces.page.views.play import DUTIES, MEETINGS, play_view
from grouper.games.asked import Duty
from grouper.games.days.start import GamesWish
from grouper.games.days.time_given import TimeGiven

play = Blueprint("play", __name__, url_prefix="/c/<name>/lesson/<int:number>/games")


@play.get("")
def of_lesson(name: str, number: int) -> str:
    """Results, the table, and what could be played."""
    shown = open_class(name, "today")
    view = play_view(shown.record, number)
    return render_template("games.html", shown=shown, view=view, duties=DUTIES, meetings=MEETINGS)


@play.post("/plan")
def plan(name: str, number: int) -> Response:
    """Games for the teams of an activity."""
    activity, wish = request.form.get("activity", ""), _wish()
    desk().change(name, lambda record: verbs.planned(record, number, activity, wish), in_sight=True)
    return _back(name, number)


def _wish() -> GamesWish:
    duty = field("duty") if field("duty") in dict(DUTIES) else "spare"
    time = TimeGiven(minutes_of("minutes"), minutes_of("play"), minutes_of("changeover") or 0.0)
    return GamesWish(whole("courts", 0), 2 if field("meet") == "2" else 1, duty=cast(Duty, duty), time=time)


@play.post("/results")
def results(name: str, number: int) -> Response:
    """Results were typed."""
    activity, were, now = request.form.get("activity", ""), _fields("was"), _fields("now")
    desk().change(name, lambda record: verbs.with_results(record, number, activity, were, now))
    return _back(name, number)


@play.post("/results/back")
def take_back(name: str, number: int) -> Response:
    """A result is taken back by the button that names its game and teams."""
    activity, (spot, _, teams) = request.form.get("activity", ""), field("back").partition(" ")
    desk().change(name, lambda record: verbs.without_result(record, number, activity, _spot(spot), teams))
    return _back(name, number)


def _fields(kind: str) -> dict[verbs.Spot, verbs.Typed]:
    """The fields of each game, as they were shown or as they are now."""
    spots = {_spot(key[9:]) for key in request.form if key.startswith(f"{kind}-home-")}
    return {
        spot: verbs.Typed(field(f"teams-{at}"), _sides(kind, at), _sides(f"{kind}-lost", at))
        for spot in spots
        for at in [f"{spot[0]}-{spot[1]}"]
    }


def _sides(kind: str, at: str) -> tuple[str, str]:
    return field(f"{kind}-home-{at}"), field(f"{kind}-away-{at}")


def _spot(text: str) -> verbs.Spot:
    parts = text.split("-")
    if len(parts) != 2 or not all(part.isdecimal() and len(part) < 5 for part in parts):
        raise InputError("this game is no longer there; load the page again")
    return int(parts[0]), int(parts[1])


@play.post("/on")
def go_on(name: str, number: int) -> Response:
    """The rest is planned anew, with the courts and teams that there are."""
    activity, slots = request.form.get("activity", ""), field("slots")
    now = verbs.Situation(
        whole("played", 0), numbers_of("court"), numbers_of("team"), whole("slots", 0) if slots else None
    )
    desk().change(name, lambda record: verbs.gone_on(record, number, activity, now), in_sight=True)
    return _back(name, number)


def _back(name: str, number: int) -> Response:
    return redirect(url_for("play.of_lesson", name=name, number=number), 303)
