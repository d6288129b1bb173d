"""Cavities against the wires that take them: one without a conductor, a conductor without one, a contact overloaded."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from circuits.figures import format_area, format_current
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.fittings import Connector
from circuits.harness.connectors import Fittings, Junction, passed_places
from circuits.sized import SizedWire
from circuits.wiring import End, Lands, Wire

_IN_BODIES = (Lands.LOAD, Lands.SWITCH, Lands.RELAY)


def cavity_findings(fittings: Fittings, wires: Iterable[SizedWire]) -> tuple[Finding, ...]:
    """Everything about cavities that their wires tell: pairs and bodies in plan order, then wires in plan order.

    Parameters
    ----------
    fittings : Fittings
        Of the plan that the wires are of.
    wires : iterable of SizedWire

    Examples
    --------
    >>> from circuits.plan import Plan, Vehicle
    >>> cavity_findings(Fittings(Plan(Vehicle(), (), (), ())), ())
    ()
    """
    sized = tuple(wires)
    by_circuit: dict[str, list[Wire]] = {}
    for one in sized:
        by_circuit.setdefault(one.wire.circuit, []).append(one.wire)
    return (
        *(
            found
            for junction in fittings.junctions
            for circuit in fittings.circuits_of(junction)
            if circuit in by_circuit
            for found in _listed(junction, circuit, by_circuit[circuit], fittings)
        ),
        *_left_out(fittings, [one.wire for one in sized]),
        *(found for one in sized for found in _contacts(one, fittings)),
    )


def _listed(junction: Junction, circuit: str, wires: list[Wire], fittings: Fittings) -> Iterator[Finding]:
    """Cavities of one circuit that no conductor takes, and its conductors that pass a pair without a cavity."""
    names = {half.name for half in junction.halves}
    seated = {(end.connector, end.cavity) for wire in wires for end in (wire.start, wire.end) if end.connector in names}
    where = f"pair {junction.name}" if junction.in_loom else f"connector {junction.name}"
    if not seated and not _comes_by(junction, wires):
        message = f"{where}: {circuit} has a cavity in it, but does not come by {junction.place}"
        code = "pair-not-passed" if junction.in_loom else "connector-not-reached"
        yield finding(code, circuit, message, figure=junction.place)
        return
    slots = fittings.slots(junction, circuit)
    taken = {slot.holds for slot in slots if _is_taken(junction, slot.labels, seated)}
    for slot in slots:
        if _is_taken(junction, slot.labels, seated):
            continue
        label = slot.labels[0]
        if slot.holds in taken:
            message = f"{where}: cavity {label} is listed for a conductor of {circuit} that has one ({slot.holds})"
            yield finding("cavity-listed-twice", circuit, message, figure=label)
        else:
            message = f"{where}: cavity {label} is to hold {slot.holds} of {circuit}, and there is no such conductor"
            yield finding("cavity-without-conductor", circuit, message, figure=label)
    if junction.in_loom:
        for wire in wires:
            if any(wire.path.places[at] == junction.place for at in passed_places(wire)):
                message = f"{wire.name} passes {where} at {junction.place} and has no cavity in it"
                yield finding("conductor-without-cavity", circuit, message, wire=wire.name, figure=junction.place)


def _comes_by(junction: Junction, wires: list[Wire]) -> bool:
    if junction.in_loom:
        return any(wire.path.places[at] == junction.place for wire in wires for at in passed_places(wire))
    return any(
        end.place == junction.place and end.lands is not Lands.SPLICE and end.lands is not Lands.GROUND
        for wire in wires
        for end in (wire.start, wire.end)
    )


def _is_taken(junction: Junction, labels: tuple[str, ...], seated: set[tuple[str, str]]) -> bool:
    return any((half.name, label) in seated for half, label in zip(junction.halves, labels, strict=True))


def _left_out(fittings: Fittings, wires: list[Wire]) -> Iterator[Finding]:
    """Conductors of a device that has a connector, which no cavity of it is listed for."""
    body_of: dict[str, str] = {}
    for wire in wires:
        for end in (wire.start, wire.end):
            if end.connector and end.lands in _IN_BODIES:
                body_of.setdefault(end.device, end.connector)
    for wire in wires:
        for end in (wire.start, wire.end):
            if not end.connector and end.device in body_of:
                message = f"{wire.name} goes to {end.device}, whose connector {body_of[end.device]} lists it no cavity"
                yield finding("conductor-without-cavity", wire.circuit, message, wire=wire.name, figure=end.place)


def _contacts(sized: SizedWire, fittings: Fittings) -> Iterator[Finding]:
    wire = sized.wire
    for end in dict.fromkeys((wire.start, wire.end)):
        connector = fittings.by_name.get(end.connector)
        if connector is not None:
            yield from _wire_range(sized, end, connector)
            if connector.contact_a is not None and wire.current_a > connector.contact_a:
                carries, rated = format_current(wire.current_a), format_current(connector.contact_a)
                message = f"{wire.name} puts {carries} through {connector.name} {end.cavity}, a contact for {rated}"
                yield finding("contact-over-rating", wire.circuit, message, wire=wire.name, figure=carries, limit=rated)


def _wire_range(sized: SizedWire, end: End, connector: Connector) -> Iterator[Finding]:
    least, most, area = connector.min_area_mm2, connector.max_area_mm2, sized.conductor.area_mm2
    if sized.wire.is_existing or ((least is None or area >= least) and (most is None or area <= most)):
        return
    label = sized.conductor.label
    size = label if label.endswith("mm²") else f"{label} ({format_area(area)})"
    low, high = (None if value is None else format_area(value) for value in (least, most))
    limit = f"{low} to {high}" if low and high else f"from {low}" if low else f"up to {high}"
    message = f"{sized.wire.name} is {size}, the contacts of {connector.name} take {limit}"
    yield finding("contact-wire-range", sized.wire.circuit, message, wire=sized.wire.name, figure=size, limit=limit)
