"""Sized plans made by hand, so that the take-off is tested apart from what sizes plans."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from circuits.plan import Circuit, Covering, Disposition, FuseFamily, Kind, Plan, Run, Vehicle
from circuits.rules import BuildRules
from circuits.sized import Bundle, Conductor, Fuse, Limit, SizedCircuit, SizedPlan, SizedWire
from circuits.wiring import Device, End, Lands, Path, Role, Wire, Wiring

MADE_UP = "made up for the test"

RUNS = (
    Run("panel", "bulkhead", 1.0, "cabin", Covering.NONE),
    Run("bulkhead", "engine", 2.0, "engine bay", Covering.SPLIT_LOOM, opening_mm=32.0),
    Run("panel", "rear", 3.3, "underbody", Covering.TAPE),
)


def circuit(name: str, disposition: Disposition = Disposition.REPLACE, **given) -> Circuit:
    values: dict[str, Any] = {
        "section": "front",
        "feed": "battery",
        "fed_at": "panel",
        "load": "load",
        "load_at": ("engine",),
        "kind": Kind.LAMP,
        "load_a": 4.0,
    }
    return Circuit(name=name, disposition=disposition, **(values | given))


def conductor(label: str = "14 AWG", area_mm2: float = 2.08, outer_mm: float = 3.5) -> Conductor:
    return Conductor(label, area_mm2, 0.009, outer_mm, MADE_UP)


def end(lands: Lands, place: str = "panel", device: str = "") -> End:
    return End(place, lands, device or f"{lands}: {place}")


def sized_wire(
    of: Circuit,
    number: int = 1,
    *,
    length_m: float = 2.3,
    size: Conductor | None = None,
    colour: str = "RD",
    start: End | None = None,
    finish: End | None = None,
    runs: tuple[int, ...] = (),
    fuse: str | None = None,
) -> SizedWire:
    wire = Wire(
        name=f"{of.name}/{number}",
        circuit=of.name,
        role=Role.LOAD,
        start=start or end(Lands.FUSE),
        end=finish or end(Lands.LOAD, "engine"),
        path=Path(("panel",), runs, sum(RUNS[index].length_m for index in runs), 40.0, "cabin"),
        length_m=length_m,
        current_a=4.0,
        colour=colour,
        protected_by=fuse,
        is_existing=not of.disposition.is_pulled_new,
    )
    return SizedWire(wire, size or conductor(), 20.0, 0.1, 50.0, Limit.MECHANICAL, ())


def fuse_of(of: Circuit, family: FuseFamily = FuseFamily.BLADE, rating_a: float = 10.0, at: str = "panel") -> Fuse:
    return Fuse(of.name, family, rating_a, at, of.name, "", MADE_UP)


def sized_plan(
    circuits: Sequence[Circuit],
    wires: Sequence[SizedWire] = (),
    *,
    fuses: Sequence[Fuse] = (),
    devices: Sequence[Device] = (),
    bundles: Sequence[Bundle] = (),
    system_v: float = 12.0,
) -> SizedPlan:
    plan = Plan(Vehicle("made up", system_v=system_v), (), RUNS, tuple(circuits))
    wiring = Wiring(plan, tuple(wire.wire for wire in wires), (), (), tuple(devices), ())
    by_circuit = {name.name: tuple(wire for wire in wires if wire.wire.circuit == name.name) for name in circuits}
    return SizedPlan(
        wiring=wiring,
        rules=BuildRules(),
        circuits=tuple(SizedCircuit(one, 4.0, 0.1, 0.8, 5.0, None, None, by_circuit[one.name]) for one in circuits),
        bundles=tuple(bundles),
        fuses=tuple(fuses),
        findings=(),
    )


def bundle(run: int, wires: tuple[str, ...], *, diameter_mm: float = 9.0, covering_mm: float = 10.0) -> Bundle:
    of = RUNS[run]
    return Bundle(run, wires, diameter_mm, of.covering, covering_mm, of.length_m, of.opening_mm)
