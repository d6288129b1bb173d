"""What an ohmmeter should say at the load side of each fuse: an open line behind a switch, else the load."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from circuits.plan import Kind
from circuits.sized import Fuse, SizedCircuit, SizedPlan
from shop.proof.limits import Limits

BUS_BEHIND_SWITCH = ("ignition", "accessory", "lighting", "start")
COLD_LOW = (Kind.LAMP, Kind.MOTOR)
"""Loads whose resistance at rest lies far below that of running."""

STEADY = (Kind.HEATER, Kind.COIL)


@dataclass(frozen=True, slots=True)
class OutputCheck:
    """Limits of one fused output [ohm]."""

    fuse: str
    circuit: SizedCircuit
    expected_ohm: float | None
    low_ohm: float | None
    basis: str
    source: str


def output_checks(sized: SizedPlan, limits: Limits) -> Iterator[OutputCheck]:
    """One check for each fuse of a wired circuit, in plan order.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> [(one.fuse, round(one.low_ohm, 2)) for one in output_checks(example_sized_plan(), Limits.of())]
    [('tail lamps', 1.2)]
    """
    fed = {one.circuit.feed for one in sized.circuits if one.wires}
    for one in sized.circuits:
        for fuse in filter(None, (one.fuse, one.coil_fuse)):
            if one.wires:
                yield _output(sized, one, fuse, limits, feeds_others=one.circuit.name in fed)


def _output(sized: SizedPlan, one: SizedCircuit, fuse: Fuse, limits: Limits, *, feeds_others: bool) -> OutputCheck:
    circuit, system_v = one.circuit, sized.wiring.plan.vehicle.system_v
    open_line = limits["open_output"]
    is_open = bool(circuit.switch or circuit.switch_at or circuit.relay_at) or circuit.kind is Kind.SENDER
    if circuit.kind is Kind.FEEDER or feeds_others:
        source = "system voltage over the fuse rating; less would open it"
        return OutputCheck(fuse.name, one, None, system_v / fuse.rating_a, "fuses behind it out", source)
    if is_open or fuse is one.coil_fuse:
        return OutputCheck(fuse.name, one, None, open_line.low, "an open line: its switch is off", open_line.source)
    running_ohm = system_v / one.current_a
    if circuit.kind in COLD_LOW:
        share = limits["cold_share"]
        low = running_ohm * (share.low or 0.0)
        basis = "the load running; at rest it is less"
        return OutputCheck(fuse.name, one, running_ohm, low, basis, f"least share of running: {share.source}")
    source = "system voltage over the fuse rating; less would open it"
    expected = running_ohm if circuit.kind in STEADY else None
    return OutputCheck(
        fuse.name, one, expected, system_v / fuse.rating_a, "the load itself" if expected else "", source
    )
