"""The starter's cable while cranking: what it drops there and back, and what is left at the starter."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.electrical.conductors import copper_area_mm2, stocked_conductors
from circuits.electrical.fault_current import battery_ohm, source_v
from circuits.electrical.feed_ways import is_cranking
from circuits.electrical.tables import read_rows
from circuits.sized import Conductor, SizedCircuit, SizedPlan
from circuits.wiring import Role


@dataclass(frozen=True, slots=True)
class Cranking:
    """One starter while it cranks. Voltages are of the system, limits too.

    Parameters
    ----------
    circuit : str
    current_a : float
        That the plan states for it [A].
    sizes : tuple of str
        Of its cables.
    positive_v, return_v : float
        Dropped there and back [V].
    max_positive_v, max_return_v : float
        Limits [V].
    source : str
        Of the limits.
    at_starter_v : float
        Left at the starter, the battery charged and cold [V].
    cca_a : float or None
        Of the battery; None where the plan does not say, and a small one is counted on.
    """

    circuit: str
    current_a: float
    sizes: tuple[str, ...]
    positive_v: float
    return_v: float
    max_positive_v: float
    max_return_v: float
    source: str
    at_starter_v: float
    cca_a: float | None

    @property
    def drop_v(self) -> float:
        """Both ways together [V]."""
        return self.positive_v + self.return_v


def supply_limit(name: str) -> float:
    """A published limit of supplies, for 12 V.

    Parameters
    ----------
    name : str
        One of ``supply_limits.csv``.

    Examples
    --------
    >>> supply_limit("crank_positive_v")
    0.5
    """
    return next(float(row["value"]) for row in read_rows("supply_limits") if row["limit"] == name)


def crankings(sized: SizedPlan) -> tuple[Cranking, ...]:
    """Every starter of the plan.

    Parameters
    ----------
    sized : SizedPlan
    """
    system_v = sized.wiring.plan.vehicle.system_v
    return tuple(_cranking(sized, one) for one in sized.circuits if one.wires and is_cranking(one.circuit, system_v))


def _cranking(sized: SizedPlan, one: SizedCircuit) -> Cranking:
    vehicle = sized.wiring.plan.vehicle
    scale = vehicle.system_v / 12.0
    back_v = sum(wire.drop_v for wire in one.wires if wire.wire.role is Role.RETURN)
    through_chassis = any(path.through_chassis for path in sized.wiring.paths if path.circuit == one.circuit.name)
    if through_chassis:
        back_v += one.current_a * vehicle.chassis_resistance_ohm
    return Cranking(
        circuit=one.circuit.name,
        current_a=one.current_a,
        sizes=tuple(dict.fromkeys(wire.conductor.label for wire in one.wires if wire.wire.role is not Role.RELAY_COIL)),
        positive_v=max(0.0, one.drop_v - back_v),
        return_v=back_v,
        max_positive_v=supply_limit("crank_positive_v") * scale,
        max_return_v=supply_limit("crank_return_v") * scale,
        source=next(row["source"] for row in read_rows("supply_limits") if row["limit"] == "crank_whole_v"),
        at_starter_v=source_v(vehicle) - one.current_a * battery_ohm(vehicle) - one.drop_v,
        cca_a=vehicle.battery_cca_a,
    )


def cable_that_does(sized: SizedPlan, cranking: Cranking) -> Conductor | None:
    """The thinnest stocked cable with which both ways of a starter keep their limits; None where no size does.

    Joints and body drop the same with any cable.

    Parameters
    ----------
    sized : SizedPlan
    cranking : Cranking
    """
    one = next(one for one in sized.circuits if one.circuit.name == cranking.circuit)
    for size in stocked_conductors(sized.rules.sizing):
        out_v, back_v = cranking.positive_v, cranking.return_v
        for wire in one.wires:
            saved_v = wire.drop_v * (1 - copper_area_mm2(wire.conductor) / copper_area_mm2(size))
            if wire.wire.role is Role.RETURN:
                back_v -= saved_v
            elif wire.wire.role is not Role.RELAY_COIL:
                out_v -= saved_v
        if out_v <= cranking.max_positive_v and back_v <= cranking.max_return_v:
            return size
    return None
