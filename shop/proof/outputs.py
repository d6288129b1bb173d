"""What an ohmmeter should say at the load side of each fuse, and below what it says that something is shorted."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from circuits.network.expected import Expected
from circuits.network.proof_values import ProofValues
from circuits.plan import Kind
from circuits.sized import Fuse, SizedCircuit
from shop.proof.limits import Limits


@dataclass(frozen=True, slots=True)
class OutputCheck:
    """One fused output: what is expected, and the least it may read [ohm]."""

    fuse: str
    circuit: SizedCircuit
    how: str
    expected: Expected
    low_ohm: float | None
    source: str


def output_checks(values: ProofValues, limits: Limits) -> Iterator[OutputCheck]:
    """One check for each fuse of a wired circuit, in plan order.

    Parameters
    ----------
    values : ProofValues
    limits : Limits

    Examples
    --------
    Tail lamps of 12 ohm lit: a tenth of that cold, and their wires.

    >>> from estimating.takeoff.example import example_sized_plan
    >>> checks = output_checks(ProofValues(example_sized_plan()), Limits.of())
    >>> [(one.fuse, round(one.expected.value, 1)) for one in checks]
    [('tail lamps', 1.3)]
    """
    behind: dict[str, list[str]] = {}
    for one in values.plan.circuits:
        if one.wires:
            behind.setdefault(one.circuit.feed, []).extend(fuse.name for fuse in (one.fuse, one.coil_fuse) if fuse)
    for one in values.plan.circuits:
        for fuse in filter(None, (one.fuse, one.coil_fuse)):
            if one.wires:
                yield _output(values, one, fuse, limits, tuple(behind.get(one.circuit.name, ())))


def _output(values: ProofValues, one: SizedCircuit, fuse: Fuse, limits: Limits, behind: tuple[str, ...]) -> OutputCheck:
    expected = values.ohms.output(fuse.name, without=behind)
    how = "Fuses behind it out too." if behind else ""
    opens_ohm = values.plan.wiring.plan.vehicle.system_v / fuse.rating_a
    if expected.value is not None and math.isinf(expected.value) and one.circuit.kind is not Kind.FEEDER:
        line = limits["open_output"]
        return OutputCheck(fuse.name, one, how, expected, line.low, line.source)
    if expected.value is None or math.isinf(expected.value):
        source = "system voltage over the fuse rating; less would open it"
        return OutputCheck(fuse.name, one, how, expected, opens_ohm, source)
    share = limits["short_share"]
    low_ohm = (share.low or 0.0) * (expected.low or 0.0)
    source = f"share of the least that the plan lets expect, less is a short: {share.source}"
    return OutputCheck(fuse.name, one, how, expected, low_ohm, source)
