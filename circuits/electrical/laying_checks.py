"""Rules on how wires lie: is one that lies alone thick enough to be left so."""

from __future__ import annotations

from collections.abc import Iterator

from circuits.electrical.conductors import stocked_conductors
from circuits.figures import format_area
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.plan import Covering
from circuits.sized import SizedPlan, SizedWire

ALONE_MM2 = 1.0
"""Least area of a conductor that lies by itself over more than ``ALONE_M`` (ISO 10133:2012, 7.7) [mm²]."""

ALONE_M = 0.2
"""Length up to which a thinner one may (ISO 10133:2012, 7.7) [m]."""


def thin_wire_alone(sized: SizedPlan) -> Iterator[Finding]:
    """thin-wire-alone: a new wire lies by itself in a run without covering, thinner than it should be there.

    In a bundle or covering others hold it: there the shop's own least area counts.
    """
    runs = sized.wiring.plan.runs
    wires = {wire.wire.name: wire for wire in sized.wires}
    told: set[str] = set()
    for bundle in sized.bundles:
        if len(bundle.wires) != 1 or bundle.covering is not Covering.NONE or bundle.length_m <= ALONE_M:
            continue
        wire = wires[bundle.wires[0]]
        if wire.wire.is_existing or wire.conductor.area_mm2 >= ALONE_MM2 or wire.wire.circuit in told:
            continue
        told.add(wire.wire.circuit)
        yield finding(
            "thin-wire-alone",
            wire.wire.circuit,
            f"run {runs[bundle.run].name}: {wire.wire.name} of {wire.conductor.label} lies there alone and bare",
            wire=wire.wire.name,
            figure=format_area(wire.conductor.area_mm2),
            limit=format_area(ALONE_MM2),
            cure=f"Cover the run with sleeve{_or_thicker(sized, wire)}.",
        )


def _or_thicker(sized: SizedPlan, wire: SizedWire) -> str:
    thicker = (size for size in stocked_conductors(sized.rules.sizing) if size.area_mm2 >= ALONE_MM2)
    size = next(thicker, None)
    return f", or fit {size.label} for {wire.wire.circuit}" if size else ""


LAYING_RULES = (thin_wire_alone,)
