"""Hours of a sized plan: work elements times their minutes, as a distribution by section and in total."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from circuits.sized import SizedPlan
from estimating.labour.condition import DEFAULT_CV, checked_cv
from estimating.labour.count import count_elements, section_order
from estimating.labour.hours import ElementCount, ElementHours, Hours, Spread
from estimating.labour.minutes import DEFAULT_MINUTES, Element, MinutesTable
from estimating.labour.spread import Moments, spread
from estimating.takeoff.needs import Need
from estimating.takeoff.takeoff import needs_of


def estimate_hours(
    sized: SizedPlan,
    minutes: MinutesTable = DEFAULT_MINUTES,
    *,
    condition_cv: float = DEFAULT_CV,
    needs: Sequence[Need] | None = None,
) -> Hours:
    """Hours of a sized plan.

    Parameters
    ----------
    sized : SizedPlan
    minutes : MinutesTable
    condition_cv : float
        Coefficient of variation of the vehicle's condition, 0 to 1.
    needs : sequence of Need or None
        Of the same plan, where they have been counted already; None = by the default take-off rules.

    Returns
    -------
    Hours
        The means of its elements add up to the mean of the total, and so do the means of its sections.
        Percentiles of sections do not add: not every section goes badly on the same vehicle.

    Raises
    ------
    PlanError
        For a coefficient outside 0 to 1.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> hours = estimate_hours(example_sized_plan())
    >>> [(name, round(hours_of.mean_h, 1)) for name, hours_of in hours.sections]
    [('rear', 2.2), ('whole vehicle', 5.5)]
    """
    checked_cv(condition_cv)
    counts = count_elements(sized, needs_of(sized) if needs is None else needs)
    return hours_of(counts, minutes, condition_cv, section_order(sized))


def hours_of(
    counts: Sequence[ElementCount], minutes: MinutesTable, condition_cv: float, sections: Iterable[str]
) -> Hours:
    """Hours of counted elements. ``sections`` gives the order; those without work are left out.

    Examples
    --------
    >>> splices = ElementCount("splice", "rear", 6, ("horn",))
    >>> hours_of([splices], DEFAULT_MINUTES, 0.0, ["rear"]).total.mean_h
    0.55
    """
    by_section = {section: [row for row in counts if row.section == section] for section in sections}
    return Hours(
        total=_spread(counts, minutes, condition_cv),
        sections=tuple((name, _spread(rows, minutes, condition_cv)) for name, rows in by_section.items() if rows),
        elements=_elements(counts, minutes),
        counts=tuple(counts),
    )


def _spread(counts: Sequence[ElementCount], minutes: MinutesTable, condition_cv: float) -> Spread:
    points = [(row.count, minutes.minutes(row.element)) for row in counts]
    moments = Moments(
        mean_min=math.fsum(count * point.mean_min for count, point in points),
        variance_min2=math.fsum(count * point.sd_min**2 for count, point in points),
    )
    return spread(moments, condition_cv)


def _elements(counts: Sequence[ElementCount], minutes: MinutesTable) -> tuple[ElementHours, ...]:
    found: dict[str, list[float]] = {}
    for row in counts:
        found.setdefault(row.element, []).append(row.count)
    sums = {element: math.fsum(found[element]) for element in Element if element in found}
    return tuple(
        ElementHours(str(element), count, count * minutes.minutes(element).mean_min) for element, count in sums.items()
    )
