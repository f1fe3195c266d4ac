"""What the threads of the page share while it runs: under a lock, and never more than so much."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from threading import Lock
from typing import Generic, TypeVar

K = TypeVar("K")
V = TypeVar("V")


class Kept(Generic[K, V]):
    """Things by their key, of which the one that was put longest ago is forgotten when there are more than ``most``."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._things: OrderedDict[K, V] = OrderedDict()
        self._lock = Lock()

    def put(self, key: K, thing: V) -> None:
        """Keep a thing, in the place of another with this key."""
        with self._lock:
            self._put(key, thing)

    def change(self, key: K, change: Callable[[V | None], V]) -> V:
        """Put in the place of a thing, or of none, what is made of it, with nobody in between; it is returned."""
        with self._lock:
            made = change(self._things.get(key))
            self._put(key, made)
            return made

    def _put(self, key: K, thing: V) -> None:
        self._things[key] = thing
        self._things.move_to_end(key)
        while len(self._things) > self._most:
            self._things.popitem(last=False)

    def get(self, key: K) -> V | None:
        """The thing with this key, or None."""
        with self._lock:
            return self._things.get(key)

    def take(self, key: K) -> V | None:
        """The thing with this key, or None; it is kept no longer, so that of several who ask one gets it."""
        with self._lock:
            return self._things.pop(key, None)

    def all(self) -> dict[K, V]:
        """Everything as it is now."""
        with self._lock:
            return dict(self._things)
