"""Nobody else gets in: which requests are answered at all, and what every answer forbids the browser to do.

Follows the OWASP Cheat Sheets on Cross-Site Request Forgery Prevention and on HTTP Headers (read from memory) and
Content Security Policy Level 3.
"""

from __future__ import annotations

from flask import Flask, Response, abort, make_response, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from grouper.faces.page.keys import COOKIE, Audience, Keys, same

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
STRANGER = "Open the page by the whole address that grouper page prints; each lets one browser in, once."
ENOUGH_FOR_A_KEY = 10_000
ENOUGH_FOR_A_FORM = 1_000_000
MOST_UPLOADED = 20_000_000
UPLOADS = ("/new", "/unit/file", "/next-unit", "/tasks/file", "/test-results/table")


class Guard:
    """Checks each request before any page is made; ``port`` is the one that the server listens on."""

    def __init__(self, keys: Keys, port: int) -> None:
        self.keys = keys
        self.audiences = {f"{audience.host}:{port}": audience for audience in (keys.teacher, keys.students)}

    def protect(self, app: Flask) -> None:
        """Stand before all addresses of an app."""
        app.before_request(self.check)
        app.after_request(harden)

    def check(self) -> AnyResponse | None:
        """Refuse what is foreign; turn a key that was not used yet into a cookie."""
        audience = self.audiences.get(request.host)
        if audience is None:
            abort(421, "This page answers to its own address alone; use the one that grouper page printed.")
        if request.path == ENTER:
            return _enter_by_form(audience)
        _check_origin()
        if request.path.startswith("/static/"):
            return None
        if request.path == "/" and audience is self.keys.teacher:
            return _enter_by_address(audience)
        if not request.path.startswith(f"{audience.root}/"):
            abort(404)
        if not audience.is_of(request.cookies.getlist(COOKIE)):
            return _once_more()
        if request.method != "GET":
            self._check_change()
        return None

    def _check_change(self) -> None:
        limit = MOST_UPLOADED if request.path.endswith(UPLOADS) else ENOUGH_FOR_A_FORM
        request.max_content_length = limit
        if (request.content_length or 0) > limit:
            abort(413, f"That is more than {limit // 1_000_000} MB; export one class alone.")
        if not same(request.form.get("form_key", ""), self.keys.form):
            abort(403, "The form is from an earlier start of grouper; load the page again.")


def _check_origin() -> None:
    origin = request.headers.get("Origin")
    if origin is not None and origin != f"http://{request.host}":
        abort(403, "This came from another page, so nothing was done.")
    site, mode = (request.headers.get(f"Sec-Fetch-{what}") for what in ("Site", "Mode"))
    if site == "cross-site" and mode != "navigate":
        abort(403, "This came from another page, so nothing was done.")


def _enter_by_address(audience: Audience) -> AnyResponse:
    """Somebody opened the address that was printed."""
    if "prefetch" in request.headers.get("Sec-Purpose", request.headers.get("Purpose", "")):
        abort(503)  # a browser that looks ahead is not to use up what its user is about to open
    address = audience.let_in(request.args.get("key", "")) if request.method == "GET" else None
    if address is None:
        abort(403, STRANGER)
    return _with_cookie(redirect(address, 303), audience)


def _enter_by_form(audience: Audience) -> AnyResponse:
    """A key came in a form, so that it stands in no address: from the file that opens the page, or for the screen.

    What is answered with another address is kept in no history or session, form and all.
    """
    request.max_content_length = ENOUGH_FOR_A_KEY
    address = audience.let_in(request.form.get("key", "")) if request.method == "POST" else None
    if address is None:
        abort(403, STRANGER)
    return _with_cookie(redirect(address, 303), audience)


def _once_more() -> AnyResponse:
    """Nobody who was let in, or somebody who comes from another site, as from the file that opens the page.

    A browser sends a strict cookie with what a page of this site leads to, and not with what another site does, though
    it was just given one; so the answer is a page of ours that leads to the same address.
    """
    if request.method != "GET" or request.headers.get("Sec-Fetch-Site") != "cross-site":
        abort(403, STRANGER)
    return make_response(render_template("entered.html", address=request.full_path.removesuffix("?")))


def _with_cookie(answer: AnyResponse, audience: Audience) -> AnyResponse:
    answer.set_cookie(COOKIE, audience.cookie, path=audience.root, httponly=True, samesite="Strict")
    return answer


def harden(answer: Response) -> Response:
    """Add to an answer what the browser is to refuse."""
    for header, value in HEADERS.items():
        answer.headers.setdefault(header, value)
    if request.path.startswith("/static/"):
        answer.headers["Cache-Control"] = "no-cache"
    return answer
