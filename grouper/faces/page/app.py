"""The app: its addresses behind the guard, its templates, and errors as pages."""

from __future__ import annotations

from datetime import date

from flask import Flask, render_template, request, url_for
from jinja2 import StrictUndefined
from werkzeug.exceptions import HTTPException

from grouper.errors import GrouperError, ImpossibleError, InputError, InUseError, OutOfTimeError
from grouper.faces.page.asking import SURE, AskFirst
from grouper.faces.page.desk import Desk
from grouper.faces.page.guard import Guard
from grouper.faces.page.keys import COOKIE, Keys
from grouper.faces.page.routes import ADDRESSES
from grouper.faces.page.state import State, state
from grouper.faces.page.trouble import sentences
from grouper.faces.views.aims import aim_in_words
from grouper.faces.views.look import look_css
from grouper.faces.wording import words
from grouper.faces.wording.numbers import counted, listed

SCREEN = "screen"
"""The addresses of the students' screen."""

BROKEN = "This is a fault of grouper. What was saved before is as it was; go back and try again."

STATUS: dict[type[GrouperError], int] = {
    InputError: 400,
    ImpossibleError: 422,
    InUseError: 409,
    OutOfTimeError: 422,
}


def make_app(desk: Desk, keys: Keys, port: int) -> Flask:
    """The app for a desk, to be served on a port of this machine."""
    app = Flask("grouper.faces.page", static_url_path="/static")
    app.extensions["grouper"] = State(desk, keys, port)
    _set_up_templates(app, keys)
    Guard(keys, port).protect(app)
    for addresses in ADDRESSES:
        audience = keys.students if addresses.name == SCREEN else keys.teacher
        app.register_blueprint(addresses, url_prefix=audience.root + (addresses.url_prefix or ""))
    app.add_url_rule("/static/look.css", "look", _look)
    app.register_error_handler(AskFirst, _ask)
    app.register_error_handler(GrouperError, _trouble)
    app.register_error_handler(HTTPException, _refusal)
    return app


def _set_up_templates(app: Flask, keys: Keys) -> None:
    environment = app.jinja_env
    environment.undefined = StrictUndefined
    environment.finalize = words.clean_if_text
    environment.trim_blocks = environment.lstrip_blocks = True
    environment.filters.update(
        date=words.date_in_words,
        minutes=words.minutes_in_words,
        number=words.number_in_words,
        times=words.times_in_words,
        listed=listed,
        aim=aim_in_words,
    )
    environment.globals.update(form_key=keys.form, counted=counted, today=lambda: date.today().isoformat())


def _look() -> tuple[str, int, dict[str, str]]:
    return look_css(), 200, {"Content-Type": "text/css; charset=utf-8"}


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
    """The list of classes, for whoever is among the teacher's pages already; nobody else is shown where these are."""
    keys = state().keys
    at_home = request.path.startswith(f"{keys.teacher.root}/")
    return url_for("home.classes") if at_home and keys.teacher.is_of(request.cookies.getlist(COOKIE)) else None
