"""Joints in the loom: splices, leads of units, repairs, and the caps on leads that end in nothing."""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuits.fittings import Half
from circuits.plan import Disposition
from circuits.sized import SizedWire
from circuits.wiring import Lands
from estimating.takeoff.needs import Need
from estimating.takeoff.parts import PartKind, Unit
from estimating.takeoff.rules import TakeoffRules
from estimating.takeoff.scope import Scope
from estimating.takeoff.wires import heat_shrink, wire_range, wire_spec


def joint_needs(scope: Scope, rules: TakeoffRules) -> Iterator[Need]:
    """Needs of splices, leads of units, repaired circuits and capped leads.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> scope = Scope.of(example_sized_plan())
    >>> [(need.kind.value, need.spec) for need in joint_needs(scope, TakeoffRules())]
    [('splice', '12-10 AWG (4-6 mm²)'), ('heat-shrink', '6.4 mm')]
    """
    yield from _splices(scope, rules)
    yield from _married_leads(scope, rules)
    yield from _repairs(scope, rules)
    yield from _caps(scope)


def _splices(scope: Scope, rules: TakeoffRules) -> Iterator[Need]:
    """A barrel holds the side with more copper, so that side decides its size."""
    for device, causes in scope.fresh_devices(Lands.SPLICE):
        sides = scope.at_device.get(device.name, ([], []))
        area_mm2 = max(math.fsum(wire.conductor.area_mm2 for wire in side) for side in sides)
        outer_mm = max(math.sqrt(math.fsum(wire.conductor.outer_mm**2 for wire in side)) for side in sides)
        if area_mm2 > 0:
            yield Need(PartKind.SPLICE, wire_range(area_mm2), 1, Unit.PIECE, causes, area_mm2)
            yield heat_shrink(outer_mm, rules.heat_shrink_splice_m, causes)


def _married_leads(scope: Scope, rules: TakeoffRules) -> Iterator[Need]:
    """Each lead of a unit is joined to its wire of the loom; the wire's size decides, as the lead's is not known."""
    for wire in scope.fresh:
        for end in (wire.wire.start, wire.wire.end):
            if end.half is Half.LEADS:
                area_mm2, causes = _area_mm2(wire), (wire.wire.circuit,)
                yield Need(PartKind.SPLICE, wire_range(area_mm2), 1, Unit.PIECE, causes, area_mm2)
                yield heat_shrink(wire.conductor.outer_mm, rules.heat_shrink_splice_m, causes)


def _repairs(scope: Scope, rules: TakeoffRules) -> Iterator[Need]:
    """A repair lets a length into the circuit's thickest wire, with a splice at each end of it."""
    for circuit in scope.sized.circuits:
        if circuit.circuit.disposition is not Disposition.REPAIR or not circuit.wires:
            continue
        wire = max(circuit.wires, key=_area_mm2)
        causes, area_mm2 = (circuit.circuit.name,), _area_mm2(wire)
        spec = wire_spec(wire)
        yield Need(PartKind.REPAIR_LENGTH, spec, rules.repair_wire_m, Unit.METRE, causes, area_mm2)
        yield Need(PartKind.SPLICE, wire_range(area_mm2), rules.repair_splices, Unit.PIECE, causes, area_mm2)
        yield heat_shrink(wire.conductor.outer_mm, rules.repair_splices * rules.heat_shrink_splice_m, causes)


def _caps(scope: Scope) -> Iterator[Need]:
    """A capped circuit ends once at its supply and once at each place it led to."""
    for circuit in scope.with_disposition(Disposition.CAP_OFF):
        leads = 1 + len(circuit.load_at)
        yield Need(PartKind.END_CAP, "sealed cap", leads, Unit.PIECE, (circuit.name,))
        yield Need(PartKind.LABEL, "wire label", leads, Unit.PIECE, (circuit.name,))


def _area_mm2(wire: SizedWire) -> float:
    return wire.conductor.area_mm2
