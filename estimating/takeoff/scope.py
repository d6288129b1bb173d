"""What of a sized plan is new work: the wires to cut, the fuses and devices to fit, and who asked for them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

from circuits.fittings import Half
from circuits.plan import BUSES, Circuit, Disposition, Kind
from circuits.sized import Fuse, SizedPlan, SizedWire
from circuits.wiring import Device, End, Lands


@dataclass(frozen=True, slots=True)
class Scope:
    """Look-ups over a sized plan, made once.

    Parameters
    ----------
    sized : SizedPlan
    circuits : dict
        Circuits by name, in plan order.
    fresh : tuple of SizedWire
        Wires to be cut and pulled, in plan order.
    fuses : dict
        Fuses by name.
    at_device : dict
        Fresh wires by the name of the device they end at, then those that start there.
    series_of : dict
        Series of each connector of the plan, by name.
    """

    sized: SizedPlan
    circuits: dict[str, Circuit]
    fresh: tuple[SizedWire, ...]
    fuses: dict[str, Fuse]
    at_device: dict[str, tuple[list[SizedWire], list[SizedWire]]]
    series_of: dict[str, str]

    @classmethod
    def of(cls, sized: SizedPlan) -> Self:
        """The scope of a sized plan."""
        fresh = tuple(wire for circuit in sized.circuits for wire in circuit.wires if not wire.wire.is_existing)
        at_device: dict[str, tuple[list[SizedWire], list[SizedWire]]] = {}
        for wire in fresh:
            at_device.setdefault(wire.wire.end.device, ([], []))[0].append(wire)
            at_device.setdefault(wire.wire.start.device, ([], []))[1].append(wire)
        return cls(
            sized=sized,
            circuits={circuit.name: circuit for circuit in sized.wiring.plan.circuits},
            fresh=fresh,
            fuses={fuse.name: fuse for fuse in sized.fuses},
            at_device=at_device,
            series_of={connector.name: connector.series for connector in sized.wiring.plan.connectors},
        )

    def with_disposition(self, *dispositions: Disposition) -> tuple[Circuit, ...]:
        """Circuits of these dispositions, in plan order."""
        return tuple(circuit for circuit in self.circuits.values() if circuit.disposition in dispositions)

    def bus_of(self, circuit: str) -> str:
        """The bus a circuit hangs on in the end, through the circuits that feed it; empty where there is none."""
        seen: set[str] = set()
        while circuit not in seen and circuit in self.circuits:
            seen.add(circuit)
            feed = self.circuits[circuit].feed
            if feed in BUSES:
                return feed
            circuit = feed
        return ""

    def is_tap(self, circuit: str) -> bool:
        """True where a circuit hangs on the load of another, such as a sender on its gauge, and not on a feeder."""
        upstream = self.circuits.get(self.circuits[circuit].feed)
        return upstream is not None and upstream.kind is not Kind.FEEDER

    def fresh_devices(self, lands: Lands) -> tuple[tuple[Device, tuple[str, ...]], ...]:
        """Devices of one kind that fresh circuits land on, each with those circuits."""
        return tuple(
            (device, causes)
            for device in self.sized.wiring.devices
            if device.lands is lands and (causes := self._fresh_among(device.circuits))
        )

    def fuse_above(self, wire: SizedWire) -> Fuse | None:
        """The fuse that protects a wire; None where nothing does."""
        return self.fuses.get(wire.wire.protected_by) if wire.wire.protected_by else None

    def _fresh_among(self, circuits: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(name for name in circuits if self.circuits[name].disposition.is_pulled_new)


def is_spliced(end: End) -> bool:
    """True for an end that is joined to another conductor: in a splice, or to a lead that a unit brings.

    Examples
    --------
    >>> is_spliced(End("dash", Lands.SPLICE, "splice: horn at dash")), is_spliced(End("nose", Lands.LOAD, "horn"))
    (True, False)
    """
    return end.lands is Lands.SPLICE or end.half is Half.LEADS


def ends_with_terminal(wire: SizedWire) -> tuple[End, ...]:
    """The ends of a wire that get a terminal: all but those that are spliced.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> [len(ends_with_terminal(wire)) for wire in example_sized_plan().wires]
    [1, 1, 1, 2, 2]
    """
    return tuple(end for end in (wire.wire.start, wire.wire.end) if not is_spliced(end))
