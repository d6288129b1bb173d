"""The letterhead as papers want it. ``LOOMWRIGHT_LETTERHEAD`` names ``letterhead`` to the floors below."""

from __future__ import annotations

from estimating.quotes.papers import Letterhead
from shop.people.models import ShopRow


def letterhead() -> Letterhead:
    """The shop as it is stored; blank where nothing is. One query."""
    row = ShopRow.objects.first()
    if row is None:
        return Letterhead()
    return Letterhead(
        name=row.name,
        address=row.address,
        phone=row.phone,
        email=row.email,
        web=row.web,
        tax_number=row.tax_number,
        logo_png=bytes(row.logo_png) if row.logo_png else None,
    )
