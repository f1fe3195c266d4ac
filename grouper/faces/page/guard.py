"""Nobody else gets in: which requests are answered at all, and what every answer forbids the browser to do.

Follows the OWASP Cheat Sheets on Cross-Site Request Forgery Prevention and on HTTP Headers (read from memory) and
Content Security Policy Level 3.
"""

from __future__ import annotations

from flask import Flask, Response, abort, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from grouper.faces.page.keys import STUDENT_HOST, TEACHER_HOST, Keys, same

POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
STUDENT_PATHS = ("/screen/", "/static/")
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
ENOUGH_FOR_A_FORM = 1_000_000
MOST_UPLOADED = 20_000_000
UPLOADS = ("/new", "/unit/file", "/next-unit", "/tasks/file", "/test-results/table")


class Guard:
    """Checks each request before any page is made; ``port`` is the one that the server listens on."""

    def __init__(self, keys: Keys, port: int) -> None:
        self.keys = keys
        self.hosts = {f"{name}:{port}": name for name in (TEACHER_HOST, STUDENT_HOST)}

    def protect(self, app: Flask) -> None:
        """Stand before all addresses of an app."""
        app.before_request(self.check)
        app.after_request(harden)

    def check(self) -> AnyResponse | None:
        """Refuse what is foreign; turn the key in an address into a cookie."""
        name = self.hosts.get(request.host)
        if name is None:
            abort(421, "This page answers to its own address alone; use the one that grouper page printed.")
        self._check_origin()
        if name == STUDENT_HOST and not request.path.startswith(STUDENT_PATHS):
            abort(404)
        if name == TEACHER_HOST and request.path.startswith("/screen/"):
            abort(404)
        if request.path.startswith("/static/"):
            return None
        return self._admit(name)

    def _check_origin(self) -> None:
        origin = request.headers.get("Origin")
        if origin is not None and origin != f"http://{request.host}":
            abort(403, "This came from another page, so nothing was done.")
        site, mode = (request.headers.get(f"Sec-Fetch-{what}") for what in ("Site", "Mode"))
        if site == "cross-site" and mode != "navigate":
            abort(403, "This came from another page, so nothing was done.")

    def _admit(self, name: str) -> AnyResponse | None:
        key, cookie = self.keys.of_host(name), f"grouper-{request.host.rsplit(':', 1)[-1]}"
        given = request.args.get("key", "")
        if request.method == "GET" and given and same(given, key):
            return _with_cookie(cookie, key, name)
        if not same(request.cookies.get(cookie, ""), key):
            abort(403, "Open the page by the whole address that grouper page printed; it changes with each start.")
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


def _with_cookie(cookie: str, key: str, name: str) -> AnyResponse:
    """The same address without the key, so that it stands in no history, and the key in a cookie.

    The students' screen is opened from the teacher's page, which to a browser is another site: its cookie has to come
    along with a link that is followed, and it opens nothing that could be changed.
    """
    answer = redirect(request.path, 303)
    same_site = "Strict" if name == TEACHER_HOST else "Lax"
    answer.set_cookie(cookie, key, httponly=True, samesite=same_site)
    return answer


def harden(answer: Response) -> Response:
    """Add to an answer what the browser is to refuse."""
    for header, value in HEADERS.items():
        answer.headers.setdefault(header, value)
    if request.path.startswith("/static/"):
        answer.headers["Cache-Control"] = "no-cache"
    return answer

