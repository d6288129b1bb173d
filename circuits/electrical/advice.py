"""Which size would do where none chosen does, for the cures of findings."""

from __future__ import annotations

from collections.abc import Callable

from circuits.electrical.conductors import conductors, stocked_conductors
from circuits.electrical.one_circuit import Outcome
from circuits.rules import SizingRules
from circuits.sized import Conductor
from circuits.wiring import Wire


def size_that_does(outcome: Outcome, wire: Wire) -> str:
    """Label of the smallest size with which the wire meets its own limits; empty if none held does.

    A size that the shop does not stock says so.
    """
    return _first(outcome.job.rules, lambda size: outcome.own.hold(wire, size))


def size_for_drop(outcome: Outcome) -> str:
    """Label of the smallest size with which the circuit keeps its drop limit; empty if none held does."""
    return _first(outcome.job.rules, lambda size: outcome.job.ladder((size,)).trial(0).ok)


def _first(rules: SizingRules, does: Callable[[Conductor], bool]) -> str:
    for size in stocked_conductors(rules):
        if does(size):
            return size.label
    for size in conductors(rules.series):
        if does(size):
            return f"{size.label} (not in stock)"
    return ""
