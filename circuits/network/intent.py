"""What the plan intends: which circuits are to be live with the switches as they stand."""

from __future__ import annotations

from collections.abc import Mapping

from circuits.network.supply import KEY, KEY_POSITIONS, bus_switch
from circuits.network.switching import is_cranking_motor, switch_function, switch_positions
from circuits.plan import BUSES, Circuit, Kind


class Intent:
    """The intent of a plan's circuits.

    Parameters
    ----------
    circuits : tuple of Circuit
        Those that are wired.

    Examples
    --------
    >>> side = Circuit("side", "front", "lighting", "panel", "side lamp", ("wing",), Kind.LAMP, load_w=5.0)
    >>> intent = Intent((side,))
    >>> intent.is_on("side", {}), intent.is_on("side", {"lighting": "on"})
    (False, True)
    """

    def __init__(self, circuits: tuple[Circuit, ...]) -> None:
        self.circuits = {circuit.name: circuit for circuit in circuits}

    def is_on(self, name: str, positions: Mapping[str, str]) -> bool:
        """True where a circuit's loads are to work."""
        circuit = self.circuits[name]
        if is_cranking_motor(circuit):
            return positions.get(KEY) in KEY_POSITIONS["start"]
        return self._is_supplied(circuit, positions, ()) and self._is_switched(circuit, positions)

    def _is_switched(self, circuit: Circuit, positions: Mapping[str, str]) -> bool:
        return not circuit.switch_at or positions.get(switch_function(circuit)) in switch_positions(circuit)

    def _is_supplied(self, circuit: Circuit, positions: Mapping[str, str], passed: tuple[str, ...]) -> bool:
        """True where what feeds the circuit is live where the circuit takes it off."""
        if circuit.feed == "battery":
            return True
        if circuit.feed in BUSES:
            function, live_in = bus_switch(circuit.feed)
            return positions.get(function) in live_in
        feed = self.circuits.get(circuit.feed)
        if feed is None or feed.name in passed:
            return False
        is_before_switch = feed.kind is not Kind.FEEDER and circuit.fed_at not in feed.load_at
        is_reached = circuit.fed_at in (feed.fed_at, feed.relay_at or feed.switch_at)
        is_supplied = self._is_supplied(feed, positions, (*passed, circuit.name))
        return is_supplied and ((is_before_switch and is_reached) or self._is_switched(feed, positions))
