"""What a plan says of a connector that cannot be so: its place, its mate, its cavities."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.fittings import Connector, Half
from circuits.harness.connectors import Fittings, Junction
from circuits.plan import Plan


def connector_findings(plan: Plan, fittings: Fittings) -> tuple[Finding, ...]:
    """Everything about a plan's connectors that can be told without its wires, connectors in plan order.

    Parameters
    ----------
    plan : Plan
    fittings : Fittings
        Of that plan.

    Examples
    --------
    >>> from circuits.plan import Run, Vehicle
    >>> plan = Plan(Vehicle(), (), (Run("panel", "nose", 1.0),), (), (Connector("C1", "boot"),))
    >>> [found.message for found in connector_findings(plan, Fittings(plan))]
    ['connector C1: no run leads to boot']
    """
    places = set(plan.places)
    return (
        *_unknown_connectors(fittings),
        *(found for connector in plan.connectors for found in _one(connector, fittings, places)),
        *_unknown_circuits(plan),
        *(found for junction in fittings.junctions for found in _pair(junction, fittings)),
    )


def _unknown_connectors(fittings: Fittings) -> Iterator[Finding]:
    for name in fittings.cavities:
        if name not in fittings.by_name:
            labels = ", ".join(cavity.label for cavity in fittings.cavities[name])
            message = f"cavities {labels} are of {name}, and the plan has no such connector"
            yield finding("cavity-connector-unknown", "", message, figure=name)


def _unknown_circuits(plan: Plan) -> Iterator[Finding]:
    known = {circuit.name for circuit in plan.circuits}
    for cavity in plan.cavities:
        if cavity.circuit and cavity.circuit not in known:
            message = f"connector {cavity.connector} {cavity.label}: {cavity.circuit} is no circuit of the plan"
            yield finding("cavity-circuit-unknown", "", message, figure=cavity.circuit)


def _one(connector: Connector, fittings: Fittings, places: set[str]) -> Iterator[Finding]:
    name = connector.name
    if connector.place not in places:
        message = f"connector {name}: no run leads to {connector.place}"
        yield finding("connector-place-unknown", "", message, figure=connector.place)
    yield from _mate(connector, fittings)
    listed = fittings.cavities.get(name, ())
    if connector.ways is not None and len(listed) > connector.ways:
        message = f"connector {name}: {len(listed)} cavities are listed, the body has {connector.ways}"
        yield finding("cavities-over-ways", "", message, figure=str(len(listed)), limit=str(connector.ways))
    if connector.half is Half.LEADS:
        for cavity in listed:
            if not cavity.circuit and not cavity.notes:
                message = f"unit {name}: its lead {cavity.label} goes to no circuit, and no note says why"
                yield finding("lead-not-married", "", message, figure=cavity.label)


def _mate(connector: Connector, fittings: Fittings) -> Iterator[Finding]:
    name, other = connector.name, connector.mates_with
    mate = fittings.by_name.get(other)
    if not other or (mate is not None and mate in fittings.junction_of[name].halves and other != name):
        return
    if mate is None or other == name:
        yield finding(
            "mate-unknown", "", f"connector {name} mates with {other}, which is no other connector", figure=other
        )
    elif mate.place != connector.place:
        message = f"connector {name} is at {connector.place}, {other} which it mates with is at {mate.place}"
        yield finding("mate-elsewhere", "", message, figure=mate.place, limit=connector.place)
    else:
        taken = next(half for half in (connector, mate) if len(fittings.junction_of[half.name].halves) == 2)
        by = next(half.name for half in fittings.junction_of[taken.name].halves if half is not taken)
        message = f"connector {name} mates with {other}, but {taken.name} belongs to {by}"
        yield finding("mate-taken", "", message, figure=other, limit=by)


def _pair(junction: Junction, fittings: Fittings) -> Iterator[Finding]:
    if len(junction.halves) != 2:
        return
    one, other = junction.halves
    for what, mine, theirs in (
        ("series", one.series, other.series),
        ("ways", one.ways, other.ways),
        ("keying", one.keying, other.keying),
    ):
        if mine and theirs and mine != theirs:
            message = f"{one.name} and {other.name} do not mate: {what} {mine} and {theirs}"
            yield finding("pair-mismatch", "", message, figure=str(theirs), limit=str(mine))
    if {one.half, other.half} != {Half.PIN, Half.SOCKET}:
        message = f"{one.name} and {other.name} do not mate: {one.half} and {other.half}"
        yield finding("pair-mismatch", "", message, figure=other.half, limit=f"{Half.PIN} and {Half.SOCKET}")
    yield from _crossed(one, other, fittings)


def _crossed(one: Connector, other: Connector, fittings: Fittings) -> Iterator[Finding]:
    """A cavity in one half faces that of the same label in the other, so both must hold the same conductor."""
    theirs = {cavity.label: cavity for cavity in fittings.cavities.get(other.name, ()) if cavity.circuit}
    for cavity in fittings.cavities.get(one.name, ()):
        facing = theirs.get(cavity.label)
        if cavity.circuit and facing and (facing.circuit, facing.holds) != (cavity.circuit, cavity.holds):
            mine, theirs_holds = f"{cavity.circuit} {cavity.holds}", f"{facing.circuit} {facing.holds}"
            message = f"cavity {cavity.label} holds {mine} in {one.name}, but {theirs_holds} in {other.name}"
            yield finding("pair-crossed", cavity.circuit, message, figure=theirs_holds, limit=mine)
    where = {(cavity.circuit, cavity.holds): cavity.label for cavity in theirs.values()}
    several = Counter((cavity.circuit, cavity.holds) for cavity in theirs.values())
    for cavity in fittings.cavities.get(one.name, ()):
        key = cavity.circuit, cavity.holds
        elsewhere = where.get(key)
        if elsewhere and several[key] == 1 and elsewhere != cavity.label and cavity.label not in theirs:
            message = (
                f"{cavity.circuit} {cavity.holds} is in {one.name} {cavity.label}, but in {other.name} {elsewhere}"
            )
            yield finding("pair-crossed", cavity.circuit, message, figure=elsewhere, limit=cavity.label)
