"""Fuses, switches and relays of a circuit as elements."""

from __future__ import annotations

from circuits.electrical.protection import fuse_ohm
from circuits.network.elements import LEAST_OHM, Part, Relay, Resistor, Switch
from circuits.network.laws import figure
from circuits.network.node_names import fuse_out, switch_node
from circuits.network.sketch import Sketch
from circuits.network.switching import switch_function, switch_positions
from circuits.plan import Circuit
from circuits.sized import Fuse, SizedCircuit
from circuits.wiring import Lands


def loads_of(one: SizedCircuit) -> list[tuple[str, str]]:
    """Device and place of each load of a circuit, once each.

    Parameters
    ----------
    one : SizedCircuit
    """
    ends = [wire.wire.end for wire in one.wires if wire.wire.end.lands is Lands.LOAD]
    return list(dict.fromkeys((end.device, end.place) for end in ends))


def add_fuse(sketch: Sketch, fuse: Fuse, circuit: Circuit, supply: str) -> None:
    """Enter a fuse.

    Parameters
    ----------
    sketch : Sketch
    fuse : Fuse
    circuit : Circuit
    supply : str
        Node before it.
    """
    ohm = fuse_ohm(fuse.family, fuse.rating_a) or LEAST_OHM
    sketch.add(Resistor(f"fuse: {fuse.name}", supply, fuse_out(fuse), ohm, Part.FUSE, circuit.name, fuse.rating_a))


def add_switch(sketch: Sketch, one: SizedCircuit, contact_ohm: float) -> None:
    """Enter a circuit's pole of its switch.

    Parameters
    ----------
    sketch : Sketch
    one : SizedCircuit
    contact_ohm : float
    """
    circuit = one.circuit
    device = next(wire.wire.end.device for wire in one.wires if wire.wire.end.lands is Lands.SWITCH)
    ends = switch_node(circuit, device, is_in=True), switch_node(circuit, device, is_in=False)
    name, positions = f"{device} for {circuit.name}", switch_positions(circuit)
    sketch.add(Switch(name, *ends, switch_function(circuit), positions, contact_ohm, circuit.name))


def add_relay(sketch: Sketch, one: SizedCircuit, system_v: float, coil_a: float, contact_ohm: float) -> None:
    """Enter a circuit's relay.

    Parameters
    ----------
    sketch : Sketch
    one : SizedCircuit
    system_v, coil_a, contact_ohm : float
        What its coil draws at system voltage; of its closed contact.
    """
    device = next(wire.wire.end.device for wire in one.wires if wire.wire.end.lands is Lands.RELAY)
    sketch.add(
        Relay(
            device,
            coil_start=f"{device}: 86",
            coil_end=f"{device}: 85",
            start=f"{device}: 30",
            end=f"{device}: 87",
            coil_ohm=system_v / coil_a,
            ohm=contact_ohm,
            pull_in_v=figure("relay_pull_in_share") * system_v,
            drop_out_v=figure("relay_drop_out_share") * system_v,
            circuit=one.circuit.name,
        )
    )
