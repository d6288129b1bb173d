"""From a plan to a priced quote in one call."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.electrical.sizing import size_plan
from circuits.plan import Plan
from circuits.sized import SizedPlan
from estimating.labour.estimate import estimate_hours
from estimating.labour.hours import Hours
from estimating.pricing.price import price_quote
from estimating.pricing.quote import PricedQuote
from estimating.rules import ShopRules
from estimating.takeoff.parts import Part
from estimating.takeoff.takeoff import needs_of, parts_of


@dataclass(frozen=True, slots=True)
class WorkUp:
    """A plan worked up: sized, counted, timed and priced under one set of rules."""

    sized: SizedPlan
    parts: tuple[Part, ...]
    hours: Hours
    quote: PricedQuote


def work_up(plan: Plan, rules: ShopRules | None = None) -> WorkUp:
    """Works a plan up.

    Parameters
    ----------
    plan : Plan
    rules : ShopRules or None
        None = the packaged defaults.

    Returns
    -------
    WorkUp

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> worked = work_up(example_sized_plan().wiring.plan)
    >>> worked.quote.unpriced
    ()
    """
    rules = rules or ShopRules()
    return work_up_sized(size_plan(plan, rules.build), rules)


def work_up_sized(sized: SizedPlan, rules: ShopRules | None = None) -> WorkUp:
    """Works up a plan that has been sized already, e.g. from a cache.

    Parameters
    ----------
    sized : SizedPlan
    rules : ShopRules or None
        Its build rules are those the plan was sized by; they are not used again.

    Returns
    -------
    WorkUp

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> work_up_sized(example_sized_plan()).quote.currency
    'EUR'
    """
    rules = rules or ShopRules()
    needs = needs_of(sized, rules.takeoff)
    parts = parts_of(needs, sized)
    hours = estimate_hours(sized, rules.minutes, condition_cv=rules.condition_cv, needs=needs)
    return WorkUp(sized, parts, hours, price_quote(parts, hours, rules.book, rules.terms))
