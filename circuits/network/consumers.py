"""Loads as elements: what a circuit's load is made of, by its kind."""

from __future__ import annotations

import math

from circuits.network.elements import Diode, Element, Lamp, Load, Part, Resistor
from circuits.network.laws import THERMAL_V, figure
from circuits.plan import Circuit, Kind

OHMIC: dict[Kind, Part] = {
    Kind.MOTOR: Part.MOTOR,
    Kind.HEATER: Part.HEATER,
    Kind.ELECTRONICS: Part.ELECTRONICS,
    Kind.COIL: Part.COIL,
    Kind.SENDER: Part.SENDER,
}
"""Kinds drawn as the resistance that their rated current at system voltage gives (a motor: at its running speed)."""


def consumer(
    name: str, circuit: Circuit, place: str, start: str, end: str, system_v: float
) -> tuple[Load, list[Element]]:
    """One load of a circuit and the elements that stand for it.

    Parameters
    ----------
    name : str
        Unique in the network.
    circuit : Circuit
        Any kind but a feeder.
    place, start, end : str
        Where it is; its supply and return nodes.
    system_v : float
        12 or 24 [V].

    Examples
    --------
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0)
    >>> load, (element,) = consumer("horn", horn, "grille", "in", "out", 12.0)
    >>> load.rated_a, element.ohm
    (5.0, 2.4)
    """
    rated_a = circuit.load_current_a(system_v)
    elements: list[Element]
    if circuit.kind is Kind.LAMP:
        part = Part.LAMP
        elements = [Lamp(name, start, end, system_v, rated_a * system_v, circuit.name)]
    elif circuit.kind is Kind.LED:
        part = Part.LED
        elements = _led(name, circuit.name, start, end, system_v, rated_a)
    else:
        part = OHMIC[circuit.kind]
        elements = [Resistor(name, start, end, system_v / rated_a, part, circuit.name)]
    return Load(name, circuit.name, place, part, start, end, name, system_v, rated_a), elements


def _led(name: str, circuit: str, start: str, end: str, system_v: float, rated_a: float) -> list[Element]:
    """Junctions in series with their resistor, together at the rated current at system voltage."""
    junction_v = figure("led_volt_share") * system_v
    slope_v = junction_v / figure("led_volt_per_junction") * figure("led_emission") * THERMAL_V
    saturation_a = rated_a / (math.exp(junction_v / slope_v) - 1.0)
    middle = f"{name}: between resistor and junctions"
    ohm = (system_v - junction_v) / rated_a
    return [
        Resistor(name, start, middle, ohm, Part.LED, circuit),
        Diode(f"{name} junctions", middle, end, saturation_a, slope_v, circuit, Part.LED),
    ]
