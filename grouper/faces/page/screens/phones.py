"""Devices of the teacher's: let in, listed and removed at the laptop; and on the device, asking to be let in."""

from __future__ import annotations

from typing import cast

from flask import Blueprint, abort, g, make_response, render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page.guard import JOIN, STRANGER_WITHOUT_CODE, TRIED_TOO_OFTEN
from grouper.faces.page.keys import COOKIE
from grouper.faces.page.phone_site import PhoneSite, addresses_here
from grouper.faces.page.phones import LEAVES, TooManyTries
from grouper.faces.page.state import desk, field, see, state, whole

phones = Blueprint("phones", __name__, url_prefix="/phones")
joining = Blueprint("joining", __name__)
waiting = Blueprint("waiting", __name__, url_prefix="/waiting")

A_DAY = 86_400
"""Seconds for which a phone keeps the cookie, so that it outlives a sleep; here it is good until the command ends."""


def site() -> PhoneSite:
    return cast(PhoneSite, state().phones)  # without it these addresses are not there


@phones.get("")
def look() -> str:
    """The code to scan, who waits, who is in."""
    here, of_class = site(), request.args.get("from", "")
    return render_template(
        "phones.html",
        site=here,
        drawn=Markup(here.drawn()) if here.host else "",
        addresses=addresses_here(),
        devices=here.phones.all(),
        classes=desk().names,
        chosen=of_class or desk().first,
        leaves=LEAVES,
    )


@phones.get("/version")
def version() -> dict[str, str]:
    """Another text whenever there is something new to see."""
    return {"version": site().phones.version}


@phones.post("/at")
def open_at() -> Response:
    site().open_at(field("address"))
    return _back()


@phones.post("/word")
def pick() -> Response:
    """A word was picked for a device that waits."""
    if not site().phones.pick(whole("number", 0), field("word"), _class_chosen()):
        raise InputError("that is not the word on the phone, so it was turned away; scan the code again")
    return _back()


@phones.post("/leave")
def allow() -> Response:
    site().phones.allow(whole("number", 0), _class_chosen(), frozenset(request.form.getlist("leave")))
    return _back()


def _class_chosen() -> str:
    klass = field("klass")
    if not desk().has(klass):
        raise InputError("choose the class that the phone is for")
    return klass


@phones.post("/remove")
def remove() -> Response:
    site().phones.remove(whole("number", 0))
    return _back()


def _back() -> Response:
    return see("phones.look", **{"from": field("from")})


@joining.get(JOIN)
def come() -> str:
    """The address that was scanned: nothing is used up by looking, as cameras and messengers look ahead."""
    return render_template("join.html", code=request.args.get("code", "")[:40], word="")


@joining.post(JOIN)
def ask() -> Response:
    devices = site().phones
    try:
        # "Mobi" is what browsers of phones say of themselves (MDN, Browser detection using the user agent).
        kind = "Phone" if "Mobi" in request.headers.get("User-Agent", "") else "Tablet or computer"
        cookie = devices.ask(field("code")[:40], kind, request.remote_addr or "")
    except TooManyTries:
        abort(429, TRIED_TOO_OFTEN)
    if cookie is None:
        abort(403, STRANGER_WITHOUT_CODE)
    answer = see("waiting.word")
    root = state().keys.teacher.root
    answer.set_cookie(COOKIE, cookie, max_age=A_DAY, path=root, secure=True, httponly=True, samesite="Strict")
    return answer


@waiting.get("")
def word() -> Response:
    """The word to compare, until it was picked at the laptop; then the class."""
    if g.device.is_in:
        return see("home.of_class", name=g.device.klass)
    return make_response(render_template("join.html", code="", word=g.device.word))
