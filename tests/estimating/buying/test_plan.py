"""The plan as a whole: the least cost, by trying everything; properties over invented weeks."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimating.buying.baseline import plan_by_hand
from estimating.buying.kinds import Kind, Measure
from estimating.buying.purchase import PurchasePlan
from estimating.buying.solve import plan_purchases
from estimating.buying.verify import verify
from estimating.buying.watch import Progress, Watch
from estimating.buying.week import Need, Offer, Settings, StockPiece, Supplier, Week
from tests.estimating.buying.cast import MONDAY, NEXT_MONDAY, RED, SHOP, checked_plan, least_cost, price
from tests.estimating.buying.weeks import Made, made_week

RELAY = Kind("relay")
CENTS = st.integers(1, 3000).map(lambda cents: Decimal(cents) / 100)


@st.composite
def breaks(draw):
    first = draw(CENTS)
    steps = [(draw(st.sampled_from((1, 1, 2))), first)]
    if draw(st.booleans()):
        steps.append((draw(st.integers(3, 4)), draw(st.integers(1, int(first * 100)).map(lambda c: Decimal(c) / 100))))
    return price(*((quantity, str(amount)) for quantity, amount in steps))


@st.composite
def suppliers(draw, name):
    return Supplier(
        name,
        min_order=draw(st.sampled_from((0, 0, 10, 30)).map(Decimal)),
        carriage=draw(st.sampled_from((0, 5, 12)).map(Decimal)),
        carriage_free_from=draw(st.sampled_from((None, 20, 40)).map(lambda v: None if v is None else Decimal(v))),
    )


@st.composite
def tiny_weeks(draw):
    """One wire and one part, at most five cuts, three offers: small enough to try everything."""
    due = st.integers(3, 6).map(lambda days: MONDAY + timedelta(days=days))
    cuts = [
        Need(f"cut {n}", RED.key, draw(due), 1, draw(st.integers(5, 40)) / 10) for n in range(draw(st.integers(1, 5)))
    ]
    parts = [Need("relays", "relay", draw(due), draw(st.integers(1, 4)))] if draw(st.booleans()) else []
    # The first roll can always serve everything in time, so that something is feasible.
    offers = [
        Offer("a", "x", RED.key, draw(breaks()), 4.1),
        Offer(
            "b", "y", RED.key, draw(breaks()), draw(st.sampled_from((2.5, 6.0, 8.0))), lead_days=draw(st.integers(1, 5))
        ),
    ]
    if parts:
        offers.append(Offer("c", draw(st.sampled_from("xy")), "relay", draw(breaks()), pack=draw(st.integers(1, 3))))
    stock = [StockPiece("s", RED.key, draw(st.integers(5, 60)) / 10)] if draw(st.booleans()) else []
    return Week(
        MONDAY,
        (RED, RELAY),
        (*cuts, *parts),
        tuple(offers),
        (draw(suppliers("x")), draw(suppliers("y"))),
        tuple(stock),
        settings=Settings(blade_loss_m=draw(st.sampled_from((0.0, 0.05)))),
    )


@settings(deadline=None, max_examples=60)
@given(tiny_weeks())
def test_no_purchase_is_cheaper_than_the_plan(week):
    plan = checked_plan(week)
    assert plan.is_proven
    assert not plan.unmet
    tried = least_cost(week, most_packs=6)
    assert tried is None or plan.cost <= tried
    if all(line.packs <= 6 for order in plan.orders for line in order.lines):
        assert plan.cost == tried


@st.composite
def made(draw):
    """Weeks of a few jobs with everything that a week can have."""
    return made_week(
        draw(st.integers(0, 10_000)),
        Made(
            jobs=draw(st.integers(1, 5)),
            cuts=draw(st.integers(5, 60)),
            kinds=draw(st.integers(1, 5)),
            suppliers=draw(st.integers(1, 3)),
            parts=draw(st.integers(0, 3)),
            has_breaks=draw(st.booleans()),
            has_substitutes=draw(st.booleans()),
            has_tight_dates=draw(st.booleans()),
            has_long_cuts=draw(st.booleans()),
            blade_loss_m=draw(st.sampled_from((0.0, 0.002))),
        ),
    )


@settings(deadline=None, max_examples=25)
@given(made())
def test_every_plan_is_right_and_never_dearer_than_by_hand(week):
    plan, hand = checked_plan(week), plan_by_hand(week)
    verify(week, hand)
    assert plan.lower_bound <= plan.cost <= hand.cost
    assert plan.unmet == hand.unmet


@settings(deadline=None, max_examples=10)
@given(made(), st.randoms(use_true_random=False))
def test_the_order_of_the_rows_does_not_matter(week, chance):
    shuffled = replace(
        week,
        **{
            name: tuple(chance.sample(getattr(week, name), len(getattr(week, name))))
            for name in ("kinds", "needs", "offers", "suppliers", "stock")
        },
    )
    assert plan_purchases(shuffled) == plan_purchases(week)


def test_the_same_week_gives_the_same_plan():
    week = made_week(3, Made(has_breaks=True, parts=4))
    assert plan_purchases(week) == plan_purchases(week)


@pytest.mark.parametrize("seed", range(3))
def test_a_week_of_eight_jobs_is_proven(seed):
    week = made_week(seed, Made())
    plan = checked_plan(week)
    assert plan.is_proven
    assert plan.gap == 0
    assert plan.cost < plan_by_hand(week).cost


@pytest.mark.parametrize(
    "how",
    [
        Made(20, 1500, 30, 3, has_breaks=True),
        Made(8, 150, 25, 3, skewed_cuts=250),
        Made(8, 200, 5, 2, has_long_cuts=True),
    ],
    ids=["20 jobs", "skewed", "long cuts"],
)
def test_large_and_skewed_weeks_are_proven(how):
    plan = checked_plan(made_week(1, how))
    assert plan.is_proven


def test_a_cut_is_never_joined():
    """Two offcuts of 3 m do not make 4 m."""
    offer = Offer("roll", "supplier", RED.key, price("5.00"), 10.0)
    stock = (StockPiece("a", RED.key, 3.0), StockPiece("b", RED.key, 3.0))
    week = Week(MONDAY, (RED,), (Need("cut", RED.key, NEXT_MONDAY, 1, 4.0),), (offer,), (SHOP,), stock)
    assert checked_plan(week).cost == 5


def test_metres_that_may_be_joined_are():
    tape = Kind("tape", Measure.METRES)
    stock = (StockPiece("a", "tape", 3.0), StockPiece("b", "tape", 3.0))
    week = Week(MONDAY, (tape,), (Need("wrap", "tape", NEXT_MONDAY, 1, 5.0),), (), (), stock)
    plan = checked_plan(week)
    assert plan.cost == 0
    assert not plan.unmet
    assert sum(share.length_m for share in plan.shares) == 5.0


def test_the_blade_takes_its_share_of_every_cut():
    week = Week(
        MONDAY,
        (RED,),
        (Need("cut", RED.key, NEXT_MONDAY, 4, 2.5),),
        (Offer("roll", "supplier", RED.key, price("5.00"), 10.0),),
        (SHOP,),
    )
    assert checked_plan(week).cost == 5
    assert checked_plan(replace(week, settings=Settings(blade_loss_m=0.002))).cost == 10


def buy_relays(count: int, supplier: Supplier, *steps: str | tuple[int, str], **offer: int) -> PurchasePlan:
    """The plan for so many relays from one supplier."""
    need = Need("relays", "relay", NEXT_MONDAY, count)
    one = Offer("relay", supplier.name, "relay", price(*steps), **offer)
    return checked_plan(Week(MONDAY, (RELAY,), (need,), (one,), (supplier,)))


def test_more_is_bought_where_a_price_break_makes_it_cheaper():
    assert buy_relays(9, SHOP, "4.00", (10, "3.00")).cost == 30
    assert buy_relays(7, SHOP, "4.00", (10, "3.00")).cost == 28


def test_more_is_bought_where_that_frees_the_carriage():
    near = Supplier("near", carriage=Decimal(9), carriage_free_from=Decimal(40))
    assert buy_relays(9, near, "4.00").cost == 40
    assert buy_relays(7, near, "4.00").cost == 37


def test_the_least_order_is_reached():
    assert buy_relays(1, Supplier("far", min_order=Decimal(25)), "4.00").cost == 28


def test_packs_and_multiples_are_kept():
    plan = buy_relays(11, SHOP, "4.00", pack=5, multiple=2)
    assert plan.orders[0].lines[0].packs == 4


def test_carriage_is_saved_by_buying_all_in_one_place():
    dear = Supplier("dear", carriage=Decimal(6))
    cheap = Supplier("cheap", carriage=Decimal(6))
    fuse = Kind("fuse")
    week = Week(
        MONDAY,
        (RELAY, fuse),
        (Need("r", "relay", NEXT_MONDAY, 1), Need("f", "fuse", NEXT_MONDAY, 1)),
        (
            Offer("1", "dear", "relay", price("5.00")),
            Offer("2", "dear", "fuse", price("2.00")),
            Offer("3", "cheap", "relay", price("4.00")),
        ),
        (dear, cheap),
    )
    plan = checked_plan(week)
    assert [order.supplier for order in plan.orders] == ["dear"]
    assert plan.cost == 13


def test_nothing_needed_costs_nothing():
    plan = checked_plan(Week(MONDAY, (), ()))
    assert plan.cost == 0
    assert plan.is_proven
    assert not plan.orders


def test_progress_is_told_and_what_it_raises_ends_the_search():
    told: list[Progress] = []
    plan = plan_purchases(made_week(0, Made(cuts=60, kinds=4)), Watch(report=told.append))
    assert told[-1].cost == plan.cost

    def stop(progress: Progress) -> None:
        raise InterruptedError

    with pytest.raises(InterruptedError):
        plan_purchases(made_week(0, Made(cuts=60, kinds=4)), Watch(report=stop))


def test_without_time_the_plan_by_hand_stands_with_an_honest_gap():
    week = made_week(0, Made())
    plan = plan_purchases(week, Watch(elapsed_s=lambda: 1e9))
    verify(week, plan)
    assert plan.cost == plan_by_hand(week).cost
    assert not plan.is_proven
    assert plan.gap == 1.0


def test_a_roll_on_order_serves_those_who_can_wait_for_it():
    coming = StockPiece("PO 3/1 #1", RED.key, 5.0, available=date(2026, 3, 6))
    offer = Offer("roll", "supplier", RED.key, price("5.00"), 5.0)
    early, late = (Need("early", RED.key, date(2026, 3, 4), 1, 2.0), Need("late", RED.key, NEXT_MONDAY, 1, 3.0))
    plan = checked_plan(Week(MONDAY, (RED,), (early, late), (offer,), (SHOP,), (coming,)))
    assert plan.cost == 5
    cut_from = {cut.need: piece.source for piece in plan.pieces for cut in piece.cuts}
    assert cut_from["early"] == "roll"
