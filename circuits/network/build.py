"""The network of a sized plan: every wire with its two joints, every fuse, switch, relay and load, and the body."""

from __future__ import annotations

from dataclasses import dataclass, replace

from circuits.electrical.conductors import resistance_ohm
from circuits.electrical.protection import fuse_ohm
from circuits.findings import Finding
from circuits.network.branches import Branches, compile_branches
from circuits.network.consumers import consumer
from circuits.network.elements import LEAST_OHM, Load, NodeKind, Part, Relay, Resistor, Switch
from circuits.network.laws import figure
from circuits.network.network_findings import network_finding
from circuits.network.sketch import Sketch
from circuits.network.solve import structure_findings
from circuits.network.supply import (
    KEY,
    KEY_POSITIONS,
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
from circuits.patterns.switched import switch_states
from circuits.plan import Circuit, FuseFamily, Kind
from circuits.sized import Fuse, SizedCircuit, SizedPlan, SizedWire
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
        self.crankers: dict[str, SizedCircuit] = {}
        self.solenoids: dict[str, str] = {}
        for one in self.sized.values():
            if is_cranking_motor(one.circuit):
                self.crankers.setdefault(one.circuit.load_at[0], one)
        for one in self.sized.values():
            if one.circuit.feed == "start" and one.circuit.kind is Kind.COIL:
                self.solenoids.setdefault(one.circuit.load_at[0], one.circuit.name)

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
                self._add_fuse(fuse, circuit, supply)
        joint_ohm = self.contact_ohm * (BOLTED_SHARE if _has_bolted_joints(one) else 1.0)
        for wire in one.wires:
            self._add_wire(one, wire, max(joint_ohm, LEAST_OHM))
        if circuit.switch_at:
            self._add_switch(one)
        if circuit.relay_at:
            self._add_relay(one)
        if circuit.kind is not Kind.FEEDER:
            self._add_loads(one)

    def _add_fuse(self, fuse: Fuse, circuit: Circuit, supply: str) -> None:
        ohm = fuse_ohm(fuse.family, fuse.rating_a) or LEAST_OHM
        name, out = f"fuse: {fuse.name}", _fuse_out(fuse)
        self.sketch.add(Resistor(name, supply, out, ohm, Part.FUSE, circuit.name, fuse.rating_a))

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
            halves = _contact_node(wire.end, is_in=True), _contact_node(wire.end, is_in=False)
            self.sketch.add(Resistor(f"contact of {wire.end.device}", *halves, joint_ohm, Part.JOINT, circuit))

    def _node(self, one: SizedCircuit, role: Role, end: End, is_start: bool) -> str:
        """Node of the device a wire end lands on."""
        sketch, circuit = self.sketch, one.circuit
        match end.lands:
            case Lands.FUSE:
                fuse = one.coil_fuse if role is Role.RELAY_COIL and one.coil_fuse is not None else one.fuse
                return self._tap(circuit) if fuse is None else sketch.node(_fuse_out(fuse), place=end.place)
            case Lands.SUPPLY:
                return self._tap(circuit) if is_start else sketch.node(end.device, NodeKind.STUD, end.place)
            case Lands.SWITCH:
                return sketch.node(_switch_node(circuit, end.device, is_in=not is_start), place=end.place)
            case Lands.RELAY:
                return sketch.node(f"{end.device}: {end.terminal}", place=end.place)
            case Lands.LOAD:
                return sketch.node(_load_node(circuit, end.device, is_in=not is_start), place=end.place)
            case Lands.SPLICE:
                return sketch.node(end.device, NodeKind.SPLICE, end.place)
            case Lands.CONNECTOR:
                return sketch.node(_contact_node(end, is_in=not is_start), place=end.place)
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
        loads = self._loads(feed)
        place, through = circuit.fed_at, feed.circuit.relay_at or feed.circuit.switch_at
        here = [device for device, at in loads if at == place]
        if not here and place == through:
            lands = Lands.RELAY if feed.circuit.relay_at else Lands.SWITCH
            for wire in feed.wires:
                if wire.wire.end.lands is lands and wire.wire.role is not Role.RELAY_COIL:
                    return self._node(feed, wire.wire.role, wire.wire.end, False)
        if not here and place == feed.circuit.fed_at:
            return _fuse_out(feed.fuse) if feed.fuse is not None else self._tap(feed.circuit)
        return _load_node(feed.circuit, here[0] if here else loads[0][0], is_in=True)

    def _feeder_end(self, feed: SizedCircuit, place: str) -> str:
        ends = [wire.wire.end for wire in feed.wires if wire.wire.end.lands is Lands.SUPPLY]
        return next((end.device for end in ends if end.place == place), ends[0].device)

    def _loads(self, one: SizedCircuit) -> list[tuple[str, str]]:
        """Device and place of each load of a circuit, once each."""
        ends = [wire.wire.end for wire in one.wires if wire.wire.end.lands is Lands.LOAD]
        return list(dict.fromkeys((end.device, end.place) for end in ends))

    def _add_switch(self, one: SizedCircuit) -> None:
        circuit = one.circuit
        device = next(wire.wire.end.device for wire in one.wires if wire.wire.end.lands is Lands.SWITCH)
        ends = _switch_node(circuit, device, is_in=True), _switch_node(circuit, device, is_in=False)
        name = f"{device} for {circuit.name}"
        self.sketch.add(
            Switch(name, *ends, switch_function(circuit), switch_positions(circuit), self.contact_ohm, circuit.name)
        )

    def _add_relay(self, one: SizedCircuit) -> None:
        circuit, system_v = one.circuit, self.vehicle.system_v
        device = next(wire.wire.end.device for wire in one.wires if wire.wire.end.lands is Lands.RELAY)
        self.sketch.add(
            Relay(
                device,
                coil_start=f"{device}: 86",
                coil_end=f"{device}: 85",
                start=f"{device}: 30",
                end=f"{device}: 87",
                coil_ohm=system_v / self.plan.rules.sizing.coil_a,
                ohm=self.contact_ohm,
                pull_in_v=figure("relay_pull_in_share") * system_v,
                drop_out_v=figure("relay_drop_out_share") * system_v,
                circuit=circuit.name,
            )
        )

    def _add_loads(self, one: SizedCircuit) -> None:
        circuit, system_v = one.circuit, self.vehicle.system_v
        returned = {wire.wire.start.device for wire in one.wires if wire.wire.start.lands is Lands.LOAD}
        for device, place in self._loads(one):
            start, end = (_load_node(circuit, device, is_in=is_in) for is_in in (True, False))
            if device not in returned:  # through its own body
                self.grounds.setdefault(place)
                end = ground_node(self.sketch, place)
            name = f"{device} of {circuit.name}"
            if is_cranking_motor(circuit):
                start = self._behind_contact(name, circuit, place, start)
            load, elements = consumer(name, circuit, place, start, end, system_v)
            if place in self.crankers and self.solenoids.get(place) == circuit.name:
                solenoid = self._solenoid(load)
                load, elements = replace(load, branch=solenoid.coil), [solenoid]
            self.sketch.add(*elements)
            self.sketch.add_loads([load])

    def _behind_contact(self, name: str, circuit: Circuit, place: str, start: str) -> str:
        """The node of a cranking motor behind the contact of its solenoid, or of the key where the plan has none."""
        inside = self.sketch.node(_behind(start), NodeKind.STUD, place)
        if place not in self.solenoids:
            contact = Switch(f"{name}: contact", start, inside, KEY, KEY_POSITIONS["start"], LEAST_OHM, circuit.name)
            self.sketch.add(contact)
        return inside

    def _solenoid(self, load: Load) -> Relay:
        """The solenoid that switches the cranking motor at its place."""
        motor = self.crankers[load.place]
        device = next(device for device, place in self._loads(motor) if place == load.place)
        cable = _load_node(motor.circuit, device, is_in=True)
        return Relay(
            load.name,
            coil_start=load.start,
            coil_end=load.end,
            start=cable,
            end=_behind(cable),
            coil_ohm=load.rated_v / load.rated_a,
            ohm=LEAST_OHM,
            pull_in_v=figure("relay_pull_in_share") * load.rated_v,
            drop_out_v=figure("relay_drop_out_share") * load.rated_v,
            circuit=load.circuit,
        )


def is_cranking_motor(circuit: Circuit) -> bool:
    """True for a motor on an unfused cable straight from the battery: a contact of its own must switch it.

    Examples
    --------
    >>> starter = Circuit("cable", "bay", "battery", "battery", "starter", ("engine",), Kind.MOTOR, load_a=180.0,
    ...                   fuse_family=FuseFamily.NONE)
    >>> is_cranking_motor(starter)
    True
    """
    is_bare = circuit.fuse_family is FuseFamily.NONE and circuit.fuse_a is None
    is_driven = bool(circuit.switch_at or circuit.relay_at)
    return circuit.kind is Kind.MOTOR and circuit.feed == "battery" and is_bare and not is_driven


def _behind(node: str) -> str:
    return f"{node}, behind the solenoid"


def switch_function(circuit: Circuit) -> str:
    """Function of a circuit's switch: what its text names before the colon, else the circuit itself."""
    return circuit.switch.partition(":")[0].strip() or circuit.name


def switch_positions(circuit: Circuit) -> tuple[str, ...]:
    """Positions in which a circuit's switch is closed; ``on`` where the plan names none.

    Examples
    --------
    >>> lamp = Circuit("side", "front", "lighting", "panel", "side lamp", ("wing",), Kind.LAMP, load_w=5.0,
    ...                switch_at="dash", switch="lights: side, head")
    >>> switch_function(lamp), switch_positions(lamp)
    ('lights', ('side', 'head'))
    """
    return tuple(state or "on" for state in switch_states(circuit))


def _has_bolted_joints(one: SizedCircuit) -> bool:
    if one.circuit.kind is Kind.FEEDER:
        return True
    if one.fuse is None:
        return not one.circuit.is_fed_by_circuit
    return one.fuse.family in (FuseFamily.BOLT_IN, FuseFamily.FUSIBLE_LINK)


def _fuse_out(fuse: Fuse) -> str:
    return f"fuse: {fuse.name}, behind it"


def _switch_node(circuit: Circuit, device: str, *, is_in: bool) -> str:
    return f"{device}, {'in' if is_in else 'out'} of {circuit.name}"


def _contact_node(end: End, *, is_in: bool) -> str:
    return f"{end.device}, {'in' if is_in else 'out'}"


def _load_node(circuit: Circuit, device: str, *, is_in: bool) -> str:
    return f"{device}, {'in' if is_in else 'out'} of {circuit.name}"
