"""What the page of a run shows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimating.buying.purchase import CutPiece, OrderLine, PurchasePlan, SupplierOrder, Unmet
from estimating.purchasing.models import OfferRow, RunRow
from estimating.purchasing.record import read_plan
from estimating.stock.kinds import natural

CURES = 2
"""How many cures of an unmet need are shown."""


@dataclass(frozen=True, slots=True)
class LineShown:
    """One line of a planned order; ``pack`` says what one pack is."""

    line: OrderLine
    pack: str
    part_number: str


@dataclass(frozen=True, slots=True)
class OrderShown:
    """One planned order."""

    order: SupplierOrder
    lines: tuple[LineShown, ...]


@dataclass(frozen=True, slots=True)
class UnmetShown:
    """What nothing can meet, why, and the least that would cure it."""

    need: str
    reason: str
    cures: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RunPage:
    """A finished run.

    Parameters
    ----------
    plan : PurchasePlan
    orders : tuple of OrderShown
    gap_percent : Decimal
    scrap_m, cut_m : float
        Metres that are left too short to use, and metres cut.
    moved : tuple of (str, date)
        Needs that come late, by their own words.
    unmet : tuple of UnmetShown
    """

    plan: PurchasePlan
    orders: tuple[OrderShown, ...]
    gap_percent: Decimal
    scrap_m: float
    cut_m: float
    moved: tuple[tuple[str, date], ...]
    unmet: tuple[UnmetShown, ...]

    @property
    def unmet_jobs(self) -> tuple[str, ...]:
        """Jobs that are short of something."""
        return tuple(dict.fromkeys(each.need.partition(":")[0] for each in self.unmet))


def run_page(run: RunRow) -> RunPage | None:
    """What a run found; None where it found nothing. One query."""
    if run.result is None:
        return None
    plan = read_plan(run.result["plan"])
    keys = [int(line.offer) for order in plan.orders for line in order.lines]
    offers = OfferRow.objects.in_bulk(keys)
    moved = run.result.get("moved", {})
    return RunPage(
        plan=plan,
        orders=tuple(_order(order, offers) for order in plan.orders),
        gap_percent=Decimal(repr(round(plan.gap * 100, 2))),
        scrap_m=sum(piece.left_m for piece in plan.pieces if piece.is_scrap),
        cut_m=sum(_cut_m(piece) for piece in plan.pieces),
        moved=tuple((ref, date.fromisoformat(day)) for ref, day in sorted(moved.items())),
        unmet=tuple(_unmet(each) for each in plan.unmet),
    )


def _unmet(unmet: Unmet) -> UnmetShown:
    """The same thing later comes before something else in its place."""
    first = sorted(unmet.remedies, key=lambda remedy: bool(remedy.kind))[:CURES]
    return UnmetShown(unmet.need, unmet.reason, tuple(remedy.text for remedy in first))


def _cut_m(piece: CutPiece) -> float:
    return sum(cut.length_m for cut in piece.cuts)


def _order(order: SupplierOrder, offers: dict[int, OfferRow]) -> OrderShown:
    return OrderShown(
        order,
        tuple(
            _line(line, offers.get(int(line.offer)))
            for line in sorted(order.lines, key=lambda line: natural(line.kind))
        ),
    )


def _line(line: OrderLine, offer: OfferRow | None) -> LineShown:
    return LineShown(line, offer.pack_words if offer else "", offer.part_number if offer else "")
