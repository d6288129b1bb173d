"""Suppliers' offers: price breaks as text, and how an offer is stored."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from django.db import transaction

from estimating.buying.week import PriceBreak
from estimating.pricing.money import rounded
from estimating.purchasing.models import BreakRow, OfferRow
from estimating.stock.models import MaterialRow


@dataclass(frozen=True, slots=True)
class BreakText:
    """Price breaks as people type them.

    Examples
    --------
    >>> BreakText("EUR").read("1: 9.50, 10: 8.90")
    (PriceBreak(from_packs=1, price=Decimal('9.50')), PriceBreak(from_packs=10, price=Decimal('8.90')))
    >>> BreakText("EUR").read("4.2")
    (PriceBreak(from_packs=1, price=Decimal('4.20')),)
    """

    currency: str

    def read(self, text: str) -> tuple[PriceBreak, ...]:
        """The breaks.

        Raises
        ------
        ValueError
            For what is no price, or finer than the smallest coin.
        """
        return tuple(self._one(each) for each in text.replace("\n", ",").split(",") if each.strip())

    def _one(self, text: str) -> PriceBreak:
        left, sign, right = text.partition(":")
        count, price = (left.strip(), right.strip()) if sign else ("1", left.strip())
        try:
            amount = Decimal(price)
            packs = int(count)
        except (InvalidOperation, ValueError):
            raise ValueError(f"{text.strip()!r}: a price such as 9.50, or 10: 8.90, is expected") from None
        if not amount.is_finite() or abs(amount) >= 10**9 or amount != rounded(amount, self.currency):
            raise ValueError(f"{price}: whole in the smallest coin of {self.currency} is expected")
        return PriceBreak(packs, rounded(amount, self.currency))

    def write(self, breaks: list[BreakRow]) -> str:
        """The breaks as text that ``read`` takes."""
        prices = [(each.from_packs, rounded(each.price, self.currency)) for each in breaks]
        if len(prices) == 1 and prices[0][0] == 1:
            return str(prices[0][1])
        return ", ".join(f"{packs}: {price}" for packs, price in prices)


@transaction.atomic
def save_offer(
    *, offer: OfferRow, material: MaterialRow, length_mm: int | None, pack: int, breaks: tuple[PriceBreak, ...]
) -> OfferRow:
    """Stores an offer with its price breaks in the place of those it had.

    Parameters
    ----------
    offer : OfferRow
        With supplier, their number, multiple and lead time.
    material : MaterialRow
    length_mm : int or None
        Of a roll.
    pack : int
    breaks : tuple of PriceBreak
    """
    offer.material, offer.length_mm, offer.pack = material, length_mm, pack
    offer.full_clean()
    offer.save()
    offer.breaks.all().delete()
    BreakRow.objects.bulk_create(BreakRow(offer=offer, from_packs=each.from_packs, price=each.price) for each in breaks)
    return offer
