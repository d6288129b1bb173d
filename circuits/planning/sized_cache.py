"""Sized plans kept in this process, the least used dropped first."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock

from circuits.sized import SizedPlan


class SizedCache:
    """Keeps at most ``room`` sized plans, each under the stamps of its plan and of the build rules.

    Examples
    --------
    >>> cache = SizedCache(room=1)
    >>> cache.get("plan", "rules") is None
    True
    """

    def __init__(self, room: int) -> None:
        self._room = room
        self._kept: OrderedDict[tuple[str, str], SizedPlan] = OrderedDict()
        self._lock = Lock()

    def get(self, plan_stamp: str, rules_stamp: str) -> SizedPlan | None:
        """The kept result, or None."""
        with self._lock:
            kept = self._kept.get((plan_stamp, rules_stamp))
            if kept is not None:
                self._kept.move_to_end((plan_stamp, rules_stamp))
            return kept

    def put(self, plan_stamp: str, rules_stamp: str, sized: SizedPlan) -> None:
        """Keep a result."""
        with self._lock:
            self._kept[plan_stamp, rules_stamp] = sized
            self._kept.move_to_end((plan_stamp, rules_stamp))
            while len(self._kept) > self._room:
                self._kept.popitem(last=False)

    def clear(self) -> None:
        """Forget all."""
        with self._lock:
            self._kept.clear()


SIZED = SizedCache(room=64)
"""This process's own; 64 plans of 120 circuits are about 60 MB."""
