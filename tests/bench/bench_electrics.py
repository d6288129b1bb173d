"""Sizing with heat, fuse and short checks: 120 circuits of at least 400 wires, and how it grows to 2,000 wires.

Goal: under 300 ms for the whole analysis on one core, also the first time in a process, when every heat balance has
yet to be found. Growth is the time per wire over that of the smallest plan: 1 is growth in step with the plan.
"""

from __future__ import annotations

import sys
import time

from circuits.electrical.carrying import carrying
from circuits.electrical.contact_checks import contact_findings
from circuits.electrical.coordination import largest_outlived_a
from circuits.electrical.heat_checks import bundle_too_hot, hot_runs
from circuits.electrical.heating import heat_ampacity_a
from circuits.electrical.sizing import size_plan, size_wiring
from circuits.electrical.supply_checks import supply_findings
from circuits.patterns import expand
from circuits.plan import FuseFamily
from circuits.rules import AmpacityBy, BuildRules, SizingRules
from tests.bench.clock import line, median_ms
from tests.bench.made_plan import PULLED, made_plan

GOAL_MS = 300.0
GROWTH_GOAL = 1.5
CIRCUITS = 120
GROWN = (120, 240, 480)


def main() -> int:
    """Print the times; 1 where a goal is missed."""
    rules = BuildRules()
    plan = made_plan(CIRCUITS, dispositions=PULLED)
    began = time.perf_counter()
    sized = size_plan(plan, rules)
    first_ms = (time.perf_counter() - began) * 1000
    print(f"  {len(plan.circuits)} circuits, {len(sized.wires)} wires, {len(plan.runs)} runs")
    line("first time in the process", first_ms, _goal(first_ms))
    whole_ms = median_ms(lambda: size_plan(plan, rules))
    line("again", whole_ms, _goal(whole_ms))
    line("expansion alone", median_ms(lambda: expand(plan, rules)))
    wiring = expand(plan, rules)
    line("sizing and checks", median_ms(lambda: size_wiring(wiring, rules)))
    table = BuildRules(SizingRules(ampacity_by=AmpacityBy.TABLE))
    line("the same by table alone", median_ms(lambda: size_wiring(wiring, table)))
    line("supply and contacts", median_ms(lambda: (*supply_findings(sized), *contact_findings(sized))))
    line("heat in bundles", median_ms(lambda: _bundles(plan, sized)))
    line("one heat balance", _each_ms(lambda: heat_ampacity_a.__wrapped__("14 AWG", 105, 85.0)))
    line("one fuse that a wire outlives", _each_ms(_outlived))
    per_wire = []
    for circuits in GROWN:
        large = made_plan(circuits, dispositions=PULLED)
        wires = len(size_plan(large, rules).wires)
        ms = median_ms(lambda large=large: size_plan(large, rules), runs=7)  # type: ignore[misc]
        per_wire.append(ms / wires)
        line(f"{circuits} circuits, {wires} wires", ms, f"growth {per_wire[-1] / per_wire[0]:.2f} per wire")
    return int(max(first_ms, whole_ms) >= GOAL_MS or per_wire[-1] > GROWTH_GOAL * per_wire[0])


def _goal(ms: float) -> str:
    return f"goal {GOAL_MS:g} ms: {'kept' if ms < GOAL_MS else 'MISSED'}"


def _bundles(plan, sized) -> None:
    tuple(bundle_too_hot(plan, hot_runs(plan, sized.wires, lambda wire: False), sized.rules.sizing))


def _outlived() -> None:
    ampacity_a = carrying("14 AWG", 105, 85.0).ampacity_a
    largest_outlived_a.__wrapped__("14 AWG", 105, 85.0, ampacity_a, FuseFamily.BLADE)


def _each_ms(work) -> float:
    return median_ms(lambda: [work() for _ in range(100)]) / 100


if __name__ == "__main__":
    sys.exit(main())
