"""Turn-signal flashers: how fast they may flash, and what each kind does with the lamps it is given.

An old flasher is timed by the current of its lamps. With fewer lamps, or LED in their place, it flashes at another
rate, stays lit, or takes the lamps for failed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from circuits.electrical.tables import of_kind, read_rows
from circuits.errors import TableError


class Flashing(StrEnum):
    """What lamps do behind a flasher."""

    NORMAL = "flash at their rate"
    WRONG = "stay lit, or flash slowly"
    FAST = "flash at twice the rate, as if a lamp had failed"


@dataclass(frozen=True, slots=True)
class Flasher:
    """A kind of flasher.

    Parameters
    ----------
    kind : str
    contact : str
        ``open`` or ``closed`` before it starts; decides which rates are allowed.
    least_share : float
        Least load as a share of that which it was made for.
    lamp_out : str
        How it tells that a lamp has failed.
    source : str
    """

    kind: str
    contact: str
    least_share: float
    lamp_out: str
    source: str


@cache
def flashers() -> tuple[Flasher, ...]:
    """Every kind of flasher known.

    Examples
    --------
    >>> [flasher.kind for flasher in flashers()][-1]
    'electronic'
    """
    return tuple(
        Flasher(row["kind"], row["contact"], float(row["least_share"]), row["lamp_out"], row["source"])
        for row in read_rows("flashers")
    )


def flasher(kind: str) -> Flasher:
    """The flasher of that kind.

    Parameters
    ----------
    kind : str

    Raises
    ------
    TableError
        If no table holds it.

    Examples
    --------
    >>> flasher("thermal").least_share
    0.8
    """
    return of_kind(flashers(), kind, "flasher")


def flashing(kind: str, load_w: float, made_for_w: float) -> Flashing:
    """What the lamps do.

    Parameters
    ----------
    kind : str
    load_w : float
        Of the lamps that are there, 0 or more [W].
    made_for_w : float
        Of the lamps that the flasher was made for, above 0 [W].

    Raises
    ------
    TableError
        If the kind is not known.

    Examples
    --------
    >>> [flashing(one.kind, 6.0, 42.0).value for one in flashers()][0]
    'stay lit, or flash slowly'
    >>> flashing("thermal", 42.0, 42.0).value, flashing("electronic", 6.0, 42.0).value
    ('flash at their rate', 'flash at their rate')
    """
    one = flasher(kind)
    if load_w >= one.least_share * made_for_w:
        return Flashing.NORMAL
    return Flashing.FAST if one.lamp_out.startswith("doubles") else Flashing.WRONG


def cycle_rates_per_min(on_ms: float, off_ms: Sequence[float]) -> tuple[float, ...]:
    """Rate of each cycle of a pattern [1/min].

    Parameters
    ----------
    on_ms : float
        Time lit in each cycle, above 0 [ms].
    off_ms : sequence of float
        Time dark after each, above 0 [ms].

    Examples
    --------
    >>> [round(rate, 1) for rate in cycle_rates_per_min(160, (200, 200, 620))]
    [166.7, 166.7, 76.9]
    """
    return tuple(60000.0 / (on_ms + off) for off in off_ms)


def mean_rate_per_min(on_ms: float, off_ms: Sequence[float]) -> float:
    """Mean of the rates of a pattern's cycles [1/min], by which a flasher is judged.

    Parameters
    ----------
    on_ms : float
        Time lit in each cycle, above 0 [ms].
    off_ms : sequence of float
        Time dark after each, above 0, at least one [ms].

    Notes
    -----
    An average of three cycles after five have run (SAE J945 in FMVSS 108, agency interpretation letter).

    Examples
    --------
    >>> round(mean_rate_per_min(160, (200, 200, 620)), 1)
    136.8
    """
    rates = cycle_rates_per_min(on_ms, off_ms)
    return sum(rates) / len(rates)


def is_rate_allowed(rate_per_min: float, contact: str) -> bool:
    """True where a flasher may flash at that rate.

    Parameters
    ----------
    rate_per_min : float
    contact : str
        ``open`` or ``closed`` before it starts.

    Raises
    ------
    TableError
        If it is neither.

    Examples
    --------
    >>> is_rate_allowed(75.0, "open"), is_rate_allowed(75.0, "closed"), is_rate_allowed(136.8, "open")
    (True, False, False)
    """
    for row in read_rows("flasher_limits"):
        if row["quantity"] == f"rate with a {contact} contact" or row["quantity"] == f"rate with an {contact} contact":
            return float(row["min"]) <= rate_per_min <= float(row["max"])
    raise TableError(f"a flasher's contact is open or closed before it starts, not {contact!r}")
