"""Who and what the tests of quotes are about: an invented shop, an invented estate car."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from circuits.plan import Circuit, Covering, Kind, Plan, Run, Vehicle, Zone
from estimating.quotes.paper_content import Letterhead

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)

VEHICLE = Vehicle(description="Heron estate, invented", battery_ah=60.0, alternator_a=70.0)
ZONES = (Zone("cabin", 40.0), Zone("engine bay", 85.0), Zone("boot", 40.0))
RUNS = (
    Run("panel", "dash", 0.9, "cabin", Covering.TAPE),
    Run("panel", "bulkhead", 0.8, "cabin", Covering.SPLIT_LOOM, opening_mm=90.0),
    Run("bulkhead", "left headlamp", 1.6, "engine bay", Covering.SPLIT_LOOM),
    Run("bulkhead", "battery", 1.1, "engine bay", Covering.SPLIT_LOOM),
    Run("panel", "rear seat", 2.4, "cabin", Covering.TAPE),
    Run("rear seat", "tail", 1.7, "boot", Covering.SPLIT_LOOM),
)

HEADLAMP = Circuit(
    "low beam left", "front", "lighting", "panel", "low beam", ("left headlamp",), Kind.LAMP, load_w=55.0, safety=True
)
TAIL = Circuit("tail lamp", "rear", "lighting", "panel", "tail lamp", ("tail",), Kind.LAMP, load_w=5.0, safety=True)
FAN = Circuit(
    "cooling fan", "front", "ignition", "panel", "fan motor", ("left headlamp",), Kind.MOTOR, load_a=14.0,
    switch_at="dash", switch="fan:on", relay_at="bulkhead",
)  # fmt: skip
SOCKET = Circuit("socket", "cabin", "battery", "panel", "12 V socket", ("dash",), Kind.ELECTRONICS, load_a=8.0)
LOST = replace(SOCKET, name="reading lamp", load_at=("roof",))
"""A load at a place that no run reaches: sizing cannot answer for it."""


def plan_of(*circuits: Circuit) -> Plan:
    """A plan with the circuits given."""
    return Plan(VEHICLE, ZONES, RUNS, circuits)


PLAN = plan_of(HEADLAMP, TAIL, FAN)


def plan_with(count: int) -> Plan:
    """A plan of ``count`` circuits, all of the same making."""
    kinds = (HEADLAMP, TAIL, FAN, SOCKET)
    return plan_of(*(replace(kinds[i % 4], name=f"{kinds[i % 4].name} {i}") for i in range(count)))


def letterhead() -> Letterhead:
    """Letterhead of the invented shop."""
    return Letterhead(name="Wharf Lane Auto Electrics, invented", address="2 Wharf Lane", logo_png=b"\x89PNG")
