"""Checks a plan against its week from scratch. Shares no code with the search: only the values."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

from estimating.buying.kinds import BuyingError, Kind, Measure
from estimating.buying.purchase import CutPiece, PurchasePlan, Share
from estimating.buying.verify_orders import expected_arrival, order_faults
from estimating.buying.week import Need, Week

GRAIN_M = Decimal("1e-9")
"""Lengths are compared to a nanometre: what lies below is the tail of a binary fraction."""


class WrongPlanError(BuyingError):
    """A plan that breaks its week. ``faults`` are all that were found."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        self.faults = faults
        super().__init__("\n".join(faults))


def verify(week: Week, plan: PurchasePlan) -> None:
    """Checks every cut, roll, pack, price, date and sum.

    Parameters
    ----------
    week : Week
    plan : PurchasePlan

    Raises
    ------
    WrongPlanError
        With every fault found.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from estimating.buying.example import example_week
    >>> from estimating.buying.solve import plan_purchases
    >>> plan = plan_purchases(example_week())
    >>> verify(example_week(), plan)
    >>> verify(example_week(), replace(plan, carriage=plan.carriage - 1))
    Traceback (most recent call last):
    estimating.buying.verify.WrongPlanError: carriage is 5.00, the orders make 6.00
    """
    faults = tuple(_faults(week, plan))
    if faults:
        raise WrongPlanError(faults)


def _faults(week: Week, plan: PurchasePlan) -> Iterator[str]:
    yield from order_faults(week, plan)
    checked = _Books(week, plan)
    yield from checked.coverage()
    yield from checked.pieces()
    yield from checked.draws()
    yield from checked.bounds()


def _amount(share: Share) -> Decimal:
    """Parts or metres; one of the two is 0."""
    return Decimal(share.count) + Decimal(repr(share.length_m)) if share.length_m else Decimal(share.count)


class _Books:
    """A week and a plan, looked up by name."""

    def __init__(self, week: Week, plan: PurchasePlan) -> None:
        self.week, self.plan = week, plan
        self.kinds = {kind.key: kind for kind in week.kinds}
        self.needs = {need.ref: need for need in week.needs}
        self.offers = {offer.ref: offer for offer in week.offers}
        self.stock = {piece.ref: piece for piece in week.stock}
        self.packs = Counter({line.offer: line.packs for order in plan.orders for line in order.lines})

    def coverage(self) -> Iterator[str]:
        """Every cut once, every part and metre, what is unmet apart."""
        cuts = Counter((cut.need, cut.number) for piece in self.plan.pieces for cut in piece.cuts)
        yield from (f"need {ref}, cut {number}: taken {n} times" for (ref, number), n in cuts.items() if n > 1)
        got: dict[str, Decimal] = {}
        for ref, _ in cuts:
            got[ref] = got.get(ref, Decimal(0)) + 1
        for share in self.plan.shares:
            amount = _amount(share)
            got[share.need] = got.get(share.need, Decimal(0)) + amount
        for ref in sorted(got.keys() - self.needs.keys()):
            yield f"need {ref}: not a need of this week"
        for one in self.plan.unmet:
            measure = self._measure(one.kind)
            missed = Decimal(repr(one.length_m)) if measure is Measure.METRES else Decimal(one.count)
            got[one.need] = got.get(one.need, Decimal(0)) + missed
        for need in self.week.needs:
            yield from self._covered(need, got.get(need.ref, Decimal(0)))

    def _covered(self, need: Need, got: Decimal) -> Iterator[str]:
        if self._measure(need.kind) is Measure.METRES:
            assert need.length_m is not None
            # Metres are planned in whole millimetres, rounded up.
            wanted = Decimal(repr(need.length_m)) * need.count
            if not wanted - GRAIN_M <= got <= wanted + Decimal("0.001") * need.count:
                yield f"need {need.ref}: {got} m for {wanted} m"
        elif got != need.count:
            yield f"need {need.ref}: {got} for {need.count}"

    def pieces(self) -> Iterator[str]:
        """No piece twice, none longer than it is, none over-cut; each fit for what is cut from it."""
        seen = Counter((piece.source, piece.number) for piece in self.plan.pieces)
        yield from (f"{source} {number}: {n} times" for (source, number), n in seen.items() if n > 1)
        for piece in self.plan.pieces:
            found = self._length_of(piece)
            if found is None:
                yield f"{piece.source} {piece.number}: neither in stock nor ordered"
            elif abs(found - Decimal(repr(piece.length_m))) >= Decimal("0.001"):
                yield f"{piece.source} {piece.number}: {piece.length_m} m long, {found} m expected"
            else:
                yield from self._cut_up(piece, found)

    def _length_of(self, piece: CutPiece) -> Decimal | None:
        if piece.number:
            offer = self.offers.get(piece.source)
            known = offer is not None and 1 <= piece.number <= self.packs[piece.source]
            length_m = offer.length_m if offer is not None and known else None
        else:
            length_m = self.stock[piece.source].length_m if piece.source in self.stock else None
        return None if length_m is None else Decimal(repr(length_m))

    def _cut_up(self, piece: CutPiece, length_m: Decimal) -> Iterator[str]:
        blade = Decimal(repr(self.week.settings.blade_loss_m))
        used = sum((Decimal(repr(cut.length_m)) + blade for cut in piece.cuts), Decimal(0))
        if used > length_m + GRAIN_M:
            yield f"{piece.source} {piece.number}: {used} m cut from {length_m} m"
        left = Decimal(repr(piece.left_m))
        if left < 0 or left > length_m - used + GRAIN_M:
            yield f"{piece.source} {piece.number}: {left} m left of {length_m} m less {used} m"
        for cut in piece.cuts:
            need = self.needs.get(cut.need)
            if need is None:
                continue
            if cut.length_m != need.length_m or not 1 <= cut.number <= need.count:
                yield f"need {cut.need}, cut {cut.number}: {cut.length_m} m is not asked for"
            yield from self._fit(need, piece.source, is_stock=not piece.number)

    def draws(self) -> Iterator[str]:
        """No source gives more parts or metres than it has; each is fit for its need."""
        drawn: dict[str, Decimal] = {}
        for share in self.plan.shares:
            amount = _amount(share)
            drawn[share.source] = drawn.get(share.source, Decimal(0)) + amount
            if share.need in self.needs:
                yield from self._fit(self.needs[share.need], share.source, is_stock=share.source in self.stock)
        for source, amount in drawn.items():
            if source in self.stock:
                piece = self.stock[source]
                has = Decimal(piece.count) if piece.length_m is None else Decimal(repr(piece.length_m))
            elif source in self.offers:
                offer = self.offers[source]
                each = Decimal(offer.pack) if offer.length_m is None else Decimal(repr(offer.length_m))
                has = each * self.packs[source]
            else:
                yield f"{source}: neither stock nor offer"
                continue
            if amount > has + GRAIN_M:
                yield f"{source}: {amount} drawn, {has} there"

    def _fit(self, need: Need, source: str, *, is_stock: bool) -> Iterator[str]:
        if source not in (self.stock if is_stock else self.offers):
            return
        thing = self.stock[source] if is_stock else self.offers[source]
        if is_stock:
            arrives = self.stock[source].available or self.week.today
        else:
            arrives = expected_arrival(self.week, self.offers[source].lead_days)
        if arrives > need.needed_by:
            yield f"need {need.ref}: {source} arrives {arrives}, after {need.needed_by}"
        if not self._stands_for(self.kinds[thing.kind], self.kinds[need.kind]):
            yield f"need {need.ref}: {thing.kind} may not stand for {need.kind}"

    def _stands_for(self, given: Kind, wanted: Kind) -> bool:
        if given == wanted:
            return True
        rule = self.week.rule
        is_listed = (wanted.key, given.key) in rule.pairs
        if given.measure is not wanted.measure or wanted.area_mm2 is None or given.area_mm2 is None:
            return is_listed and given.measure is wanted.measure and given.area_mm2 is wanted.area_mm2 is None
        if given.area_mm2 < wanted.area_mm2 or (given.insulation_c or 0) < (wanted.insulation_c or 0):
            return False
        same_colour = given.colour == wanted.colour or (wanted.colour, given.colour) in rule.colours
        is_thicker = given.area_mm2 > wanted.area_mm2
        may_be = not is_thicker or (rule.is_thicker_allowed and given.area_mm2 <= wanted.area_mm2 * rule.max_area_ratio)
        return is_listed or (same_colour and may_be)

    def bounds(self) -> Iterator[str]:
        """Lower bound, gap and proof agree with the cost."""
        plan = self.plan
        if plan.lower_bound > plan.cost:
            yield f"lower bound of {plan.lower_bound} is above the cost of {plan.cost}"
        if plan.is_proven != (plan.lower_bound == plan.cost):
            yield f"proven is {plan.is_proven}, bound {plan.lower_bound}, cost {plan.cost}"
        gap = float((plan.cost - plan.lower_bound) / plan.cost) if plan.cost else 0.0
        if abs(gap - plan.gap) > 1e-9:
            yield f"gap is {plan.gap}, {gap} expected"

    def _measure(self, kind: str) -> Measure | None:
        return self.kinds[kind].measure if kind in self.kinds else None
