"""Games, stations and even games of a lesson: planned, carried on, scored, taken off; for the teacher alone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page import play_view
from grouper.faces.page.desk import Done, Verb
from grouper.faces.page.remedies import BUTTONS
from grouper.faces.page.state import change, field, minutes_of, numbers_of, open_class, whole
from grouper.faces.wording.tasks import (
    game_in_words,
    play_in_words,
    ways_in_words,
    where_in_words,
    why_even_teams_start,
)
from grouper.faces.wording.telling import told
from grouper.games.days.groups import activity_meant, called, event_meant, of_class, round_meant
from grouper.games.days.plan import News, TimeLeft, changes_to, planned_in, resumed
from grouper.games.days.season import Scored, scored, unscored, with_scores
from grouper.model.play import GAMES, STATIONS, Asked, Assignment, Event, Score, Timing
from grouper.model.record import ClassRecord
from grouper.tasks.adapt import visits_kept_from
from grouper.tasks.handicap import Play
from grouper.tasks.uneven import levelled, pairings_of, strand_meant

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
    view = play_view.lesson_play(shown.record, GAMES, number)
    return render_template(
        "games.html",
        shown=shown,
        view=view,
        duties=play_view.DUTIES,
        meetings=play_view.MEETINGS,
        on_wall=play_view.ON_WALL,
    )


@stations.get("", endpoint="of_lesson")
def stations_of_lesson(name: str, number: int) -> str:
    """Who is where when, and what could go round."""
    shown = open_class(name, "today")
    view = play_view.lesson_play(shown.record, STATIONS, number)
    return render_template("stations.html", shown=shown, view=view, orders=play_view.STATION_ORDERS)


@play.post("/plan")
def plan(name: str, number: int) -> Response:
    duty = field("duty") if field("duty") in dict(play_view.DUTIES) else "spare"
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
    asked = Asked(order="rotation" if field("order") == "rotation" else "balanced")
    return _plan(
        name, number, Event(STATIONS, (), (*names, *[""] * (count - len(names))), asked=asked, timing=_timing())
    )


def _timing() -> Timing:
    return Timing(minutes_of("play"), minutes_of("changeover") or 0.0)


def _plan(name: str, number: int, wish: Event) -> Response:
    """In the place of those that there were for the activity."""
    activity, minutes = request.form.get("activity", ""), minutes_of("minutes")

    def verb(record: ClassRecord) -> Done:
        asked = of_class(record, wish, number, activity)
        record, event = planned_in(record, asked, minutes, visits_kept_from(record, asked))
        return record, f"{event.kind} of '{activity}' in lesson {number}"

    return _changed(name, number, wish.kind, verb)


@play.post("/on", defaults={"kind": GAMES})
@stations.post("/on", defaults={"kind": STATIONS})
def go_on(name: str, number: int, kind: str) -> Response:
    """The slots after those that are over are planned anew, with the places and teams that there are."""
    activity, played = request.form.get("activity", ""), whole("played", 0)
    places, teams = numbers_of("court" if kind == GAMES else "station"), numbers_of("team")
    slots = whole("slots", 0) if field("slots") else None

    def verb(record: ClassRecord) -> Done:
        record.check_open(number)
        event = event_meant(record, kind, number, activity)
        news = News(
            places=changes_to(len(event.places), places, event.setback.closed),
            # At stations nobody is asked who is there: groups that are missing stay as they were.
            missing=changes_to(
                len(event.teams), teams if event.is_games else frozenset(event.numbers), event.setback.out
            ),
            time=TimeLeft(slots),
            played=max(played, play_view.first_open_slot(event) - 1),
        )
        what = f"{'' if event.is_games else 'stations of '}'{activity}' in lesson {number}"
        goes = f"go{'es' if event.is_games else ''} on after slot {news.played}"
        return record.with_event(resumed(event, news, visits_kept_from(record, event))), f"{what} {goes}"

    return _changed(name, number, kind, verb)


@stations.post("/off")
def take_off(name: str, number: int) -> Response:
    activity = request.form.get("activity", "")

    def verb(record: ClassRecord) -> Done:
        record.check_open(number)
        gone = event_meant(record, STATIONS, number, activity)
        events = tuple(event for event in record.events if event.key != gone.key)
        return replace(record, events=events), f"no stations for '{activity}' in lesson {number}"

    return _changed(name, number, STATIONS, verb)


@play.post("/wall")
def on_wall(name: str, number: int) -> Response:
    chosen, said = field("on_wall"), "what the wall shows of the standings"
    return _changed(
        name, number, GAMES, lambda record: (replace(record, points=replace(record.points, on_wall=chosen)), said)
    )


@play.post("/names", defaults={"kind": GAMES})
@stations.post("/names", defaults={"kind": STATIONS})
def name_teams(name: str, number: int, kind: str) -> Response:
    """What teams are called: by their labels where a field is empty."""
    activity = request.form.get("activity", "")
    names = {int(key[7:]): field(key) for key in request.form if key.startswith("called-") and key[7:].isdecimal()}

    def verb(record: ClassRecord) -> Done:
        event = event_meant(record, kind, number, activity)
        if not set(names) <= set(event.numbers):
            raise InputError("these teams are no longer there; load the page again")
        event = called(event, {event.label(team): name for team, name in names.items()})
        return record.with_event(event), f"names of teams of '{activity}' in lesson {number}"

    return _changed(name, number, kind, verb)


@dataclass(frozen=True)
class Typed:
    """What stands in the fields of a game: points won, points lost in play, and the two teams that the page showed."""

    teams: str
    won: tuple[str, str] = ("", "")
    lost: tuple[str, str] = ("", "")


@play.post("/results")
def results(name: str, number: int) -> Response:
    """Results were typed; only games whose fields are other than the page showed count as typed."""
    activity, were, now = request.form.get("activity", ""), _fields("was"), _fields("now")
    typed = {spot: fields for spot, fields in now.items() if fields != were.get(spot)}

    def verb(record: ClassRecord) -> Done:
        event = event_meant(record, GAMES, number, activity)
        changed = [game for game in event.assignments if game.spot in typed]
        for game in changed:
            event = _scored(event, game, typed[game.spot])
        if not changed:
            raise InputError("no result was changed; type two numbers for a game first")
        said = ", ".join(_named(event, game) for game in changed)
        return with_scores(record, event), f"results in lesson {number}: {said}"

    return _changed(name, number, GAMES, verb, in_sight=False)


@play.post("/results/back")
def take_back(name: str, number: int) -> Response:
    """A result is taken back by the button that names its game and teams."""
    activity, (at, _, teams) = request.form.get("activity", ""), field("back").partition(" ")
    spot = _spot(at)

    def verb(record: ClassRecord) -> Done:
        event = event_meant(record, GAMES, number, activity)
        game = next((game for game in event.assignments if game.spot == spot), None)
        if game is None:
            raise InputError("this game is no longer there; load the page again")
        return with_scores(record, _scored(event, game, Typed(teams))), f"no result after all: {_named(event, game)}"

    return _changed(name, number, GAMES, verb, in_sight=False)


def _fields(kind: str) -> Mapping[tuple[int, int], Typed]:
    """The fields of each game by its slot and court, as they were shown or as they are now."""
    found = {}
    for spot in {_spot(key[9:]) for key in request.form if key.startswith(f"{kind}-home-")}:
        at = f"{spot[0]}-{spot[1]}"
        won, lost = ((field(f"{one}-home-{at}"), field(f"{one}-away-{at}")) for one in (kind, f"{kind}-lost"))
        found[spot] = Typed(field(f"teams-{at}"), won, lost)
    return found


def _spot(text: str) -> tuple[int, int]:
    parts = text.split("-")
    if len(parts) != 2 or not all(part.isdecimal() and len(part) < 5 for part in parts):
        raise InputError("this game is no longer there; load the page again")
    return int(parts[0]), int(parts[1])


def _scored(event: Event, game: Assignment, typed: Typed) -> Event:
    """With a result as it was typed; empty fields where one stood take it back, bonus and penalty points stay."""
    if typed.teams != _named(event, game):
        raise InputError(
            "the games were planned again meanwhile, and {teams} is another game now", "look first", teams=typed.teams
        )
    home, away = (event.label(team) for team in game.teams)
    if typed.won == ("", "") and (typed.lost == ("", "") or game.score):
        return unscored(event, home, away, game.slot)[0]
    for text in (*typed.won, *filter(None, typed.lost)):
        if not (text.isascii() and text.isdecimal() and len(text) < 5):
            no_score, none = (
                "slot {slot}, {game}: '{text}' is no score",
                "slot {slot}, {game}: a result needs two numbers",
            )
            wrong = no_score if text else none
            raise InputError(wrong, "nothing was saved", slot=game.slot, game=_named(event, game), text=text)
    won, lost = ([int(text or 0) for text in texts] for texts in (typed.won, typed.lost))
    extra = game.score or Score(0, 0)
    one = Scored(home, won[0], extra.home_bonus, extra.home_penalty, lost[0])
    other = Scored(away, won[1], extra.away_bonus, extra.away_penalty, lost[1])
    return scored(event, one, other, game.slot)[0]


def _named(event: Event, game: Assignment) -> str:
    return f"{event.name(game.home)} – {event.name(game.away)}"


def _changed(name: str, number: int, kind: str, verb: Verb, in_sight: bool = True) -> Response:
    """Back to the games or stations; words about results are not for where students look, those of all else are."""
    where = "play.of_lesson" if kind == GAMES else "stations.of_lesson"
    return change(where, name, verb, in_sight=in_sight, number=number)


@even_games.get("")
def look(name: str, number: int) -> str:
    """With how many points the weaker side should start, game by game, for the way of playing that was chosen."""
    shown, args = open_class(name, "today"), request.args
    record = shown.record
    points, timed = args.get("points", ABOUT, type=int), args.get("until", "time") == "time"
    zone, trust, typed = _share("zone", 0), _share("trust", 100), args.get("strand", "")
    activities = [one.name for one in record.lesson(number).activities]
    planned = (event.activity for event in record.games if event.lesson == number)
    activity = args.get("activity", "") or next(planned, activities[-1])
    heading, why, trouble = "", "", ""
    games: list[tuple[str, str, str]] = []
    try:
        play = Play(points, timed, zone)
        round_ = round_meant(record, number, activity_meant(record, number, activity))
        strand = strand_meant(record, round_, typed)
        found = levelled(record, round_, pairings_of(record, round_), strand, play, trust)
        games = [(where_in_words(game), game_in_words(game, play), ways_in_words(game)) for game in found]
        heading, why = f"For {play_in_words(play)}, by {strand}", why_even_teams_start(found)
    except InputError as error:
        trouble = told(error.said, BUTTONS)
    given = {"activity": activity, "strand": typed, "points": points, "timed": timed, "zone": zone, "trust": trust}
    return render_template(
        "even_games.html",
        shown=shown,
        of_lesson=number,
        given=given,
        activities=activities,
        heading=heading,
        games=games,
        why=why,
        trouble=trouble,
    )


def _share(name: str, usual: int) -> float:
    share = request.args.get(name, usual, type=int)
    if not 0 <= share <= 100:
        raise InputError("{share} is no share in per cent", "use 0 to 100", share=share)
    return share / 100
