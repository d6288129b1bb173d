"""Which wires land on which device, looked up once for a wiring."""

from __future__ import annotations

from collections import defaultdict

from circuits.wiring import End, Wire, Wiring


def landings_of(wiring: Wiring) -> dict[str, list[tuple[Wire, End]]]:
    """Wires with the end by which they land, by the name of the device; in the order of the wires.

    Parameters
    ----------
    wiring : Wiring

    Examples
    --------
    >>> from circuits.patterns import expand
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("nose",), Kind.COIL, load_a=5.0)
    >>> found = landings_of(expand(Plan(Vehicle(), (), (Run("panel", "nose", 2.0),), (horn,))))
    >>> {device: [wire.name for wire, _ in landed] for device, landed in found.items()}
    {'fuse: horn': ['horn/1'], 'load: horn at nose': ['horn/1', 'horn/2'], 'ground: nose': ['horn/2']}
    """
    found: defaultdict[str, list[tuple[Wire, End]]] = defaultdict(list)
    for wire in wiring.wires:
        for end in dict.fromkeys((wire.start, wire.end)):
            found[end.device].append((wire, end))
    return found
