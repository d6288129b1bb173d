"""Hours from taps: whatever order the taps arrive in, the hours are those of the order they were made in. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Press:
    """One press on start (``package`` set) or stop (None), by its key; ``fault`` where the work is on one."""

    key: str
    at: datetime
    package: int | None
    fault: int | None = None


@dataclass(frozen=True, slots=True)
class Span:
    """Time worked on a package; ``press`` is the key of the press that began it. ``stop`` None = still running."""

    press: str
    package: int
    start: datetime
    stop: datetime | None
    fault: int | None = None


def spans(presses: Iterable[Press]) -> tuple[Span, ...]:
    """Spans of one person's presses. A start while something runs ends that; one on the same work changes nothing.

    Of a stop and a start at the same moment the stop came first.

    Examples
    --------
    >>> from datetime import timedelta
    >>> nine = datetime(2031, 5, 2, 9)
    >>> ten, eleven = nine + timedelta(hours=1), nine + timedelta(hours=2)
    >>> presses = [Press("a", nine, 1), Press("c", eleven, None), Press("b", ten, 2)]
    >>> [(span.package, span.start.hour, span.stop.hour) for span in spans(presses)]
    [(1, 9, 10), (2, 10, 11)]
    """
    found: list[Span] = []
    running: Press | None = None
    for press in sorted(presses, key=lambda press: (press.at, press.package is not None, press.key)):
        if running is not None:
            if (press.package, press.fault) == (running.package, running.fault):
                continue
            assert running.package is not None  # only starts run
            found.append(Span(running.key, running.package, running.at, press.at, running.fault))
        running = press if press.package is not None else None
    if running is not None and running.package is not None:
        found.append(Span(running.key, running.package, running.at, None, running.fault))
    return tuple(found)


def clipped(span: Span, fixed: Iterable[tuple[datetime, datetime | None]]) -> Span | None:
    """The span without the times that somebody has set by hand; None where nothing is left.

    Examples
    --------
    >>> nine, ten, noon = datetime(2031, 5, 2, 9), datetime(2031, 5, 2, 10), datetime(2031, 5, 2, 12)
    >>> clipped(Span("a", 1, nine, noon), [(ten, noon)]).stop.hour
    10
    """
    start, stop = span.start, span.stop
    for begin, end in sorted(fixed, key=lambda one: one[0]):
        if begin <= start and (end is None or start < end):
            if end is None:
                return None
            start = end
        elif begin > start and (stop is None or begin < stop):
            stop = begin
    if stop is not None and stop <= start:
        return None
    return replace(span, start=start, stop=stop)
