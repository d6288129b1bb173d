"""The order in which parts are mounted: each after what it hides, and after its own wires where they go on first."""

from __future__ import annotations

from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.fittings import Mounting
from circuits.plan import Plan
from circuits.wiring import Lands, Wiring

_PLAIN_ENDS = (Lands.SPLICE, Lands.CONNECTOR)


@dataclass(frozen=True, slots=True)
class MountingStep:
    """One part to mount, with what comes before.

    Parameters
    ----------
    mounting : Mounting
    own : tuple of str
        Circuits whose fresh wires land on it, in plan order.
    hidden : tuple of str
        Circuits of which a fresh end cannot be reached any more once it is mounted, in plan order.
    after : tuple of str
        Parts that it hides, and that are mounted before it.
    """

    mounting: Mounting
    own: tuple[str, ...]
    hidden: tuple[str, ...]
    after: tuple[str, ...]


def mounting_steps(wiring: Wiring) -> tuple[MountingStep, ...]:
    """Parts in an order in which they can be mounted; of those that may come next the one named first in the plan.

    Parts that hide each other in a circle come in plan order where the circle is cut.

    Parameters
    ----------
    wiring : Wiring

    Examples
    --------
    >>> from circuits.patterns import expand
    >>> from circuits.plan import Run, Vehicle
    >>> parts = (Mounting("dash top", hides=("heater box",)), Mounting("heater box", "scuttle", wired_first=True))
    >>> steps = mounting_steps(expand(Plan(Vehicle(), (), (Run("panel", "scuttle", 1.0),), (), mountings=parts)))
    >>> [step.mounting.part for step in steps]
    ['heater box', 'dash top']
    """
    plan = wiring.plan
    if not plan.mountings:
        return ()
    landing = _circuits_at(wiring)
    by_part = {mounting.part: mounting for mounting in plan.mountings}
    before, _ = _cut_circles(plan)
    ordered = _in_order(before, list(by_part))
    rank = {circuit.name: number for number, circuit in enumerate(plan.circuits)}

    def circuits(names: tuple[str, ...]) -> tuple[str, ...]:
        found = {circuit for name in names for circuit in landing.get(name, ())}
        return tuple(sorted(found, key=rank.__getitem__))

    return tuple(
        MountingStep(
            by_part[part],
            circuits((by_part[part].place,) if by_part[part].place else ()),
            circuits(tuple(name for name in by_part[part].hides if name not in by_part)),
            tuple(name for name in by_part[part].hides if name in before[part]),
        )
        for part in ordered
    )


def mounting_findings(plan: Plan) -> tuple[Finding, ...]:
    """mounting-circle, mounting-hides-unknown, mounting-place-unknown.

    Parameters
    ----------
    plan : Plan

    Examples
    --------
    >>> from circuits.plan import Vehicle
    >>> parts = (Mounting("dash top", hides=("heater box",)), Mounting("heater box", hides=("dash top",)))
    >>> [found.message for found in mounting_findings(Plan(Vehicle(), (), (), (), mountings=parts))]
    ['dash top hides heater box, which hides dash top: none of them can be mounted last']
    """
    places = set(plan.places)
    known = places | {connector.name for connector in plan.connectors} | {m.part for m in plan.mountings}
    found = []
    for mounting in plan.mountings:
        if mounting.place and mounting.place not in places:
            message = f"{mounting.part} is to go to {mounting.place}, and no run leads there"
            found.append(finding("mounting-place-unknown", "", message, figure=mounting.place))
        for name in mounting.hides:
            if name not in known:
                message = f"{mounting.part} hides {name}, which is no place, connector or part of the plan"
                found.append(finding("mounting-hides-unknown", "", message, figure=name))
    for circle in _cut_circles(plan)[1]:
        words = ", which hides ".join(circle)
        message = f"{circle[0]} hides {words.partition(', which hides ')[2]}: none of them can be mounted last"
        cure = f"Take {circle[1]} out of what {circle[0]} hides, if it can be reached after all."
        found.append(finding("mounting-circle", "", message, figure=circle[1], cure=cure))
    return tuple(found)


def _circuits_at(wiring: Wiring) -> dict[str, set[str]]:
    """Circuits with a fresh end at each place, and in each connector."""
    found: dict[str, set[str]] = {}
    for wire in wiring.wires:
        for end in (wire.start, wire.end):
            if not wire.is_existing:
                if end.lands not in _PLAIN_ENDS:
                    found.setdefault(end.place, set()).add(wire.circuit)
                if end.connector:
                    found.setdefault(end.connector, set()).add(wire.circuit)
    return found


def _cut_circles(plan: Plan) -> tuple[dict[str, set[str]], list[list[str]]]:
    """For each part those mounted before it, without circles; and the circles, each cut at its first step."""
    parts = {mounting.part for mounting in plan.mountings}
    before = {mounting.part: {name for name in mounting.hides if name in parts} for mounting in plan.mountings}
    rank = {mounting.part: number for number, mounting in enumerate(plan.mountings)}
    circles = []
    while True:
        try:
            TopologicalSorter({part: sorted(hidden, key=rank.__getitem__) for part, hidden in before.items()}).prepare()
        except CycleError as error:
            circle: list[str] = error.args[1][::-1]  # each hides the next; the first stands at the end again
            start = min(range(len(circle) - 1), key=lambda number: rank[circle[number]])
            turned = [*circle[start:-1], *circle[: start + 1]]
            circles.append(turned)
            before[turned[0]].discard(turned[1])
        else:
            return before, circles


def _in_order(before: dict[str, set[str]], parts: list[str]) -> list[str]:
    ordered: list[str] = []
    while len(ordered) < len(parts):
        ordered.append(next(part for part in parts if part not in ordered and before[part] <= set(ordered)))
    return ordered
