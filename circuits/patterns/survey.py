"""What the rules that look at a plan may see of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from circuits.findings import Finding
from circuits.harness.routes import Router, nearest_name
from circuits.plan import Circuit, Kind, Plan


@dataclass(frozen=True, slots=True)
class Survey:
    """The plan and what is known of it.

    Parameters
    ----------
    plan : Plan
    router : Router
    by_name : mapping of str to Circuit
        All circuits, by name.
    sound : frozenset of str
        Names of the circuits that will be wired; empty while that is still being found out.
    """

    plan: Plan
    router: Router
    by_name: Mapping[str, Circuit]
    sound: frozenset[str] = frozenset()

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

    def connected_a(self, feeder: Circuit) -> float:
        """Continuous current of all wired circuits behind a feeder, other feeders by what they state [A]."""
        return sum(
            self.load_a(circuit)
            for circuit in map(self.by_name.__getitem__, self.sound)
            if circuit.kind is not Kind.SENDER
            and circuit.duty == "continuous"
            and self._feeder_of(circuit) == feeder.name
        )

    def _feeder_of(self, circuit: Circuit) -> str:
        """The nearest feeder upstream; empty where there is none."""
        while circuit.is_fed_by_circuit and circuit.feed in self.sound:
            circuit = self.by_name[circuit.feed]
            if circuit.kind is Kind.FEEDER:
                return circuit.name
        return ""


Rule = Callable[[Circuit, Survey], Iterator[Finding]]
"""One rule: looks at one circuit that is to be wired, and tells what it finds."""


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """``Did you mean panel?``; empty where nothing known is much like the name."""
    nearest = nearest_name(name, known)
    return f"Did you mean {nearest}?" if nearest else ""
