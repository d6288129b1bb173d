"""Results kept in this process under a key that names their whole input; the least used goes first."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable
from threading import Lock
from typing import Generic, TypeVar

K = TypeVar("K", bound=Hashable)
V = TypeVar("V")


class Kept(Generic[K, V]):
    """At most ``room`` results. Keys must name content, never a row: content that changes gets another key.

    Examples
    --------
    >>> kept = Kept(room=1)
    >>> kept.put("a", 1); kept.put("b", 2)
    >>> kept.get("a") is None, kept.get("b")
    (True, 2)
    """

    def __init__(self, room: int) -> None:
        self._room = room
        self._values: OrderedDict[K, V] = OrderedDict()
        self._lock = Lock()

    def get(self, key: K) -> V | None:
        """The result under ``key``, or None."""
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
            return self._values.get(key)

    def put(self, key: K, value: V) -> None:
        """Keeps a result."""
        with self._lock:
            self._values[key] = value
            self._values.move_to_end(key)
            while len(self._values) > self._room:
                self._values.popitem(last=False)
