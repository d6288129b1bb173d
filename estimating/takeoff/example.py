"""One small sized plan, made by hand, that the examples in docstrings speak of."""

from __future__ import annotations

from functools import cache

from circuits.plan import Circuit, Covering, FuseFamily, Kind, Plan, Run, Vehicle
from circuits.rules import BuildRules
from circuits.sized import Bundle, Conductor, Fuse, Limit, SizedCircuit, SizedPlan, SizedWire, Trial
from circuits.wiring import CurrentPath, Device, End, Lands, Path, Protection, Role, Wire, Wiring

_NAME = "tail lamps"
_SOURCE = "made up for the example"
_CONDUCTOR = Conductor("16 AWG", 1.31, 0.0132, 3.0, _SOURCE)
_SPLICE = End("left", Lands.SPLICE, "splice: tail lamps")


def _wire(
    number: int, role: Role, ends: tuple[End, End], length_m: float, current_a: float, runs: tuple[int, ...]
) -> SizedWire:
    places = tuple(dict.fromkeys(end.place for end in ends))
    path = Path(places, runs, {(): 0.0, (0,): 3.0, (1,): 1.2}[runs], 40.0, "cabin")
    colour = "BK" if role is Role.RETURN else "BN"
    wire = Wire(f"{_NAME}/{number}", _NAME, role, *ends, path, length_m, current_a, colour, _NAME, False)
    tried = (Trial("16 AWG", Limit.AMPACITY, current_a, 25.0, "A", True, _SOURCE),)
    return SizedWire(wire, _CONDUCTOR, 25.0, 0.0132 * length_m * current_a, 45.0, Limit.MECHANICAL, tried)


@cache
def example_sized_plan() -> SizedPlan:
    """Two tail lamps on one fuse: a feed to a splice, two legs from there, and a ground lead at each lamp.

    Examples
    --------
    >>> len(example_sized_plan().wires)
    5
    """
    circuit = Circuit(_NAME, "rear", "lighting", "panel", "tail lamp", ("left", "right"), Kind.LAMP, load_w=6.0)
    runs = (
        Run("panel", "left", 3.0, "cabin", Covering.SPLIT_LOOM, 25.0),
        Run("left", "right", 1.2, "boot"),
    )
    left, right = (End(side, Lands.LOAD, f"tail lamp: {side}") for side in ("left", "right"))
    grounds = tuple(End(side, Lands.GROUND, f"ground: {side}", "31") for side in ("left", "right"))
    wires = (
        _wire(1, Role.FEED, (End("panel", Lands.FUSE, f"fuse: {_NAME}"), _SPLICE), 3.35, 1.0, (0,)),
        _wire(2, Role.SPLICE_LEG, (_SPLICE, left), 0.20, 0.5, ()),
        _wire(3, Role.SPLICE_LEG, (_SPLICE, right), 1.46, 0.5, (1,)),
        _wire(4, Role.RETURN, (left, grounds[0]), 0.41, 0.5, ()),
        _wire(5, Role.RETURN, (right, grounds[1]), 0.41, 0.5, ()),
    )
    fuse = Fuse(_NAME, FuseFamily.BLADE, 5.0, "panel", _NAME, "tan", _SOURCE)
    ends = (_SPLICE, left, right, *grounds)
    wiring = Wiring(
        plan=Plan(Vehicle("an example"), (), runs, (circuit,)),
        wires=tuple(wire.wire for wire in wires),
        protections=(Protection(_NAME, _NAME, "panel", FuseFamily.BLADE, None, 1.0, True),),
        paths=(
            CurrentPath(_NAME, "left", (f"{_NAME}/1", f"{_NAME}/2"), (f"{_NAME}/4",), 6, (_NAME,), True),
            CurrentPath(_NAME, "right", (f"{_NAME}/1", f"{_NAME}/3"), (f"{_NAME}/5",), 6, (_NAME,), True),
        ),
        devices=tuple(Device(end.device, end.lands, end.place, (_NAME,), 0.5) for end in ends),
        findings=(),
    )
    return SizedPlan(
        wiring=wiring,
        rules=BuildRules(),
        circuits=(SizedCircuit(circuit, 1.0, 0.07, 0.58, 5.0, fuse, None, wires),),
        bundles=(
            Bundle(0, (f"{_NAME}/1",), 3.0, Covering.SPLIT_LOOM, 6.0, 3.0, 25.0),
            Bundle(1, (f"{_NAME}/3",), 3.0, Covering.NONE, 0.0, 1.2, None),
        ),
        fuses=(fuse,),
        findings=(),
    )
