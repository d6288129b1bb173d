"""What cannot be met is named, with the least change that would cure it; the rest is planned."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from estimating.buying.kinds import Kind, SubstituteRule
from estimating.buying.week import Need, Offer, Settings, StockPiece, Week
from tests.estimating.buying.cast import MONDAY, NEXT_MONDAY, RED, SHOP, checked_plan, price
from tests.estimating.buying.weeks import Made, made_week

BLUE = replace(RED, key="wire 2.5 mm² BU", colour="BU")
THIN = replace(RED, key="wire 1 mm² RD", area_mm2=1.0)
ROLL = Offer("roll", "supplier", RED.key, price("5.00"), 10.0, lead_days=4)
CUT = Need("cut", RED.key, date(2026, 3, 4), 1, 3.0)
WEEK = Week(MONDAY, (RED, BLUE, THIN), (CUT,), (ROLL,), (SHOP,))


def test_a_date_that_is_too_soon_says_by_how_many_days_it_must_move():
    plan = checked_plan(WEEK)
    (unmet,) = plan.unmet
    assert plan.orders == ()
    assert (unmet.need, unmet.needed_by, unmet.count) == ("cut", date(2026, 3, 4), 1)
    assert unmet.reason == "wire 2.5 mm² RD arrives on 2026-03-06 at the soonest, it is needed by 2026-03-04"
    (remedy,) = unmet.remedies
    assert (remedy.move_days, remedy.new_date, remedy.extra_cost) == (2, date(2026, 3, 6), Decimal("5.00"))
    assert checked_plan(replace(WEEK, needs=(replace(CUT, needed_by=date(2026, 3, 6)),))).unmet == ()


def test_holidays_put_it_off():
    week = replace(WEEK, settings=Settings(holidays=frozenset({date(2026, 3, 5)})))
    assert checked_plan(week).unmet[0].remedies[0].new_date == date(2026, 3, 9)


def test_a_colour_that_could_be_allowed_comes_before_moving_the_date():
    blue = Offer("blue", "supplier", BLUE.key, price("6.00"), 10.0)
    week = replace(WEEK, offers=(ROLL, blue))
    first, second = checked_plan(week).unmet[0].remedies
    assert (first.kind, first.move_days, first.extra_cost) == (BLUE.key, 0, Decimal("6.00"))
    assert first.text.startswith("Let wire 2.5 mm² BU stand in (colour BU is not allowed for RD)")
    assert second.move_days == 2
    allowed = replace(week, rule=SubstituteRule(colours=frozenset({("RD", "BU")})))
    assert checked_plan(allowed).cost == 6


def test_another_part_is_never_proposed():
    relay, fuse = Kind("relay"), Kind("fuse")
    offers = (
        Offer("relays", "supplier", relay.key, price("3.00"), lead_days=4),
        Offer("fuses", "supplier", fuse.key, price("1.00")),
    )
    week = Week(MONDAY, (relay, fuse), (Need("a", relay.key, date(2026, 3, 4)),), offers, (SHOP,))
    (remedy,) = checked_plan(week).unmet[0].remedies
    assert (remedy.kind, remedy.move_days) == ("", 2)


def test_a_thinner_wire_is_never_proposed():
    thin = Offer("thin", "supplier", THIN.key, price("1.00"), 10.0)
    remedies = checked_plan(replace(WEEK, offers=(ROLL, thin))).unmet[0].remedies
    assert [remedy.kind for remedy in remedies] == [""]


def test_a_cut_longer_than_every_roll_says_so():
    need = Need("long", RED.key, NEXT_MONDAY, 2, 12.0)
    (unmet,) = checked_plan(replace(WEEK, needs=(need,))).unmet
    assert unmet.reason == "the longest roll of wire 2.5 mm² RD offered is 10 m, the cut needs 12 m"
    assert unmet.count == 2
    assert unmet.remedies[0].text == ("Enter an offer of wire 2.5 mm² RD, 12 m or longer, that arrives by 2026-03-09.")


def test_what_nobody_offers_says_so():
    plan = checked_plan(replace(WEEK, offers=()))
    assert plan.unmet[0].reason == "no supplier offers wire 2.5 mm² RD"


def test_scarce_stock_serves_as_many_cuts_as_it_can():
    """One piece of 6 m: two of 3 m rather than one of 5 m."""
    needs = tuple(Need(f"cut {n}", RED.key, MONDAY, 1, length) for n, length in enumerate((5.0, 3.0, 3.0)))
    plan = checked_plan(replace(WEEK, needs=needs, stock=(StockPiece("offcut", RED.key, 6.0),)))
    assert [unmet.need for unmet in plan.unmet] == ["cut 0"]
    assert [cut.need for cut in plan.pieces[0].cuts] == ["cut 1", "cut 2"]


def test_stock_goes_first_to_those_whom_nothing_else_reaches():
    """The offcut serves the cut of today; the roll, which comes later, the other."""
    needs = (Need("a later", RED.key, NEXT_MONDAY, 1, 3.0), Need("today", RED.key, MONDAY, 1, 3.0))
    plan = checked_plan(replace(WEEK, needs=needs, stock=(StockPiece("offcut", RED.key, 3.0),)))
    assert plan.unmet == ()
    assert plan.cost == 5


def test_parts_are_met_as_far_as_they_go():
    relay = Kind("relay")
    plan = checked_plan(
        Week(MONDAY, (relay,), (Need("r", "relay", MONDAY, 5),), (), (), (StockPiece("bin", "relay", count=3),))
    )
    assert [(unmet.need, unmet.count) for unmet in plan.unmet] == [("r", 2)]
    assert plan.shares[0].count == 3


def test_a_week_with_dates_too_soon_is_planned_but_for_those():
    week = made_week(4, Made(jobs=5, cuts=80, kinds=5, has_tight_dates=True))
    plan = checked_plan(week)
    assert plan.unmet
    assert {unmet.needed_by for unmet in plan.unmet} <= {MONDAY, date(2026, 3, 3), date(2026, 3, 4)}
    assert all(unmet.remedies[0].move_days or unmet.remedies[0].kind for unmet in plan.unmet)
