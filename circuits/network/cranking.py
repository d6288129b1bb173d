"""Starters: a motor on an unfused cable, and the solenoid, or the key, whose contact switches it."""

from __future__ import annotations

from circuits.network.devices import loads_of
from circuits.network.elements import LEAST_OHM, Load, NodeKind, Relay, Switch
from circuits.network.laws import figure
from circuits.network.node_names import behind_solenoid, load_node
from circuits.network.sketch import Sketch
from circuits.network.supply import KEY, KEY_POSITIONS
from circuits.network.switching import is_cranking_motor
from circuits.plan import Circuit, Kind
from circuits.sized import SizedCircuit


class Cranking:
    """Cranking motors of a vehicle and their solenoids, by place.

    Parameters
    ----------
    circuits : tuple of SizedCircuit
        Those that are wired.
    """

    def __init__(self, circuits: tuple[SizedCircuit, ...]) -> None:
        self._motors: dict[str, SizedCircuit] = {}
        self._solenoids: dict[str, str] = {}
        for one in circuits:
            if is_cranking_motor(one.circuit):
                self._motors.setdefault(one.circuit.load_at[0], one)
            elif one.circuit.feed == "start" and one.circuit.kind is Kind.COIL:
                self._solenoids.setdefault(one.circuit.load_at[0], one.circuit.name)

    def behind_contact(self, sketch: Sketch, name: str, circuit: Circuit, place: str, start: str) -> str:
        """The node of a cranking motor behind the contact of its solenoid, or of the key where the plan has none.

        Parameters
        ----------
        sketch : Sketch
        name : str
            Of the motor.
        circuit : Circuit
        place, start : str
            Where it is; node of its cable.
        """
        inside = sketch.node(behind_solenoid(start), NodeKind.STUD, place)
        if place not in self._solenoids:
            live_in = KEY_POSITIONS["start"]
            sketch.add(Switch(f"{name}: contact", start, inside, KEY, live_in, LEAST_OHM, circuit.name))
        return inside

    def is_solenoid(self, load: Load) -> bool:
        """True for the load that switches the cranking motor at its place."""
        return load.place in self._motors and self._solenoids.get(load.place) == load.circuit

    def solenoid(self, load: Load) -> Relay:
        """The solenoid that switches the cranking motor at its place.

        Parameters
        ----------
        load : Load
        """
        motor = self._motors[load.place]
        device = next(device for device, place in loads_of(motor) if place == load.place)
        cable = load_node(motor.circuit, device, is_in=True)
        return Relay(
            load.name,
            coil_start=load.start,
            coil_end=load.end,
            start=cable,
            end=behind_solenoid(cable),
            coil_ohm=load.rated_v / load.rated_a,
            ohm=LEAST_OHM,
            pull_in_v=figure("relay_pull_in_share") * load.rated_v,
            drop_out_v=figure("relay_drop_out_share") * load.rated_v,
            circuit=load.circuit,
        )
