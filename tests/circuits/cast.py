"""A small invented vehicle that tests may share: the Marsh Hare, an open two-seater of six circuits.

Its loom, with lengths in metres::

    battery --0.8-- bulkhead --0.6-- panel --0.5-- dash
                       |               |
                      1.5             2.4
                       |               |
                     nose            tail --0.6-- left tail
                     /  \\              \\---0.7-- right tail
                   0.5  0.6
            left lamp    right lamp
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from circuits.plan import Circuit, Covering, Duty, FuseFamily, Kind, Plan, Return, Run, Vehicle, Zone

RUNS = (
    Run("battery", "bulkhead", 0.8, "engine bay", Covering.SPLIT_LOOM),
    Run("bulkhead", "panel", 0.6, "cabin", Covering.SPLIT_LOOM, opening_mm=32.0),
    Run("panel", "dash", 0.5, "cabin", Covering.TAPE),
    Run("bulkhead", "nose", 1.5, "engine bay", Covering.SPLIT_LOOM),
    Run("nose", "left lamp", 0.5, "engine bay", Covering.SLEEVE),
    Run("nose", "right lamp", 0.6, "near exhaust", Covering.SLEEVE),
    Run("panel", "tail", 2.4, "underbody", Covering.BRAID),
    Run("tail", "left tail", 0.6, "boot"),
    Run("tail", "right tail", 0.7, "boot"),
)

MAIN = Circuit(
    "main feed", "engine bay", "battery", "battery", "panel", ("panel",), Kind.FEEDER,
    load_a=40.0, fuse_family=FuseFamily.MAXI_BLADE,
)  # fmt: skip
DIP = Circuit(
    "dip beam", "front", "lighting", "panel", "dip beam", ("left lamp", "right lamp"), Kind.LAMP, load_w=55.0,
    switch_at="dash", switch="headlamp:dip", relay_at="bulkhead", ground_at="nose", safety=True,
)  # fmt: skip
TAIL = Circuit(
    "tail lamps", "rear", "lighting", "panel", "tail lamp", ("left tail", "right tail"), Kind.LAMP, load_w=5.0,
    switch_at="dash", switch="headlamp:side, dip",
)  # fmt: skip
HORN = Circuit(
    "horn", "front", "battery", "panel", "horn", ("nose",), Kind.COIL, load_a=5.0,
    duty=Duty.INTERMITTENT, switch_at="dash", switch="horn",
)  # fmt: skip
GAUGES = Circuit("gauges", "dash", "ignition", "panel", "instruments", ("dash",), Kind.ELECTRONICS, load_a=0.8)
FUEL = Circuit("fuel level", "rear", "gauges", "dash", "fuel sender", ("tail",), Kind.SENDER, load_a=0.1)

SIX = (MAIN, DIP, TAIL, HORN, GAUGES, FUEL)


def marsh_hare(*changed: Circuit, runs: tuple[Run, ...] = RUNS, zones: tuple[Zone, ...] = (), **vehicle: Any) -> Plan:
    """The plan of the Marsh Hare. A changed circuit takes the place of the one of its name; others come after."""
    by_name = {circuit.name: circuit for circuit in (*SIX, *changed)}
    return Plan(Vehicle("Marsh Hare, an invented open two-seater", **vehicle), zones, runs, tuple(by_name.values()))


def only(*circuits: Circuit, runs: tuple[Run, ...] = RUNS, zones: tuple[Zone, ...] = (), **vehicle: Any) -> Plan:
    """A plan of these circuits alone on the loom of the Marsh Hare."""
    return Plan(Vehicle("Marsh Hare", **vehicle), zones, runs, circuits)


def wired_back(circuit: Circuit, ground_at: str = "") -> Circuit:
    """The circuit with a wired return."""
    return replace(circuit, return_by=Return.WIRED, ground_at=ground_at)
