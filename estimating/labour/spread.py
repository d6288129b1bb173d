"""The distribution that work elements sum to, in closed form.

Each unit of an element takes a PERT time with mean ``(a + 4m + b) / 6`` and standard deviation
``(b - a) / 6`` (Malcolm, Roseboom, Clark and Fazar 1959). Units are independent within a vehicle, so
their means and variances add. One factor for the vehicle's condition, lognormal with mean 1 and
coefficient of variation ``c``, multiplies everything, so that the spread does not vanish by summing::

    mean = μ        variance = (σ² + μ²)(1 + c²) - μ²

A lognormal of the same mean and variance gives the percentiles.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from estimating.labour.hours import Spread

Z80 = 0.8416212335729143
Z90 = 1.2815515655446004
"""Standard normal quantiles (``statistics.NormalDist().inv_cdf``)."""

MINUTES_PER_HOUR = 60.0


@dataclass(frozen=True, slots=True)
class Moments:
    """Mean [min] and variance [min²] of independent work, before the vehicle's condition."""

    mean_min: float
    variance_min2: float


def spread(moments: Moments, cv: float) -> Spread:
    """Hours of work with these moments on a vehicle whose condition has coefficient of variation ``cv``.

    Parameters
    ----------
    moments : Moments
    cv : float
        0 or more.

    Returns
    -------
    Spread
        In hours. The median of a lognormal lies below its mean.

    Examples
    --------
    >>> hours = spread(Moments(600.0, 400.0), 0.15)
    >>> round(hours.mean_h, 2), round(hours.p50_h, 2), round(hours.p80_h, 2), round(hours.p90_h, 2)
    (10.0, 9.88, 11.24, 12.03)
    """
    mean = moments.mean_min
    if mean <= 0:
        return Spread(0.0, 0.0, 0.0, 0.0, 0.0)
    variance = (moments.variance_min2 + mean**2) * (1 + cv**2) - mean**2
    sigma = math.sqrt(math.log1p(variance / mean**2))
    median = mean / math.sqrt(1 + variance / mean**2)
    return Spread(
        mean_h=mean / MINUTES_PER_HOUR,
        sd_h=math.sqrt(variance) / MINUTES_PER_HOUR,
        p50_h=median / MINUTES_PER_HOUR,
        p80_h=median * math.exp(Z80 * sigma) / MINUTES_PER_HOUR,
        p90_h=median * math.exp(Z90 * sigma) / MINUTES_PER_HOUR,
    )
