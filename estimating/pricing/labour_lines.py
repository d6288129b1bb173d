"""Shares the hours that are sold over the sections of the vehicle."""

from __future__ import annotations

from decimal import ROUND_FLOOR, Decimal

from estimating.labour.hours import Hours
from estimating.pricing.money import HOURS_STEP, to_step
from estimating.pricing.quote import LabourBasis


def sold_hours(hours: Hours, basis: LabourBasis) -> tuple[tuple[str, Decimal], ...]:
    """Hours to charge by section: the total's P50 or P80 to the tenth, shared by the sections' means.

    Percentiles of sections do not add up to that of the total, so each section gets its share of the total
    instead; tenths left over go to the sections that were cut the most.

    Parameters
    ----------
    hours : Hours
    basis : LabourBasis

    Returns
    -------
    tuple of (str, Decimal)
        Sections with hours to charge, in the order of ``hours.sections``; they add up to the rounded total.

    Examples
    --------
    >>> from estimating.labour.hours import Spread
    >>> rear, front = Spread(1, 0, 1, 1.1, 1.2), Spread(2, 0, 2, 2.2, 2.4)
    >>> sold_hours(Hours(Spread(3, 0, 3, 3.2, 3.4), (("rear", rear), ("front", front)), (), ()), LabourBasis.P80)
    (('rear', Decimal('1.1')), ('front', Decimal('2.1')))
    """
    figure = hours.total.p50_h if basis is LabourBasis.P50 else hours.total.p80_h
    total = to_step(Decimal(repr(figure)), HOURS_STEP)
    mean = sum((Decimal(repr(spread.mean_h)) for _, spread in hours.sections), Decimal(0))
    if not mean:
        return ()
    exact = {name: total * Decimal(repr(spread.mean_h)) / mean for name, spread in hours.sections}
    sold = {name: share.quantize(HOURS_STEP, rounding=ROUND_FLOOR) for name, share in exact.items()}
    left_over = int((total - sum(sold.values(), Decimal(0))) / HOURS_STEP)
    for name in sorted(sold, key=lambda name: sold[name] - exact[name])[:left_over]:
        sold[name] += HOURS_STEP
    return tuple((name, quantity) for name, quantity in sold.items() if quantity)
