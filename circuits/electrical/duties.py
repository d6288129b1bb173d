"""How much of the time each load is on: idling and driving, by day and by night.

The shares are what an alternator has to keep up with over an hour. They are common practice without a source, one row
each in ``duties.csv``: the first row that suits a circuit by its words, kind, duty and bus counts.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from circuits.electrical.tables import read_rows
from circuits.plan import Circuit


class Case(StrEnum):
    """What the vehicle does, and when."""

    IDLE_DAY = "idle, day"
    CRUISE_DAY = "cruise, day"
    IDLE_NIGHT = "idle, night"
    CRUISE_NIGHT = "cruise, night"

    @property
    def is_idle(self) -> bool:
        """True where the alternator turns slowly."""
        return self in (Case.IDLE_DAY, Case.IDLE_NIGHT)


_COLUMNS = {
    Case.IDLE_DAY: "idle_day",
    Case.CRUISE_DAY: "cruise_day",
    Case.IDLE_NIGHT: "idle_night",
    Case.CRUISE_NIGHT: "cruise_night",
}


@dataclass(frozen=True, slots=True)
class DutyShares:
    """Share of the time that a load is on, by case, and where that is from.

    Parameters
    ----------
    shares : mapping of Case to float
        From 0 to 1.
    parked : float
        The same with the key off, for a load that is live then.
    source : str
    """

    shares: Mapping[Case, float]
    parked: float
    source: str


@dataclass(frozen=True, slots=True)
class _Row:
    words: re.Pattern[str] | None
    kind: str
    duty: str
    bus: str
    found: DutyShares

    def suits(self, circuit: Circuit, text: str, bus: str) -> bool:
        return (
            (not self.kind or self.kind == circuit.kind)
            and (not self.duty or self.duty == circuit.duty)
            and (not self.bus or self.bus == bus)
            and (self.words is None or self.words.search(text) is not None)
        )


@cache
def _rows() -> tuple[_Row, ...]:
    return tuple(
        _Row(
            re.compile(row["word"]) if row["word"] else None,
            row["kind"],
            row["duty"],
            row["bus"],
            DutyShares(
                {case: float(row[column]) for case, column in _COLUMNS.items()},
                float(row["parked"]),
                row["source"],
            ),
        )
        for row in read_rows("duties")
    )


def duty_of(circuit: Circuit, bus: str = "") -> DutyShares:
    """How much of the time the load of a circuit is on.

    Parameters
    ----------
    circuit : Circuit
    bus : str
        Bus that it hangs on, also by way of other circuits; empty = its feed.

    Examples
    --------
    >>> from circuits.plan import Kind
    >>> dip = Circuit("dip", "front", "battery", "panel", "low beam", ("wing",), Kind.LAMP, load_w=55.0)
    >>> [duty_of(dip).shares[case] for case in (Case.IDLE_DAY, Case.CRUISE_NIGHT)]
    [0.0, 0.8]
    """
    text = f"{circuit.name} {circuit.load}".casefold()
    return next(row.found for row in _rows() if row.suits(circuit, text, bus or circuit.feed))
