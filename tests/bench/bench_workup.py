"""Sizing, take-off, hours and price of 120 circuits and at least 400 wires, by stage, and how it grows with the plan.

Goal: under 100 ms for all stages together. Growth is the time at 480 circuits over that at 120, per circuit:
1 is growth in step with the plan.
"""

from __future__ import annotations

import sys

from circuits.electrical.sizing import size_plan
from estimating.answer import answer, json_text
from estimating.labour.estimate import estimate_hours
from estimating.pricing.price import price_quote
from estimating.rules import ShopRules
from estimating.takeoff.takeoff import needs_of, parts_of
from estimating.workup import work_up
from tests.bench.clock import line, median_ms
from tests.bench.made_plan import PULLED, made_plan

GOAL_MS = 100.0
CIRCUITS, LARGE = 120, 480


def main() -> int:
    """Print the stages; 1 where the goal is missed."""
    rules = ShopRules()
    plan = made_plan(CIRCUITS, dispositions=PULLED)
    sized = size_plan(plan, rules.build)
    needs = needs_of(sized, rules.takeoff)
    parts = parts_of(needs, sized)
    hours = estimate_hours(sized, rules.minutes, needs=needs)
    worked = work_up(plan, rules)
    print(f"  {len(plan.circuits)} circuits, {len(sized.wires)} wires, {len(parts)} parts, {len(hours.counts)} counts")
    line("size", median_ms(lambda: size_plan(plan, rules.build)))
    line("take off", median_ms(lambda: parts_of(needs_of(sized, rules.takeoff), sized)))
    line("hours", median_ms(lambda: estimate_hours(sized, rules.minutes, needs=needs)))
    line("price", median_ms(lambda: price_quote(parts, hours, rules.book, rules.terms)))
    whole_ms = median_ms(lambda: work_up(plan, rules))
    line("all of them", whole_ms, f"goal {GOAL_MS:g} ms: {'kept' if whole_ms < GOAL_MS else 'MISSED'}")
    line("answer", median_ms(lambda: answer(worked)))
    line("answer as JSON text", median_ms(lambda: json_text(answer(worked))))
    large = made_plan(LARGE, dispositions=PULLED)
    large_ms = median_ms(lambda: work_up(large, rules), runs=7)
    growth = large_ms / whole_ms / (LARGE / CIRCUITS)
    line(f"all of them, {LARGE} circuits", large_ms, f"growth {growth:.2f} per circuit")
    return int(whole_ms >= GOAL_MS)


if __name__ == "__main__":
    sys.exit(main())
