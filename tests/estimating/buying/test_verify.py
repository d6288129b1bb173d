"""The verifier finds every way in which a plan can be wrong."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from estimating.buying.example import example_week
from estimating.buying.kinds import Kind, Measure
from estimating.buying.purchase import CutPiece, PurchasePlan, Share
from estimating.buying.solve import plan_purchases
from estimating.buying.verify import WrongPlanError, verify
from estimating.buying.week import Week

WEEK = example_week()
PLAN = plan_purchases(WEEK)


def with_order(**changes) -> PurchasePlan:
    return replace(PLAN, orders=(replace(PLAN.orders[0], **changes),))


def with_line(at: int, **changes) -> PurchasePlan:
    lines = list(PLAN.orders[0].lines)
    lines[at] = replace(lines[at], **changes)
    return with_order(lines=tuple(lines))


def with_piece(at: int, **changes) -> PurchasePlan:
    pieces = list(PLAN.pieces)
    pieces[at] = replace(pieces[at], **changes)
    return replace(PLAN, pieces=tuple(pieces))


def with_share(**changes) -> PurchasePlan:
    return replace(PLAN, shares=(replace(PLAN.shares[0], **changes),))


FIRST, SECOND = PLAN.pieces
LINE = PLAN.orders[0].lines[0]
WRONG = {
    "a cut left out": (with_piece(0, cuts=FIRST.cuts[1:]), "need cut 2: 0 for 1"),
    "a cut taken twice": (with_piece(0, cuts=(*FIRST.cuts, SECOND.cuts[-1])), "taken 2 times"),
    "a roll over-cut": (with_piece(0, cuts=(*FIRST.cuts, *SECOND.cuts)), "m cut from 8.0 m"),
    "a cut of another length": (
        with_piece(0, cuts=(replace(FIRST.cuts[0], length_m=4.4), FIRST.cuts[1])),
        "not asked for",
    ),
    "more left than there is": (with_piece(0, left_m=1.0), "1.0 m left of 8.0 m"),
    "a longer roll": (with_piece(0, length_m=9.0), "9.0 m long, 8.0 m expected"),
    "a roll that is not ordered": (with_piece(1, number=2), "neither in stock nor ordered"),
    "an offcut that is not there": (with_piece(0, source="offcut 8"), "neither in stock nor ordered"),
    "an offcut used twice": (replace(PLAN, pieces=(*PLAN.pieces, FIRST)), "offcut 7 0: 2 times"),
    "a need of nobody": (replace(PLAN, shares=(*PLAN.shares, Share("x", "north relay", 1))), "need x: not a need"),
    "too few parts": (with_share(count=5), "need relays: 5 for 6"),
    "parts from nowhere": (with_share(source="bin 9"), "bin 9: neither stock nor offer"),
    "more drawn than ordered": (with_line(1, packs=5, net=Decimal("19.00")), "6 drawn, 5 there"),
    "another price": (with_line(1, price=Decimal("3.70"), net=Decimal("22.20")), "6 × 3.80 expected"),
    "a line that is no product": (with_line(1, net=Decimal("22.81")), "22.81 at 3.80"),
    "another kind": (with_line(0, kind="relay"), "not an offer of relay by North"),
    "another supplier's offer": (with_line(0, offer="south 25 m"), "not an offer of wire 14 AWG RD by North"),
    "a date too soon": (with_line(0, arrives=WEEK.today), "2026-03-03 expected"),
    "goods that are no sum": (with_order(goods=Decimal("32.00")), "its lines make 32.30"),
    "carriage left out": (with_order(carriage=Decimal(0)), "carriage is 0, 6.00 expected"),
    "a total that is no sum": (with_order(total=Decimal("32.30")), "38.30 expected"),
    "a stranger": (with_order(supplier="East"), "East: not a supplier"),
    "an empty order": (with_order(lines=()), "an order without lines"),
    "two orders at once": (replace(PLAN, orders=PLAN.orders * 2), "North: 2 orders"),
    "an offer on two lines": (with_order(lines=(*PLAN.orders[0].lines, LINE)), "offer north 10 m: 2 lines"),
    "goods of the plan": (replace(PLAN, goods=Decimal(1)), "goods are 1"),
    "carriage of the plan": (replace(PLAN, carriage=Decimal(1)), "carriage is 1"),
    "cost of the plan": (replace(PLAN, cost=Decimal(40)), "cost is 40"),
    "a bound above the cost": (replace(PLAN, lower_bound=Decimal(40)), "above the cost"),
    "a false proof": (replace(PLAN, lower_bound=Decimal(30)), "proven is True"),
    "a false gap": (replace(PLAN, gap=0.5), "gap is 0.5"),
}


@pytest.mark.parametrize(("plan", "fault"), WRONG.values(), ids=WRONG)
def test_every_fault_is_found(plan, fault):
    with pytest.raises(WrongPlanError) as caught:
        verify(WEEK, plan)
    assert any(fault in one for one in caught.value.faults), caught.value.faults


def test_a_right_plan_passes():
    verify(WEEK, PLAN)


def test_all_faults_are_named_at_once():
    with pytest.raises(WrongPlanError) as caught:
        verify(WEEK, replace(PLAN, goods=Decimal(1), carriage=Decimal(1)))
    assert len(caught.value.faults) >= 2


def test_what_arrives_too_late_is_found():
    needs = tuple(replace(need, needed_by=WEEK.today) for need in WEEK.needs)
    with pytest.raises(WrongPlanError, match="north relay arrives 2026-03-03, after 2026-03-02"):
        verify(replace(WEEK, needs=needs), PLAN)


def test_a_least_order_that_is_missed_is_found():
    suppliers = tuple(replace(supplier, min_order=Decimal(50)) for supplier in WEEK.suppliers)
    with pytest.raises(WrongPlanError, match="below the least order of 50"):
        verify(replace(WEEK, suppliers=suppliers), PLAN)


def test_an_order_that_is_no_multiple_is_found():
    offers = tuple(replace(offer, multiple=4) for offer in WEEK.offers)
    with pytest.raises(WrongPlanError, match="6 packs cannot be ordered"):
        verify(replace(WEEK, offers=offers), PLAN)


def test_the_blade_is_counted():
    settings = replace(WEEK.settings, blade_loss_m=0.002)
    with pytest.raises(WrongPlanError, match=r"8\.004 m cut from 8\.0 m"):
        verify(replace(WEEK, settings=settings), PLAN)


@pytest.mark.parametrize(
    ("change", "may_stand"),
    [
        ({}, False),
        ({"colour": "RD"}, True),
        ({"colour": "RD", "area_mm2": 1.5}, False),
        ({"colour": "RD", "insulation_c": 90}, False),
    ],
)
def test_what_may_not_stand_in_is_found(change, may_stand):
    other = replace(Kind("other", Measure.CUTS, 2.08, 125, "BU"), **change)
    wanted = WEEK.needs[0].kind
    week: Week = replace(
        WEEK,
        kinds=(*WEEK.kinds, other),
        stock=(replace(WEEK.stock[0], kind="other"),),
    )
    piece: CutPiece = replace(FIRST, kind="other")
    plan = replace(PLAN, pieces=(piece, SECOND))
    if may_stand:
        verify(week, plan)
        return
    with pytest.raises(WrongPlanError, match=f"other may not stand for {wanted}"):
        verify(week, plan)


def test_the_day_counts_to_the_last():
    late = tuple(replace(need, needed_by=WEEK.today + timedelta(days=1)) for need in WEEK.needs)
    verify(replace(WEEK, needs=late), PLAN)
