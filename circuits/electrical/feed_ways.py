"""What each circuit hangs on: which feeder or bus carries its current, up to the battery.

A circuit names a bus or another circuit as its feed. A bus is no wire: it is taken to be behind the feeder that is
named for it (``ignition feed``) or switched by the key position that makes it live. Where the plan has no such feeder,
and for what names the battery at a panel, the current is taken to come by the feeder that ends at that panel.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from circuits.electrical.limits import CRANKING_A
from circuits.plan import BUSES, Circuit, Duty, FuseFamily, Kind

BATTERY = "battery"
_BUS_OF_POSITION = {"run": "ignition", "on": "ignition", "accessory": "accessory", "acc": "accessory", "start": "start"}
_WORDS = {bus: re.compile(rf"\b{bus}\b") for bus in BUSES if bus != BATTERY}
_CHARGING = re.compile(r"\b(alternator|generator|dynamo)\b")


def is_charge_lead(circuit: Circuit) -> bool:
    """True for the lead from the alternator's output: it feeds nothing, the alternator feeds it.

    Examples
    --------
    >>> is_charge_lead(Circuit("b+", "bay", "battery", "post", "alternator output", ("bay",), Kind.FEEDER, load_a=65.0))
    True
    """
    return circuit.kind is Kind.FEEDER and _CHARGING.search(f"{circuit.name} {circuit.load}".casefold()) is not None


def is_cranking(circuit: Circuit, system_v: float) -> bool:
    """True for the cable of a starter: unfused, for moments, ``CRANKING_A`` or more; its wires are sized so.

    Parameters
    ----------
    circuit : Circuit
    system_v : float
        12 or 24 [V].
    """
    return (
        circuit.fuse_family is FuseFamily.NONE
        and circuit.fuse_a is None
        and circuit.duty is Duty.INTERMITTENT
        and circuit.kind is not Kind.FEEDER
        and circuit.load_current_a(system_v) * len(circuit.load_at) >= CRANKING_A
    )


def bus_behind(feeder: Circuit) -> str:
    """The bus that a feeder makes live; empty where it is none of them.

    Parameters
    ----------
    feeder : Circuit

    Examples
    --------
    >>> feed = Circuit("key", "dash", "main", "panel", "row", ("row",), Kind.FEEDER, load_a=20.0, switch_at="dash",
    ...                switch="ignition:run")
    >>> bus_behind(feed)
    'ignition'
    """
    if feeder.kind is not Kind.FEEDER or not (feeder.switch_at or feeder.relay_at) or is_charge_lead(feeder):
        return ""
    text = f"{feeder.name} {feeder.load}".casefold()
    named = next((bus for bus, word in _WORDS.items() if word.search(text)), "")
    if named:
        return named
    function, _, positions = feeder.switch.casefold().partition(":")
    if function.strip() in _WORDS and not positions:
        return function.strip()
    found = (_BUS_OF_POSITION.get(position.strip()) for position in re.split(r"[,;/+]", positions))
    return next((bus for bus in found if bus), "")


class FeedWays:
    """The ways of a plan's supply.

    Parameters
    ----------
    circuits : iterable of Circuit
        Those that are wired.

    Examples
    --------
    >>> main = Circuit("main", "bay", "battery", "post", "panel", ("panel",), Kind.FEEDER, load_a=40.0)
    >>> lamp = Circuit("tail", "rear", "lighting", "panel", "tail lamp", ("wing",), Kind.LAMP, load_w=5.0)
    >>> list(FeedWays((main, lamp)).way_up(lamp))
    ['lighting bus', 'main', 'battery']
    """

    def __init__(self, circuits: Iterable[Circuit]) -> None:
        self.circuits = {circuit.name: circuit for circuit in circuits}
        self._bus_feeder: dict[str, str] = {}
        self._panel_feeder: dict[str, str] = {}
        self._bus_place: dict[str, str] = {}
        for circuit in self.circuits.values():
            if circuit.kind is not Kind.FEEDER:
                if circuit.feed in _WORDS:
                    self._bus_place.setdefault(circuit.feed, circuit.fed_at)
            elif not is_charge_lead(circuit):
                bus = bus_behind(circuit)
                if bus:
                    self._bus_feeder.setdefault(bus, circuit.name)
                else:
                    for place in circuit.load_at:
                        self._panel_feeder.setdefault(place, circuit.name)

    def above(self, name: str) -> str:
        """What the circuit or bus of that name hangs on; empty for the battery.

        Parameters
        ----------
        name : str
            Of a circuit, or as this class names a bus without a feeder: ``lighting bus``.
        """
        circuit = self.circuits.get(name)
        if circuit is None:
            if name == BATTERY:
                return ""
            return self._panel_feeder.get(self._bus_place.get(name.removesuffix(" bus"), ""), BATTERY)
        if circuit.feed in self.circuits and circuit.feed != name:
            return circuit.feed
        if circuit.feed in _WORDS:
            feeder = self._bus_feeder.get(circuit.feed, "")
            return feeder if feeder and feeder != name else f"{circuit.feed} bus"
        feeder = "" if circuit.kind is Kind.FEEDER else self._panel_feeder.get(circuit.fed_at, "")
        return feeder or BATTERY

    def way_up(self, circuit: Circuit) -> Iterator[str]:
        """Names of what carries its current, from the nearest up to the battery; a loop ends at the battery.

        Parameters
        ----------
        circuit : Circuit
        """
        passed = {circuit.name}
        at = self.above(circuit.name)
        while at and at not in passed:
            passed.add(at)
            yield at
            at = self.above(at)
        if BATTERY not in passed:
            yield BATTERY

    def bus_of(self, circuit: Circuit) -> str:
        """The bus that its supply comes from: the nearest switched one on the way up, else the battery.

        Parameters
        ----------
        circuit : Circuit
        """
        for name in (circuit.name, *self.way_up(circuit)):
            on_way = self.circuits.get(name)
            if on_way is None:
                return name.removesuffix(" bus")
            if on_way.feed in _WORDS:
                return on_way.feed
            bus = bus_behind(on_way) if name != circuit.name else ""
            if bus:
                return bus
        return BATTERY

    def is_live_parked(self, circuit: Circuit) -> bool:
        """True where its load is on with the key off and every switch open.

        Parameters
        ----------
        circuit : Circuit
        """
        if circuit.switch_at or self.bus_of(circuit) != BATTERY:
            return False
        below = circuit
        for name in self.way_up(circuit):
            feed = self.circuits.get(name)
            if feed is not None:
                if feed.switch_at and not _is_before_switch(feed, below):
                    return False
                below = feed
        return True


def _is_before_switch(feed: Circuit, tapped: Circuit) -> bool:
    """True where a circuit is tapped from a load's circuit ahead of its switch."""
    is_ahead = feed.kind is not Kind.FEEDER and tapped.fed_at not in feed.load_at
    return is_ahead and tapped.fed_at in (feed.fed_at, feed.relay_at or feed.switch_at)
