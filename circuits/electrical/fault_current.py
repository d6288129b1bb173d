"""Current of a short at the far end of a circuit: battery, feeders, fuse, wires, joints and the way back.

The battery is taken cold and weak: its cold cranking test ends at 7.2 V, which is an upper bound of its resistance.
Wires are taken at their insulation class. Both make the current small, and so the fuse late.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from circuits.electrical.conductors import resistance_ohm
from circuits.electrical.drop import BOLTED_SHARE, has_bolted_joints
from circuits.electrical.gates import latest
from circuits.electrical.one_circuit import Outcome
from circuits.electrical.protection import RatedProtection, fuse_ohm
from circuits.plan import FuseFamily, Vehicle
from circuits.sized import Conductor
from circuits.wiring import CurrentPath, Wire

OPENS_WITHIN_S = 5.0
"""A short at the far end is to be opened within this [s] (IEC 60364-4-41 for distribution circuits; from memory)."""

OPEN_CIRCUIT_V, TEST_END_V = 12.6, 7.2
"""Of a 12 V battery at rest, and at the end of its cold cranking test [V]."""

LEAST_CCA_A = 300.0
"""Cold cranking current where the plan does not say [A]: a small battery (common practice, no source)."""


def source_v(vehicle: Vehicle) -> float:
    """Voltage of the battery at rest [V].

    Parameters
    ----------
    vehicle : Vehicle

    Examples
    --------
    >>> source_v(Vehicle(system_v=24.0))
    25.2
    """
    return OPEN_CIRCUIT_V * vehicle.system_v / 12.0


def battery_ohm(vehicle: Vehicle) -> float:
    """Greatest resistance of the battery [ohm]: ``(12.6 - 7.2) / CCA`` for each 12 V.

    Parameters
    ----------
    vehicle : Vehicle

    Examples
    --------
    >>> round(battery_ohm(Vehicle(battery_cca_a=600.0)) * 1000, 1), round(battery_ohm(Vehicle()) * 1000, 1)
    (9.0, 18.0)
    """
    return (OPEN_CIRCUIT_V - TEST_END_V) / (vehicle.battery_cca_a or LEAST_CCA_A) * vehicle.system_v / 12.0


@dataclass(frozen=True, slots=True)
class FarShort:
    """A short at one load, and what its fuse makes of it.

    Parameters
    ----------
    load_at : str
    wire : str
        Last wire before the load.
    current_a : float
    rated : RatedProtection
        The fuse that has to open.
    """

    load_at: str
    wire: str
    current_a: float
    rated: RatedProtection

    @property
    def opens_s(self) -> float:
        """The latest that the fuse opens [s]; infinite where it need not open at all."""
        return opens_s(self.rated.protection.family, self.rated.held_a, self.current_a)

    @property
    def needed_a(self) -> float:
        """Current that opens the fuse within ``OPENS_WITHIN_S`` [A]."""
        return needed_a(self.rated.protection.family, self.rated.held_a)


def opens_s(family: FuseFamily, rating_a: float, current_a: float) -> float:
    """The latest that a fuse opens at a current [s]; infinite where it need not open.

    Parameters
    ----------
    family : FuseFamily
        Any but none.
    rating_a, current_a : float

    Examples
    --------
    >>> opens_s(FuseFamily.BLADE, 15.0, 30.0), opens_s(FuseFamily.BLADE, 15.0, 18.0)
    (5.0, inf)
    """
    return latest(family).at(current_a / rating_a)


def needed_a(family: FuseFamily, rating_a: float) -> float:
    """Current that opens a fuse within ``OPENS_WITHIN_S`` [A].

    Parameters
    ----------
    family : FuseFamily
        Any but none.
    rating_a : float

    Examples
    --------
    >>> needed_a(FuseFamily.BLADE, 15.0)
    30.0
    """
    return rating_a * latest(family).multiple_at(OPENS_WITHIN_S)


def far_shorts(outcome: Outcome, sizes: Mapping[str, Conductor] | None = None) -> tuple[FarShort, ...]:
    """A short at each load of a circuit, where a fuse has to open it.

    Parameters
    ----------
    outcome : Outcome
    sizes : mapping of str to Conductor, optional
        Other sizes than those chosen, by name of wire.
    """
    wires = {sized.wire.name: sized.wire for sized in outcome.sized.wires}
    chosen = {sized.wire.name: sized.conductor for sized in outcome.sized.wires} | dict(sizes or {})
    found = []
    for path in outcome.job.paths:
        last = wires[path.out[-1]] if path.out else None
        rated = outcome.own.fuse_of(last) if last else None
        if last and rated and rated.fuse:
            loop = _loop_ohm(outcome, path, wires, chosen)
            current_a = source_v(outcome.job.vehicle) / loop
            found.append(FarShort(path.load_at, last.name, current_a, rated))
    return tuple(found)


def _loop_ohm(outcome: Outcome, path: CurrentPath, wires: Mapping[str, Wire], chosen: Mapping[str, Conductor]) -> float:
    job = outcome.job
    chassis = job.vehicle.chassis_resistance_ohm if path.through_chassis else 0.0
    wired = _wires_ohm((*path.out, *path.back), wires, chosen, job.rules.insulation_class_c)
    return battery_ohm(job.vehicle) + job.supply_ohm + wired + _fixed_ohm(outcome, path, path.contacts) + chassis


def _wires_ohm(
    names: tuple[str, ...], wires: Mapping[str, Wire], chosen: Mapping[str, Conductor], copper_c: float
) -> float:
    return sum(resistance_ohm(chosen[name], wires[name].length_m, copper_c) for name in names)


def _fixed_ohm(outcome: Outcome, path: CurrentPath, contacts: int) -> float:
    """Joints and fuses."""
    job = outcome.job
    joint = job.rules.contact_ohm * (BOLTED_SHARE if has_bolted_joints(job.circuit, job.own_fuse) else 1.0)
    fuses = sum(
        fuse_ohm(fuse.protection.family, fuse.held_a) for fuse in job.fuses if fuse.protection.name in path.protections
    )
    return contacts * joint + fuses


def ohm_beyond(outcome: Outcome) -> float:
    """Resistance from the battery's post to a circuit fed from this one, the battery left out [ohm].

    The way back counts too where it is a wire; the body counts once only, with the circuit that is shorted.

    Parameters
    ----------
    outcome : Outcome
        Of the circuit that feeds.
    """
    wires = {sized.wire.name: sized.wire for sized in outcome.sized.wires}
    chosen = {sized.wire.name: sized.conductor for sized in outcome.sized.wires}
    ways = []
    for path in outcome.job.paths:
        back = () if path.through_chassis else path.back
        contacts = max(0, path.contacts - 2 * (len(path.back) - len(back)))
        wired = _wires_ohm((*path.out, *back), wires, chosen, outcome.job.rules.insulation_class_c)
        ways.append(wired + _fixed_ohm(outcome, path, contacts))
    return outcome.job.supply_ohm + max(ways, default=0.0)


def near_short_a(outcome: Outcome) -> float:
    """Greatest current of a short right behind the fuses of a circuit, the battery warm: half its cold resistance [A].

    Parameters
    ----------
    outcome : Outcome
    """
    return source_v(outcome.job.vehicle) / (battery_ohm(outcome.job.vehicle) / 2 + outcome.job.supply_ohm)
