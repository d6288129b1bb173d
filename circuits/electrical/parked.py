"""The parked vehicle: what draws with the key off, and how long the battery still cranks.

The battery's own discharge, some per cent a month, is left out, and so is the cold, which takes more of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from circuits.electrical.feeds import FedLoad
from circuits.electrical.tables import read_rows
from circuits.sized import SizedPlan


@dataclass(frozen=True, slots=True)
class Parked:
    """A parked vehicle.

    Parameters
    ----------
    draw_a : float
        Of all that is live with the key off and every switch open [A].
    circuits : tuple of str
        Those that draw.
    battery_ah : float or None
        Capacity [Ah]; None where the plan does not say.
    usable_ah : float or None
        What may be gone and the engine still cranks [Ah].
    rest_v : float
        Voltage of the battery at rest when that is gone [V].
    source : str
        Of the voltage.
    """

    draw_a: float
    circuits: tuple[str, ...]
    battery_ah: float | None
    usable_ah: float | None
    rest_v: float
    source: str

    @property
    def days(self) -> float | None:
        """Days until it no longer cranks; None where nothing draws or the battery is not known."""
        return self.days_of(self.battery_ah)

    def days_of(self, battery_ah: float | None) -> float | None:
        """Days with another battery; None where nothing draws or there is none.

        Parameters
        ----------
        battery_ah : float or None
        """
        if battery_ah is None or self.battery_ah is None or self.usable_ah is None or self.draw_a <= 0:
            return None
        return self.usable_ah / self.battery_ah * battery_ah / self.draw_a / 24.0


def parked(sized: SizedPlan, loads: Sequence[FedLoad]) -> Parked:
    """What a parked vehicle draws, and from how much.

    Parameters
    ----------
    sized : SizedPlan
    loads : sequence of FedLoad
        All of the plan.
    """
    vehicle, share = sized.wiring.plan.vehicle, sized.rules.supply.usable_share
    drawing = sorted((load for load in loads if load.parked_a > 0), key=lambda load: -load.parked_a)
    return Parked(
        draw_a=sum(load.parked_a for load in drawing),
        circuits=tuple(load.circuit.name for load in drawing),
        battery_ah=vehicle.battery_ah,
        usable_ah=None if vehicle.battery_ah is None else vehicle.battery_ah * share,
        rest_v=rest_v(1.0 - share) * vehicle.system_v / 12.0,
        source=read_rows("battery_rest")[0]["source"],
    )


def rest_v(charge: float) -> float:
    """Voltage at rest of a flooded 12 V battery [V], straight between the points of the table.

    Parameters
    ----------
    charge : float
        State of charge, 0 to 1.

    Examples
    --------
    >>> rest_v(1.0), round(rest_v(0.5), 2), round(rest_v(0.6), 3)
    (12.65, 12.24, 12.324)
    """
    points = [(float(row["charge"]), float(row["volt"])) for row in read_rows("battery_rest")]
    for (high, high_v), (low, low_v) in pairwise(points):
        if charge >= low:
            return low_v + (high_v - low_v) * (min(charge, high) - low) / (high - low)
    return points[-1][1]
