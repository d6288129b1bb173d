"""The plan a careful buyer makes by hand, as a plan: the peer that the saving is measured against."""

from __future__ import annotations

from estimating.buying.assign import Solution, plan_of
from estimating.buying.costs import prices_of
from estimating.buying.first_fit import by_hand
from estimating.buying.pools import pools_of
from estimating.buying.purchase import PurchasePlan
from estimating.buying.reach import reach_of
from estimating.buying.remedies import unmet_of
from estimating.buying.scarce import ration
from estimating.buying.week import Week


def plan_by_hand(week: Week) -> PurchasePlan:
    """First fit, longest first, from stock and then from each kind's cheapest offer.

    Parameters
    ----------
    week : Week

    Returns
    -------
    PurchasePlan
        With a lower bound of 0: nothing is proven.

    Examples
    --------
    >>> from estimating.buying.example import example_week
    >>> plan_by_hand(example_week()).cost
    Decimal('47.80')
    """
    reach = reach_of(week)
    rationed = ration(reach)
    counts = {need.ref: reach.atoms(need) - rationed.missing.get(need.ref, 0) for need in week.needs}
    pools, prices = pools_of(reach, counts), prices_of(reach)
    hand = by_hand(pools, prices, rationed.given)
    unmet = unmet_of(reach, rationed.missing)
    return plan_of(reach, pools, prices, Solution(hand.bought, hand.layouts), 0, unmet)
