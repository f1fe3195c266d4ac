"""Nobody else gets in: which requests are answered at all, and what every answer forbids the browser to do.

Follows the OWASP Cheat Sheets on Cross-Site Request Forgery Prevention and on HTTP Headers (read from memory) and
Content Security Policy Level 3.
"""

from __future__ import annotations

from flask import Response, abort, g, make_response, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from grouper.faces.page.keys import COOKIE, Audience, Keys, same
from grouper.faces.page.phones import CLASSES, Phones, may_open, sees

POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
ENTER = "/enter"
JOIN = "/join"
WAITING = "waiting.word"
STRANGER = "Open the page by the whole address that was shown when it was started; each lets one browser in, once."
TURNED_AWAY = "This device is not let in, or not any more; scan the code at the laptop."
STRANGER_WITHOUT_CODE = "This code was used already, or is too old; scan the one that the laptop shows now."
TRIED_TOO_OFTEN = "Too many wrong codes; wait a minute, then scan the one that the laptop shows."
NOT_OPEN = "This is not open to this device; it can be switched on at the laptop, under Phones."
ENOUGH_FOR_A_KEY = 10_000
ENOUGH_FOR_A_FORM = 1_000_000
MOST_UPLOADED = 20_000_000
UPLOADS = ("/new", "/unit/file", "/next-unit", "/tasks/file", "/test-results/table")


class Guard:
    """Checks each request before any page is made; ``port`` is the one that the server listens on."""

    def __init__(self, keys: Keys, port: int) -> None:
        self.keys = keys
        self.audiences = {f"{audience.host}:{port}": audience for audience in (keys.teacher, keys.students)}

    def check(self) -> AnyResponse | None:
        """Refuse what is foreign; turn a key that was not used yet into a cookie."""
        audience = self.audiences.get(request.host)
        if audience is None:
            abort(421, "This page answers to its own address alone; use the one that was shown when it was started.")
        if request.path == ENTER:
            # In a form a key stands in no address: from the file that opens the page, or for the screen. What is
            # answered with another address is kept in no history or session, form and all.
            request.max_content_length = ENOUGH_FOR_A_KEY
            return _let_in(audience, request.form.get("key", "") if request.method == "POST" else "")
        _check_origin()
        if request.path.startswith("/static/"):
            return None
        if request.path == "/" and audience is self.keys.teacher:
            if "prefetch" in request.headers.get("Sec-Purpose", request.headers.get("Purpose", "")):
                abort(503)  # a browser that looks ahead is not to use up what its user is about to open
            return _let_in(audience, request.args.get("key", "") if request.method == "GET" else "")
        if not request.path.startswith(f"{audience.root}/"):
            abort(404)
        if not audience.is_of(request.cookies.getlist(COOKIE)):
            if request.method != "GET" or request.headers.get("Sec-Fetch-Site") != "cross-site":
                abort(403, STRANGER)
            # A browser sends a strict cookie with what a page of this site leads to, and not with what another site
            # does, though it was just given one: so the answer is a page of ours that leads to the same address.
            return make_response(render_template("entered.html", address=request.full_path.removesuffix("?")))
        if request.method != "GET":
            _check_change(self.keys, MOST_UPLOADED if request.path.endswith(UPLOADS) else ENOUGH_FOR_A_FORM)
        return None


class PhoneGuard:
    """Checks each request that comes over the network, to the one address ``host`` with its port.

    Only what is needed to ask for being let in is answered to a stranger; whoever was let in may open what stands on
    the list of ``phones``, of the class that the device is for.
    """

    def __init__(self, phones: Phones, keys: Keys, host: str) -> None:
        self.phones, self.keys, self.host = phones, keys, host

    def check(self) -> None:
        """Refuse whoever was not let in, and what is not open to who was."""
        if request.host != self.host:
            abort(421, "This page answers to its own address alone; scan the code at the laptop.")
        _check_origin()
        if request.path.startswith("/static/"):
            return
        if request.path == JOIN:
            request.max_content_length = ENOUGH_FOR_A_KEY
            return
        if not request.path.startswith(f"{self.keys.teacher.root}/"):
            abort(404)
        device = self.phones.of(request.cookies.getlist(COOKIE))
        if device is None:
            abort(403, TURNED_AWAY)
        g.device = device
        if request.endpoint == WAITING and request.method == "GET":
            return
        if not device.is_in or request.endpoint is None or not may_open(request.endpoint):
            abort(403, NOT_OPEN)
        if (request.view_args or {}).get("name", device.klass) != device.klass and not sees(CLASSES):
            abort(403, NOT_OPEN)
        if request.method != "GET":
            _check_change(self.keys, ENOUGH_FOR_A_FORM)


def _check_change(keys: Keys, limit: int) -> None:
    request.max_content_length = limit
    if (request.content_length or 0) > limit:
        abort(413, f"That is more than {limit // 1_000_000} MB; export one class alone.")
    if not same(request.form.get("form_key", ""), keys.form):
        abort(403, "The form is from an earlier start of grouper; load the page again.")


def _check_origin() -> None:
    origin = request.headers.get("Origin")
    if origin is not None and origin != f"{request.scheme}://{request.host}":
        abort(403, "This came from another page, so nothing was done.")
    site, mode = (request.headers.get(f"Sec-Fetch-{what}") for what in ("Site", "Mode"))
    if site == "cross-site" and mode != "navigate":
        abort(403, "This came from another page, so nothing was done.")


def _let_in(audience: Audience, key: str) -> AnyResponse:
    address = audience.let_in(key)
    if address is None:
        abort(403, STRANGER)
    answer = redirect(address, 303)
    answer.set_cookie(COOKIE, audience.cookie, path=audience.root, httponly=True, samesite="Strict")
    return answer


def harden(answer: Response) -> Response:
    """Add to an answer what the browser is to refuse."""
    for header, value in HEADERS.items():
        answer.headers.setdefault(header, value)
    if request.path.startswith("/static/"):
        answer.headers["Cache-Control"] = "no-cache"
    return answer
