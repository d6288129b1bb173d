"""Counts work elements: how often each occurs in each section of the vehicle, and which circuits ask for it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from circuits.harness.routes import Router
from circuits.plan import Circuit, Disposition
from circuits.sized import SizedPlan, SizedWire
from estimating.labour.condition import pull_element
from estimating.labour.hours import ElementCount
from estimating.labour.minutes import Element
from estimating.takeoff.needs import Need
from estimating.takeoff.parts import PartKind
from estimating.takeoff.scope import Scope, ends_with_terminal

WHOLE_VEHICLE = "whole vehicle"
"""Section of the work that no one circuit asks for."""

MAX_SMALL_CRIMP_MM2 = 6.0
"""Above this a crimp takes a hydraulic or bench tool (common practice, no source)."""

BY_PART: dict[PartKind, Element] = {
    PartKind.LABEL: Element.LABEL,
    PartKind.PANEL_POSITION: Element.PANEL_POSITION,
    PartKind.FUSE_HOLDER: Element.FUSE_HOLDER,
    PartKind.RELAY: Element.RELAY,
    PartKind.GROMMET: Element.GROMMET,
    PartKind.COVERING: Element.COVERING,
    PartKind.CLIP: Element.CLIP,
    PartKind.SPLICE: Element.SPLICE,
    PartKind.CONNECTOR: Element.CONNECTOR,
    PartKind.END_CAP: Element.CAP_OFF,
}
"""Parts whose fitting is a work element of its own, counted by the part's own quantity."""


@dataclass(frozen=True, slots=True)
class Tick:
    """One occurrence of an element: ``quantity`` units asked for by ``circuits`` in ``section``."""

    element: Element
    section: str
    quantity: float
    circuits: tuple[str, ...] = ()


def count_elements(sized: SizedPlan, needs: Sequence[Need]) -> tuple[ElementCount, ...]:
    """Work elements of a sized plan.

    Parameters
    ----------
    sized : SizedPlan
    needs : sequence of Need
        Of the same plan, from ``estimating.takeoff.takeoff.needs_of``.

    Returns
    -------
    tuple of ElementCount
        By element in the order of a job, then by section in plan order. Empty for a plan without circuits.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> from estimating.takeoff.takeoff import needs_of
    >>> sized = example_sized_plan()
    >>> [(row.element, row.count) for row in count_elements(sized, needs_of(sized)) if "crimp" in row.element]
    [('crimp, small', 7.0)]
    """
    scope = Scope.of(sized)
    if not scope.circuits:
        return ()
    ticks = (*_dispositions(scope), *_wires(scope), *_parts(scope, needs), *_once(scope, needs))
    return _added(ticks, scope)


def _dispositions(scope: Scope) -> Iterator[Tick]:
    router = Router(scope.sized.wiring.plan)
    for circuit in scope.circuits.values():
        name, section, disposition = (circuit.name,), circuit.section, circuit.disposition
        if disposition in (Disposition.REPLACE, Disposition.REMOVE):
            yield Tick(Element.REMOVE_CIRCUIT, section, 1, name)
        if disposition is Disposition.REMOVE:
            yield Tick(Element.REMOVE_WIRE, section, _old_wire_m(router, circuit), name)
        if disposition is Disposition.KEEP:
            yield Tick(Element.CHECK_KEPT, section, 1, name)
        if disposition is Disposition.REPAIR:
            yield Tick(Element.REPAIR, section, 1, name)
        if disposition.is_pulled_new:
            yield Tick(Element.FAULT_FINDING, section, 1, name)
        if disposition.is_wired and disposition is not Disposition.KEEP:
            yield Tick(Element.TEST, section, 1, name)


def _old_wire_m(router: Router, circuit: Circuit) -> float:
    """Metres of wire that a removed circuit leaves: from its supply by its switch and relay to each of its loads.

    It is not wired, so no wire tells; where no run leads, nobody knows and nothing is counted.
    """
    stops = [circuit.fed_at, *filter(None, (circuit.switch_at, circuit.relay_at))]
    ways = [*pairwise(stops), *((stops[-1], load) for load in circuit.load_at)]
    return math.fsum(router.path(start, end).length_m for start, end in ways if router.is_joined(start, end))


def _wires(scope: Scope) -> Iterator[Tick]:
    for sized in scope.fresh:
        circuit = scope.circuits[sized.wire.circuit]
        name, section = (circuit.name,), circuit.section
        yield Tick(Element.CUT_AND_STRIP, section, 2, name)
        if terminals := len(ends_with_terminal(sized)):
            yield Tick(_crimp(sized), section, terminals, name)
            yield Tick(Element.LAND, section, terminals, name)
        for index in sized.wire.path.runs:
            run = scope.sized.wiring.plan.runs[index]
            yield Tick(pull_element(run.zone), section, run.length_m, name)
            if circuit.disposition is Disposition.REPLACE:
                yield Tick(Element.REMOVE_WIRE, section, run.length_m, name)


def _crimp(sized: SizedWire) -> Element:
    return Element.CRIMP_SMALL if sized.conductor.area_mm2 <= MAX_SMALL_CRIMP_MM2 else Element.CRIMP_LARGE


def _parts(scope: Scope, needs: Iterable[Need]) -> Iterator[Tick]:
    for need in needs:
        if need.circuits and (element := BY_PART.get(need.kind)):  # what no circuit asks for is a spare
            sections = {scope.circuits[name].section for name in need.circuits}
            section = sections.pop() if len(sections) == 1 else WHOLE_VEHICLE
            yield Tick(element, section, need.quantity, need.circuits)


def _once(scope: Scope, needs: Iterable[Need]) -> Iterator[Tick]:
    yield Tick(Element.SURVEY, WHOLE_VEHICLE, 1)
    if any(need.kind is PartKind.PANEL_POSITION for need in needs):
        yield Tick(Element.FIT_PANEL, WHOLE_VEHICLE, 1)
    if any(circuit.disposition.is_wired for circuit in scope.circuits.values()):
        yield Tick(Element.PROVING, WHOLE_VEHICLE, 1)


def _added(ticks: Iterable[Tick], scope: Scope) -> tuple[ElementCount, ...]:
    found: dict[tuple[Element, str], list[Tick]] = {}
    for tick in ticks:
        if tick.quantity > 0:
            found.setdefault((tick.element, tick.section), []).append(tick)
    elements = {element: index for index, element in enumerate(Element)}
    circuits = {name: index for index, name in enumerate(scope.circuits)}
    sections = {section: index for index, section in enumerate(section_order(scope.sized))}
    return tuple(
        ElementCount(
            element=str(element),
            section=section,
            count=math.fsum(tick.quantity for tick in found[element, section]),
            circuits=tuple(
                sorted({name for tick in found[element, section] for name in tick.circuits}, key=circuits.__getitem__)
            ),
        )
        for element, section in sorted(found, key=lambda key: (elements[key[0]], sections[key[1]]))
    )


def section_order(sized: SizedPlan) -> tuple[str, ...]:
    """Sections in plan order, the whole vehicle last.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> section_order(example_sized_plan())
    ('rear', 'whole vehicle')
    """
    names = dict.fromkeys(circuit.section for circuit in sized.wiring.plan.circuits)
    names.pop(WHOLE_VEHICLE, None)
    return (*names, WHOLE_VEHICLE)
