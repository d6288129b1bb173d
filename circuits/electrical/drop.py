"""Voltage drop of a load's current on its whole way: wires, joints, fuses, chassis.

Each wire is taken at its own greatest current and at the temperature that current brings it to.
Joints and chassis are taken at the greatest current of the way, that of its trunk, which errs high
for the legs after a splice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from circuits.electrical.ampacity import operating_c
from circuits.electrical.carrying import carrying
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
    """Temperature of a wire's copper at its greatest current [°C]; its covering, a few degrees, is left out.

    Parameters
    ----------
    wire : Wire
        Its current, bundle and hottest place count.
    size : Conductor
    rules : SizingRules
        Its insulation class counts.

    Examples
    --------
    >>> from circuits.electrical.conductors import conductor
    >>> from circuits.electrical.single import SingleLoad, size_single
    >>> wire = size_single(SingleLoad(load_a=17.5, length_m=3.0, ambient_c=30.0)).wire.wire
    >>> round(conductor_c(wire, conductor("14 AWG"), SizingRules(insulation_class_c=105)), 1)
    49.1
    """
    class_c, ambient_c = rules.insulation_class_c, wire.path.ambient_c
    carried = carrying(size.label, class_c, ambient_c, wire.bundle, by=rules.ampacity_by)
    return operating_c(wire.current_a, carried.ampacity_a, class_c, ambient_c)


def wire_drop_v(wire: Wire, size: Conductor, rules: SizingRules) -> float:
    """Drop over one wire at its greatest current and operating temperature [V].

    Parameters
    ----------
    wire : Wire
    size : Conductor
    rules : SizingRules
        Its insulation class counts.

    Examples
    --------
    >>> from circuits.electrical.conductors import conductor
    >>> from circuits.electrical.single import SingleLoad, size_single
    >>> wire = size_single(SingleLoad(load_a=17.5, length_m=3.0, ambient_c=30.0)).wire.wire
    >>> round(wire_drop_v(wire, conductor("14 AWG"), SizingRules(insulation_class_c=105)), 3)
    0.538
    """
    return wire.current_a * resistance_ohm(size, wire.length_m, conductor_c(wire, size, rules))


def has_bolted_joints(circuit: Circuit, fuse: RatedProtection | None) -> bool:
    """True for feeders, bolted fuses, and unfused cables from a bus: their ends are rings on studs.

    Asked of the circuit, not of the current, so that more current never lowers the drop.

    Parameters
    ----------
    circuit : Circuit
    fuse : RatedProtection or None
        Its own; None where it has none.
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


@dataclass(frozen=True, slots=True)
class Way:
    """One load's current path with everything on it but the size of its wires.

    Parameters
    ----------
    out, back : tuple of Wire
        Wires from the supply to the load, and from the load to ground.
    out_fixed_v : float
        Drop of the joints up to the load [V].
    back_fixed_v : float
        Drop of the joints after it, and of the chassis [V].
    fuses : tuple of RatedProtection
        Fuses passed: usually one.
    """

    out: tuple[Wire, ...]
    back: tuple[Wire, ...]
    out_fixed_v: float
    back_fixed_v: float
    fuses: tuple[RatedProtection, ...]

    def drop_v(self, drops_v: Mapping[str, float], *, at_any_load: bool) -> float:
        """Drop of the whole way [V], given that of each wire by name; ``at_any_load`` as ``with_fuses_v``."""
        way_v = self._out_v(drops_v) + _sum(self.back, drops_v) + self.back_fixed_v
        return with_fuses_v(way_v, self.fuses, at_any_load=at_any_load)

    def outward_drop_v(self, drops_v: Mapping[str, float], *, at_any_load: bool) -> float:
        """Drop up to the load [V], with which a circuit fed from there starts; arguments as ``drop_v``."""
        return with_fuses_v(self._out_v(drops_v), self.fuses, at_any_load=at_any_load)

    def _out_v(self, drops_v: Mapping[str, float]) -> float:
        return _sum(self.out, drops_v) + self.out_fixed_v


def _sum(wires: tuple[Wire, ...], drops_v: Mapping[str, float]) -> float:
    return sum(drops_v[wire.name] for wire in wires)


def way_of(
    path: CurrentPath,
    wires: Mapping[str, Wire],
    fuses: Iterable[RatedProtection],
    *,
    contact_ohm: float,
    bolted: bool,
    chassis_ohm: float,
) -> Way:
    """The way of a current path.

    Parameters
    ----------
    path : CurrentPath
    wires : mapping of str to Wire
        Wires of its circuit, by name.
    fuses : iterable of RatedProtection
        Fuses of its circuit; those the path passes are taken.
    contact_ohm : float
        Resistance of one plug-in joint or contact [ohm].
    bolted : bool
        True where the joints are rings on studs.
    chassis_ohm : float
        Between two ground points [ohm].
    """
    out = tuple(wires[name] for name in path.out)
    back = tuple(wires[name] for name in path.back)
    current_a = max((wire.current_a for wire in (*out, *back)), default=0.0)
    joint_v = joint_drop_v(current_a, contact_ohm, bolted)
    joints_back = 2 * len(back)
    chassis_v = current_a * chassis_ohm if path.through_chassis else 0.0
    return Way(
        out=out,
        back=back,
        out_fixed_v=max(0, path.contacts - joints_back) * joint_v,
        back_fixed_v=min(path.contacts, joints_back) * joint_v + chassis_v,
        fuses=tuple(fuse for fuse in fuses if fuse.protection.name in path.protections),
    )


def with_fuses_v(way_v: float, fuses: Iterable[RatedProtection], *, at_any_load: bool) -> float:
    """Drop of a way with its fuses [V].

    A fuse one rating down is full at a lower load but has more resistance: there the drop can be a
    little greater than at the full load. Sizes are chosen by the greatest drop at any load up to the
    full one, so that a larger load is never granted a thinner wire.

    Parameters
    ----------
    way_v : float
        Drop without fuses at the full load [V].
    fuses : iterable of RatedProtection
        Fuses passed: usually one.
    at_any_load : bool
        True for the greatest drop at any load up to the full one, each with the fuse it would get.

    Examples
    --------
    A load of 7.6 A takes a 15 A fuse; 7.5 A would take one of 10 A, which drops more.

    >>> from circuits.electrical.protection import rate
    >>> from circuits.wiring import Protection
    >>> fuse = rate(Protection("fan", "fan", "panel", FuseFamily.BLADE, None, 7.6, True), SizingRules())
    >>> [round(with_fuses_v(0.2, [fuse], at_any_load=any_load), 3) for any_load in (False, True)]
    [0.236, 0.255]
    """
    total_v = way_v
    for fuse in fuses:
        full_a = fuse.protection.load_a
        steps = fuse.steps if at_any_load else fuse.steps[-1:]
        total_v = max(total_v * (load_a / full_a) + load_a * ohm for load_a, ohm in steps)
    return total_v
