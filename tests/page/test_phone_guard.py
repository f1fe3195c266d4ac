"""Phones: who was not let in gets nothing, who was gets what stands on the list, and that of one class."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from grouper.faces.page import phones as phones_module
from grouper.faces.page.app import make_app, make_phone_app
from grouper.faces.page.keys import Keys
from grouper.faces.page.phone_site import PhoneSite
from grouper.faces.page.phones import CLASS, CLASSES, MOST_ADDRESSES, OPEN, TRIES, TRIES_OF_ALL, Phones, TooManyTries
from grouper.faces.page.state import State
from grouper.files.store import ClassFile

from .clients import NAME, PORT, House, Visitor, app_of
from .test_two_audiences import full_record

HOST = "127.0.0.2:8766"
OTHER = "8c.class"
DOOR = f"/c/{NAME}/lesson/1"

OPEN_ON_A_PHONE = {
    *("home.start", "home.of_class", "home.version", "home.undo", "home.redo"),
    *("door.lesson", "door.tap", "door.taps", "by_hand.swap", "by_hand.move", "by_hand.pin", "door.guest"),
    *("door.other_groups", "door.not_begun", "door.bell", "door.clock", "door.turn"),
    *("play.of_lesson", "play.results", "play.take_back", "play.go_on", "stations.of_lesson", "stations.go_on"),
    *("after.over", "after.as_planned", "after.differed", "after.rest", "after.reopen", "after.coached"),
    *("after.felt", "after.counted", "after.points", "after.chose", "tasks.look", "tasks.step"),
}
"""Written down a second time: an address that is added to the page is closed to phones until it stands here too."""


class Hall:
    """A page that phones may come to, without a network between."""

    def __init__(self, folder: Path) -> None:
        self.site = PhoneSite(lambda site, host: None, 0)
        self.site.host = HOST
        self.house = House(folder, full_record(), self.site)
        ClassFile(folder / OTHER).create(full_record(), "made")
        desk, port = self.house.desk, int(HOST.rpartition(":")[2])
        state = State(desk, Keys(), port, self.site)
        self.app = app_of(self, "phones", lambda: make_phone_app(desk, self.site, HOST), state)
        self.laptop = self.house.teacher()

    @property
    def phones(self) -> Phones:
        return self.site.phones

    def stranger(self, host: str = HOST) -> Visitor:
        """Somebody on the network."""
        visitor = Visitor(self.app, host, self)
        visitor.base = f"https://{host}"
        return visitor

    def asking(self) -> Visitor:
        """A phone that has asked and waits."""
        visitor = self.stranger()
        answer = visitor.post("/join", {"code": self.phones.code})
        assert answer.status_code == 303
        visitor.root = answer.headers["Location"].removesuffix("/waiting")
        return visitor

    def joined(self, *leaves: str) -> Visitor:
        """A phone whose word was picked at the laptop."""
        visitor = self.asking()
        device = self.phones.all()[-1]
        form = self.house.form(number=device.number, word=device.word, klass=NAME)
        assert self.laptop.post("/phones/word", form).status_code == 303
        if leaves:
            more = self.house.form(number=device.number, klass=NAME, leave=list(leaves))
            assert self.laptop.post("/phones/leave", more).status_code == 303
        return visitor

    def addresses(self, root: str) -> Iterator[tuple[str, str, str]]:
        """Every address of the phones' app: its name, a method, and its path with the places filled in."""
        for rule in self.app.url_map.iter_rules():
            path = rule.rule
            for place, value in (
                ("<name>", NAME), ("<int:number>", "1"), ("<path:student>", "idsentinel0"), ("<number>", "nothing"),
                ("<path:filename>", "page.css"), ("<kind>", "wall"),
            ):  # fmt: skip
                path = path.replace(place, value)
            for method in sorted((rule.methods or set()) - {"OPTIONS"}):
                yield rule.endpoint, method, path


def form_of(page: TestResponse, **fields: Any) -> dict[str, Any]:
    """A form with the key that a page of the phone holds."""
    found = re.search(r'name="form_key" value="([0-9a-f]+)"', page.text)
    assert found
    return {"form_key": found[1], **fields}


def send(client: FlaskClient, method: str, path: str, host: str = HOST, **more: Any) -> TestResponse:
    return client.open(path, method=method, base_url=f"https://{host}", **more)


@pytest.fixture
def hall(tmp_path: Path) -> Hall:
    return Hall(tmp_path)


# --- strangers


def test_a_stranger_gets_nothing_from_any_address(hall: Hall) -> None:
    """Every address of the page, by every method, even by who knows how addresses begin: no word of a class."""
    root, before = hall.joined().root, hall.house.file.read().version
    for endpoint, method, path in hall.addresses(root):
        answer = send(hall.stranger().client, method, path)
        if endpoint not in ("static", "look", "joining.come", "joining.ask"):
            assert answer.status_code in (403, 404), path
        for word in (NAME, "Namea", root):
            assert word not in answer.text or path.startswith("/static/"), path
    assert hall.house.file.read().version == before


def test_how_addresses_begin_is_told_to_nobody_who_only_looks(hall: Hall) -> None:
    """Neither by the page to join, nor by a refusal."""
    root = hall.joined().root
    visitor = hall.stranger()
    for path in ("/", "/join", "/join?code=abcd", "/classes", "/nothing", f"/c/{NAME}/"):
        answer = visitor.get(path)
        assert root not in answer.text and root not in str(answer.headers)


@pytest.mark.parametrize("host", ["localhost:8766", "127.0.0.1:8766", "127.0.0.2", "127.0.0.2:8765", "evil.example"])
def test_another_host_is_refused_even_with_the_cookie(hall: Hall, host: str) -> None:
    """What a foreign name leads to is not answered: rebinding a name gets nothing."""
    phone = hall.joined()
    cookie = phone.client.get_cookie("grouper", domain="127.0.0.2", path=phone.root)
    assert cookie is not None
    for path in ("/join", phone.root + DOOR):
        answer = send(hall.stranger().client, "GET", path, host, headers={"Cookie": f"grouper={cookie.value}"})
        assert answer.status_code == 421, path


@pytest.mark.parametrize("origin", ["https://evil.example", "http://127.0.0.2:8766", "https://127.0.0.2:1", "null"])
def test_a_form_of_another_site_changes_nothing(hall: Hall, origin: str) -> None:
    """Even from a phone that was let in, with the key of its forms."""
    phone, before = hall.joined(), hall.house.file.read().version
    form = form_of(phone.get(DOOR), student="idsentinel0", tap="away", since="1")
    assert phone.post(f"{DOOR}/tap", form, headers={"Origin": origin}).status_code == 403
    cross = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "cors"}
    assert phone.get(DOOR, headers=cross).status_code == 403
    assert hall.house.file.read().version == before
    assert phone.post(f"{DOOR}/tap", form, headers={"Origin": f"https://{HOST}"}).status_code == 303


# --- codes


def test_looking_at_the_address_uses_no_code_up(hall: Hall) -> None:
    """Cameras and messengers look ahead; only the button asks."""
    code = hall.phones.code
    for _ in range(3):
        assert hall.stranger().get(f"/join?code={code}").status_code == 200
    assert hall.phones.code == code and hall.phones.all() == ()


def test_a_code_is_good_for_one_device(hall: Hall) -> None:
    """A second device with the same code is turned away, and so is one without or with a wrong one."""
    code = hall.phones.code
    assert hall.stranger().post("/join", {"code": code}).status_code == 303
    for wrong in (code, "", "a" * 12, code[:-1]):
        answer = hall.stranger().post("/join", {"code": wrong})
        assert answer.status_code == 403 and "Set-Cookie" not in answer.headers
    assert len(hall.phones.all()) == 1


def test_a_code_may_be_typed_with_gaps_and_capitals(hall: Hall) -> None:
    """As people type."""
    code = hall.phones.code
    assert hall.stranger().post("/join", {"code": f" {code[:4]}-{code[4:8]} {code[8:]}".upper()}).status_code == 303


def test_a_code_grows_old(hall: Hall, monkeypatch: pytest.MonkeyPatch) -> None:
    """After ten minutes another one stands at the laptop, and the old one is good for nothing."""
    code = hall.phones.code
    now = phones_module.monotonic()
    monkeypatch.setattr(phones_module, "monotonic", lambda: now + phones_module.CODE_SECONDS + 1)
    assert hall.stranger().post("/join", {"code": code}).status_code == 403
    assert hall.phones.code != code


def test_guessing_is_slow_and_bounded(hall: Hall) -> None:
    """After some wrong codes from one address not even the right one is taken there; from another it is."""
    visitor = hall.stranger()
    for place in range(TRIES):
        assert visitor.post("/join", {"code": f"wrong{place}"}).status_code == 403
    for _ in range(20):
        assert visitor.post("/join", {"code": hall.phones.code}).status_code == 429
    assert hall.phones.all() == ()
    other = send(visitor.client, "POST", "/join", data={"code": hall.phones.code}, environ_base={"REMOTE_ADDR": "::9"})
    assert other.status_code == 303


def test_guessing_from_many_addresses_is_bounded_too() -> None:
    """A thousand addresses have few tries together, and are not all remembered; a minute later it goes on."""
    phones = Phones()
    refused = 0
    for place in range(1000):
        try:
            assert phones.ask("wrong", "Phone", f"10.0.{place // 250}.{place % 250}") is None
        except TooManyTries:
            refused += 1
    assert refused == 1000 - TRIES_OF_ALL
    assert len(phones._tries.by_address) <= min(MOST_ADDRESSES, TRIES_OF_ALL)
    phones._tries.began -= 61
    assert phones.ask(phones.code, "Phone", "10.0.0.1")


def test_few_devices_wait_and_few_are_in(hall: Hall, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever photographs code after code fills no list: some wait at most, and are forgotten after some minutes."""
    monkeypatch.setattr(phones_module, "TRIES", 10_000)
    monkeypatch.setattr(phones_module, "TRIES_OF_ALL", 10_000)
    for _ in range(20):
        hall.stranger().post("/join", {"code": hall.phones.code})
    assert len(hall.phones.all()) == phones_module.MOST_WAITING
    now = phones_module.monotonic()
    monkeypatch.setattr(phones_module, "monotonic", lambda: now + phones_module.WAIT_SECONDS + 1)
    assert hall.phones.all() == ()


# --- the word


def test_a_device_that_waits_sees_its_word_and_nothing_else(hall: Hall) -> None:
    """Until it was picked, every other address is closed."""
    phone = hall.asking()
    (device,) = hall.phones.all()
    assert device.word in phone.get("/waiting").text
    for endpoint, method, path in hall.addresses(phone.root):
        if endpoint not in ("static", "look", "joining.come", "joining.ask", "waiting.word"):
            assert send(phone.client, method, path).status_code in (403, 404), path


def test_a_wrong_word_turns_the_device_away(hall: Hall) -> None:
    """The laptop shows several words; whoever picks blindly lets nobody in."""
    phone = hall.asking()
    (device,) = hall.phones.all()
    page = hall.laptop.get("/phones").text
    assert len(set(device.choices)) == phones_module.CHOICES and all(word in page for word in device.choices)
    wrong = next(word for word in device.choices if word != device.word)
    form = hall.house.form(number=device.number, word=wrong, klass=NAME)
    assert hall.laptop.post("/phones/word", form).status_code == 400
    assert hall.phones.all() == () and phone.get("/waiting").status_code == 403
    right = hall.house.form(number=device.number, word=device.word, klass=NAME)
    assert hall.laptop.post("/phones/word", right).status_code == 400
    assert phone.get(DOOR).status_code == 403


def test_two_devices_that_wait_have_different_words(hall: Hall) -> None:
    """Whoever read a code before the teacher has another word than the teacher's phone; none stands for both."""
    hall.asking()
    hall.asking()
    one, other = hall.phones.all()
    assert one.word not in other.choices


def test_picking_the_word_lets_it_into_the_class(hall: Hall) -> None:
    """The waiting page leads on, and the cookie is for TLS, for scripts never, and for these addresses alone."""
    phone = hall.joined()
    answer = phone.get("/waiting")
    assert answer.status_code == 303 and answer.headers["Location"] == f"{phone.root}/c/{NAME}/"
    assert phone.get("/").headers["Location"] == f"{phone.root}/c/{NAME}/"
    assert phone.get(DOOR).status_code == 200
    again = hall.stranger().post("/join", {"code": hall.phones.code}).headers["Set-Cookie"]
    assert all(part in again for part in ("Secure", "HttpOnly", "SameSite=Strict", f"Path={phone.root}"))


# --- what a device may open


def test_the_list_is_the_list() -> None:
    """Nobody opens an address to phones without writing it down twice."""
    assert OPEN == OPEN_ON_A_PHONE


def test_every_address_is_closed_unless_it_is_on_the_list(hall: Hall) -> None:
    """The page is walked by a phone without leave, with the right form key: what is not on the list is refused."""
    phone = hall.joined()
    form = form_of(phone.get(DOOR))
    before, walked = hall.house.file.read().version, set()
    for endpoint, method, path in hall.addresses(phone.root):
        if endpoint in OPEN_ON_A_PHONE:
            continue
        answer = send(phone.client, method, path, **({"data": form} if method == "POST" else {}))
        if endpoint in ("static", "look", "joining.come", "joining.ask", "waiting.word"):
            continue
        assert answer.status_code in (403, 404), (endpoint, method)
        walked.add(endpoint)
    laptops = {rule.endpoint for rule in hall.house.app.url_map.iter_rules()}
    assert walked >= {one for one in laptops if "." in one and not one.startswith("phones.")} - OPEN_ON_A_PHONE
    assert hall.house.file.read().version == before


def test_what_lets_devices_in_is_at_the_laptop_alone(hall: Hall) -> None:
    """No address of the phones' app picks a word, gives leave or removes; nor is there one without --phone."""
    assert not any(rule.endpoint.startswith("phones.") for rule in hall.app.url_map.iter_rules())
    alone = make_app(hall.house.desk, hall.house.keys, PORT)
    assert not any("phones" in str(rule) for rule in alone.url_map.iter_rules())


def test_a_phone_without_leave_holds_nothing_of_ratings_requests_and_notes(hall: Hall) -> None:
    """Every open page is searched for what the record holds: ratings, strands, requests, notes, reasons, seeds."""
    phone = hall.joined()
    closed = ("strandsentinel", "76543", "1234.5", "8765.25", "424242", "notesentinel", "reasonsentinel", "2718.25")
    said = ("rating", "evidence", "handicap", "coaching", "balanced")
    seen = 0
    for endpoint, method, path in hall.addresses(phone.root):
        if method == "GET" and endpoint in OPEN_ON_A_PHONE:
            text = send(phone.client, method, path, follow_redirects=True).text.casefold()
            text = re.sub(r'data-version="[^"]*"|name="(form_key|version)" value="[^"]*"', "", text)
            text = text.replace(phone.root.casefold(), "")
            seen += "name" in text
            assert [word for word in (*closed, *said) if word in text] == [], path
    assert seen >= 5


def test_the_search_of_a_phone_would_find_it(hall: Hall) -> None:
    """With leave to see all of the class the same words are there: the search can fail."""
    phone = hall.joined(CLASS)
    text = " ".join(phone.get(f"/c/{NAME}/{page}").text for page in ("class", "lesson/1/after", "requests", "unit"))
    assert all(word in text for word in ("strandsentinel", "76543", "notesentinel", "rating"))


def test_what_the_last_change_was_is_not_told_to_a_phone(hall: Hall) -> None:
    """A request that was made at the laptop stands in words on no page of a phone without leave."""
    form = hall.house.form(kind="apart", one="idsentinel6", other="idsentinel8")
    assert hall.laptop.post(f"/c/{NAME}/requests", form).status_code == 303
    phone = hall.joined()
    for path in (DOOR, f"{DOOR}/games", f"{DOOR}/after", f"{DOOR}/stations", f"/c/{NAME}/tasks?lesson=1"):
        text = phone.get(path).text
        assert "a change" in text and "apart" not in re.sub(r"<label.*?keep two apart.*?</label>", "", text), path


def test_a_phone_takes_back_what_was_done_at_the_door_alone(hall: Hall) -> None:
    """Not what was done at the laptop elsewhere, whatever the form says; with leave it may."""
    hall.laptop.post(f"/c/{NAME}/requests", hall.house.form(kind="apart", one="idsentinel6", other="idsentinel8"))
    before = hall.house.file.read()
    phone = hall.joined()
    form = form_of(phone.get(DOOR), version=before.version, sure="yes")
    assert phone.post(f"/c/{NAME}/undo", form).status_code == 400
    assert hall.house.file.read().version == before.version
    phone.post(f"{DOOR}/tap", {**form, "student": "idsentinel0", "tap": "away", "since": "1"})
    now = hall.house.file.read().version
    assert now != before.version
    assert phone.post(f"/c/{NAME}/undo", {**form, "version": now}).status_code == 303
    assert not [a for a in hall.house.file.read().record.absences if a.student == "idsentinel0"]


def test_other_classes_are_closed_until_they_are_switched_on(hall: Hall) -> None:
    """By their names too, and by odd ways to write them."""
    phone = hall.joined()
    for path in (f"/c/{OTHER}/lesson/1", f"/c/{OTHER}/", "/classes", f"/c/{NAME}%2F..%2F{OTHER}/lesson/1"):
        assert phone.get(path).status_code in (403, 404), path
    assert hall.joined(CLASSES).get(f"/c/{OTHER}/lesson/1").status_code == 200


def test_a_leave_opens_what_it_says_and_never_what_stays_at_the_laptop(hall: Hall) -> None:
    """Erasing, handing over, new classes, the wall's screen: at the laptop, whatever was switched on."""
    phone = hall.joined(CLASS, CLASSES)
    for path in ("class", "requests", "unit", "evidence", "suggestions", "lesson/1/after", "tasks"):
        assert phone.get(f"/c/{NAME}/{path}").status_code == 200, path
    for path in (f"/c/{NAME}/keeping", f"/c/{NAME}/keeping/handover", "/new", f"{DOOR}/screen", f"/screen/{NAME}/1"):
        assert phone.get(path).status_code in (403, 404), path
    device = hall.phones.all()[-1]
    hall.laptop.post("/phones/leave", hall.house.form(number=device.number, klass=NAME))
    assert phone.get(f"/c/{NAME}/class").status_code == 403


# --- going


def test_a_removed_device_is_a_stranger_and_its_cookie_worth_nothing(hall: Hall) -> None:
    """Played again after the removal, from the same device or another."""
    phone, before = hall.joined(), hall.house.file.read().version
    form = form_of(phone.get(DOOR), student="idsentinel0", tap="away", since="1")
    cookie = phone.client.get_cookie("grouper", domain="127.0.0.2", path=phone.root)
    assert cookie is not None
    device = hall.phones.all()[-1]
    assert hall.laptop.post("/phones/remove", hall.house.form(number=device.number)).status_code == 303
    assert phone.get(DOOR).status_code == 403 and phone.post(f"{DOOR}/tap", form).status_code == 403
    held = {"Cookie": f"grouper={cookie.value}"}
    assert send(hall.stranger().client, "GET", phone.root + DOOR, headers=held).status_code == 403
    assert hall.house.file.read().version == before


def test_the_cookies_of_the_laptop_and_of_phones_are_two_things(hall: Hall) -> None:
    """Neither opens the other, nor does the form key of one go with the other."""
    phone = hall.joined()
    cookie = phone.client.get_cookie("grouper", domain="127.0.0.2", path=phone.root)
    assert cookie is not None
    visitor = hall.house.stranger()
    held = {"Cookie": f"grouper={cookie.value}"}
    assert visitor.get(hall.house.keys.teacher.root + DOOR, headers=held).status_code == 403
    teachers = {"Cookie": f"grouper={hall.house.keys.teacher.cookie}"}
    assert send(hall.stranger().client, "GET", phone.root + DOOR, headers=teachers).status_code == 403
    assert phone.post(f"{DOOR}/tap", hall.house.form(student="idsentinel0", tap="away")).status_code == 403


def test_another_address_sends_all_devices_away(hall: Hall) -> None:
    """As it has another certificate."""
    phone = hall.joined()
    hall.phones.remove_all()
    assert phone.get(DOOR).status_code == 403


def test_the_laptop_names_everybody_who_is_in(hall: Hall) -> None:
    """Listed by word, address and class, with what they may see."""
    hall.joined(CLASS)
    page = hall.laptop.get(f"/phones?from={NAME}").text
    device = hall.phones.all()[-1]
    assert device.word in page and device.address in page and "checked>all of the class" in page


def test_a_phone_is_shown_no_way_to_what_is_closed(hall: Hall) -> None:
    """No link or form on an open page leads to an address that the phone may not open."""
    phone = hall.joined()
    adapter = hall.app.url_map.bind(HOST)
    for path in (DOOR, f"{DOOR}?hand=1", *(f"{DOOR}/{page}" for page in ("games", "after", "stations"))):
        text = phone.get(path).text
        ways = re.findall(r'(?:href|formaction|action|data-taps|data-watch)="(/[^"#?]*)', text)
        assert len(ways) > 5
        for way in ways:
            for method in ("GET", "POST"):
                if adapter.test(way, method):
                    endpoint, _ = adapter.match(way, method)
                    assert endpoint in OPEN_ON_A_PHONE | {"static", "look"}, (path, way)


def test_a_class_without_groups_says_so(hall: Hall) -> None:
    """Where there is nothing planned a phone is not led to the unit, which is closed."""
    record = hall.house.file.read().record
    empty = replace(record, plan=replace(record.plan, rounds=()), events=())
    ClassFile(hall.house.file.path.parent / "9d.class").create(empty, "made")
    phone = hall.joined(CLASSES)
    assert (
        "at the laptop"
        in phone.client.get(f"{phone.root}/c/9d.class/", base_url=phone.base, follow_redirects=True).text
    )


@pytest.mark.parametrize("package", ["segno", "cryptography"])
def test_a_package_that_phones_need_is_named_with_what_to_do(package: str, tmp_path: Path) -> None:
    """The command ends at once with one line: which package is not here, and how to add it; nothing is served."""
    without = f"import sys; sys.modules[{package!r}] = None; from grouper.faces.cli.entry import main; main()"
    asked = [sys.executable, "-c", without, "page", "--phone", "--no-browser", "--port", "0"]
    ended = subprocess.run(asked, cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False)
    assert ended.returncode == 2 and "http" not in ended.stdout
    (line,) = ended.stderr.strip().splitlines()
    assert package in line and "pip install cryptography segno" in line and "leave --phone out" in line
