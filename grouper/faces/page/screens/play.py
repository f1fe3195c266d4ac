"""Games, stations and even games of a lesson: planned, carried on, scored, taken off; for the teacher alone."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page import play as verbs
from grouper.faces.page.play_view import DUTIES, MEETINGS, ON_WALL, STATION_ORDERS, Wish, even_games_view, lesson_play
from grouper.faces.page.state import desk, field, minutes_of, numbers_of, open_class, whole
from grouper.model.play import GAMES, STATIONS, Asked, Event, Timing

play = Blueprint("play", __name__, url_prefix="/c/<name>/lesson/<int:number>/games")
stations = Blueprint("stations", __name__, url_prefix="/c/<name>/lesson/<int:number>/stations")
even_games = Blueprint("even_games", __name__, url_prefix="/c/<name>/lesson/<int:number>/even")

MOST_STATIONS = 60
"""More stations than so many are a slip of the hand."""

ABOUT = 20
"""So many points are taken for an even game where nothing is said."""


@play.get("")
def of_lesson(name: str, number: int) -> str:
    """Results, the table, and what could be played."""
    shown = open_class(name, "today")
    view = lesson_play(shown.record, GAMES, number)
    return render_template("games.html", shown=shown, view=view, duties=DUTIES, meetings=MEETINGS, on_wall=ON_WALL)


@stations.get("", endpoint="of_lesson")
def stations_of_lesson(name: str, number: int) -> str:
    """Who is where when, and what could go round."""
    shown = open_class(name, "today")
    view = lesson_play(shown.record, STATIONS, number)
    return render_template("stations.html", shown=shown, view=view, orders=STATION_ORDERS)


@play.post("/plan")
def plan(name: str, number: int) -> Response:
    """Games for the teams of an activity."""
    duty = field("duty") if field("duty") in dict(DUTIES) else "spare"
    asked = Asked(2 if field("meet") == "2" else 1, duty=duty)
    return _plan(name, number, Event(GAMES, (), ("",) * whole("courts", 0), asked=asked, timing=_timing()))


@stations.post("/plan", endpoint="plan")
def plan_stations(name: str, number: int) -> Response:
    """Stations for the groups of an activity: names, a line each, or how many there are."""
    names = [" ".join(line.split()) for line in request.form.get("names", "").splitlines() if line.strip()]
    count = max(whole("count", 0), len(names))
    if not 1 <= count <= MOST_STATIONS:
        raise InputError(
            "say what is done at each station, a line each, or how many there are, up to {most}",
            most=MOST_STATIONS,
        )
    places = (*names, *[""] * (count - len(names)))
    asked = Asked(order="rotation" if field("order") == "rotation" else "balanced")
    return _plan(name, number, Event(STATIONS, (), places, asked=asked, timing=_timing()))


def _timing() -> Timing:
    return Timing(minutes_of("play"), minutes_of("changeover") or 0.0)


def _plan(name: str, number: int, wish: Event) -> Response:
    activity, minutes = request.form.get("activity", ""), minutes_of("minutes")
    desk().change(name, lambda record: verbs.planned(record, number, activity, wish, minutes), in_sight=True)
    return _back(name, number, wish.kind)


@play.post("/on")
def go_on(name: str, number: int) -> Response:
    """The rest is planned anew, with the courts and teams that there are."""
    return _go_on(name, number, GAMES, "court")


@stations.post("/on", endpoint="go_on")
def stations_go_on(name: str, number: int) -> Response:
    """The rest is planned anew, with the stations that are open."""
    return _go_on(name, number, STATIONS, "station")


def _go_on(name: str, number: int, kind: str, place: str) -> Response:
    activity, slots = request.form.get("activity", ""), whole("slots", 0) if field("slots") else None
    now = verbs.Situation(whole("played", 0), numbers_of(place), numbers_of("team"), slots)
    desk().change(name, lambda record: verbs.gone_on(record, kind, number, activity, now), in_sight=True)
    return _back(name, number, kind)


@stations.post("/off")
def take_off(name: str, number: int) -> Response:
    """No stations any more."""
    activity = request.form.get("activity", "")
    desk().change(name, lambda record: verbs.taken_off(record, STATIONS, number, activity), in_sight=True)
    return _back(name, number, STATIONS)


@play.post("/wall")
def on_wall(name: str, number: int) -> Response:
    """What students see of the standings after games."""
    chosen = field("on_wall")
    desk().change(name, lambda record: verbs.on_wall(record, chosen), in_sight=True)
    return _back(name, number, GAMES)


@play.post("/names")
def name_teams(name: str, number: int) -> Response:
    """What the teams of games are called."""
    return _name_teams(name, number, GAMES)


@stations.post("/names", endpoint="name_teams")
def stations_name_teams(name: str, number: int) -> Response:
    """What the groups at stations are called."""
    return _name_teams(name, number, STATIONS)


def _name_teams(name: str, number: int, kind: str) -> Response:
    activity = request.form.get("activity", "")
    now = {int(key[7:]): field(key) for key in request.form if key.startswith("called-") and key[7:].isdecimal()}
    desk().change(name, lambda record: verbs.renamed(record, kind, number, activity, now), in_sight=True)
    return _back(name, number, kind)


@play.post("/results")
def results(name: str, number: int) -> Response:
    """Results were typed."""
    activity, were, now = request.form.get("activity", ""), _fields("was"), _fields("now")
    desk().change(name, lambda record: verbs.with_results(record, number, activity, were, now))
    return _back(name, number, GAMES)


@play.post("/results/back")
def take_back(name: str, number: int) -> Response:
    """A result is taken back by the button that names its game and teams."""
    activity, (spot, _, teams) = request.form.get("activity", ""), field("back").partition(" ")
    desk().change(name, lambda record: verbs.without_result(record, number, activity, _spot(spot), teams))
    return _back(name, number, GAMES)


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


def _back(name: str, number: int, kind: str) -> Response:
    where = "play" if kind == GAMES else "stations"
    return redirect(url_for(f"{where}.of_lesson", name=name, number=number), 303)


@even_games.get("")
def look(name: str, number: int) -> str:
    """With how many points the weaker side should start, game by game, for the way of playing that was chosen."""
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
        raise InputError("{share} is no share in per cent", "use 0 to 100", share=share)
    return share / 100
