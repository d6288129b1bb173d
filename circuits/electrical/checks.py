"""The rules that look at a sized plan, one finding code each.

They read results only: what a limit is, and whether it holds, was decided when the size was chosen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from circuits.electrical.fuse_checks import FUSE_RULES
from circuits.electrical.one_circuit import Outcome
from circuits.electrical.opening_checks import OPENING_RULES
from circuits.electrical.size_checks import SIZE_RULES
from circuits.findings import Finding

CIRCUIT_RULES: tuple[Callable[[Outcome], Iterator[Finding]], ...] = (*FUSE_RULES, *SIZE_RULES, *OPENING_RULES)
"""Rules that look at one circuit at a time, in the order in which their findings are told."""


def find(outcomes: tuple[Outcome, ...]) -> tuple[Finding, ...]:
    """Every finding on the circuits of a plan, circuit by circuit in their order.

    Parameters
    ----------
    outcomes : tuple of Outcome
        All circuits of the plan, those that are not wired too.
    """
    found: list[Finding] = []
    for outcome in outcomes:
        if outcome.sized.wires:
            for rule in CIRCUIT_RULES:
                found += rule(outcome)
    return tuple(found)
