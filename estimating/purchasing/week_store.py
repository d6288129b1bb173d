"""Everything one planning is worked out from, read from the rows in a fixed number of queries."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from estimating.buying.kinds import Kind, Measure
from estimating.buying.week import Need, Offer, PriceBreak, StockPiece, Supplier, Week
from estimating.pricing.money import rounded
from estimating.purchasing.agreed import works_of
from estimating.purchasing.demand import DemandLine, JobAhead, lines_of, needed_by
from estimating.purchasing.lines import lines_under_way
from estimating.purchasing.models import OfferRow, ReservationRow, SettledRow, SupplierRow
from estimating.purchasing.rules_store import buying_row, pairs_of, rule_of, settings_of
from estimating.quotes.store import shop_rules
from estimating.stock.kinds import MM_PER_M
from estimating.stock.models import HoldingRow, MaterialRow, MovementRow, Reason

KEEP = "keep in stock"
"""Begins the references of needs that belong to no job."""

Taken = Mapping[tuple[str, int, int], int]
"""What is reserved of each source: ("stock", holding, 0) or ("order", line, roll)."""


@dataclass(frozen=True, slots=True)
class Planning:
    """One planning's input, and the demand behind its needs by their reference."""

    week: Week
    demand: dict[str, DemandLine]

    @property
    def fingerprint(self) -> str:
        """Equal for equal input."""
        week = self.week
        rule, settings = week.rule, week.settings
        told = (
            *(week.today, week.kinds, week.needs, week.offers, week.suppliers, week.stock),
            *(sorted(rule.colours), sorted(rule.pairs), rule.is_thicker_allowed, rule.max_area_ratio),
            *(rule.must_fit_terminal, settings.currency, settings.blade_loss_m, settings.min_useful_offcut_m),
            *(sorted(settings.holidays), sorted(settings.workdays)),
        )
        return hashlib.sha256(repr(told).encode()).hexdigest()


def demand_of(jobs: Iterable[JobAhead]) -> tuple[DemandLine, ...]:
    """What these jobs still need: all that was agreed, or is drawn where nothing is, less what was given out."""
    jobs = tuple(jobs)
    settled = set(SettledRow.objects.filter(job__in=[job.ref for job in jobs]).values_list("job", flat=True))
    jobs = tuple(job for job in jobs if job.ref not in settled)
    row = buying_row()
    settings = settings_of(row, shop_rules().terms.currency)
    works = works_of(jobs)
    lines = [
        line
        for job in jobs
        if job.ref in works
        for line in lines_of(job.ref, works[job.ref], needed_by(job.starts_on, row.days_before_start, settings))
    ]
    return _less_given_out(lines, [job.ref for job in jobs])


def planning_of(jobs: Iterable[JobAhead], today: date, moved: Mapping[str, date] | None = None) -> Planning:
    """The input of a planning for these jobs.

    Parameters
    ----------
    jobs : iterable of JobAhead
    today : date
        Day the orders go out.
    moved : mapping or None
        Needs by reference whose date has been let go, with their new date.

    Returns
    -------
    Planning
    """
    jobs, moved = tuple(jobs), moved or {}
    row, currency = buying_row(), shop_rules().terms.currency
    demand = {line.ref: line for line in demand_of(jobs)}
    needs = [line.need() for line in demand.values()]
    # What should have been in yesterday can be in today at the soonest.
    needs = [replace(need, needed_by=max(moved.get(need.ref, need.needed_by), today)) for need in needs]
    kinds = {line.kind.key: line.kind for line in demand.values()}
    keeping = _keeping(today + timedelta(days=row.horizon_days))
    for kind, need in keeping:
        kinds.setdefault(kind.key, kind)
        needs.append(need)
    wanted = set(kinds) | {given for _, given in pairs_of(row.pairs)}
    taken = _reserved_elsewhere([job.ref for job in jobs])
    stock = [*_in_stock(wanted, kinds, taken), *_on_order(wanted, kinds, taken, today)]
    offers = tuple(_offers(wanted, kinds, currency))  # before the kinds are listed: an offer may bring one along
    week = Week(
        today=today,
        kinds=tuple(sorted(kinds.values(), key=lambda kind: kind.key)),
        needs=tuple(needs),
        offers=offers,
        suppliers=tuple(_supplier(row, currency) for row in SupplierRow.objects.filter(is_used=True)),
        stock=tuple(stock),
        rule=rule_of(row, kinds.values()),
        settings=settings_of(row, currency),
    )
    return Planning(week, demand)


def _less_given_out(lines: list[DemandLine], jobs: list[str]) -> tuple[DemandLine, ...]:
    cuts: dict[tuple[str, str, str], int] = {}
    given: dict[tuple[str, str], int] = defaultdict(int)
    for row in ReservationRow.objects.filter(job__in=jobs, issued_at__isnull=False):
        if row.cut:
            cuts[row.job, row.kind, row.cut] = max(row.amount, cuts.get((row.job, row.kind, row.cut), 0))
        else:
            given[row.job, row.kind] += row.amount
    by_hand = (
        MovementRow.objects.filter(job__in=jobs, reason=Reason.ISSUE)
        .exclude(key__startswith="kit ")
        .select_related("holding__material")
    )
    for movement in by_hand:
        given[movement.job, movement.holding.material.key] -= movement.amount
    left = []
    for line in lines:
        if line.cut:
            if cuts.get((line.job, line.kind.key, line.cut), 0) < line.amount:
                left.append(line)
            continue
        missing = line.amount - given.get((line.job, line.kind.key), 0)
        if missing > 0:
            left.append(replace(line, amount=missing))
    return tuple(left)


def _keeping(until: date) -> list[tuple[Kind, Need]]:
    """What the shop keeps of its consumables, after all jobs are served."""
    found = []
    for material in MaterialRow.objects.filter(low_level__gt=0):
        kind, is_parts = material.value(), material.measure is Measure.PARTS
        length_m = None if is_parts else material.low_level / MM_PER_M
        count = material.low_level if is_parts else 1
        found.append((kind, Need(f"{KEEP}: {kind.key}", kind.key, until, count, length_m)))
    return found


def _reserved_elsewhere(jobs: list[str]) -> Taken:
    taken: dict[tuple[str, int, int], int] = defaultdict(int)
    blade = buying_row().blade_loss_mm
    for row in ReservationRow.objects.filter(issued_at=None).exclude(job__in=jobs):
        amount = row.amount + (blade if row.cut else 0)
        if row.holding_id:
            taken["stock", row.holding_id, 0] += amount
        elif row.order_line_id:
            taken["order", row.order_line_id, row.roll] += amount
    return taken


def _is_wanted(material: MaterialRow, wanted: set[str]) -> bool:
    """Any wire may turn out to stand for another."""
    return material.measure is Measure.CUTS or material.key in wanted


def _piece(ref: str, material: MaterialRow, free: int, available: date | None = None) -> StockPiece:
    if material.measure is Measure.PARTS:
        return StockPiece(ref, material.key, None, free, available)
    return StockPiece(ref, material.key, free / MM_PER_M, 1, available)


def _in_stock(wanted: set[str], kinds: dict[str, Kind], taken: Taken) -> Iterable[StockPiece]:
    for holding in HoldingRow.objects.with_something():
        free = holding.level - taken.get(("stock", holding.pk, 0), 0)
        if free > 0 and _is_wanted(holding.material, wanted):
            kinds.setdefault(holding.material.key, holding.material.value())
            yield _piece(f"stock:{holding.pk}:0", holding.material, free)


def _on_order(wanted: set[str], kinds: dict[str, Kind], taken: Taken, today: date) -> Iterable[StockPiece]:
    for line in lines_under_way():
        came = line.came_packs
        if came >= line.packs or not _is_wanted(line.material, wanted):
            continue
        kinds.setdefault(line.material.key, line.material.value())
        due = max(line.arrives, today)
        if line.length_mm is None:
            rolls = {0: (line.packs - came) * line.pack}
        else:
            rolls = dict.fromkeys(range(came + 1, line.packs + 1), line.length_mm)
        for roll, amount in rolls.items():
            free = amount - taken.get(("order", line.pk, roll), 0)
            if free > 0:
                yield _piece(f"order:{line.pk}:{roll}", line.material, free, due)


def coins(amount: Decimal, currency: str) -> Decimal:
    """An amount with the currency's decimals; as it is where it is finer, for buying to refuse.

    Examples
    --------
    >>> coins(Decimal("3.000"), "EUR"), coins(Decimal("3.005"), "EUR")
    (Decimal('3.00'), Decimal('3.005'))
    """
    whole = rounded(amount, currency)
    return whole if whole == amount else amount


def _supplier(row: SupplierRow, currency: str) -> Supplier:
    free_from = row.carriage_free_from
    return Supplier(
        name=row.name,
        min_order=coins(row.min_order, currency),
        carriage=coins(row.carriage, currency),
        carriage_free_from=None if free_from is None else coins(free_from, currency),
    )


def _offers(wanted: set[str], kinds: dict[str, Kind], currency: str) -> Iterable[Offer]:
    rows = OfferRow.objects.filter(is_used=True, supplier__is_used=True).select_related("material", "supplier")
    for row in rows.prefetch_related("breaks").order_by("pk"):
        breaks = tuple(PriceBreak(each.from_packs, coins(each.price, currency)) for each in row.breaks.all())
        if not breaks or not _is_wanted(row.material, wanted):
            continue
        kinds.setdefault(row.material.key, row.material.value())
        yield Offer(
            ref=str(row.pk),
            supplier=row.supplier.name,
            kind=row.material.key,
            breaks=breaks,
            length_m=row.length_mm / MM_PER_M if row.length_mm else None,
            pack=row.pack,
            lead_days=row.lead_days,
            multiple=row.multiple,
        )
