"""What the power page shows: a plan in one state of its switches, with at most one fault in it."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from threading import Lock
from urllib.parse import urlencode

from circuits.findings import Finding, Severity
from circuits.network.behaviour import Behaviour, LoadSeen, Showing
from circuits.network.build import PlanNetwork, build_network
from circuits.network.crossed import NetworkJudge, look_alikes_swapped
from circuits.network.elements import NetworkError, Part, Resistor
from circuits.network.faults import Fault, FaultKind, single_faults, what_if
from circuits.network.power_sheet import powered
from circuits.network.proof_values import ProofValues
from circuits.network.states import State
from circuits.network.wording import OFF, fault_text, places_of, read_fault, read_positions, switches
from circuits.planning.power_meter import MeterLine, meter_lines
from circuits.sized import SizedPlan

OFFERED = (FaultKind.LOST_GROUND, FaultKind.BLOWN_FUSE, FaultKind.OPEN_WIRE, FaultKind.REVERSED_BATTERY)
RANKED = {"grounds": FaultKind.LOST_GROUND, "fuses": FaultKind.BLOWN_FUSE}
"""Kinds of fault that can be ranked by danger, by the word in the address."""

LOOK_ALIKES = "connectors"
"""The word for connectors that look alike, each pair swapped."""

KEPT, KEPT_PLANS = 48, 8
"""States kept of a plan, and plans."""

SHOWN_A = 0.005
"""Least current of a fuse that is listed [A]."""

Positions = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Switch:
    """A function with its positions; each leads to the same state with this one thrown."""

    function: str
    choices: tuple[tuple[str, str, bool], ...]
    """Value in the address, word, and whether it is so now."""


@dataclass(frozen=True, slots=True)
class PlaceLit:
    """The loads at a place."""

    place: str
    loads: tuple[LoadSeen, ...]


@dataclass(frozen=True, slots=True)
class FuseSeen:
    """A fuse in this state: its current, as a share of its rating too, and whether it opens."""

    name: str
    rating_a: float | None
    current_a: float
    percent: float
    opens: bool


@dataclass(frozen=True, slots=True)
class RankedFault:
    """What a fault does in this state, with the address that shows it, if one does."""

    words: str
    address: str
    danger: int
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class PowerShown:
    """Everything on the page."""

    switches: tuple[Switch, ...]
    fault: str
    offered: tuple[tuple[str, tuple[str, ...]], ...]
    places: tuple[PlaceLit, ...]
    counts: tuple[tuple[str, int], ...]
    fuses: tuple[FuseSeen, ...]
    findings: tuple[Finding, ...]
    notes: tuple[Finding, ...]
    trouble: str
    ranking: str
    ranked: tuple[RankedFault, ...]
    harmless: int
    circuits: tuple[str, ...]
    metered: str
    meter: tuple[MeterLine, ...]


@dataclass(frozen=True, slots=True)
class Asked:
    """What the address asks for: switches as ``FUNCTION=POSITION``, a fault, what to rank, a circuit to measure."""

    thrown: tuple[str, ...] = ()
    fault: str = ""
    ranking: str = ""
    circuit: str = ""


class PoweredPlan:
    """A plan's network with what was worked out on it, so that a switch thrown back costs nothing.

    Parameters
    ----------
    sized : SizedPlan
    """

    def __init__(self, sized: SizedPlan) -> None:
        self.built: PlanNetwork = build_network(sized)
        self.values = ProofValues(sized, self.built)
        self.switches = switches(self.built)
        self.behaviour = lru_cache(maxsize=KEPT)(self._behaviour)
        self.ranked = lru_cache(maxsize=KEPT)(self._ranked)
        self.judged = lru_cache(maxsize=KEPT)(NetworkJudge(self.built))

    def _behaviour(self, positions: Positions, fault: Fault | None) -> Behaviour:
        return powered(self.built, State("", dict(positions)), [fault] if fault else [])

    def _ranked(self, positions: Positions, ranking: str) -> tuple[RankedFault, ...]:
        if ranking == LOOK_ALIKES:
            swapped = look_alikes_swapped(self.built, dict(positions))
            return tuple(
                RankedFault(f"{pair.first.name} and {pair.second.name} swapped", "", one.danger, one.findings)
                for pair, one in swapped
            )
        kind = RANKED[ranking]
        cases = [(fault,) for fault in single_faults(self.built.branches.network) if fault.kind is kind]
        return tuple(
            RankedFault(
                fault_text(one.faults[0]), _address(positions, one.faults[0], ranking), one.danger, one.findings
            )
            for one in what_if(self.built, dict(positions), cases)
        )


_KEPT: OrderedDict[Hashable, PoweredPlan] = OrderedDict()
_LOCK = Lock()


def powered_plan(stamp: Hashable, sized: SizedPlan) -> PoweredPlan:
    """The network of a plan, kept in this process under the stamps of plan and rules; the least used goes first.

    Parameters
    ----------
    stamp : hashable
    sized : SizedPlan
    """
    with _LOCK:
        kept = _KEPT.pop(stamp, None)
    kept = kept or PoweredPlan(sized)
    with _LOCK:
        _KEPT[stamp] = kept
        while len(_KEPT) > KEPT_PLANS:
            _KEPT.popitem(last=False)
    return kept


def power_shown(plan: PoweredPlan, asked: Asked) -> PowerShown:
    """What the page shows of what is asked; what cannot be is told in ``trouble``, and the rest is shown.

    Parameters
    ----------
    plan : PoweredPlan
    asked : Asked
    """
    positions, fault, trouble = _read(plan.built, asked)
    key = tuple(sorted(positions.items()))
    seen = plan.behaviour(key, fault)
    ranking = asked.ranking if asked.ranking in (*RANKED, LOOK_ALIKES) else ""
    ranked = plan.ranked(key, ranking) if ranking else ()
    network = plan.built.branches.network
    circuits = tuple(one.circuit.name for one in plan.built.plan.circuits if one.wires)
    return PowerShown(
        switches=tuple(_switch(function, known, positions) for function, known in plan.switches.items()),
        fault=fault_text(fault) if fault else "",
        offered=tuple(
            (kind.value, tuple(fault_text(Fault(kind, at)) for at in places_of(kind, network))) for kind in OFFERED
        ),
        places=_places(seen),
        counts=tuple((state.value, sum(one.showing is state for one in seen.loads)) for state in reversed(Showing)),
        fuses=_fuses(seen),
        findings=tuple(sorted(seen.findings, key=lambda one: list(Severity).index(one.severity))),
        notes=plan.built.findings,
        trouble=trouble,
        ranking=ranking,
        ranked=tuple(one for one in ranked if one.danger),
        harmless=sum(not one.danger for one in ranked),
        circuits=circuits,
        metered=asked.circuit if asked.circuit in circuits else "",
        meter=tuple(meter_lines(plan.values, positions, asked.circuit)) if asked.circuit in circuits else (),
    )


def _read(built: PlanNetwork, asked: Asked) -> tuple[dict[str, str], Fault | None, str]:
    try:
        positions = read_positions(asked.thrown, built)
    except NetworkError as error:
        return {}, None, str(error)
    try:
        return positions, read_fault(asked.fault, built) if asked.fault else None, ""
    except NetworkError as error:
        return positions, None, str(error)


def _switch(function: str, known: tuple[str, ...], positions: Mapping[str, str]) -> Switch:
    now = positions.get(function, OFF)
    words = (OFF, *(word for word in known if word != OFF))
    return Switch(function, tuple(("" if word == OFF else f"{function}={word}", word, word == now) for word in words))


def _places(seen: Behaviour) -> tuple[PlaceLit, ...]:
    """Loads by place; places where something shows first, each in plan order."""
    at: dict[str, list[LoadSeen]] = {}
    for one in seen.loads:
        at.setdefault(one.load.place, []).append(one)
    lit = [PlaceLit(place, tuple(loads)) for place, loads in at.items()]
    return tuple(sorted(lit, key=lambda place: all(one.showing is Showing.OFF for one in place.loads)))


def _fuses(seen: Behaviour) -> tuple[FuseSeen, ...]:
    """Fuses that carry something or open, the fullest first."""
    found = []
    for element in seen.solution.branches.network.elements:
        if isinstance(element, Resistor) and element.part is Part.FUSE:
            opens, current_a = element.name in seen.solution.opened, abs(seen.solution.current_a(element.name))
            if opens or current_a >= SHOWN_A:
                percent = 100 * current_a / element.rating_a if element.rating_a else 0.0
                found.append(FuseSeen(element.name.removeprefix("fuse: "), element.rating_a, current_a, percent, opens))
    return tuple(sorted(found, key=lambda fuse: (not fuse.opens, -fuse.percent)))


def _address(positions: Positions, fault: Fault, ranking: str) -> str:
    thrown = [("set", f"{function}={position}") for function, position in positions]
    return "?" + urlencode([*thrown, ("fault", fault_text(fault)), ("rank", ranking)])
