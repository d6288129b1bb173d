"""What quantities cost, exactly, in the smallest coin; and how an offer's price steps."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimating.buying.reach import Reach
from estimating.buying.week import Supplier
from estimating.pricing.money import decimals_of


@dataclass(frozen=True, slots=True)
class Tier:
    """One price of an offer: for ``low`` to ``high`` packs, in multiples; ``high`` None = without end."""

    low: int
    high: int | None
    price: int


@dataclass(frozen=True, slots=True)
class PricedSource:
    """An offer in coins: source, supplier by number, multiple, tiers."""

    source: int
    supplier: int
    multiple: int
    tiers: tuple[Tier, ...]

    @property
    def least(self) -> int:
        """Fewest packs that can be ordered."""
        return self.tiers[0].low

    def orderable(self, packs: int) -> int:
        """Least number that can be ordered and is at least ``packs``; 0 for none."""
        return max(self.least, -(-packs // self.multiple) * self.multiple) if packs > 0 else 0

    def goods(self, packs: int) -> int:
        """Value of ``packs``, an orderable number."""
        tier = next((tier for tier in reversed(self.tiers) if tier.low <= packs), self.tiers[0])
        return packs * tier.price


@dataclass(frozen=True, slots=True)
class Terms:
    """A supplier's terms in coins."""

    min_order: int
    carriage: int
    free_from: int | None

    def carriage_on(self, goods: int) -> int:
        """Carriage of an order of this value."""
        return 0 if self.free_from is not None and goods >= self.free_from else self.carriage


@dataclass(frozen=True, slots=True)
class Prices:
    """Every price of a week in coins."""

    offers: dict[int, PricedSource]
    terms: tuple[Terms, ...]
    coin: Decimal

    def goods_of(self, bought: dict[int, int]) -> dict[int, int]:
        """Value of goods for each supplier that is ordered from."""
        goods: dict[int, int] = {}
        for source, packs in bought.items():
            if packs:
                offer = self.offers[source]
                goods[offer.supplier] = goods.get(offer.supplier, 0) + offer.goods(packs)
        return goods

    def cost(self, bought: dict[int, int]) -> int:
        """Goods and carriage of a purchase (source: packs)."""
        return sum(value + self.terms[s].carriage_on(value) for s, value in self.goods_of(bought).items())

    def is_orderable(self, bought: dict[int, int]) -> bool:
        """Whether every supplier's least order is reached."""
        return all(value >= self.terms[s].min_order for s, value in self.goods_of(bought).items())

    def money(self, coins: int) -> Decimal:
        """Coins as an amount.

        Examples
        --------
        >>> Prices({}, (), Decimal("0.01")).money(1234)
        Decimal('12.34')
        """
        return coins * self.coin


def prices_of(reach: Reach) -> Prices:
    """The prices of a week.

    Examples
    --------
    >>> from estimating.buying.example import example_week
    >>> from estimating.buying.reach import reach_of
    >>> prices_of(reach_of(example_week())).cost({2: 6})
    2880
    """
    coin = Decimal(1).scaleb(-decimals_of(reach.week.settings.currency))
    suppliers = {supplier.name: number for number, supplier in enumerate(_suppliers(reach))}
    offers = {}
    for number, source in enumerate(reach.sources):
        if source.offer is not None:
            offer = source.offer
            offers[number] = PricedSource(
                number, suppliers[offer.supplier], offer.multiple, _tiers(reach, number, coin)
            )
    terms = tuple(
        Terms(
            int(supplier.min_order / coin),
            int(supplier.carriage / coin),
            None if supplier.carriage_free_from is None else int(supplier.carriage_free_from / coin),
        )
        for supplier in _suppliers(reach)
    )
    return Prices(offers, terms, coin)


def supplier_names(reach: Reach) -> tuple[str, ...]:
    """Suppliers in the order they are numbered.

    Examples
    --------
    >>> from estimating.buying.example import example_week
    >>> from estimating.buying.reach import reach_of
    >>> supplier_names(reach_of(example_week()))
    ('North', 'South')
    """
    return tuple(supplier.name for supplier in _suppliers(reach))


def _suppliers(reach: Reach) -> list[Supplier]:
    return sorted(reach.week.suppliers, key=lambda supplier: supplier.name)


def _tiers(reach: Reach, number: int, coin: Decimal) -> tuple[Tier, ...]:
    offer = reach.sources[number].offer
    assert offer is not None
    lows = [-(-b.from_packs // offer.multiple) * offer.multiple for b in offer.breaks]
    tiers = []
    for at, (low, price_break) in enumerate(zip(lows, offer.breaks, strict=True)):
        after = lows[at + 1] if at + 1 < len(lows) else None
        if after is None or low < after:
            high = None if after is None else after - offer.multiple
            tiers.append(Tier(low, high, int(price_break.price / coin)))
    return tuple(tiers)
