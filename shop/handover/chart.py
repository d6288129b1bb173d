"""From the sized plan to the fuse chart and the circuits as they were done. Pure."""

from __future__ import annotations

from collections.abc import Iterable

from circuits.harness.panel_layout import PanelLayout, lay_out_panels
from circuits.sized import Fuse, SizedCircuit, SizedPlan, SizedWire
from shop.handover.content import CircuitDone, FusePanel, FusePosition, WireKind


def fuse_panels(sized: SizedPlan) -> tuple[FusePanel, ...]:
    """Every panel with its fuses, in the order and with the labels of their positions.

    Parameters
    ----------
    sized : SizedPlan

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> [(panel.place, len(panel.positions)) for panel in fuse_panels(example_sized_plan())]
    [('panel', 1)]
    """
    circuits = {one.circuit.name: one for one in sized.circuits}
    protected: dict[str, list[SizedWire]] = {}
    for wire in sized.wires:
        if wire.wire.protected_by is not None:
            protected.setdefault(wire.wire.protected_by, []).append(wire)
    return tuple(
        FusePanel(
            layout.panel,
            tuple(
                _position(number, fuse, label, circuits[fuse.circuit], protected.get(fuse.name, ()))
                for number, (fuse, label) in enumerate(_seated(layout), start=1)
            ),
        )
        for layout in lay_out_panels(sized)
        if any(filled.fuse for filled in layout.positions) or layout.unplaced
    )


def _seated(layout: PanelLayout) -> list[tuple[Fuse, str]]:
    """Fuses of a panel with the labels of their positions, in their order; those without a position last."""
    placed = [(filled.fuse, filled.position.label) for filled in layout.positions if filled.fuse is not None]
    return [*placed, *((fuse, "") for fuse in layout.unplaced)]


def _position(number: int, fuse: Fuse, label: str, owner: SizedCircuit, wires: Iterable[SizedWire]) -> FusePosition:
    is_coil = owner.coil_fuse is not None and fuse.name == owner.coil_fuse.name
    feeds = f"relay coil of {owner.circuit.name}" if is_coil else owner.circuit.load
    return FusePosition(
        number, fuse.name, feeds, fuse.rating_a, str(fuse.family), fuse.colour, wire_kinds(wires), label
    )


def wire_kinds(wires: Iterable[SizedWire]) -> tuple[WireKind, ...]:
    """Size and colour of each kind of wire, once, in the order of the plan."""
    return tuple(dict.fromkeys(WireKind(wire.conductor.label, wire.wire.colour) for wire in wires))


def circuits_done(sized: SizedPlan) -> tuple[CircuitDone, ...]:
    """Every circuit with what was done to it.

    Parameters
    ----------
    sized : SizedPlan

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> circuits_done(example_sized_plan())[0].fuse
    '5 A blade, tan'
    """
    return tuple(
        CircuitDone(
            one.circuit.name,
            one.circuit.section,
            str(one.circuit.disposition),
            one.circuit.load,
            fuse_words(one.fuse.rating_a, str(one.fuse.family), one.fuse.colour) if one.fuse else "",
            wire_kinds(one.wires),
        )
        for one in sized.circuits
    )


def fuse_words(rating_a: float, family: str, colour: str) -> str:
    """A fuse in words.

    Examples
    --------
    >>> fuse_words(15.0, "blade", "blue"), fuse_words(60.0, "bolt-in", "")
    ('15 A blade, blue', '60 A bolt-in')
    """
    return f"{rating_a:g} A {family}" + (f", {colour}" if colour else "")
