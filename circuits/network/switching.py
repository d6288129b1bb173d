"""What switches a circuit: the function and positions of its switch, or the contact of a starter's solenoid."""

from __future__ import annotations

from circuits.patterns.switched import switch_states
from circuits.plan import Circuit, FuseFamily, Kind


def switch_function(circuit: Circuit) -> str:
    """Function of a circuit's switch: what its text names before the colon, else the circuit itself."""
    return circuit.switch.partition(":")[0].strip() or circuit.name


def switch_positions(circuit: Circuit) -> tuple[str, ...]:
    """Positions in which a circuit's switch is closed; ``on`` where the plan names none.

    Examples
    --------
    >>> lamp = Circuit("side", "front", "lighting", "panel", "side lamp", ("wing",), Kind.LAMP, load_w=5.0,
    ...                switch_at="dash", switch="lights: side, head")
    >>> switch_function(lamp), switch_positions(lamp)
    ('lights', ('side', 'head'))
    """
    return tuple(state or "on" for state in switch_states(circuit))


def is_cranking_motor(circuit: Circuit) -> bool:
    """True for a motor on an unfused cable straight from the battery: a contact of its own must switch it.

    Examples
    --------
    >>> starter = Circuit("cable", "bay", "battery", "battery", "starter", ("engine",), Kind.MOTOR, load_a=180.0,
    ...                   fuse_family=FuseFamily.NONE)
    >>> is_cranking_motor(starter)
    True
    """
    is_bare = circuit.fuse_family is FuseFamily.NONE and circuit.fuse_a is None
    is_driven = bool(circuit.switch_at or circuit.relay_at)
    return circuit.kind is Kind.MOTOR and circuit.feed == "battery" and is_bare and not is_driven
