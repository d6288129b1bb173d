"""What the rules that look at a plan may see of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from circuits.findings import Finding
from circuits.harness.routes import Router
from circuits.patterns.suggestions import Suggester
from circuits.plan import BUSES, Circuit, Duty, Kind, Plan


@dataclass(frozen=True, slots=True)
class Survey:
    """The plan and what is known of it.

    Parameters
    ----------
    plan : Plan
    router : Router
    by_name : mapping of str to Circuit
        All circuits, by name.
    feeds, places : Suggester
        What a wrong feed or place may have meant.
    sound : frozenset of str
        Names of the circuits that will be wired; empty while that is still being found out.
    connected_a : mapping of str to float
        Continuous current of all wired circuits behind each feeder, other feeders by what they state [A];
        empty while ``sound`` is.
    """

    plan: Plan
    router: Router
    by_name: Mapping[str, Circuit]
    feeds: Suggester
    places: Suggester
    sound: frozenset[str] = frozenset()
    connected_a: Mapping[str, float] = field(default_factory=dict)

    def load_a(self, circuit: Circuit) -> float:
        """Current of all loads of a circuit together [A]."""
        return circuit.load_current_a(self.plan.vehicle.system_v) * len(circuit.load_at)

    def bus_of(self, circuit: Circuit) -> str:
        """The bus a circuit hangs on through the circuits that feed it; empty where that leads to none."""
        passed: set[str] = set()
        while circuit.is_fed_by_circuit:
            if circuit.name in passed or circuit.feed not in self.by_name:
                return ""
            passed.add(circuit.name)
            circuit = self.by_name[circuit.feed]
        return circuit.feed


def survey_of(plan: Plan, router: Router) -> Survey:
    """The survey of a plan before anything is known of it."""
    by_name = {circuit.name: circuit for circuit in plan.circuits}
    return Survey(plan, router, by_name, Suggester((*BUSES, *by_name)), Suggester(plan.places))


def with_sound(survey: Survey, sound: frozenset[str]) -> Survey:
    """The survey once it is known which circuits will be wired."""
    connected: dict[str, float] = {}
    for circuit in map(survey.by_name.__getitem__, sorted(sound)):
        if circuit.kind is not Kind.SENDER and circuit.duty is Duty.CONTINUOUS:
            feeder = _feeder_of(circuit, survey.by_name, sound)
            connected[feeder] = connected.get(feeder, 0.0) + survey.load_a(circuit)
    return replace(survey, sound=sound, connected_a=connected)


def _feeder_of(circuit: Circuit, by_name: Mapping[str, Circuit], sound: frozenset[str]) -> str:
    """The nearest feeder upstream; empty where there is none."""
    while circuit.is_fed_by_circuit and circuit.feed in sound:
        circuit = by_name[circuit.feed]
        if circuit.kind is Kind.FEEDER:
            return circuit.name
    return ""


Rule = Callable[[Circuit, Survey], Iterator[Finding]]
"""One rule: looks at one circuit that is to be wired, and tells what it finds."""
