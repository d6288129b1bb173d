"""What a meter should show at a circuit, in words."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from circuits.network.expected import Expected
from circuits.network.proof_values import ProofValues
from circuits.plan import Kind
from circuits.units import format_current, format_resistance, format_voltage


@dataclass(frozen=True, slots=True)
class MeterLine:
    """One reading at a circuit: where, and what the meter shows with its tolerance, in words."""

    where: str
    expected: str
    between: str
    basis: str


def meter_lines(values: ProofValues, positions: Mapping[str, str], circuit: str) -> Iterator[MeterLine]:
    """What a meter should show at a sound circuit: ohms before power, then amps, drop, and volts in this state.

    Parameters
    ----------
    values : ProofValues
    positions : mapping of str to str
        Position by function.
    circuit : str
        Name of a wired one.
    """
    [one] = [one for one in values.plan.circuits if one.circuit.name == circuit]
    for fuse in filter(None, (one.fuse, one.coil_fuse)):
        where = f"Fuse {fuse.name} out, battery off: its load side to ground"
        yield _line(where, values.ohms.output(fuse.name), format_resistance)
        yield _line(f"{where}, loads unplugged", values.ohms.output(fuse.name, loads_in=False), format_resistance)
    if one.circuit.kind is not Kind.FEEDER:
        yield _line("Current, switched on alone", values.amps(circuit), format_current)
        yield _line("Supply to load and load to negative, added", values.drop(circuit), format_voltage)
    for end in values.volts(positions, circuit):
        seat = f", {end.end.seat}" if end.end.seat else ""
        yield _line(f"{end.wire} at {end.end.device or end.end.place}{seat}, in this state", end.volts, format_voltage)


def _line(where: str, expected: Expected, write: Callable[[float], str]) -> MeterLine:
    def words(value: float | None) -> str:
        return "" if value is None else "open" if math.isinf(value) else write(round(value, 3))

    low, high = words(expected.low), words(expected.high)
    return MeterLine(where, words(expected.value) or "unknown", f"{low} to {high}" if low else "", expected.basis)
