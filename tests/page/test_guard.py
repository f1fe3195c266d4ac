"""Nobody else gets in: hosts, origins, keys, forms, sizes, headers. Sources: OWASP ASVS 4.0 chapters 3, 4, 14 and the
OWASP cheat sheets on cross-site request forgery (read from memory)."""

from __future__ import annotations

import socket
import tempfile
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
from werkzeug.test import TestResponse

from grouper.errors import InputError
from grouper.faces.page.listening import listening
from tests.sheets.examples import every_aim

from .clients import NAME, PORT, House


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    yield House(tmp_path, every_aim())


TAP = f"/c/{NAME}/lesson/1/tap"


def test_it_listens_to_this_machine_alone() -> None:
    """The sockets are bound to 127.0.0.1 and ::1, so that no other address of the machine answers."""
    with listening(0) as doors:
        assert [door.getsockname()[0] for door in doors] in (["127.0.0.1", "::1"], ["127.0.0.1"])
        assert len({door.getsockname()[1] for door in doors}) == 1


def test_nobody_else_answers_under_the_same_port() -> None:
    """Where ``localhost`` leads to ::1 it is ours as well; a port that another program has there is not taken."""
    with listening(0) as doors:
        if len(doors) == 1:
            pytest.skip("this machine has no IPv6")
        port = doors[1].getsockname()[1]
        with socket.socket(socket.AF_INET6) as other, pytest.raises(OSError, match="in use"):
            other.bind(("::1", port))
    with socket.socket(socket.AF_INET6) as other:
        other.bind(("::1", 0))
        other.listen()
        port = other.getsockname()[1]
        with pytest.raises(InputError, match=f"port {port} cannot be used"), listening(port):
            pass
        with listening(0) as doors:
            assert doors[0].getsockname()[1] != port


def test_without_the_key_no_address_answers(house: House) -> None:
    """Every address but style sheets and scripts refuses a stranger, under both names of the machine."""
    for host in (f"127.0.0.1:{PORT}", f"localhost:{PORT}"):
        for method, path in house.addresses():
            answer = house.stranger(host).client.open(path, method=method, base_url=f"http://{host}")
            assert path.startswith("/static/") or answer.status_code in (403, 404), (host, method, path)


@pytest.mark.parametrize("by", ["address", "form"])
def test_a_key_becomes_a_cookie_once(house: House, by: str) -> None:
    """The key leaves the address at once and opens nothing again; the cookie is another secret, HttpOnly and Strict."""
    key = house.keys.teacher.new_key("/classes")

    def entering(key: str) -> TestResponse:
        stranger = house.stranger()
        return stranger.get(f"/?key={key}") if by == "address" else stranger.post("/enter", {"key": key})

    answer = entering(key)
    assert answer.status_code == 303
    cookie = answer.headers["Set-Cookie"]
    assert "HttpOnly" in cookie and "SameSite=Strict" in cookie and f"Path={house.keys.teacher.root}" in cookie
    assert key not in answer.text + str(answer.headers)
    for other in (key, house.keys.students.new_key(), house.keys.teacher.new_key(seconds=-1), "", "é"):
        assert entering(other).status_code == 403


def test_who_comes_from_another_site_goes_on_from_ours(house: House) -> None:
    """A strict cookie does not come along from another site: a page without data leads to the same address, once."""
    root, head = house.keys.teacher.root, {"Sec-Fetch-Mode": "navigate"}
    elsewhere = house.stranger().get(f"{root}/classes?a=1", headers={**head, "Sec-Fetch-Site": "cross-site"})
    assert f'content="0; url={root}/classes?a=1"' in elsewhere.text and "7b" not in elsewhere.text
    assert house.stranger().get(f"{root}/classes", headers={**head, "Sec-Fetch-Site": "same-origin"}).status_code == 403


def test_a_browser_that_looks_ahead_uses_no_key_up(house: House) -> None:
    """A browser may fetch an address while it is typed; the key is still good when it is opened."""
    key = house.keys.teacher.new_key()
    for header in ({"Sec-Purpose": "prefetch;prerender"}, {"Purpose": "prefetch"}):
        assert house.stranger().get(f"/?key={key}", headers=header).status_code == 503
    assert house.stranger().get(f"/?key={key}").status_code == 303


def test_the_cookie_goes_nowhere_without_the_secret_part_of_the_address(house: House) -> None:
    """Cookies do not know ports (RFC 6265, 8.5): a browser that is led to another port is not asked for ours.

    What the cookie is for is decided by its path (RFC 6265, 5.1.4), which nobody else knows.
    """
    teacher = house.teacher()
    jar = teacher.client._cookies
    (cookie,) = jar.values()
    assert cookie.path == house.keys.teacher.root and len(house.keys.teacher.root) > 20
    for path in ("/", "/c/7b.class/", "/static/page.css", "/enter"):
        assert not cookie._matches_request("127.0.0.1", path)
    assert house.keys.teacher.root not in house.stranger().get("/").text


def test_a_cookie_of_another_program_does_not_shut_the_owner_out(house: House) -> None:
    """Another port may set a cookie of the same name for the machine; it comes beside ours and is passed over."""
    teacher = house.teacher()
    teacher.client.set_cookie("grouper", "evil", domain="127.0.0.1", path="/")
    assert teacher.get("/classes").status_code == 200


@pytest.mark.parametrize("host", ["evil.example", "evil.example:8765", "127.0.0.1:1", "192.168.0.7:8765", "127.0.0.1"])
def test_a_foreign_host_is_refused(house: House, host: str) -> None:
    """Another name that leads here (DNS rebinding) gets nothing, key or not."""
    assert house.teacher().client.get("/classes", base_url=f"http://{host}").status_code in (400, 421)


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", f"http://localhost:{PORT}", "https://127.0.0.1:8765"]
)
def test_a_foreign_origin_changes_nothing(house: House, origin: str) -> None:
    """A form of another page is refused even with cookie and form key; the students' screen is another page too."""
    before = house.file.read().version
    form = house.form(student="0006", tap="away", since="1")
    assert house.teacher().post(TAP, form, headers={"Origin": origin}).status_code == 403
    assert house.file.read().version == before


def test_every_change_needs_the_form_key(house: House) -> None:
    """Each POST address refuses a form without the key or with a wrong one, and the file stays as it is."""
    before = house.file.read().version
    for method, path in house.addresses():
        if method == "POST":
            assert house.teacher().post(path, {}).status_code == 403, path
            assert house.teacher().post(path, {"form_key": "0" * 64}).status_code == 403, path
    assert house.file.read().version == before
    assert house.teacher().post(TAP, house.form(student="0006", tap="away", since="1")).status_code == 303


def test_no_get_changes_anything(house: House) -> None:
    """Looking at every page leaves the file as it is."""
    before = house.file.read().version
    for method, path in house.addresses():
        if method == "GET":
            house.teacher().get(path)
    assert house.file.read().version == before


def test_uploads_are_limited(house: House) -> None:
    """A form of 2 MB is refused, and so is a roster of 21 MB."""
    big = house.form(student="x" * 2_000_000)
    refused = house.teacher().post(TAP, big)
    assert refused.status_code == 413 and "more than 1 MB" in refused.text
    roster = house.form(list="x" * 21_000_000)
    assert house.teacher().post("/new", roster).status_code == 413


def test_nothing_is_left_under_the_temporary_directory(
    house: House, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is uploaded, looked at, taken in or handed over has no name there while it is at work, or after."""
    folder = tmp_path / "temporary"
    folder.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(folder))
    made: list[object] = []
    monkeypatch.setattr(tempfile, "mkdtemp", lambda *args, **more: made.append(args) or str(folder))
    teacher = house.teacher()
    roster = BytesIO(b"name\nAnn Ash\nBen Birch\n" + b",\n" * 400_000)
    given = teacher.post("/new", house.form(file=(roster, "secretive 7b.csv"), title="9c"))
    assert given.status_code == 303 and teacher.get(given.headers["Location"]).status_code == 200
    assert teacher.get(f"/c/{NAME}/keeping/handover").status_code == 200
    assert teacher.get(f"/c/{NAME}/evidence/held-on/0001").status_code == 200
    assert made == [] and list(folder.iterdir()) == []


def test_every_answer_carries_the_strict_policy(house: House) -> None:
    """No inline script or style, nothing from elsewhere, no framing; never kept by the browser."""
    for path in ("/classes", f"/c/{NAME}/unit", "/nothing"):
        headers = house.teacher().get(path).headers
        policy = headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy and "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy and "http" not in policy and "*" not in policy
        assert headers["X-Content-Type-Options"] == "nosniff" and headers["Cache-Control"] == "no-store"


def test_no_name_leads_out_of_the_folder(house: House, tmp_path: Path) -> None:
    """Names of class files with paths in them are no class files."""
    for name in ("..%2Fother.class", "%2Fetc%2Fpasswd", "..", "other.txt"):
        assert house.teacher().get(f"/c/{name}/unit").status_code in (308, 400, 404)
    made = house.teacher().post("/new", house.form(list="Ann\nBen", title="../../evil"))
    number = made.headers["Location"].rsplit("/", 1)[1]
    answer = house.teacher().post(f"/new/{number}", house.form(do="take", title="../../evil"))
    assert answer.status_code == 303
    assert sorted(p.name for p in tmp_path.iterdir() if p.suffix == ".class") == ["-..-evil.class", NAME]


def test_names_are_text_and_nothing_else(house: House) -> None:
    """A name with markup stands escaped on every page that shows it."""
    evil = '<img src=x onerror="alert(1)">'
    made = house.teacher().post("/new", house.form(list=f"{evil}\nBen\nCem", title="8a"))
    number = made.headers["Location"].rsplit("/", 1)[1]
    seen = house.teacher().get(f"/new/{number}").text
    assert "<img" not in seen and "&lt;img" in seen
    house.teacher().post(f"/new/{number}", house.form(do="take", title="8a"))
    for path in ("/c/8a.class/class", "/c/8a.class/requests"):
        assert "<img" not in house.teacher().get(path).text


@pytest.mark.parametrize(("mode", "status"), [("cors", 403), ("no-cors", 403), ("navigate", 200)])
def test_another_page_reads_nothing_even_without_an_origin(house: House, mode: str, status: int) -> None:
    """A picture or script tag of another site sends no Origin: the browser's word on where it is from counts, and a
    link that is followed is fine (Fetch Metadata, W3C)."""
    headers = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": mode}
    assert house.teacher().get("/classes", headers=headers).status_code == status
    assert house.teacher().get("/classes", headers={**headers, "Sec-Fetch-Site": "same-origin"}).status_code == 200


def test_the_students_screen_is_not_on_the_teachers_site(house: House) -> None:
    """Under the teacher's name it is nowhere, key or not, so that no cookie of the teacher ever stands on the wall."""
    path = f"/screen/{NAME}/1"
    assert house.teacher().get(path).status_code == 404
    assert house.stranger().get(path).status_code == 404
    assert house.student().get(path).status_code == 200
