"""What the hours page shows: the distribution, its sections, and the work elements it was summed from."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.drawings.distribution import hours_drawing
from circuits.drawings.shapes import Drawing
from estimating.labour.hours import Spread
from estimating.labour.minutes import ElementMinutes
from estimating.pricing.quote import LabourBasis
from estimating.rules import ShopRules
from estimating.workup import WorkUp


@dataclass(frozen=True, slots=True)
class SectionCount:
    """How often an element occurs in one section, and for which circuits."""

    section: str
    count: float
    circuits: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ElementLine:
    """One work element over the whole vehicle. ``mean_h`` is the mean for all of ``count`` together [h]."""

    row: ElementMinutes
    count: float
    mean_h: float
    sections: tuple[SectionCount, ...]


@dataclass(frozen=True, slots=True)
class HoursPage:
    """The page in values."""

    total: Spread
    sections: tuple[tuple[str, Spread], ...]
    elements: tuple[ElementLine, ...]
    basis: LabourBasis
    condition_cv: float
    drawing: Drawing | None

    @property
    def sold_h(self) -> float:
        """The figure that the quote is made with [h]."""
        return self.total.p50_h if self.basis is LabourBasis.P50 else self.total.p80_h


def hours_page(workup: WorkUp, rules: ShopRules) -> HoursPage:
    """The page of a work-up made by ``rules``; no money is in it."""
    hours, basis = workup.hours, rules.terms.labour_basis
    total = hours.total
    return HoursPage(
        total=total,
        sections=hours.sections,
        elements=tuple(
            ElementLine(
                row=rules.minutes.row(element.element),
                count=element.count,
                mean_h=element.mean_min / 60,
                sections=tuple(
                    SectionCount(count.section, count.count, count.circuits)
                    for count in hours.counts
                    if count.element == element.element
                ),
            )
            for element in hours.elements
        ),
        basis=basis,
        condition_cv=rules.condition_cv,
        drawing=hours_drawing(total.p50_h, total.p80_h, total.p90_h, sold=basis) if total.p50_h > 0 else None,
    )
