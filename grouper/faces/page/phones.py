"""The teacher's own devices, for as long as the page runs: how one comes in, and what it may open.

A device asks with a code that the laptop shows, each code good for one device. It is let in when the teacher picks, at
the laptop, the word that stands on the device: whoever else read the code has another word, or none. What a device may
open without more is what is needed in the hall; all else is switched on at the laptop, for one device at a time.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from random import SystemRandom
from secrets import choice, token_urlsafe
from threading import RLock
from time import monotonic

from flask import g, has_request_context

from grouper.faces.page.keys import known_by, values_of

ALPHABET = "abcdefghjkmnpqrstuvwxyz23456789"
"""Letters and digits that are not taken for one another when a code is typed."""

CODE_LETTERS = 12
"""31 ** 12 codes are 59 bits: with so few tries a minute nobody guesses one in the time of a lesson, or of a life."""

CODE_SECONDS = 600.0
WAIT_SECONDS = 180.0
"""How long a code is good for, and how long a device may wait for its word to be picked."""

MOST_DEVICES = 8
MOST_WAITING = 4

MINUTE = 60.0
TRIES = 5
TRIES_OF_ALL = 60
MOST_ADDRESSES = 256
"""Wrong codes in a minute from one address, and from all together, after which a minute long no code is taken."""

WORDS = (
    "apple", "anchor", "basket", "bridge", "butter", "candle", "carpet", "castle", "cherry", "circle", "copper",
    "cotton", "desert", "dragon", "engine", "feather", "finger", "flower", "forest", "garden", "ginger", "guitar",
    "hammer", "harbour", "honey", "island", "jacket", "kettle", "ladder", "lantern", "lemon", "letter", "magnet",
    "marble", "meadow", "mirror", "mountain", "needle", "orange", "paper", "pencil", "pepper", "pillow", "planet",
    "pocket", "pumpkin", "rabbit", "ribbon", "river", "rocket", "saddle", "sandal", "silver", "spider", "spoon",
    "summer", "table", "teapot", "thunder", "tiger", "tunnel", "valley", "violin", "window",
)  # fmt: skip
CHOICES = 4
"""Of so many words the teacher picks one, so that nobody says yes without looking."""

CLASS, CLASSES = "class", "classes"
LEAVES = {CLASS: "all of the class: unit, ratings, requests, evidence", CLASSES: "the other classes too"}
"""What can be switched on for a device, in words."""


@dataclass(frozen=True)
class Device:
    """A device that was let in, or that waits: then ``klass`` is empty.

    ``word`` stands on it, ``choices`` are the words to pick from; ``leaves`` is what was switched on beyond the usual.
    """

    number: int
    kind: str
    address: str
    word: str
    choices: tuple[str, ...]
    since: float
    klass: str = ""
    leaves: frozenset[str] = frozenset()

    @property
    def is_in(self) -> bool:
        return bool(self.klass)


@dataclass
class _Tries:
    """Wrong codes by address within a minute; of many addresses the newest are remembered."""

    began: float = -MINUTE
    by_address: dict[str, int] = field(default_factory=dict)
    of_all: int = 0

    def are_enough(self, address: str) -> bool:
        if monotonic() - self.began > MINUTE:
            self.began, self.of_all = monotonic(), 0
            self.by_address.clear()
        return self.of_all >= TRIES_OF_ALL or self.by_address.get(address, 0) >= TRIES

    def add(self, address: str) -> None:
        self.of_all += 1
        self.by_address[address] = self.by_address.pop(address, 0) + 1
        if len(self.by_address) > MOST_ADDRESSES:
            del self.by_address[next(iter(self.by_address))]


class TooManyTries(Exception):
    """From this address, or altogether, too many wrong codes came within a minute."""


class Phones:
    """All devices of a run, and the code for the next one; ``used`` is called when a code was used."""

    def __init__(self, used: Callable[[], None] = lambda: None) -> None:
        self.used = used
        self._devices: dict[str, Device] = {}
        self._code = ("", -CODE_SECONDS)
        self._tries = _Tries()
        self._count = 0
        self._changes = 0
        self._lock = RLock()

    @property
    def code(self) -> str:
        """The code for the next device: the same until it was used, or too old."""
        with self._lock:
            code, made = self._code
            if not code or monotonic() - made > CODE_SECONDS:
                code = "".join(choice(ALPHABET) for _ in range(CODE_LETTERS))
                self._code = (code, monotonic())
                self._changes += 1
            return code

    @property
    def version(self) -> str:
        """Another text whenever there is something else to see."""
        with self._lock:
            return f"{self._changes} {len(self.all())} {self.code}"

    def ask(self, code: str, kind: str, address: str) -> str | None:
        """A device asks with a code: the cookie that it is known by from then on, or None where the code is none. After
        too many wrong ones not even the right one is taken (TooManyTries).
        """
        with self._lock:
            if self._tries.are_enough(address):
                raise TooManyTries
            now, made = self._code
            given = "".join(letter for letter in code.casefold() if letter in ALPHABET)
            # Compared by what they hash to: the time that it takes tells nothing of how much was right.
            fits = bool(now) and known_by(given) == known_by(now) and monotonic() - made <= CODE_SECONDS
            waiting = sum(not device.is_in for device in self.all())
            if not fits or waiting >= MOST_WAITING or len(self._devices) >= MOST_DEVICES + MOST_WAITING:
                self._tries.add(address)
                return None
            self._code = ("", -CODE_SECONDS)
            cookie = token_urlsafe(32)
            self._count += 1
            taken = {device.word for device in self._devices.values()}
            lots = SystemRandom()
            choices = lots.sample([word for word in WORDS if word not in taken], CHOICES)
            self._devices[known_by(cookie)] = Device(
                self._count, kind, address, lots.choice(choices), tuple(choices), monotonic()
            )
            self._changes += 1
        self.used()
        return cookie

    def of(self, cookies: list[str]) -> Device | None:
        """The device that holds one of these cookies, let in or waiting; None for nobody of ours."""
        with self._lock:
            self._let_go_of_late()
            found = (self._devices.get(known_by(cookie)) for cookie in cookies)
            return next((device for device in found if device), None)

    def knows(self, cookies: str) -> bool:
        """Whether a line of cookies, as a browser sends it, is of a device that was let in."""
        device = self.of(values_of(cookies))
        return device is not None and device.is_in

    def all(self) -> tuple[Device, ...]:
        """Those that are in and those that wait, in the order in which they came."""
        with self._lock:
            self._let_go_of_late()
            return tuple(self._devices.values())

    def _let_go_of_late(self) -> None:
        for key, device in list(self._devices.items()):
            if not device.is_in and monotonic() - device.since > WAIT_SECONDS:
                del self._devices[key]
                self._changes += 1

    def pick(self, number: int, word: str, klass: str) -> bool:
        """The teacher picked a word for a device that waits: the right one lets it in, another sends it away."""
        with self._lock:
            key, device = self._entry(number)
            if device is None or device.is_in:
                return False
            # A device may have come in while this one waited for its word.
            full = sum(one.is_in for one in self._devices.values()) >= MOST_DEVICES
            if full or device.word != word:
                self.remove(number)
                return False
            self._devices[key] = replace(device, klass=klass)
            self._changes += 1
            return True

    def allow(self, number: int, klass: str, leaves: frozenset[str]) -> None:
        """Say which class a device is for, and what it may open beyond the usual."""
        with self._lock:
            key, device = self._entry(number)
            if device is not None and device.is_in and klass:
                self._devices[key] = replace(device, klass=klass, leaves=leaves & LEAVES.keys())
                self._changes += 1

    def remove(self, number: int) -> None:
        """What a device holds opens nothing from now on."""
        with self._lock:
            key, _ = self._entry(number)
            self._devices.pop(key, None)
            self._changes += 1

    def remove_all(self) -> None:
        """No device is known any more, as when the page goes to another address."""
        with self._lock:
            self._devices.clear()
            self._code = ("", -CODE_SECONDS)
            self._changes += 1

    def _entry(self, number: int) -> tuple[str, Device | None]:
        found = ((key, device) for key, device in self._devices.items() if device.number == number)
        return next(found, ("", None))


OPEN = frozenset(
    f"{part}.{address}"
    for part, addresses in {
        "home": "start of_class version undo redo",
        "door": "lesson tap taps guest other_groups not_begun bell clock turn",
        "by_hand": "swap move pin",
        "play": "of_lesson results take_back go_on",
        "stations": "of_lesson go_on",
        "after": "over as_planned differed rest reopen coached felt counted points chose",
        "tasks": "look step",
    }.items()
    for address in addresses.split()
)
"""The addresses that are open to every device of the teacher's: the door, the clock, results, how it went."""

OF_CLASS = {"unit", "following", "tasks", "roll", "suggested", "evidence", "test_results", "even_games", "after"}
"""The parts of the page that come with a leave to see all of a class; what is in none of them, such as erasing, handing
over and the screen, is done at the laptop."""


def this_device() -> Device | None:
    return g.get("device") if has_request_context() else None


def sees(leave: str) -> bool:
    """Whether whoever asks now may see what a leave is about: at the laptop everything."""
    device = this_device()
    return device is None or leave in device.leaves


def may_open(endpoint: str) -> bool:
    """Whether whoever asks now may open an address, by its name in the app."""
    device = this_device()
    if device is None or endpoint in OPEN:
        return True
    if endpoint == "home.classes":
        return CLASSES in device.leaves
    return CLASS in device.leaves and endpoint.partition(".")[0] in OF_CLASS
