"""What one order is worked out from: needs, stock, offers, suppliers, settings. Frozen values."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from estimating.buying.kinds import BuyingError, Kind, Measure, SubstituteRule
from estimating.pricing.money import decimals_of

MAX_LENGTH_M = 10_000.0
"""Greatest length of a roll or cut [m] that anyone means."""
MAX_COUNT = 1_000_000


def _check_length(length_m: float | None, what: str) -> None:
    if length_m is not None and not (math.isfinite(length_m) and 0.001 <= length_m <= MAX_LENGTH_M):
        raise BuyingError(f"{what}: length must be 0.001 to {MAX_LENGTH_M:g} m, got {length_m}")


def _check_count(count: int, what: str, least: int = 1) -> None:
    if not least <= count <= MAX_COUNT:
        raise BuyingError(f"{what} must be {least} to {MAX_COUNT}, got {count}")


@dataclass(frozen=True, slots=True)
class Need:
    """Something a job needs by a date.

    Parameters
    ----------
    ref : str
        Unique among the needs.
    kind : str
        Key of the kind.
    needed_by : date
        Last day on which it may arrive.
    count : int
        Pieces; of a wire, equal cuts.
    length_m : float or None
        Length of each [m]; None for parts that are counted.
    job, circuit : str
        Who asks for it.
    """

    ref: str
    kind: str
    needed_by: date
    count: int = 1
    length_m: float | None = None
    job: str = ""
    circuit: str = ""

    def __post_init__(self) -> None:
        _check_count(self.count, f"need {self.ref}: count")
        _check_length(self.length_m, f"need {self.ref}")


@dataclass(frozen=True, slots=True)
class PriceBreak:
    """Price of one pack or roll from a quantity on; it then holds for the whole line."""

    from_packs: int
    price: Decimal

    def __post_init__(self) -> None:
        _check_count(self.from_packs, "quantity of a price break")
        if not (self.price.is_finite() and self.price > 0):
            raise BuyingError(f"price from {self.from_packs} must be above 0, got {self.price}")


@dataclass(frozen=True, slots=True)
class Offer:
    """A pack or roll that a supplier sells.

    Parameters
    ----------
    ref, supplier, kind : str
        ``ref`` is unique among the offers.
    breaks : tuple of PriceBreak
        Rising in quantity, never rising in price; the first says the least that is sold.
    length_m : float or None
        Length of the roll, to be cut from [m]; None for counted parts.
    pack : int
        Pieces in a pack of counted parts; 1 for rolls.
    lead_days : int
        Working days from order to arrival.
    multiple : int
        Packs are sold in multiples of this.
    """

    ref: str
    supplier: str
    kind: str
    breaks: tuple[PriceBreak, ...]
    length_m: float | None = None
    pack: int = 1
    lead_days: int = 1
    multiple: int = 1

    def __post_init__(self) -> None:
        name = f"offer {self.ref}"
        _check_length(self.length_m, name)
        _check_count(self.pack, f"{name}: pack")
        _check_count(self.multiple, f"{name}: multiple")
        if self.length_m is not None and self.pack != 1:
            raise BuyingError(f"{name}: a roll is a pack of 1, got {self.pack}")
        if not 0 <= self.lead_days <= 1000:
            raise BuyingError(f"{name}: lead time must be 0 to 1000 working days, got {self.lead_days}")
        if not self.breaks:
            raise BuyingError(f"{name}: a price is expected, got none")
        for low, high in zip(self.breaks, self.breaks[1:], strict=False):
            if high.from_packs <= low.from_packs or high.price > low.price:
                raise BuyingError(f"{name}: breaks must rise in quantity and not in price, got {low} before {high}")

    @property
    def least_packs(self) -> int:
        """Fewest packs one can order: the first break, made up to a multiple."""
        return -(-self.breaks[0].from_packs // self.multiple) * self.multiple

    def price_at(self, packs: int) -> Decimal:
        """Price of one pack where ``packs`` are ordered.

        Examples
        --------
        >>> offer = Offer("a", "s", "k", (PriceBreak(1, Decimal(5)), PriceBreak(10, Decimal(4))))
        >>> offer.price_at(9), offer.price_at(10)
        (Decimal('5'), Decimal('4'))
        """
        return next((b.price for b in reversed(self.breaks) if b.from_packs <= packs), self.breaks[0].price)


@dataclass(frozen=True, slots=True)
class Supplier:
    """Terms of a supplier.

    Parameters
    ----------
    name : str
    min_order : Decimal
        Least value of goods of an order.
    carriage : Decimal
        Flat, for each order.
    carriage_free_from : Decimal or None
        Value of goods from which carriage is free; None = never.
    """

    name: str
    min_order: Decimal = Decimal(0)
    carriage: Decimal = Decimal(0)
    carriage_free_from: Decimal | None = None

    def __post_init__(self) -> None:
        for what in ("min_order", "carriage", "carriage_free_from"):
            value: Decimal | None = getattr(self, what)
            if value is not None and not (value.is_finite() and value >= 0):
                raise BuyingError(f"supplier {self.name}: {what} must be 0 or more, got {value}")


@dataclass(frozen=True, slots=True)
class StockPiece:
    """Something the shop has, or has on order: one roll or offcut, or a number of counted parts.

    Parameters
    ----------
    ref, kind : str
        ``ref`` is unique among the stock.
    length_m : float or None
        Free length of the roll or offcut [m]; None for counted parts.
    count : int
        Counted parts; 1 for a length.
    available : date or None
        Day it arrives where it is on order; None = here already.
    """

    ref: str
    kind: str
    length_m: float | None = None
    count: int = 1
    available: date | None = None

    def __post_init__(self) -> None:
        _check_length(self.length_m, f"stock {self.ref}")
        _check_count(self.count, f"stock {self.ref}: count")
        if self.length_m is not None and self.count != 1:
            raise BuyingError(f"stock {self.ref}: each length is entered alone, got {self.count} of them")


@dataclass(frozen=True, slots=True)
class Settings:
    """How a shop buys and cuts.

    Parameters
    ----------
    currency : str
        ISO 4217; prices are whole in its smallest coin.
    blade_loss_m : float
        Wire lost with every cut [m], 0 to 0.1.
    min_useful_offcut_m : float
        Shorter ends are scrap [m].
    time_limit_s : float
        After which the best so far is taken [s].
    holidays : frozenset of date
    workdays : frozenset of int
        Monday is 0.
    """

    currency: str = "EUR"
    blade_loss_m: float = 0.0
    min_useful_offcut_m: float = 0.5
    time_limit_s: float = 60.0
    holidays: frozenset[date] = field(default_factory=frozenset)
    workdays: frozenset[int] = frozenset(range(5))

    def __post_init__(self) -> None:
        decimals_of(self.currency)
        if not 0 <= self.blade_loss_m <= 0.1:
            raise BuyingError(f"blade loss must be 0 to 0.1 m, got {self.blade_loss_m}")
        if not self.min_useful_offcut_m >= 0:
            raise BuyingError(f"least useful offcut must be 0 m or more, got {self.min_useful_offcut_m}")
        if not self.time_limit_s > 0:
            raise BuyingError(f"time limit must be above 0 s, got {self.time_limit_s}")
        if not self.workdays or not self.workdays <= frozenset(range(7)):
            raise BuyingError(f"workdays must be days 0 (Monday) to 6, got {sorted(self.workdays)}")


@dataclass(frozen=True, slots=True)
class Week:
    """One order's worth: everything known on the day it is worked out.

    Parameters
    ----------
    today : date
        Day the orders go out.
    kinds, needs, offers, suppliers, stock : tuple
    rule : SubstituteRule
    settings : Settings

    Raises
    ------
    BuyingError
        For a reference that is used twice or leads nowhere, or a price finer than the smallest coin.
    """

    today: date
    kinds: tuple[Kind, ...]
    needs: tuple[Need, ...]
    offers: tuple[Offer, ...] = ()
    suppliers: tuple[Supplier, ...] = ()
    stock: tuple[StockPiece, ...] = ()
    rule: SubstituteRule = field(default_factory=SubstituteRule)
    settings: Settings = field(default_factory=Settings)

    def __post_init__(self) -> None:
        _unique("kind", (kind.key for kind in self.kinds))
        kinds = {kind.key: kind for kind in self.kinds}
        suppliers = _unique("supplier", (supplier.name for supplier in self.suppliers))
        _unique("need", (need.ref for need in self.needs))
        _unique("offer", (offer.ref for offer in self.offers))
        _unique("stock", (piece.ref for piece in self.stock))
        for what, things in (("need", self.needs), ("offer", self.offers), ("stock", self.stock)):
            for thing in things:
                if thing.kind not in kinds:
                    raise BuyingError(f"{what} {thing.ref}: kind {thing.kind!r} is not among the kinds")
                if (thing.length_m is None) != (kinds[thing.kind].measure is Measure.PARTS):
                    measure = kinds[thing.kind].measure
                    raise BuyingError(
                        f"{what} {thing.ref}: {thing.kind} is measured in {measure}, got {thing.length_m}"
                    )
        for offer in self.offers:
            if offer.supplier not in suppliers:
                raise BuyingError(f"offer {offer.ref}: supplier {offer.supplier!r} is not among the suppliers")
        self._check_coins()

    def _check_coins(self) -> None:
        coin = Decimal(1).scaleb(-decimals_of(self.settings.currency))
        prices = [(f"offer {o.ref}", b.price) for o in self.offers for b in o.breaks]
        for supplier in self.suppliers:
            name = f"supplier {supplier.name}"
            free = supplier.carriage_free_from
            prices += [(name, supplier.carriage), (name, supplier.min_order), (name, free or Decimal(0))]
        for name, price in prices:
            if price % coin:
                raise BuyingError(f"{name}: amounts are whole in {coin} {self.settings.currency}, got {price}")


def _unique(what: str, names: Iterable[str]) -> frozenset[str]:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise BuyingError(f"{what} {name!r} is there twice")
        seen.add(name)
    return frozenset(seen)
