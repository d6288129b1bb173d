"""Suppliers, offers and some stock of the demo shop. All invented."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from decimal import Decimal

from estimating.buying.kinds import Measure
from estimating.buying.week import PriceBreak
from estimating.pricing.book import PriceBook
from estimating.pricing.money import rounded
from estimating.purchasing.demand import JobAhead
from estimating.purchasing.kits import settle
from estimating.purchasing.models import BuyingRow, OfferRow, SupplierRow
from estimating.purchasing.offers import save_offer
from estimating.purchasing.rules_store import ONLY_ROW
from estimating.purchasing.week_store import demand_of
from estimating.quotes.store import shop_rules
from estimating.stock.kinds import MM_PER_M
from estimating.stock.models import MaterialRow
from estimating.stock.services import Act, keep, material_named, take_in
from shop.jobs.models import Job

ROLLS_M = {"long": 100, "short": 25}
CONSUMABLES = ("tape", "label", "heat-shrink")
BINS = {"wire": "W1", "fuse": "A1", "terminal": "A2", "heat-shrink": "A3", "covering": "B1", "tape": "B2", "clip": "B3"}
USUAL_COST = Decimal("1.00")


def stock_the_demo(jobs: Iterable[JobAhead], *, by: str, at: datetime) -> None:
    """Suppliers that sell what these jobs need, and a few rolls that lie about.

    Parameters
    ----------
    jobs : iterable of JobAhead
    by : str
    at : datetime
    """
    BuyingRow.objects.create(pk=ONLY_ROW, horizon_days=21, blade_loss_mm=2, min_offcut_mm=300, time_limit_s=10)
    wholesale = SupplierRow.objects.create(
        name="Plumtree Cable Wholesale",
        address="Unit 9, Invented Estate\nSampleton",
        email="orders@plumtree.example",
        min_order=Decimal(40),
        carriage=Decimal("9.50"),
        carriage_free_from=Decimal(150),
    )
    counter = SupplierRow.objects.create(
        name="Sampleton Trade Counter", address="1 Made-up Street\nSampleton", carriage=Decimal("4.00")
    )
    rules = shop_rules()
    lines = {line.kind.key: line for line in demand_of(jobs)}
    for number, line in enumerate(lines.values()):
        material = material_named(line.part_kind, line.spec, int(line.kind.insulation_c or 0))
        cost = _cost(material, rules.book)
        _offers(material, cost, wholesale, counter, rules.terms.currency)
        kept = material.kind in CONSUMABLES
        low_level = 0 if not kept else 5 * MM_PER_M if material.is_length else 50
        keep(material=material, bin_name=BINS.get(material.kind, "C1"), low_level=low_level)
        material.refresh_from_db()
        if line.kind.measure is Measure.CUTS and number % 3 == 0:
            take_in(material=material, amount=(3 + number % 5) * MM_PER_M, act=Act(by, at, note="opening stock"))


def settle_begun_jobs(*, by: str, at: datetime) -> None:
    """Jobs that had begun before the demo's stock was kept have their material already."""
    for number in Job.objects.filter(starts_on__lt=at.date()).values_list("number", flat=True):
        settle(job=number, by=by, at=at)


def _cost(material: MaterialRow, book: PriceBook) -> Decimal:
    item = book.find(material.kind, material.spec)
    return item.cost if item else USUAL_COST


def _offers(material: MaterialRow, cost: Decimal, wholesale: SupplierRow, counter: SupplierRow, currency: str) -> None:
    """A large pack from afar with a break, a small one from round the corner."""
    for supplier, size, lead_days, dearer in ((wholesale, 100, 3, Decimal(1)), (counter, 10, 1, Decimal("1.2"))):
        metres = size if supplier is counter else ROLLS_M["long" if cost < 1 else "short"]
        length_mm = metres * MM_PER_M if material.is_length else None
        pack = 1 if length_mm or cost > 2 else size // 2
        price = rounded(cost * dearer * (metres if length_mm else pack), currency)
        breaks = [PriceBreak(1, price)]
        if supplier is wholesale:
            breaks.append(PriceBreak(5, rounded(price * Decimal("0.92"), currency)))
        offer = OfferRow(supplier=supplier, lead_days=lead_days, part_number=f"{supplier.name[0]}{material.pk:04d}")
        save_offer(offer=offer, material=material, length_mm=length_mm, pack=pack, breaks=tuple(breaks))
