"""Voltage drop of a load's current on its whole way: wires, joints, fuses, chassis.

Each wire is taken at its own greatest current and at the temperature that current brings it to.
Joints and chassis are taken at the greatest current of the way, that of its trunk, which errs high
for the legs after a splice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from circuits.electrical.ampacity import ampacity_a, operating_c
from circuits.electrical.conductors import resistance_ohm
from circuits.electrical.protection import RatedProtection
from circuits.plan import Circuit, FuseFamily, Kind
from circuits.rules import SizingRules
from circuits.sized import Conductor
from circuits.wiring import CurrentPath, Wire

BOLTED_SHARE = 0.1
"""Resistance of a bolted joint as a share of a plug-in one (common practice, no source)."""

LARGEST_PLUG_IN_A = 30.0
"""Current above which a joint is built larger, so that its drop grows no more [A] (common practice, no source)."""


def conductor_c(wire: Wire, size: Conductor, rules: SizingRules) -> float:
    """Temperature of a wire's copper at its greatest current [°C]."""
    class_c, ambient_c = rules.insulation_class_c, wire.path.ambient_c
    ampacity = ampacity_a(size.label, class_c, ambient_c, wire.bundle)
    return operating_c(wire.current_a, ampacity, class_c, ambient_c)


def wire_drop_v(wire: Wire, size: Conductor, rules: SizingRules) -> float:
    """Drop over one wire at its greatest current and operating temperature [V]."""
    return wire.current_a * resistance_ohm(size, wire.length_m, conductor_c(wire, size, rules))


def has_bolted_joints(circuit: Circuit, fuse: RatedProtection | None) -> bool:
    """True for feeders, bolted fuses, and unfused cables from a bus: their ends are rings on studs.

    Asked of the circuit, not of the current, so that more current never lowers the drop.
    """
    if fuse is None:
        return circuit.kind is Kind.FEEDER or not circuit.is_fed_by_circuit
    return circuit.kind is Kind.FEEDER or fuse.protection.family in (FuseFamily.BOLT_IN, FuseFamily.FUSIBLE_LINK)


def joint_drop_v(current_a: float, contact_ohm: float, bolted: bool) -> float:
    """Drop over one joint or contact [V].

    Parameters
    ----------
    current_a : float
    contact_ohm : float
        Resistance of a plug-in joint [ohm].
    bolted : bool
        True where it is a ring on a stud.

    Examples
    --------
    >>> joint_drop_v(10.0, 0.001, False), joint_drop_v(200.0, 0.001, False), round(joint_drop_v(60.0, 0.001, True), 3)
    (0.01, 0.03, 0.006)
    """
    resistance = contact_ohm * (BOLTED_SHARE if bolted else 1.0)
    return min(current_a * resistance, LARGEST_PLUG_IN_A * contact_ohm)


def way_drop_v(
    path: CurrentPath, drops_v: Mapping[str, float], current_a: float, joint_v: float, chassis_ohm: float
) -> float:
    """Drop of a way without its fuses [V].

    Parameters
    ----------
    path : CurrentPath
    drops_v : mapping of str to float
        Drop of each wire by name [V].
    current_a : float
        Greatest current of the way [A].
    joint_v : float
        Drop over one of its joints [V].
    chassis_ohm : float
        Resistance of the chassis between two ground points [ohm].
    """
    wires_v = sum(drops_v[name] for name in path.out) + sum(drops_v[name] for name in path.back)
    return wires_v + path.contacts * joint_v + (current_a * chassis_ohm if path.through_chassis else 0.0)


def with_fuses_v(way_v: float, fuses: Iterable[RatedProtection]) -> float:
    """Drop of a way with its fuses, the greatest at any load up to the full one [V].

    A fuse one rating down is full at a lower load but has more resistance: there the drop can be a
    little greater than at the full load. Taking the greatest keeps a larger load from ever being
    granted a thinner wire.

    Parameters
    ----------
    way_v : float
        Drop without fuses at the full load [V].
    fuses : iterable of RatedProtection
        Fuses passed: usually one.
    """
    total_v = way_v
    for fuse in fuses:
        full_a = fuse.protection.load_a
        total_v = max(total_v * (load_a / full_a) + load_a * ohm for load_a, ohm in fuse.steps)
    return total_v
