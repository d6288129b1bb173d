"""Everything a shop has decided once, together: how it builds, counts, times, prices and sells."""

from __future__ import annotations

from dataclasses import dataclass, field

from circuits.rules import BuildRules
from estimating.labour.condition import DEFAULT_CV, checked_cv
from estimating.labour.minutes import DEFAULT_MINUTES, MinutesTable
from estimating.pricing.book import PriceBook
from estimating.pricing.price_book_csv import example_price_book
from estimating.pricing.quote import Terms
from estimating.takeoff.rules import TakeoffRules


@dataclass(frozen=True, slots=True)
class ShopRules:
    """The shop's rules with the defaults of a shop that has set none.

    Parameters
    ----------
    build : BuildRules
    takeoff : TakeoffRules
    minutes : MinutesTable
    condition_cv : float
        Coefficient of variation of vehicle condition, 0 to 1; see ``estimating.labour.condition``.
    book : PriceBook
        The packaged example book until the shop brings its own.
    terms : Terms
    """

    build: BuildRules = field(default_factory=BuildRules)
    takeoff: TakeoffRules = field(default_factory=TakeoffRules)
    minutes: MinutesTable = DEFAULT_MINUTES
    condition_cv: float = DEFAULT_CV
    book: PriceBook = field(default_factory=example_price_book)
    terms: Terms = field(default_factory=Terms)

    def __post_init__(self) -> None:
        checked_cv(self.condition_cv)
