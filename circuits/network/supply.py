"""Battery, alternator, supply buses and the body: what a plan takes for granted.

The plan draws no wire between battery and a bus: a bus is the battery's post behind the contact that names it (key
positions by DIN 72552: 15 ignition, 75 accessory, 50 start, 58 lighting). Between any two ground points the body has
the resistance the plan gives: half of it from each to one point of the body.
"""

from __future__ import annotations

import math

from circuits.network.elements import (
    LEAST_OHM,
    Diode,
    NodeKind,
    Part,
    Resistor,
    Source,
    Switch,
)
from circuits.network.laws import THERMAL_V, figure
from circuits.network.sketch import Sketch
from circuits.plan import Circuit, Kind, Plan, Vehicle

PLUS, MINUS, BODY = "battery plus", "battery minus", "body"
KEY, LIGHTING, ENGINE = "ignition", "lighting", "engine"
"""Functions every vehicle has: key, lighting bus, engine running or not."""

RUNNING = (ENGINE, "running")

KEY_POSITIONS: dict[str, tuple[str, ...]] = {
    "ignition": ("run", "start"),
    "accessory": ("accessory", "run"),
    "start": ("start",),
}
"""Key positions in which a bus is live (DIN 72552 terminals 15, 75, 50; from memory)."""


def bus_node(bus: str) -> str:
    """Node of a bus.

    Examples
    --------
    >>> bus_node("battery"), bus_node("ignition")
    ('battery plus', 'bus: ignition')
    """
    return PLUS if bus == "battery" else f"bus: {bus}"


def bus_switch(bus: str) -> tuple[str, tuple[str, ...]]:
    """Function that switches a bus, and positions in which it is live.

    Examples
    --------
    >>> bus_switch("accessory")
    ('ignition', ('accessory', 'run'))
    """
    return (LIGHTING, ("on",)) if bus == "lighting" else (KEY, KEY_POSITIONS[bus])


def battery_place(plan: Plan) -> str:
    """Place of the battery: where its first feeder or unfused cable starts; empty where the plan does not say."""
    on_battery = [circuit for circuit in plan.circuits if circuit.feed == "battery" and circuit.disposition.is_wired]
    if "battery" in plan.places:
        return "battery"
    return next((circuit.fed_at for circuit in on_battery if circuit.kind is Kind.FEEDER), "")


def add_battery(sketch: Sketch, vehicle: Vehicle) -> None:
    """Enter the battery: charged, with the internal resistance that its cold cranking rating tells.

    ``R = (E - 7.2 V)/CCA`` for 12 V: the rating's current ends at 7.2 V.

    Parameters
    ----------
    sketch : Sketch
    vehicle : Vehicle
    """
    scale = vehicle.system_v / 12.0
    emf_v = figure("battery_volt_per_12v") * scale
    cca_a = vehicle.battery_cca_a or figure("battery_default_cca_a")
    sketch.node(MINUS, NodeKind.STUD)
    sketch.node(PLUS, NodeKind.STUD)
    sketch.add(Source("battery", MINUS, PLUS, emf_v, (emf_v - figure("battery_cca_end_v") * scale) / cca_a))


def add_alternator(sketch: Sketch, vehicle: Vehicle, output: str, ground: str) -> None:
    """Enter the alternator: regulated at its output while the engine runs, behind the diodes of its rectifier.

    Parameters
    ----------
    sketch : Sketch
    vehicle : Vehicle
    output, ground : str
        Nodes.
    """
    rated_a = vehicle.alternator_a or figure("alternator_default_a")
    saturation_a = figure("rectifier_saturation_a")
    slope_v = 2.0 * figure("rectifier_emission") * THERMAL_V
    diodes_v = slope_v * math.log(0.5 * rated_a / saturation_a)
    emf_v = figure("alternator_volt_per_12v") * vehicle.system_v / 12.0 + diodes_v
    inside = "alternator: before its diodes"
    sketch.add(
        Source(
            "alternator", ground, inside, emf_v, figure("alternator_ohm"), Part.ALTERNATOR, RUNNING, rating_a=rated_a
        ),
        Diode("alternator diodes", inside, output, saturation_a, slope_v),
    )


def add_buses(sketch: Sketch, circuits: tuple[Circuit, ...], contact_ohm: float) -> None:
    """Enter a contact between battery and each other bus that a circuit hangs on.

    Parameters
    ----------
    sketch : Sketch
    circuits : tuple of Circuit
    contact_ohm : float
    """
    for bus in dict.fromkeys(c.feed for c in circuits if not c.is_fed_by_circuit and c.feed != "battery"):
        function, live_in = bus_switch(bus)
        sketch.node(bus_node(bus), NodeKind.STUD)
        sketch.add(Switch(f"contact of {bus}", PLUS, bus_node(bus), function, live_in, contact_ohm))


def ground_node(sketch: Sketch, place: str) -> str:
    """The ground point at a place."""
    return sketch.node(f"ground: {place}", NodeKind.GROUND, place)


def add_body(sketch: Sketch, grounds: list[str], at_battery: str, vehicle: Vehicle, joint_ohm: float) -> None:
    """Enter the body between ground points, and the battery's strap to it.

    Parameters
    ----------
    sketch : Sketch
    grounds : list of str
        Places with a ground point.
    at_battery : str
        Place whose ground point is the battery's own post; empty = none.
    vehicle : Vehicle
    joint_ohm : float
        Of a ring on the post [ohm].
    """
    half_ohm = max(vehicle.chassis_resistance_ohm / 2.0, LEAST_OHM)
    sketch.node(BODY, NodeKind.BODY)
    sketch.add(Resistor("ground strap", MINUS, BODY, half_ohm, Part.CHASSIS))
    for place in grounds:
        ground = ground_node(sketch, place)
        if place == at_battery:
            sketch.add(Resistor(f"{ground} on the post", ground, MINUS, max(joint_ohm, LEAST_OHM), Part.JOINT))
        else:
            sketch.add(Resistor(f"{ground} to body", ground, BODY, half_ohm, Part.CHASSIS))
