"""Plans of any size, invented from a seed: the same seed, the same plan."""

from __future__ import annotations

import random
from typing import Any

from circuits.plan import BUSES, Circuit, Covering, Disposition, Duty, FuseFamily, Kind, Plan, Run, Vehicle

PLACES = (
    "panel", "bulkhead", "engine", "left front", "right front", "dash", "column", "floor", "left door", "right door",
    "boot", "left rear", "right rear", "battery", "roof",
)  # fmt: skip
ZONES = {
    "engine": "engine bay",
    "left front": "engine bay",
    "right front": "engine bay",
    "battery": "engine bay",
    "boot": "boot",
    "left rear": "boot",
    "right rear": "boot",
}
SECTIONS = ("front", "dash", "floor", "rear")
DISPOSITIONS = (Disposition.REPLACE,) * 8 + tuple(Disposition)
PULLED = (Disposition.REPLACE, Disposition.NEW)


def made_plan(circuits: int, seed: int = 1, *, dispositions: tuple[Disposition, ...] = DISPOSITIONS) -> Plan:
    """A vehicle with so many circuits: direct, switched, relayed, and with several loads."""
    draw = random.Random(seed)
    return Plan(
        vehicle=Vehicle(f"invented, seed {seed}", chassis_return=draw.random() > 0.1),
        zones=(),
        runs=_runs(draw),
        circuits=tuple(_circuit(number, draw, draw.choice(dispositions)) for number in range(circuits)),
    )


def _runs(draw: random.Random) -> tuple[Run, ...]:
    runs = [
        Run(
            draw.choice(PLACES[:number]),
            place,
            round(draw.uniform(0.4, 1.8), 2),
            ZONES.get(place, "cabin"),
            draw.choice(list(Covering)),
            60.0 if number % 4 == 0 else None,
        )
        for number, place in enumerate(PLACES[1:], start=1)
    ]
    return (*runs, Run("engine", "floor", 3.0, "near exhaust"))


def _circuit(number: int, draw: random.Random, disposition: Disposition) -> Circuit:
    given: dict[str, Any] = {}
    pattern = number % 5
    if pattern in (1, 2):
        given |= {"switch_at": "dash", "switch": f"switch {number // 2}: on"}
    if pattern == 2:
        given["relay_at"] = "bulkhead"
    loads = tuple(draw.sample(PLACES[1:], 2 if pattern in (3, 4) else 1))
    heavy = draw.random() < 0.1
    return Circuit(
        name=f"circuit {number}",
        section=draw.choice(SECTIONS),
        feed=draw.choice(BUSES),
        fed_at="panel",
        load=f"load {number}",
        load_at=loads,
        kind=draw.choice((Kind.LAMP, Kind.LED, Kind.MOTOR, Kind.HEATER, Kind.ELECTRONICS, Kind.COIL)),
        load_a=round(draw.uniform(15, 60) if heavy else draw.uniform(0.1, 10), 2),
        disposition=disposition,
        duty=draw.choice(list(Duty)),
        fuse_family=FuseFamily.MAXI_BLADE if heavy else None,
        safety=draw.random() < 0.2,
        **given,
    )
