"""Switches and relays: what their contacts need to be rated for, by kind of load, and what they are rated for.

A contact that makes a cold filament or breaks a coil wears as if it carried several times the current: AC 43.13-1B
table 11-4 gives the factor by kind of load. A feeder's contact makes and breaks only the loads that have no contact of
their own; what others switch it merely carries. The table is for switches; relay contacts are held to it too (common
practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

from circuits.electrical.feed_ways import FeedWays
from circuits.electrical.feeds import FedLoad, fed_loads, together_a
from circuits.electrical.tables import read_rows
from circuits.patterns.switched import switch_states
from circuits.plan import Circuit, Kind
from circuits.sized import SizedPlan
from circuits.wiring import Device, Lands

SUPPRESSION = (
    "Suppress the coil: a diode across it, cathode to the live side, or a resistor of some ten times its resistance "
    "where quick release matters. Relays with one built in have a right way round (common practice, no source)."
)
"""What is noted where a contact breaks a coil."""


@dataclass(frozen=True, slots=True)
class ContactLoad:
    """One circuit on a contact.

    Parameters
    ----------
    circuit : str
    load : str
        Kind of load; ``relay coil`` where it drives one, ``carried`` where others make and break it.
    current_a : float
        Made and broken, or carried [A].
    factor : float
        Of the table.
    source : str
        Of the factor.
    """

    circuit: str
    load: str
    current_a: float
    factor: float
    source: str

    @property
    def needed_a(self) -> float:
        """Resistive rating that it asks for [A]."""
        return self.current_a * self.factor


@dataclass(frozen=True, slots=True)
class Contact:
    """A switch or a relay with its contact.

    Parameters
    ----------
    device : str
    is_relay : bool
    place : str
    circuits : tuple of str
        All that use it.
    position : str
        The position in which most is asked of it; empty where it has one only.
    loads : tuple of ContactLoad
        In that position.
    rated_a : float or None
        Its resistive rating [A]: stated, usual, or of the relay chosen; None where no relay is large enough.
    is_stated : bool
        True where the plan gives the rating.
    rating_source : str
    """

    device: str
    is_relay: bool
    place: str
    circuits: tuple[str, ...]
    position: str
    loads: tuple[ContactLoad, ...]
    rated_a: float | None
    is_stated: bool
    rating_source: str

    @property
    def needed_a(self) -> float:
        """Resistive rating that its loads ask for [A]."""
        return sum(load.needed_a for load in self.loads)

    @property
    def holds(self) -> bool:
        """True where it is rated for what is asked of it."""
        return self.rated_a is not None and self.needed_a <= self.rated_a * (1 + 1e-9)

    @property
    def breaks_coil(self) -> bool:
        """True where it breaks a coil, which then wants suppressing."""
        return any(load.load in (Kind.COIL, "relay coil") for load in self.loads)


def factor_of(load: str, system_v: float) -> float:
    """Factor by which a contact's resistive rating must exceed the current of a load.

    Parameters
    ----------
    load : str
        lamp, inductive, resistive or motor.
    system_v : float
        12 or 24 [V].

    Raises
    ------
    KeyError
        If the table has no such load.

    Examples
    --------
    >>> factor_of("lamp", 12.0), factor_of("motor", 24.0)
    (5.0, 3.0)
    """
    return _factors()[load, round(system_v)][0]


@cache
def _factors() -> dict[tuple[str, int], tuple[float, str]]:
    rows = read_rows("switch_factors")
    return {(row["load"], int(row["system_v"])): (float(row["factor"]), row["source"]) for row in rows}


@cache
def _load_kinds() -> dict[str, tuple[str, str]]:
    return {row["kind"]: (row["load"], row["source"]) for row in read_rows("contact_loads")}


def smallest_relay_a(needed_a: float, system_v: float) -> float | None:
    """Smallest usual relay rated for so much [A]; None where there is none.

    Parameters
    ----------
    needed_a : float
    system_v : float
        12 or 24 [V].

    Examples
    --------
    >>> smallest_relay_a(23.0, 12.0), smallest_relay_a(500.0, 12.0)
    (30.0, None)
    """
    ratings = sorted(float(row["rating_a"]) for row in read_rows("relays") if int(row["system_v"]) == round(system_v))
    return next((rating for rating in ratings if needed_a <= rating * (1 + 1e-9)), None)


class ContactLoads:
    """What each circuit of a plan asks of the contact that switches it.

    Parameters
    ----------
    sized : SizedPlan
    """

    def __init__(self, sized: SizedPlan) -> None:
        self._sized = sized
        self._system_v = sized.wiring.plan.vehicle.system_v
        self.ways = FeedWays(one.circuit for one in sized.circuits if one.wires)
        self._behind: dict[str, list[tuple[FedLoad, bool]]] = {}
        for load in fed_loads(sized, self.ways):
            has_own = bool(load.circuit.switch_at or load.circuit.relay_at)
            for name in self.ways.way_up(load.circuit):
                self._behind.setdefault(name, []).append((load, has_own))
                feed = self.ways.circuits.get(name)
                has_own = has_own or (feed is not None and bool(feed.switch_at or feed.relay_at))

    def of_coil(self, circuit: Circuit) -> tuple[ContactLoad, ...]:
        """What a circuit's relay asks of the switch that drives its coil.

        Parameters
        ----------
        circuit : Circuit
        """
        factor, source = _factors()["inductive", round(self._system_v)]
        return (ContactLoad(circuit.name, "relay coil", self._sized.rules.sizing.coil_a, factor, source),)

    def of_load(self, circuit: Circuit) -> tuple[ContactLoad, ...]:
        """What a circuit's load, with all that is fed from it, asks of the contact that carries it.

        Parameters
        ----------
        circuit : Circuit
        """
        behind = self._behind.get(circuit.name, [])
        found = [self._load(load.circuit, load.current_a) for load, has_own in behind if not has_own]
        if circuit.kind is not Kind.FEEDER:
            own_a = circuit.load_current_a(self._system_v) * len(circuit.load_at)
            found.insert(0, self._load(circuit, own_a))
        carried = together_a([load for load, has_own in behind if has_own])
        if carried > 0 or (not found and circuit.kind is Kind.FEEDER):
            stated_a = circuit.load_current_a(self._system_v) * len(circuit.load_at)
            factor, source = 1.0, _load_kinds()[Kind.FEEDER][1]
            found.append(ContactLoad(circuit.name, "carried", carried or stated_a, factor, source))
        return tuple(found)

    def _load(self, circuit: Circuit, current_a: float) -> ContactLoad:
        load, source = _load_kinds()[circuit.kind]
        factor, table = _factors()[load, round(self._system_v)]
        return ContactLoad(circuit.name, circuit.kind.value, current_a, factor, f"{table}; {source}")


def contacts(sized: SizedPlan, loads: ContactLoads | None = None) -> tuple[Contact, ...]:
    """Every switch and relay of a sized plan, in the order of its devices.

    Parameters
    ----------
    sized : SizedPlan
    loads : ContactLoads, optional
        Of the plan, where they are at hand.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.plan import Plan, Run, Vehicle
    >>> fog = Circuit("fog", "front", "battery", "panel", "fog lamp", ("nose",), Kind.LAMP, load_w=110.0,
    ...               switch_at="dash", switch="fog")
    >>> runs = (Run("panel", "dash", 0.5), Run("panel", "nose", 2.0))
    >>> [found] = contacts(size_plan(Plan(Vehicle(), (), runs, (fog,))))
    >>> round(found.needed_a, 1), found.rated_a, found.holds
    (45.8, 20.0, False)
    """
    loads = loads or ContactLoads(sized)
    found = []
    for device in sized.wiring.devices:
        users = [loads.ways.circuits[name] for name in device.circuits if name in loads.ways.circuits]
        if users and device.lands is Lands.SWITCH:
            found.append(_switch(device, users, loads, sized))
        elif users and device.lands is Lands.RELAY:
            found.append(_relay(device, users[0], loads, sized))
    return tuple(found)


def worst_position(
    users: Sequence[Circuit], loads: ContactLoads, relayed: Iterable[str] = ()
) -> tuple[str, tuple[ContactLoad, ...]]:
    """The position of a switch in which most is asked of it, and what is.

    Parameters
    ----------
    users : sequence of Circuit
        Those on the switch.
    loads : ContactLoads
    relayed : iterable of str
        Circuits to be taken as relayed, besides those that are.
    """
    more = set(relayed)
    by_position: dict[str, list[ContactLoad]] = {}
    always: list[ContactLoad] = []
    for circuit in users:
        asked = loads.of_coil(circuit) if circuit.relay_at or circuit.name in more else loads.of_load(circuit)
        states = switch_states(circuit)
        if states == ("",):
            always += asked
        for state in states if states != ("",) else ():
            by_position.setdefault(state, []).extend(asked)
    worst = max(by_position, key=lambda at: sum(load.needed_a for load in by_position[at]), default="")
    return worst, (*always, *by_position.get(worst, ()))


def _switch(device: Device, users: Sequence[Circuit], loads: ContactLoads, sized: SizedPlan) -> Contact:
    position, asked = worst_position(users, loads)
    stated = [circuit.switch_a for circuit in users if circuit.switch_a is not None]
    usual_a, what = _usual(users, sized)
    return Contact(
        device=device.name,
        is_relay=False,
        place=device.place,
        circuits=tuple(circuit.name for circuit in users),
        position=position,
        loads=asked,
        rated_a=min(stated) if stated else usual_a,
        is_stated=bool(stated),
        rating_source="stated in the plan" if stated else f"the shop's {what} (common practice, no source)",
    )


def _usual(users: Sequence[Circuit], sized: SizedPlan) -> tuple[float, str]:
    rules = sized.rules.supply
    if any(circuit.switch.partition(":")[0].strip().casefold() == "ignition" for circuit in users):
        return rules.key_switch_a, "usual key switch"
    return rules.switch_a, "usual switch"


def _relay(device: Device, circuit: Circuit, loads: ContactLoads, sized: SizedPlan) -> Contact:
    asked = loads.of_load(circuit)
    chosen_a = smallest_relay_a(sum(load.needed_a for load in asked), sized.wiring.plan.vehicle.system_v)
    return Contact(
        device=device.name,
        is_relay=True,
        place=device.place,
        circuits=(circuit.name,),
        position="",
        loads=asked,
        rated_a=chosen_a if circuit.relay_a is None else circuit.relay_a,
        is_stated=circuit.relay_a is not None,
        rating_source="the smallest usual relay that does (common practice)" if circuit.relay_a is None else "stated",
    )
