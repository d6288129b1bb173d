"""Names of the nodes of a plan's network: one rule each."""

from __future__ import annotations

from circuits.plan import Circuit
from circuits.sized import Fuse
from circuits.wiring import End


def fuse_out(fuse: Fuse) -> str:
    """Load side of a fuse."""
    return f"fuse: {fuse.name}, behind it"


def switch_node(circuit: Circuit, device: str, *, is_in: bool) -> str:
    """A side of a circuit's pole of a switch."""
    return f"{device}, {'in' if is_in else 'out'} of {circuit.name}"


def contact_node(end: End, *, is_in: bool) -> str:
    """A side of a contact of a pair in the loom."""
    return f"{end.device}, {'in' if is_in else 'out'}"


def load_node(circuit: Circuit, device: str, *, is_in: bool) -> str:
    """A terminal of a load, by circuit: a lamp with two filaments has a supply side for each."""
    return f"{device}, {'in' if is_in else 'out'} of {circuit.name}"


def behind_solenoid(node: str) -> str:
    """Node of a cranking motor behind its contact."""
    return f"{node}, behind the solenoid"
