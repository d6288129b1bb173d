"""Lines of a job's history, and how lines of several logs come into one order. Pure."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from circuits.errors import LoomwrightError

PAGE = 40
"""Lines a page."""


class PlaceError(LoomwrightError, ValueError):
    """A place in the history that cannot be read."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a line stands: newest first; of one moment by log, then the later entry of that log first.

    Parameters
    ----------
    at : datetime
    log : int
        Rank of the log.
    key : int
        Primary key in that log.
    """

    at: datetime
    log: int
    key: int

    @property
    def order(self) -> tuple[float, int, int]:
        """Sorts the newest first."""
        return (-self.at.timestamp(), self.log, -self.key)

    def __str__(self) -> str:
        return f"{self.at.isoformat()}.{self.log}.{self.key}"


def read_place(text: str) -> Place:
    """A place from its text.

    Raises
    ------
    PlaceError

    Examples
    --------
    >>> str(read_place("2031-05-02T09:00:00+00:00.1.7"))
    '2031-05-02T09:00:00+00:00.1.7'
    """
    try:
        at, log, key = text.rsplit(".", 2)
        place = Place(datetime.fromisoformat(at), int(log), int(key))
    except ValueError as error:
        raise PlaceError(f"{text[:60]!r} is no place in a history") from error
    if place.at.tzinfo is None or not 0 <= place.key < 2**63:
        raise PlaceError(f"{text[:60]!r} is no place in a history")
    return place


@dataclass(frozen=True, slots=True)
class Line:
    """One line.

    Parameters
    ----------
    place : Place
    kind : str
        Key of the log's kind: such as ``plan``, ``work`` or ``money``.
    by : str
        Who; empty where it is not known.
    what : str
        In words, the subject left out.
    subject : str
        Circuit, check, fault or document that it is about.
    details : tuple of str
        What it was before and after, and the like.
    """

    place: Place
    kind: str
    by: str
    what: str
    subject: str = ""
    details: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Page:
    """Some lines, newest first, and the place after which older ones follow; None where there are none."""

    lines: tuple[Line, ...]
    older: Place | None


def merged(logs: Iterable[Sequence[Line]], size: int = PAGE) -> Page:
    """One page of several logs, each newest first and at least ``size`` + 1 lines long, or whole.

    Examples
    --------
    >>> from datetime import UTC
    >>> def line(hour, log):
    ...     return Line(Place(datetime(2031, 5, 2, hour, tzinfo=UTC), log, 1), "plan", "Otto", str(hour))
    >>> page = merged([[line(9, 0), line(7, 0)], [line(8, 1)]], size=2)
    >>> [line.what for line in page.lines], page.older == page.lines[-1].place
    (['9', '8'], True)
    """
    ordered = heapq.merge(*logs, key=lambda line: line.place.order)
    lines = [line for line, _ in zip(ordered, range(size + 1), strict=False)]
    shown = tuple(lines[:size])
    return Page(shown, shown[-1].place if len(lines) > size else None)
