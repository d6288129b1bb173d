"""What may stand for what: never thinner, never a lower temperature class, another colour only where allowed."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimating.buying.kinds import BuyingError, Kind, Measure, SubstituteRule, why_unfit
from estimating.buying.week import Need, Offer, StockPiece, Week
from tests.estimating.buying.cast import MONDAY, NEXT_MONDAY, RED, SHOP, checked_plan, price

ANY = SubstituteRule(
    colours=frozenset((a, b) for a in ("RD", "BU") for b in ("RD", "BU")),
    is_thicker_allowed=True,
    max_area_ratio=100,
    must_fit_terminal=False,
    pairs=frozenset({("wanted", "given")}),
)
AREAS = st.sampled_from((0.5, 1.0, 2.08, 2.5, 4.0))
WIRES = st.builds(
    Kind, st.just("given"), st.just(Measure.CUTS), AREAS, st.sampled_from((60, 105, 125)), st.sampled_from(("RD", "BU"))
)


@given(WIRES, WIRES)
def test_no_rule_makes_a_wire_thinner_or_cooler(given_kind, wanted):
    wanted = replace(wanted, key="wanted")
    may = not why_unfit(given_kind, wanted, ANY)
    is_safe = given_kind.area_mm2 >= wanted.area_mm2 and given_kind.insulation_c >= wanted.insulation_c
    assert may == is_safe


@given(WIRES, WIRES)
def test_without_a_rule_nothing_stands_for_anything_else(given_kind, wanted):
    wanted = replace(wanted, key="wanted")
    is_same = (given_kind.area_mm2, given_kind.colour) == (wanted.area_mm2, wanted.colour)
    if not why_unfit(given_kind, wanted, SubstituteRule()):
        assert is_same
        assert given_kind.insulation_c >= wanted.insulation_c


BLUE = replace(RED, key="wire 2.5 mm² BU", colour="BU")
THICK = replace(RED, key="wire 4 mm² RD", area_mm2=4.0)


@pytest.mark.parametrize(
    ("kind", "rule", "reason"),
    [
        (BLUE, SubstituteRule(), "colour BU is not allowed for RD"),
        (BLUE, SubstituteRule(colours=frozenset({("BU", "RD")})), "colour BU is not allowed for RD"),
        (BLUE, SubstituteRule(colours=frozenset({("RD", "BU")})), ""),
        (THICK, SubstituteRule(), "thicker sizes are not allowed"),
        (THICK, SubstituteRule(is_thicker_allowed=True, max_area_ratio=1.5), "more than 1.5 times as thick"),
        (THICK, SubstituteRule(is_thicker_allowed=True), "does not fit the same terminals"),
        (THICK, SubstituteRule(is_thicker_allowed=True, must_fit_terminal=False), ""),
        (THICK, SubstituteRule(pairs=frozenset({(RED.key, THICK.key)})), ""),
        (Kind("relay"), ANY, "another sort of thing"),
    ],
)
def test_reasons(kind, rule, reason):
    assert why_unfit(kind, RED, rule) == reason


def test_parts_stand_in_only_where_the_shop_has_said_so():
    plain, sealed = Kind("terminal"), Kind("sealed terminal")
    rule = SubstituteRule(pairs=frozenset({("terminal", "sealed terminal")}))
    assert why_unfit(sealed, plain, rule) == ""
    assert why_unfit(plain, sealed, rule) == "not on the shop's list"


def test_an_offcut_of_an_allowed_colour_is_used_up():
    week = Week(
        MONDAY,
        (RED, BLUE),
        (Need("cut", RED.key, NEXT_MONDAY, 1, 3.0),),
        (Offer("roll", "supplier", RED.key, price("5.00"), 10.0),),
        (SHOP,),
        (StockPiece("offcut", BLUE.key, 3.5),),
    )
    assert checked_plan(week).cost == 5
    allowed = replace(week, rule=SubstituteRule(colours=frozenset({("RD", "BU")})))
    plan = checked_plan(allowed)
    assert plan.cost == 0
    assert plan.pieces[0].source == "offcut"


def test_two_colours_share_a_roll_where_one_may_stand_for_the_other():
    needs = (Need("red", RED.key, NEXT_MONDAY, 1, 4.0), Need("blue", BLUE.key, NEXT_MONDAY, 1, 4.0))
    offers = (
        Offer("red", "supplier", RED.key, price("5.00"), 10.0),
        Offer("blue", "supplier", BLUE.key, price("6.00"), 10.0),
    )
    rule = SubstituteRule(colours=frozenset({("RD", "BU")}))
    plan = checked_plan(Week(MONDAY, (RED, BLUE), needs, offers, (SHOP,), rule=rule))
    assert plan.cost == Decimal(6)
    assert [cut.need for cut in plan.pieces[0].cuts] == ["blue", "red"]


@pytest.mark.parametrize("ratio", [0.99, float("nan")])
def test_a_ratio_below_one_is_refused(ratio):
    with pytest.raises(BuyingError, match="greatest area ratio must be 1 or more"):
        SubstituteRule(max_area_ratio=ratio)
