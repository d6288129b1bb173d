"""Bundles: how many loaded wires lie together in each run."""

from __future__ import annotations

from collections.abc import Iterable

from circuits.wiring import Role, Wire

LEAST_LOADING_A = 0.5
"""Wires below this current do not warm their bundle enough to count [A] (common practice, no source)."""


def loads_bundle(wire: Wire) -> bool:
    """True where the wire's own heat counts in its bundle: not coil wires, and nothing below 0.5 A."""
    return wire.role is not Role.RELAY_COIL and wire.current_a >= LEAST_LOADING_A


def bundle_counts(wires: Iterable[Wire], runs: int) -> tuple[int, ...]:
    """Number of loaded wires in each run, by its index in the plan.

    Parameters
    ----------
    wires : iterable of Wire
    runs : int
        Number of runs of the plan.
    """
    counts = [0] * runs
    for wire in wires:
        if loads_bundle(wire):
            for run in wire.path.runs:
                counts[run] += 1
    return tuple(counts)
