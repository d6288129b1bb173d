"""Tells the plan's pages what a change adds to the quote, at the shop's prices."""

from __future__ import annotations

from dataclasses import replace

from circuits.plan import Plan
from circuits.planning.added_prices import Added
from circuits.sized import SizedPlan
from estimating.added_cost import added_net
from estimating.quotes.store import shop_rules


def added_at_shop_prices(before: SizedPlan, after: Plan) -> Added | None:
    """What the second plan costs more; None where something of it has no price."""
    rules = shop_rules()
    amount = added_net(before, after, replace(rules, build=before.rules))
    return None if amount is None else Added(amount, rules.terms.currency)
