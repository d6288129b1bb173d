"""Battery, alternator and feeders of a plan: who feeds what, whether it is enough, and for how long.

Every figure rests on the loads that the plan states, at the system voltage, and on how much of the time each is on
(``duties``). A charging system is some 15 % above that, and filament lamps draw accordingly more: the alternator's own
figures are stated at that voltage too, so that the comparison holds.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from circuits.electrical.cranking import Cranking, crankings
from circuits.electrical.duties import Case
from circuits.electrical.feed_ways import FeedWays, is_charge_lead
from circuits.electrical.feeds import FedLoad, Feed, fed_loads, feeds_of, mean_a
from circuits.electrical.link_wire import LinkWire, link_wire_of
from circuits.electrical.parked import Parked, parked
from circuits.plan import Kind
from circuits.sized import Fuse, SizedPlan


@dataclass(frozen=True, slots=True)
class Balance:
    """What the alternator gives and what the loads take in one case.

    Parameters
    ----------
    case : Case
    output_a : float or None
        Of the alternator, hot [A]; None where the plan does not say.
    load_a : float
        On average [A].
    by_kind : mapping of Kind to float
        The same by kind of load [A], the largest first.
    """

    case: Case
    output_a: float | None
    load_a: float
    by_kind: Mapping[Kind, float]

    @property
    def left_a(self) -> float | None:
        """What is left for the battery [A]; below 0 where the battery gives the rest."""
        return None if self.output_a is None else self.output_a - self.load_a


@dataclass(frozen=True, slots=True)
class ChargeLead:
    """The lead from the alternator's output.

    Parameters
    ----------
    circuit : str
    stated_a : float
        What it is sized for [A].
    fuse : Fuse or None
    alternator_a : float or None
        What the alternator gives hot [A].
    """

    circuit: str
    stated_a: float
    fuse: Fuse | None
    alternator_a: float | None


@dataclass(frozen=True, slots=True)
class Supply:
    """The supply of a plan.

    Parameters
    ----------
    feeds : tuple of Feed
        The tree, each after the one above it.
    loads : tuple of FedLoad
    balances : tuple of Balance
        One a case.
    parked : Parked
    crankings : tuple of Cranking
    charge_leads : tuple of ChargeLead
    links : mapping of str to LinkWire
        Link wire that would protect a feeder whose fuse is a fusible link, by name of feeder.
    """

    feeds: tuple[Feed, ...]
    loads: tuple[FedLoad, ...]
    balances: tuple[Balance, ...]
    parked: Parked
    crankings: tuple[Cranking, ...]
    charge_leads: tuple[ChargeLead, ...]
    links: Mapping[str, LinkWire]

    def feed(self, name: str) -> Feed:
        """The feed of that name; KeyError if there is none."""
        for feed in self.feeds:
            if feed.name == name:
                return feed
        raise KeyError(name)


def supply(sized: SizedPlan) -> Supply:
    """The supply of a sized plan.

    Parameters
    ----------
    sized : SizedPlan

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> lamp = Circuit("dip", "front", "battery", "panel", "low beam", ("nose",), Kind.LAMP, load_a=9.0)
    >>> car = Vehicle(alternator_a=55.0, alternator_idle_a=20.0)
    >>> found = supply(size_plan(Plan(car, (), (Run("panel", "nose", 2.0),), (lamp,))))
    >>> [(balance.case.value, round(balance.left_a, 1)) for balance in found.balances][-1]
    ('cruise, night', 47.8)
    """
    ways = FeedWays(one.circuit for one in sized.circuits if one.wires)
    loads = fed_loads(sized, ways)
    feeds = feeds_of(sized, ways, loads)
    return Supply(
        feeds=feeds,
        loads=loads,
        balances=tuple(_balance(case, sized, loads) for case in Case),
        parked=parked(sized, loads),
        crankings=crankings(sized),
        charge_leads=_charge_leads(sized),
        links=_links(sized, feeds),
    )


def _balance(case: Case, sized: SizedPlan, loads: tuple[FedLoad, ...]) -> Balance:
    vehicle = sized.wiring.plan.vehicle
    by_kind = {kind: mean_a([load for load in loads if load.circuit.kind is kind], case) for kind in Kind}
    drawing = sorted(((kind, drawn) for kind, drawn in by_kind.items() if drawn > 0), key=lambda pair: -pair[1])
    output_a = vehicle.alternator_idle_a if case.is_idle else vehicle.alternator_a
    return Balance(case, output_a, mean_a(loads, case), dict(drawing))


def _charge_leads(sized: SizedPlan) -> tuple[ChargeLead, ...]:
    alternator_a = sized.wiring.plan.vehicle.alternator_a
    return tuple(
        ChargeLead(one.circuit.name, one.current_a, one.fuse, alternator_a)
        for one in sized.circuits
        if one.wires and is_charge_lead(one.circuit)
    )


def _links(sized: SizedPlan, feeds: tuple[Feed, ...]) -> dict[str, LinkWire]:
    wires = {one.circuit.name: one.wires for one in sized.circuits}
    found = {}
    for feed in feeds:
        if feed.circuit is not None and feed.depth == 1 and wires[feed.name]:
            link = link_wire_of(min((wire.conductor for wire in wires[feed.name]), key=lambda size: size.area_mm2))
            if link is not None:
                found[feed.name] = link
    return found
