"""Stations of a lesson: planned, carried on, taken off."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.faces.page import circuit as verbs
from grouper.faces.page.state import desk, field, minutes_of, numbers_of, open_class, whole
from grouper.faces.page.views.circuits import circuits_view
from grouper.games.days.time_given import TimeGiven

stations = Blueprint("stations", __name__, url_prefix="/c/<name>/lesson/<int:number>/stations")


@stations.get("")
def of_lesson(name: str, number: int) -> str:
    """Who is where when, and what could go round."""
    shown = open_class(name, "today")
    return render_template("stations.html", shown=shown, view=circuits_view(shown.record, number))


@stations.post("/plan")
def plan(name: str, number: int) -> Response:
    """Stations for the groups of an activity: names, a line each, or how many there are."""
    activity, count = request.form.get("activity", ""), whole("count", 0)
    names = [" ".join(line.split()) for line in request.form.get("names", "").splitlines() if line.strip()]
    time = TimeGiven(minutes_of("minutes"), minutes_of("play"), minutes_of("changeover") or 0.0)
    desk().change(name, lambda record: verbs.planned(record, number, activity, names, count, time), in_sight=True)
    return _back(name, number)


@stations.post("/on")
def go_on(name: str, number: int) -> Response:
    """The rest is planned anew, with the stations that are open."""
    activity, played, there = request.form.get("activity", ""), whole("played", 0), numbers_of("station")
    slots = whole("slots", 0) if field("slots") else None
    desk().change(name, lambda record: verbs.gone_on(record, number, activity, played, there, slots), in_sight=True)
    return _back(name, number)


@stations.post("/off")
def take_off(name: str, number: int) -> Response:
    """No stations any more."""
    activity = request.form.get("activity", "")
    desk().change(name, lambda record: verbs.taken_off(record, number, activity), in_sight=True)
    return _back(name, number)


def _back(name: str, number: int) -> Response:
    return redirect(url_for("stations.of_lesson", name=name, number=number), 303)
