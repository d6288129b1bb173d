"""The network of a sized plan: every wire with its two joints, every fuse, switch, relay and load, and the body."""

from __future__ import annotations

from dataclasses import dataclass, replace

from circuits.electrical.conductors import resistance_ohm
from circuits.findings import Finding
from circuits.network.branches import Branches, compile_branches
from circuits.network.consumers import consumer
from circuits.network.cranking import Cranking
from circuits.network.devices import add_fuse, add_relay, add_switch, loads_of
from circuits.network.elements import LEAST_OHM, NodeKind, Part, Resistor
from circuits.network.network_findings import network_finding
from circuits.network.node_names import contact_node, fuse_out, load_node, switch_node
from circuits.network.sketch import Sketch
from circuits.network.solve import structure_findings
from circuits.network.supply import (
    MINUS,
    PLUS,
    add_alternator,
    add_battery,
    add_body,
    add_buses,
    battery_place,
    bus_node,
    ground_node,
)
from circuits.network.switching import is_cranking_motor
from circuits.plan import Circuit, FuseFamily, Kind
from circuits.sized import SizedCircuit, SizedPlan, SizedWire
from circuits.wiring import End, Lands, Role

BOLTED_SHARE = 0.1
"""Resistance of a ring on a stud as a share of a plug-in joint (common practice, no source)."""


@dataclass(frozen=True)
class PlanNetwork:
    """Network of a plan, compiled, with what was found while building it.

    Parameters
    ----------
    plan : SizedPlan
    branches : Branches
    findings : tuple of Finding
    """

    plan: SizedPlan
    branches: Branches
    findings: tuple[Finding, ...]


def build_network(plan: SizedPlan) -> PlanNetwork:
    """Build the network of a sized plan.

    Parameters
    ----------
    plan : SizedPlan

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.network.solve import solve
    >>> from circuits.plan import Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0)
    >>> built = build_network(size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0, "engine bay"),), (horn,))))
    >>> round(solve(built.branches, {}).current_a("load: horn at grille of horn"), 2)
    5.03
    """
    builder = _Builder(plan)
    builder.draw()
    branches = compile_branches(builder.sketch.network(MINUS))
    return PlanNetwork(plan, branches, (*builder.findings, *structure_findings(branches)))


class _Builder:
    """Draws the circuits of a plan into a sketch."""

    def __init__(self, plan: SizedPlan) -> None:
        self.plan = plan
        self.vehicle = plan.wiring.plan.vehicle
        self.contact_ohm = max(plan.rules.sizing.contact_ohm, LEAST_OHM)
        self.sized = {one.circuit.name: one for one in plan.circuits if one.wires}
        self.sketch = Sketch()
        self.findings: list[Finding] = []
        self.grounds: dict[str, None] = {}
        self.cranking = Cranking(tuple(self.sized.values()))

    def draw(self) -> None:
        """Draw everything."""
        wired = tuple(one.circuit for one in self.sized.values())
        add_battery(self.sketch, self.vehicle)
        add_buses(self.sketch, wired, self.contact_ohm)
        for one in self.sized.values():
            self._draw_circuit(one)
        self._draw_alternator()
        at_battery = battery_place(self.plan.wiring.plan)
        joint_ohm = max(BOLTED_SHARE * self.contact_ohm, LEAST_OHM)
        add_body(self.sketch, list(self.grounds), at_battery, self.vehicle, joint_ohm)
        if not self.vehicle.chassis_return and set(self.grounds) - {at_battery}:
            named = ", ".join(place for place in self.grounds if place != at_battery)
            message = f"The body does not conduct: a bar is assumed between the battery and {named}"
            self.findings.append(network_finding("return-assumed", "", message))

    def _draw_alternator(self) -> None:
        """Where a feeder leads to it, else at the battery."""
        for one in self.sized.values():
            circuit = one.circuit
            if circuit.kind is Kind.FEEDER and "alternator" in f"{circuit.load} {circuit.load_at[0]}".lower():
                place, output = circuit.load_at[0], self._feeder_end(one, circuit.load_at[0])
                self.grounds.setdefault(place)
                add_alternator(self.sketch, self.vehicle, output, ground_node(self.sketch, place))
                return
        if self.vehicle.alternator_a is not None:
            add_alternator(self.sketch, self.vehicle, PLUS, MINUS)

    def _draw_circuit(self, one: SizedCircuit) -> None:
        circuit = one.circuit
        supply = self._tap(circuit)
        for fuse in (one.fuse, one.coil_fuse):
            if fuse is not None:
                add_fuse(self.sketch, fuse, circuit, supply)
        joint_ohm = self.contact_ohm * (BOLTED_SHARE if _has_bolted_joints(one) else 1.0)
        for wire in one.wires:
            self._add_wire(one, wire, max(joint_ohm, LEAST_OHM))
        if circuit.switch_at:
            add_switch(self.sketch, one, self.contact_ohm)
        if circuit.relay_at:
            add_relay(self.sketch, one, self.vehicle.system_v, self.plan.rules.sizing.coil_a, self.contact_ohm)
        if circuit.kind is not Kind.FEEDER:
            self._add_loads(one)

    def _add_wire(self, one: SizedCircuit, sized: SizedWire, joint_ohm: float) -> None:
        wire, circuit = sized.wire, one.circuit.name
        ohm = resistance_ohm(sized.conductor, wire.length_m, sized.conductor_c)
        start, end = self._node(one, wire.role, wire.start, True), self._node(one, wire.role, wire.end, False)
        first, last = f"{wire.name} start", f"{wire.name} end"
        self.sketch.node(first, NodeKind.TERMINAL, wire.start.place)
        self.sketch.node(last, NodeKind.TERMINAL, wire.end.place)
        self.sketch.add(
            Resistor(f"joint at {first}", start, first, joint_ohm, Part.JOINT, circuit),
            Resistor(wire.name, first, last, max(ohm, LEAST_OHM), Part.WIRE, circuit, sized.ampacity_a),
            Resistor(f"joint at {last}", last, end, joint_ohm, Part.JOINT, circuit),
        )
        if wire.end.lands is Lands.CONNECTOR:
            halves = contact_node(wire.end, is_in=True), contact_node(wire.end, is_in=False)
            self.sketch.add(Resistor(f"contact of {wire.end.device}", *halves, joint_ohm, Part.JOINT, circuit))

    def _node(self, one: SizedCircuit, role: Role, end: End, is_start: bool) -> str:
        """Node of the device a wire end lands on."""
        sketch, circuit = self.sketch, one.circuit
        match end.lands:
            case Lands.FUSE:
                fuse = one.coil_fuse if role is Role.RELAY_COIL and one.coil_fuse is not None else one.fuse
                return self._tap(circuit) if fuse is None else sketch.node(fuse_out(fuse), place=end.place)
            case Lands.SUPPLY:
                return self._tap(circuit) if is_start else sketch.node(end.device, NodeKind.STUD, end.place)
            case Lands.SWITCH:
                return sketch.node(switch_node(circuit, end.device, is_in=not is_start), place=end.place)
            case Lands.RELAY:
                return sketch.node(f"{end.device}: {end.terminal}", place=end.place)
            case Lands.LOAD:
                return sketch.node(load_node(circuit, end.device, is_in=not is_start), place=end.place)
            case Lands.SPLICE:
                return sketch.node(end.device, NodeKind.SPLICE, end.place)
            case Lands.CONNECTOR:
                return sketch.node(contact_node(end, is_in=not is_start), place=end.place)
            case Lands.GROUND:
                self.grounds.setdefault(end.place)
                return ground_node(sketch, end.place)

    def _tap(self, circuit: Circuit) -> str:
        """Where a circuit takes its supply: a bus, or the circuit that feeds it, at the place where they meet."""
        feed = self.sized.get(circuit.feed)
        if feed is None:
            return bus_node(circuit.feed)
        if feed.circuit.kind is Kind.FEEDER:
            return self._feeder_end(feed, circuit.fed_at)
        loads = loads_of(feed)
        place, through = circuit.fed_at, feed.circuit.relay_at or feed.circuit.switch_at
        here = [device for device, at in loads if at == place]
        if not here and place == through:
            lands = Lands.RELAY if feed.circuit.relay_at else Lands.SWITCH
            for wire in feed.wires:
                if wire.wire.end.lands is lands and wire.wire.role is not Role.RELAY_COIL:
                    return self._node(feed, wire.wire.role, wire.wire.end, False)
        if not here and place == feed.circuit.fed_at:
            return fuse_out(feed.fuse) if feed.fuse is not None else self._tap(feed.circuit)
        return load_node(feed.circuit, here[0] if here else loads[0][0], is_in=True)

    def _feeder_end(self, feed: SizedCircuit, place: str) -> str:
        ends = [wire.wire.end for wire in feed.wires if wire.wire.end.lands is Lands.SUPPLY]
        return next((end.device for end in ends if end.place == place), ends[0].device)

    def _add_loads(self, one: SizedCircuit) -> None:
        circuit, system_v = one.circuit, self.vehicle.system_v
        returned = {wire.wire.start.device for wire in one.wires if wire.wire.start.lands is Lands.LOAD}
        for device, place in loads_of(one):
            start, end = (load_node(circuit, device, is_in=is_in) for is_in in (True, False))
            if device not in returned:  # through its own body
                self.grounds.setdefault(place)
                end = ground_node(self.sketch, place)
            name = f"{device} of {circuit.name}"
            if is_cranking_motor(circuit):
                start = self.cranking.behind_contact(self.sketch, name, circuit, place, start)
            load, elements = consumer(name, circuit, place, start, end, system_v)
            if self.cranking.is_solenoid(load):
                solenoid = self.cranking.solenoid(load)
                load, elements = replace(load, branch=solenoid.coil), [solenoid]
            self.sketch.add(*elements)
            self.sketch.add_loads([load])


def _has_bolted_joints(one: SizedCircuit) -> bool:
    if one.circuit.kind is Kind.FEEDER:
        return True
    if one.fuse is None:
        return not one.circuit.is_fed_by_circuit
    return one.fuse.family in (FuseFamily.BOLT_IN, FuseFamily.FUSIBLE_LINK)
