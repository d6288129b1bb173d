"""What a changed plan costs more than it did: both worked up whole, so that parts, hours and markup all count."""

from __future__ import annotations

from decimal import Decimal

from circuits.plan import Plan
from circuits.sized import SizedPlan
from estimating.rules import ShopRules
from estimating.workup import work_up, work_up_sized


def added_net(before: SizedPlan, after: Plan, rules: ShopRules) -> Decimal | None:
    """Net price of a changed plan less that of the plan as it was.

    Parameters
    ----------
    before : SizedPlan
        As it was, sized by the build rules of ``rules``.
    after : Plan
        With the change.
    rules : ShopRules

    Returns
    -------
    Decimal or None
        In the currency of the terms, before tax; None where the change asks for something without a price.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.sheets.starters import load_starter
    >>> plan = load_starter("pickup")
    >>> added_net(size_plan(plan), plan, ShopRules())
    Decimal('0.00')
    """
    was, becomes = work_up_sized(before, rules), work_up(after, rules)
    if set(becomes.quote.unpriced) - set(was.quote.unpriced):
        return None
    return becomes.quote.net - was.quote.net
