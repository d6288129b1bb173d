"""The tree of feeds with its currents: what each feeder and bus carries on average, and at most at once.

On average each load counts by the share of the time that it is on (``duties``). At once count all loads that burn for
longer than 10 minutes, of those on one switch the position that draws most, and the largest of those for moments, the
others by their share. That is what the fuse of a feeder has to carry for as long as anyone may drive.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from circuits.electrical.duties import Case, DutyShares, duty_of
from circuits.electrical.feed_ways import BATTERY, FeedWays, is_charge_lead, is_cranking
from circuits.patterns.switched import switch_states
from circuits.plan import Circuit, Duty, Kind
from circuits.sized import Fuse, SizedPlan


@dataclass(frozen=True, slots=True)
class FedLoad:
    """One circuit with a load, as the supply sees it.

    Parameters
    ----------
    circuit : Circuit
    current_a : float
        Of all its loads [A].
    duty : DutyShares
        Share of the time that it is on.
    bus : str
    parked_a : float
        What it draws on average with the key off [A].
    """

    circuit: Circuit
    current_a: float
    duty: DutyShares
    bus: str
    parked_a: float

    @property
    def is_for_moments(self) -> bool:
        """True where it is on for less than 10 minutes at a time."""
        return self.circuit.duty is Duty.INTERMITTENT


@dataclass(frozen=True, slots=True)
class Feed:
    """One feeder, or a bus, with what it carries.

    Parameters
    ----------
    name : str
    above : str
        What feeds it; empty for the battery.
    depth : int
        Steps from the battery.
    circuit : Circuit or None
        The feeder; None for the battery and for a bus without one.
    fuse : Fuse or None
        Its own.
    stated_a : float or None
        What the plan says that it carries [A].
    loads : tuple of str
        Circuits behind it, by name.
    mean_a : mapping of Case to float
        On average [A].
    together_a : float
        At most at once, for as long as anyone may drive [A].
    feeds_fuses_at : tuple of str
        Places where it ends at fuses: the bus bars that it feeds.
    """

    name: str
    above: str
    depth: int
    circuit: Circuit | None
    fuse: Fuse | None
    stated_a: float | None
    loads: tuple[str, ...]
    mean_a: Mapping[Case, float]
    together_a: float
    feeds_fuses_at: tuple[str, ...]


def fed_loads(sized: SizedPlan, ways: FeedWays) -> tuple[FedLoad, ...]:
    """Every circuit with a load while the engine runs: feeders, the starter and what only cranks left out.

    Parameters
    ----------
    sized : SizedPlan
    ways : FeedWays
        Of its wired circuits.
    """
    found = []
    system_v = sized.wiring.plan.vehicle.system_v
    for circuit in ways.circuits.values():
        if circuit.kind is Kind.FEEDER or is_cranking(circuit, system_v):
            continue
        bus = ways.bus_of(circuit)
        if bus == "start":
            continue
        current_a = circuit.load_current_a(system_v) * len(circuit.load_at)
        duty = duty_of(circuit, bus)
        parked_a = current_a * duty.parked if ways.is_live_parked(circuit) else 0.0
        found.append(FedLoad(circuit, current_a, duty, bus, parked_a))
    return tuple(found)


def together_a(loads: Sequence[FedLoad]) -> float:
    """What loads draw at most at once, for as long as anyone may drive [A].

    Parameters
    ----------
    loads : sequence of FedLoad
    """
    total = 0.0
    switches: dict[tuple[str, str], dict[str, float]] = {}
    moments: list[FedLoad] = []
    for load in loads:
        circuit = load.circuit
        if not any(load.duty.shares.values()):
            continue
        if load.is_for_moments:
            moments.append(load)
            continue
        states = switch_states(circuit) if circuit.switch_at else ("",)
        if states == ("",):
            total += load.current_a
        else:
            function = circuit.switch.partition(":")[0].strip()
            positions = switches.setdefault((circuit.switch_at, function), {})
            for state in states:
                positions[state] = positions.get(state, 0.0) + load.current_a
    total += sum(max(positions.values()) for positions in switches.values())
    if moments:
        largest = max(moments, key=lambda load: load.current_a)
        total += largest.current_a
        total += sum(load.current_a * max(load.duty.shares.values()) for load in moments if load is not largest)
    return total


def mean_a(loads: Sequence[FedLoad], case: Case) -> float:
    """What loads draw on average [A].

    Parameters
    ----------
    loads : sequence of FedLoad
    case : Case
    """
    return sum(load.current_a * load.duty.shares[case] for load in loads)


def feeds_of(sized: SizedPlan, ways: FeedWays, loads: Sequence[FedLoad]) -> tuple[Feed, ...]:
    """The tree of feeds, each after the one above it, the battery first.

    Parameters
    ----------
    sized : SizedPlan
    ways : FeedWays
        Of its wired circuits.
    loads : sequence of FedLoad
        As ``fed_loads`` gives them.
    """
    behind: dict[str, list[FedLoad]] = {BATTERY: []}
    fused_at: dict[str, dict[str, None]] = {}
    for circuit in ways.circuits.values():
        if circuit.kind is Kind.FEEDER and not is_charge_lead(circuit):
            behind.setdefault(circuit.name, [])
    for load in loads:
        for name in ways.way_up(load.circuit):
            feeder = ways.circuits.get(name)
            if feeder is None or feeder.kind is Kind.FEEDER:
                behind.setdefault(name, []).append(load)
    for fuse in sized.fuses:
        owner = ways.circuits.get(fuse.circuit)
        if owner is not None:
            fused_at.setdefault(ways.above(owner.name), {})[fuse.at] = None
    return tuple(_feed(name, depth, sized, ways, behind[name], fused_at) for name, depth in _in_order(ways, behind))


def _in_order(ways: FeedWays, names: Mapping[str, object]) -> list[tuple[str, int]]:
    below: dict[str, list[str]] = {}
    for name in names:
        if name != BATTERY:
            above = ways.above(name)
            while above not in names and above != BATTERY:
                above = ways.above(above)
            below.setdefault(above, []).append(name)
    found: list[tuple[str, int]] = []
    waiting = [(BATTERY, 0)]
    while waiting:
        name, depth = waiting.pop()
        found.append((name, depth))
        waiting += [(one, depth + 1) for one in reversed(below.get(name, []))]
    return found


def _feed(
    name: str,
    depth: int,
    sized: SizedPlan,
    ways: FeedWays,
    loads: Sequence[FedLoad],
    fused_at: Mapping[str, Mapping[str, None]],
) -> Feed:
    circuit = ways.circuits.get(name)
    fuse = next((fuse for fuse in sized.fuses if fuse.name == name), None) if circuit else None
    system_v = sized.wiring.plan.vehicle.system_v
    ends = circuit.load_at if circuit else ()
    return Feed(
        name=name,
        above=ways.above(name),
        depth=depth,
        circuit=circuit,
        fuse=fuse,
        stated_a=circuit.load_current_a(system_v) * len(circuit.load_at) if circuit else None,
        loads=tuple(load.circuit.name for load in loads),
        mean_a={case: mean_a(loads, case) for case in Case},
        together_a=together_a(loads),
        feeds_fuses_at=tuple(place for place in ends if place in fused_at.get(name, ())),
    )
