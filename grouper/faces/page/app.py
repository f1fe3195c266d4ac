"""The app: its addresses behind the guard, its templates, and errors as pages."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from flask import Blueprint, Flask, render_template, request, url_for
from jinja2 import StrictUndefined
from werkzeug.exceptions import HTTPException

from grouper.errors import GrouperError, ImpossibleError, InputError, InUseError, OutOfTimeError
from grouper.faces.page.desk import Desk
from grouper.faces.page.guard import Guard, PhoneGuard, harden
from grouper.faces.page.kept import scenes_of
from grouper.faces.page.keys import COOKIE, Audience, Keys
from grouper.faces.page.phones import may_open, this_device
from grouper.faces.page.remedies import BUTTONS, sentences
from grouper.faces.page.screens import (
    after,
    by_hand,
    door,
    evidence,
    home,
    keeping,
    play,
    roll,
    screen,
    setup,
    tasks,
    unit,
)
from grouper.faces.page.state import SURE, AskFirst, State, state
from grouper.faces.views.look import look_css
from grouper.faces.views.play_view import bib_of
from grouper.faces.wording import words
from grouper.faces.wording.telling import trouble_in_words
from grouper.words import counted

if TYPE_CHECKING:
    from grouper.faces.page.phone_site import PhoneSite

SCREENS = (home, setup, door, by_hand, after, play, evidence, unit, roll, tasks, keeping)
"""The teacher's; that of the students is on a site of its own."""

BROKEN = "This is a fault of grouper. What was saved before is as it was; go back and try again."

STATUS: dict[type[GrouperError], int] = {
    InputError: 400,
    ImpossibleError: 422,
    InUseError: 409,
    OutOfTimeError: 422,
}


def make_app(desk: Desk, keys: Keys, port: int, phones: PhoneSite | None = None) -> Flask:
    """The app for a desk, to be served on a port of this machine; with ``phones`` devices are let in and out there."""
    app = _app(State(desk, keys, port, phones), Guard(keys, port))
    if phones is not None:
        from grouper.faces.page.screens.phones import phones as devices

        app.register_blueprint(devices, url_prefix=keys.teacher.root + (devices.url_prefix or ""))
    return app


def make_phone_app(desk: Desk, site: PhoneSite, host: str) -> Flask:
    """The same pages for devices that were let in, under an address of the local network, with keys of their own."""
    from grouper.faces.page.screens.phones import joining, waiting

    address, _, port = host.rpartition(":")
    keys = Keys(teacher=Audience(address))
    app = _app(State(desk, keys, int(port), site), PhoneGuard(site.phones, keys, host))
    app.register_blueprint(joining)
    app.register_blueprint(waiting, url_prefix=keys.teacher.root + (waiting.url_prefix or ""))
    return app


def _app(state: State, guard: Guard | PhoneGuard) -> Flask:
    app = Flask("grouper.faces.page", static_url_path="/static")
    app.extensions["grouper"] = state
    environment = app.jinja_env
    # A name that a template asks for and nobody gave is a fault to be seen, not an empty place on the page.
    environment.undefined = StrictUndefined
    environment.finalize = words.clean_if_text
    environment.trim_blocks = environment.lstrip_blocks = True
    environment.filters.update(
        words.FILTERS,
        told=lambda error: "; ".join(sentences(error)),
        trouble=lambda trouble: trouble_in_words(trouble, BUTTONS),
        bib=bib_of,
    )
    environment.globals.update(
        form_key=state.keys.form,
        counted=counted,
        today=lambda: date.today().isoformat(),
        may_open=may_open,
        this_device=this_device,
        for_phones=state.phones is not None,
        scenes_of=scenes_of,
    )
    app.before_request(guard.check)
    app.after_request(harden)
    # Every address of an audience begins with a part that is drawn anew at each start: see keys.py.
    for audience, modules in ((state.keys.teacher, SCREENS), (state.keys.students, (screen,))):
        for found in (each for module in modules for each in vars(module).values() if isinstance(each, Blueprint)):
            app.register_blueprint(found, url_prefix=audience.root + (found.url_prefix or ""))
    css = {"Content-Type": "text/css; charset=utf-8"}
    app.add_url_rule("/static/look.css", "look", lambda: (look_css(), 200, css))
    app.register_error_handler(AskFirst, _ask)
    app.register_error_handler(GrouperError, _trouble)
    app.register_error_handler(HTTPException, _refusal)
    return app


def _ask(ask: AskFirst) -> tuple[str, int]:
    """What would be lost, with a way on and a way back; the class file is as it was."""
    fields = [(name, value) for name, values in request.form.lists() if name != SURE for value in values]
    page = render_template("ask.html", ask=ask, fields=fields, files=bool(request.files), back=_back() or _home())
    return page, STATUS[InUseError]


def _trouble(error: GrouperError) -> tuple[str, int]:
    """What went wrong, where, what to try; the class file is as it was."""
    status = next((code for kind, code in STATUS.items() if isinstance(error, kind)), 500)
    first, *more = sentences(error)
    return _page_for(first, more, status)


def _refusal(error: HTTPException) -> tuple[str, int] | HTTPException:
    if error.code is None or error.code < 400:
        return error
    own = error.description if error.description != type(error).description else None
    return _page_for(own or (BROKEN if error.code >= 500 else "There is nothing here."), [], error.code)


def _page_for(message: str, more: list[str], status: int) -> tuple[str, int]:
    """A page that says nothing of a class beyond the message, as it may stand on the students' screen."""
    page = render_template("trouble.html", message=message, more=more, back=_back(), home=_home(), status=status)
    return page, status


def _back() -> str | None:
    """The page that somebody came from, unless it is this one; a browser names none of another site."""
    return request.referrer if request.referrer != request.url else None


def _home() -> str | None:
    """The list of classes, for whoever is among the teacher's pages already; nobody else is shown where these are.

    On a phone it is the class that the phone is for.
    """
    device = this_device()
    if device is not None:
        return url_for("home.start") if device.is_in else None
    keys = state().keys
    at_home = request.path.startswith(f"{keys.teacher.root}/")
    return url_for("home.classes") if at_home and keys.teacher.is_of(request.cookies.getlist(COOKIE)) else None
